### Kartons und Bänder prüfen.

not-drawn-title = Noch keine Stichprobe
not-drawn = Ziehen Sie zuerst die Stichprobe; dann arbeiten Sie sie hier ab.
to-sample = Zur Ziehung
late-round = Nach der Ziehung gefundene Kartons
boxes = Die Kartons dieser Runde
found-one = Ich habe einen Karton gefunden, der nicht auf der Liste steht
complete-lead = Jeder ihrer Kartons hat seine Antwort. Hören Sie hier mit einer ehrlichen Stichprobe auf, oder machen Sie weiter.
see-results = Ansehen, was die Zahlen sagen
switch-to-draw = Die Zeit ist knapp: in gezogener Reihenfolge gehen
switch-note = Von jetzt an dürfen Sie nach jedem Karton aufhören, und die Zahlen bleiben ehrlich.
also = Was sonst noch
change-round = Andere Runden
why = Was gemeint ist und warum
cant-tell = Nicht feststellbar
cant-tell-hint = Immer eine Antwort. Bitte nie raten.
photographed = Fotografiert, später lesen
photographed-hint = Ein Foto ist gemacht; jemand liest es am Abend.
done = Fertig
back = Zurück
to-round = Zur Runde
erase = Löschen
empty-box = Der Karton ist leer
cant-count = Nicht feststellbar: heute nicht zu zählen
more-kinds = Andere Arten
one-less = Eins weniger
one-more = Eins mehr
note = Eine Notiz
note-hint = Was sonst jemand wissen sollte.
caution = Vorsicht
mind = Bevor Sie ihn öffnen
mind-mould = Sehen Sie nach Schimmel, bevor Sie irgendetwas riechen. Schimmel, Kot, Wasser: Karton schließen und es hier angeben.
general = Das sind allgemeine Vorsichtshinweise, keine fachliche Beratung. Halten Sie sich an die örtlichen Vorschriften und an die Regeln Ihres Hauses; im Zweifel aufhören und eine zugelassene Fachkraft rufen.
next-tape = Nächstes Band
box-ends = Den Karton schließen und zurückstellen
finish-round = Zum Ende der Runde
may-add = Sie können ergänzen
answers = Ihre Antworten
findings = Worauf das hindeutet
nothing-points = Nichts deutet auf Schwierigkeiten hin. Das beweist nicht, dass das Band gesund ist.
cannot-say = Was sich nicht sagen lässt
speaks-for = Dafür spricht
speaks-against = Dagegen spricht
its-sheet = Sein Blatt
not-looked = Nicht angesehen oder nicht feststellbar
does-not-fit = Passt nicht zusammen
next-step = Nächster Schritt
keys = Mit Tastatur: Eine Ziffer wählt die Antwort, die Rücktaste geht zurück, die Eingabetaste ist „Fertig“.
then-sheet = Danach: worauf es hindeutet
then-box = Danach: die gezogenen Bänder
known-from = Bekannt aus
playing = Wie viel darauf ist
ask-first = Zurückgestellt: erst fragen
ask-first-hint = Für eine Kollegin, einen Kollegen oder eine Fachkraft. Es bleibt in der Stichprobe.
aside = Zurückgestellt, um zu fragen
pile-lead = Bänder, die hier niemand beurteilen konnte. Zu jedem gibt es ein Blatt, das man jemandem vom Fach schicken kann.
pile-empty = Nichts ist zurückgestellt. Das Zeichen dafür steht auf dem Blatt eines Bandes.
to-card = Sein Blatt
to-card-long = Sein Blatt, zum Senden oder Drucken
card-lead = Was zu sehen war und was gefragt wird, auf einer Seite (auf Englisch), die sich überall öffnen lässt.
card-question = Was möchten Sie wissen?
card-question-hint = Mit eigenen Worten; es steht auf der Seite ganz oben.
card-seen = Was zu sehen war
card-photos = Fotos sind nicht in der Seite: Schicken Sie sie daneben mit.
card-save = Die Seite speichern
card-print = Drucken
card-saved = Die Seite liegt bei Ihren Downloads
card-not-saved = Die Seite wurde nicht gespeichert
back-to-tape = Zurück zum Band
kinds-before = Wie zuvor, Art und Größe mit einem Tippen:
cant-read = Beschriftet, aber nicht lesbar
photographed-short = Fotografiert
alone = Diese Frage für sich beantworten
batch-hint = Eine Serie ist, was eine Person mit einem Gerät auf eine Weise aufgenommen hat. Was für alle gilt, wird einmal beantwortet; die eigene Antwort eines Bandes zählt mehr.
batch-choose = Zu welcher Serie gehört es?
no-batch = Zu keiner Serie
batch-new = Eine neue Serie
batch-new-hint = Ein Name, den Sie wiedererkennen: wer aufgenommen hat, das Gerät, die Reihe.
batch-begin = In diese neue Serie aufnehmen
batch-open = Noch nicht beantwortet
batch-instead = Für dieses Band die Antwort der Serie nehmen
batch-for-all = Antworten Sie für jedes Band dieser Serie, so wie die Aufnehmenden oder die Papiere es sagen.
batch-takes-all = Das Band gehört dann zu dieser Serie, und alles, was sie sagt, gilt auch für dieses Band.
nothing = herausgenommen
not-in-round = Dieser Karton gehört nicht zur Stichprobe
not-in-round-why = Ihn zu prüfen würde die Zahlen verzerren. Gehen Sie zurück zur Runde.
undo = Rückgängig
then = Danach: { $question }
round = { $number ->
    [0] { late-round }
   *[other] Runde { $number }
}
begin-round = { $number ->
    [0] Mit den später gefundenen Kartons beginnen
   *[other] Runde { $number } beginnen
}
complete = { $number ->
    [0] Die nach der Ziehung gefundenen Kartons sind alle geprüft
   *[other] Runde { $number } ist vollständig
}
boxes-done = { NUMBER($done) } von { NUMBER($all) } Kartons
go-to = Zu Karton { $serial } gehen, { $place }
go-on-with = Mit Karton { $serial } weitermachen
box-title = Karton { $serial }
box-here = { $round } · Karton { $serial } · { $place }
item-here = Karton { $serial } · Band { NUMBER($nth) } von { NUMBER($of) }, Nummer { $position } von links
item-title = Band { $position } aus Karton { $serial }
take-out = Nehmen Sie Nummer { $position } heraus, gezählt von links, dann von vorn nach hinten
outcome-checked = { $items ->
    [0] Geprüft: leer
   *[other] Geprüft: { $items } gezählt
}
outcome-not-reached = Nicht erreicht
outcome-stopped = Wegen einer Gefahr abgebrochen
outcome-uncounted = Geöffnet, nicht gezählt
outcome-out-of-scope = Enthält nichts, was dazugehört
untouched = Noch nicht besucht
begun = Begonnen
tapes-left = { NUMBER($done) } von { NUMBER($all) } Bändern geprüft
said = { $question } – { $answer }
strength = { $title }: { $word }
hours = Etwa { $likely } Inhalt.
hours-between = Etwa { $likely } Inhalt; zwischen { $low } und { $high }.
duration-minutes = { NUMBER($minutes) } Min.
duration = { NUMBER($hours) } Std. { NUMBER($minutes) } Min.
selected = { $n ->
    [0] Noch nichts markiert
    [one] Eins markiert
   *[other] { $n } markiert
}
counted = { $n ->
    [one] 1 Träger
   *[other] { $n } Träger
}
out-of-range = Bitte zwischen { NUMBER($least) } und { NUMBER($most) } { $unit }. Lässt es sich nicht messen: „Nicht feststellbar“.
inches = Zoll
decimal-point = Komma
together-danger = Schimmel oder Tiere?
together-danger-lead = Nur ansehen, Lampe von der Seite. Markieren Sie, was da ist; bei gesehenem oder vermutetem Schimmel den Karton schließen.
together-signs = Was ist zu sehen?
together-signs-lead = Markieren Sie, was da ist. Was Sie nicht markieren, haben Sie gesucht und nicht gefunden.
together-label = Was sagen Etikett und Schachtel?
together-label-lead = Markieren Sie, was geschrieben steht. Papiere bleiben, wo sie sind; die Schachtel kann zu einem anderen Band gehören.
together-all = Was ist zu sehen und zu lesen?
together-all-lead = Markieren Sie, was da ist und was geschrieben steht. Was Sie nicht markieren, haben Sie gesucht und nicht gefunden.
together-done-label = Nichts ist geschrieben
together-done-all = Nichts davon, nichts geschrieben
together-done = { $n ->
    [0] Angesehen: nichts davon
    [one] Eins markiert, sonst nichts
   *[other] { $n } markiert, sonst nichts
}
explain-hide = Erklärungen ausblenden
explain-show = Jedes erklären
pile = { aside }: { NUMBER($n) }
card-title = Erst fragen: Band { $position } aus Karton { $serial }
batch-is = Serie: { $name }
batch-is-none = Serie: keine
batch-says = Für jedes Band von { $name }
batch-question-speed = Geschwindigkeit
batch-question-tracks = Spuren
batch-question-machine = Gerät
batch-title = Serie { $name }: { $question }
batch-and-own = { $batch }; eigene Antwort dieses Bandes: { $own }
batch-does-not-fit = { $batch }; sagt nichts über diesen Träger
batch-as-here = Wie bei diesem Band: { $own }
as-in-batch = Wie in Serie { $name }: { $answer }
shared-by = { $answer }, gilt für die Serie { $name }
own-question-name = Wie es heißt
own-question-batch = Serie
own-question-photos-read = Fotos gelesen
before = Band { $position }: Nichts deutet auf Schwierigkeiten hin.
