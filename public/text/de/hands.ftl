### Zu zweit an einem Karton: eine Person sieht, eine tippt.

title = Eine sieht, eine tippt
lead = Handschuhe und ein Telefon vertragen sich nicht. Eine Person sieht hin und ruft eine Zahl, die andere tippt sie; beide stehen neben der Antwort.
taps = Wer tippt
looks = Wer hinsieht
looks-hint = Bleibt es leer, sieht auch hin, wer tippt, und der Bildschirm ist wie gewohnt.
on = Groß und nummeriert: Eine Frage lässt sich auf Armlänge lesen, eine Antwort zurufen.
off = Wie gewohnt: Eine Person macht beides.
stop = Wieder eine Person für beides
line = { title }: { $looker } sieht hin
