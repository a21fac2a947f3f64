### Von Hand zu Hand: Codes auf einem Bildschirm, eine Kamera am anderen Telefon.

show = An ein Telefon neben mir übergeben
show-lead = Halten Sie diesen Bildschirm vor die Kamera des anderen Telefons, bis es sagt, dass es alles hat. Ein Netz braucht es nicht.
show-rest-lead = Gezeigt wird nur, was dem anderen Telefon fehlt. Halten Sie es vor dessen Kamera, bis es sagt, dass es alles hat.
have = Zeigen, was dieses Telefon hat
have-lead = Zeigen Sie das dem Telefon, das übergeben soll. Es zeigt diesem Telefon dann nur, was hier fehlt.
read = Von einem Telefon neben mir lesen
read-lead = Auf dem anderen Telefon: Übergeben, dann „An ein Telefon neben mir übergeben“. Dann mit der Kamera dieses Telefons auf dessen Bildschirm sehen.
section = Von Telefon zu Telefon, ohne Netz
section-text = Ein Telefon zeigt wechselnde Codes, das andere liest sie mit der Kamera: Die Einträge eines Tages sind in weit weniger als einer Minute drüben. Fotos nicht; sie gehen mit der Datei.
start = Die Codes starten
pause = Pause
go-on = Weiterlesen
ready-with-it = Fertig
code = Ein Code für die Kamera des anderen Telefons
further = Das andere Telefon liest schlecht
grain = Die Quadrate
slower = Die Codes langsamer zeigen
faster = Die Codes so schnell wie zuvor zeigen
part = Wenn das andere Telefon einen Teil davon hat
part-text = Lassen Sie es zeigen, was es hat, und lesen Sie das zuerst: Dann wird nur der Rest gezeigt. Sonst wird alles gezeigt, was nicht schadet.
read-first = Lesen, was es hat
nothing-lacking = Das andere Telefon hat alles, was hier ist.
too-much = Zu viel für eine Kamera
camera-on = Die Kamera einschalten
camera-why = Das Telefon fragt, ob diese Seite die Kamera benutzen darf. In ihrem Bild wird hier nach Codes gesucht; nichts davon wird behalten oder gesendet.
asking = Warten auf die Kamera …
finder = Was die Kamera sieht
no-camera = Keine Kamera
useless = Es wurde nicht hereingeholt
another-code = Das ist ein anderer Code. Sehen Sie auf den wechselnden Code des anderen Telefons.
newer = Das andere Telefon hat eine neuere Version dieser App. Aktualisieren Sie diese, oder übergeben Sie eine Datei.
wrong = Die Codes widersprachen einander. Es beginnt von vorn.
whole = Alles ist da und geprüft
take-in = Hereinholen
taking-in = Es wird hereingeholt …
show-rest = Ihm den Rest zeigen
not-here = Das andere Telefon hat gezeigt, was es von einer Erhebung hat, die nicht auf diesem Gerät ist.
advice-bright = Stellen Sie diesen Bildschirm so hell wie möglich.
advice-near = Halten Sie die Telefone ein bis zwei Handbreit auseinander, Bildschirm zu Kamera, oder legen Sie dieses hin.
advice-blind = Dieses Telefon kann nicht sehen, wie weit das andere ist: Das andere sagt es.
advice-flicker = Die Quadrate wechseln sechsmal in der Sekunde. Wem das unangenehm ist, der zeigt sie langsamer oder lässt jemand anderen das Telefon halten.
# $entries, $codes, $seconds
shown-seconds = { NUMBER($entries) } Einträge in { NUMBER($codes) } Codes: etwa { NUMBER($seconds) } Sekunden.
# $entries, $codes, $minutes
shown-minutes = { NUMBER($entries) } Einträge in { NUMBER($codes) } Codes: etwa { NUMBER($minutes) } Minuten. Eine Datei ist schneller, wenn es einen Weg gibt, sie zu senden.
shown-known = Dieses Telefon hat { NUMBER($n) } Einträge dieser Erhebung.
too-much-text = { NUMBER($kilobytes) } kB, gepackt: Das würde zu lange dauern. Nehmen Sie stattdessen die Erhebungsdatei mit.
grain-coarse = Große Quadrate: für alte Kameras oder aus größerer Entfernung
grain-middle = Mittlere
grain-fine = Kleine Quadrate: schneller, für eine ruhige Hand
# $have, $want
parts = { NUMBER($have) } von { NUMBER($want) } Codes
# $have, $want
paused = { NUMBER($have) } von { NUMBER($want) } Codes sind da. Lesen Sie weiter, wo es aufhörte; nichts ist verloren, und nichts wird hereingeholt, bevor alle da sind.
no-camera-refused = Diese Seite darf die Kamera nicht benutzen. Erlauben Sie es in den Einstellungen des Browsers für diese Seite und versuchen Sie es noch einmal; oder übergeben Sie eine Datei.
no-camera-none = Dieses Gerät hat keine Kamera, die sich benutzen lässt. Übergeben Sie stattdessen eine Datei.
no-camera-busy = Eine andere App hat die Kamera. Schließen Sie sie und versuchen Sie es noch einmal.
no-camera-not-given = Dieser Browser gibt dieser Seite keine Kamera. Übergeben Sie stattdessen eine Datei.
no-camera-other = Die Kamera startet nicht ({ $why }). Versuchen Sie es noch einmal, oder übergeben Sie eine Datei.
they-have = Das andere Telefon hat { NUMBER($n) } Einträge dieser Erhebung. Zeigen Sie ihm jetzt den Rest.
untitled = Eine Erhebung ohne Titel
# $title, $known
nothing-new = { $title }: Nichts ist neu, alle { NUMBER($known) } Einträge sind schon hier.
# $title, $new, $known
some-new = { $title }: { NUMBER($new) } neue Einträge, { NUMBER($known) }, die schon hier sind.
# $title, $new
all-new = { $title }: { NUMBER($new) } Einträge. Die Erhebung ist neu auf diesem Gerät.
nobody = jemandem ohne Namen
# $n, $who
by = { NUMBER($n) } von { $who }
twins = { NUMBER($n) } Einträge haben eine Nummer, die hier mit anderem Inhalt bekannt ist, wie nach einer wiederhergestellten Sicherung. Beide werden behalten und genannt.
too-large = Es ist größer als jede Erhebung.
not-understood = Es ist ganz, lässt sich aber nicht verstehen ({ $why }). Bitten Sie um die Erhebungsdatei.
