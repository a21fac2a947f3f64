### Eine Erhebung einrichten.

step-time = die Zeit, die Sie haben
step-about = warum und für wen
step-scope = was dazugehört
step-before = bevor Sie gehen
step-places = wo die Kartons sind
step-boxes = wie viele es sind
step-close = die Liste schließen
step-sample = die Stichprobe ziehen

## Die Zeit, die Sie haben.

time-title = Wie lange haben Sie?
time-lead = Stunden mit den Händen an den Kartons: Von einem halben Tag bleiben zwei oder drei.
hours = Stunden zum Prüfen
minutes = Minuten je Karton, für den Anfang
minutes-hint = Zehn ist eine vernünftige Schätzung. Ihr wirkliches Tempo zeigt sich unterwegs.
fewer-hours = Eine Stunde weniger
more-hours = Eine Stunde mehr
fewer-minutes = Eine Minute weniger
more-minutes = Eine Minute mehr
buys-too-little = Das ist zu wenig für eine Stichprobe: Zwei Kartons sind das Mindeste.
buys-boxes = Das sind etwa { NUMBER($boxes) } Kartons, in Runden von vier bis sechs. Jede vollständige Runde zählt, wann immer Sie aufhören müssen.
buys-title = Was man dafür bekommt
buys-what = Wie genau Sie den Anteil eines Schadens kennen würden, den jedes fünfte Band hat, und die Zahl der Bänder:
buys = { $hours ->
    [one] 1 Stunde: { NUMBER($boxes) } Kartons, der Anteil auf { NUMBER($points) } Prozentpunkte genau, die Zahl auf { NUMBER($percent) } %
   *[other] { $hours } Stunden: { NUMBER($boxes) } Kartons, der Anteil auf { NUMBER($points) } Prozentpunkte genau, die Zahl auf { NUMBER($percent) } %
}
buys-guesses = Eine Vorhersage, mit 95 % Sicherheit, aus Schätzungen, bis die erste Runde da ist: insgesamt { NUMBER($boxes) } Kartons, etwa { NUMBER($items) } Bänder in einem Karton und { NUMBER($checked) } davon geprüft, die Bänder eines Kartons einander etwas ähnlich.
curve-handle = Stunden zum Prüfen: an der Kurve entlang ziehen
curve-hours = { $hours ->
    [one] 1 Stunde
   *[other] { NUMBER($hours) } Stunden
}
curve-points = ± { NUMBER($points) } Punkte

## Warum und für wen.

about-title = Warum und für wen?
about-lead = Je eine Zeile. Sie steht über allem, was Sie übergeben.
name = Wie die Erhebung heißt
for-whom = Wer darum gebeten hat
purpose = Was damit entschieden wird
purpose-hint = Ein Budget, eine Reihenfolge der Arbeit, ob eine Schenkung angenommen wird …
person = Ihr Name oder Ihre Initialen
person-hint = Steht neben jeder Ihrer Antworten.

## Was dazugehört.

scope-title = Was zählt?
scope-lead = Markieren Sie, was zur Erhebung gehört. Video und andere Medien werden gezählt, nicht geprüft.
scope-originals = Originale
scope-originals-hint = Die einzige Aufnahme, die es gibt.
scope-copies = Kopien
scope-copies-hint = Arbeits-, Sicherheits- oder Hörkopien.
scope-blanks = Leere Bänder
scope-blanks-hint = Unbenutzt, oder niemand weiß es.
scope-commercial = Veröffentlichte Tonträger
scope-commercial-hint = Gekaufte Aufnahmen.
scope-transferred = Schon überspielt
scope-transferred-hint = Bänder, von denen es eine gute Datei gibt.

## Bevor Sie gehen.

before-title = Bevor Sie gehen
before-lead = Markieren Sie, was erledigt ist. Nichts davon ist Pflicht; jedes hat schon jemandem den Tag verdorben.
before-access = Zugang
before-access-hint = Wer hat den Schlüssel, den Lichtschalter, den Aufzug, und bis wann?
before-permission = Erlaubnis
before-permission-hint = Kartons zu öffnen, zu fotografieren, Dinge zu verrücken.
before-company = Jemand weiß es
before-company-hint = Wo Sie sind und wann Sie zurückkommen. Oft gibt es kein Netz.
before-water = Feuchte und Wasser
before-water-hint = Gab es je Hochwasser oder Schimmel? Dann fragen Sie eine Fachkraft, bevor Sie irgendetwas öffnen.
before-recordist = Die Aufnehmenden
before-recordist-hint = Gibt es noch jemanden, der die Geräte, die Geschwindigkeiten, die Spuren kennt?
before-deadline = Der Termin
before-deadline-hint = Wird etwas entschieden, bevor Ihre Zahlen da sind?
before-kit = In der Tasche
before-kit-hint = Lampe, Bleistift und Zettel, Handschuhe, eine Maske, ein Maßband, Strom für das Telefon.
before-offline = Das Telefon
before-offline-hint = Öffnen Sie „Dieses Gerät“, und sehen Sie nach, ob es ohne Netz bereit ist.
people-more = Was Menschen schaden kann
people-first = Zuerst die Menschen
people-text = Sie sehen hin, Sie riechen aus der Entfernung, Sie leuchten mit einer Lampe. Nichts wird abgewickelt, gerieben, benetzt, erwärmt oder abgespielt.

## Wo die Kartons sind.

places-title = Wo sind die Kartons?
places-lead = Benennen Sie jedes Regal, jedes Fach und jeden Stapel, den Sie in einem Zug zählen können.
place-name = Ein Ort
place-hint = So, wie Sie es jemandem sagen würden: „Keller, linke Wand, zweites Brett“.
add-place = Diesen Ort hinzufügen
places-so-far = Orte bisher
no-places = Noch keine.
groups = Gruppen
groups-why = Für die meisten Sammlungen genügt eine Gruppe. Machen Sie nur dann eine weitere, wenn ein Teil wahrscheinlich ganz anders ist (ein zweiter Raum, eine andere Herkunft) und Sie eigene Zahlen dafür möchten.
groups-small = In der Statistik heißt das Schicht. Aus jeder Gruppe wird für sich gezogen, mindestens zwei Kartons. Wenige Gruppen sind besser als viele.
group-name = Eine weitere Gruppe
add-group = Diese Gruppe hinzufügen
which-group = Gruppe dieses Ortes
or-list = Es gibt schon eine Liste
rename = Umbenennen
rename-this = { $name } umbenennen
new-name = Neuer Name
renamed = Heißt jetzt „{ $name }“
call-it = So nennen
groups-first = Die erste Gruppe lässt sich umbenennen: Sie enthält alle Orte, die vor einer weiteren Gruppe benannt wurden.
place-boxes = { $boxes ->
    [0] noch keine Kartons
    [one] 1 Karton
   *[other] { $boxes } Kartons
}

## Wie viele es sind.

boxes-title = Wie viele Kartons?
boxes-lead = Wählen Sie einen Ort, und zählen Sie ihn ab, oder holen Sie eine Liste herein, die jemand gemacht hat.
boxes-no-places = Benennen Sie zuerst einen Ort.
to-places = Orte benennen
take-list = Eine Liste einfügen oder hereinholen
total = Insgesamt
count-lead = Tippen Sie einmal für jeden Karton, in der Reihenfolge, in der sie stehen. Schreiben Sie seine Nummer mit Bleistift auf einen Zettel, und legen Sie ihn hinein.
one-more = Noch ein Karton
several = Mehrere auf einmal
several-hint = Für ein langes Regal: erst zählen, dann alle hinzufügen.
how-many = Wie viele Kartons
fewer = Einer weniger
more = Einer mehr
as-found = Mit dem, was darauf steht
label = Aufschrift des Kartons
add-labelled = Diesen Karton hinzufügen
listed = Kartons hier
how-full = Ein Tippen sagt, wie voll er aussieht: Das macht jede Summe genauer.
place-gone = Dieser Ort steht nicht auf der Liste
back-to-places = Andere Orte
late = Die Liste ist geschlossen
late-text = Kartons, die Sie jetzt hinzufügen, werden gesondert geführt als nach dem Schließen der Liste gefunden. Sie zählen als eigene Gruppe.
add-several = { $boxes ->
    [one] 1 Karton hinzufügen
   *[other] { $boxes } Kartons hinzufügen
}
added = { $boxes ->
    [one] Karton { $last } aufgelistet
   *[other] { $boxes } Kartons aufgelistet, { $first } bis { $last }
}
place-listed = Ort aufgelistet: { $name }
taken-off = Karton { $serial } von der Liste genommen
answered = Karton { $serial }: { $answer }
show-all = { NUMBER($boxes) } weitere zeigen
fullness-of = Wie voll ist Karton { $serial }?
take-off = Karton { $serial } von der Liste nehmen

## Eine Liste, die jemand gemacht hat.

list-title = Eine Liste der Kartons
list-lead = Fügen Sie sie aus einer Tabellenkalkulation ein, oder wählen Sie eine CSV-Datei. Nichts wird übernommen, bevor alles lesbar ist.
list-columns = Die erste Zeile nennt die Spalten auf Englisch: place (Ort) und label (Aufschrift), und wenn Sie sie haben, group (Gruppe), full (1 bis 4 Viertel) und items (Stück). Reihenfolge beliebig; Kommas, Semikolons oder Tabulatoren.
list-example =
    place,label,full
    Keller Regal 1,Interviews A,4
    Keller Regal 1,Interviews B,2
list-text = Die Liste
list-file = Eine Datei wählen
list-take = Übernehmen
list-wrong = Nichts wurde übernommen
list-empty = Fügen Sie zuerst eine Liste ein, oder wählen Sie eine Datei.
list-reading = Die Liste wird gelesen …
list-undo = Alles zurücknehmen
list-known = { NUMBER($n) } dieser { NUMBER($all) } Kartons sind schon aufgenommen
list-known-text = Sie haben denselben Ort und dieselbe Aufschrift wie Kartons auf der Liste. Eine zweimal übernommene Liste zählt jeden Karton doppelt. Noch wurde nichts hinzugefügt.
list-known-rest = Nur die anderen hinzufügen
list-known-all = Trotzdem alle hinzufügen
list-undone = Die Liste wurde zurückgenommen.
list-long = Die Datei ist lang; ihre ersten Zeilen werden gezeigt. Übernommen wird sie ganz.
list-problems = { $count ->
    [one] Eines stimmt mit der Liste nicht. Sie bleibt, wie Sie sie eingefügt haben:
   *[other] { $count } Dinge stimmen mit der Liste nicht. Sie bleibt, wie Sie sie eingefügt haben:
}
list-problems-some = { NUMBER($count) } Dinge stimmen mit der Liste nicht, die ersten { NUMBER($named) } sind diese. Sie bleibt, wie Sie sie eingefügt haben:
list-progress = { NUMBER($done) } von { NUMBER($all) } Kartons aufgelistet
list-done = Übernommen: { $boxes } an { $places }.
n-places = { $n ->
    [one] 1 Ort
   *[other] { $n } Orten
}
list-stopped = Das Übernehmen hörte auf halbem Weg auf: { $why }
file-trouble-nothing = Es wurde keine Datei gewählt.
file-trouble-too-large = Die Datei hat { NUMBER($has) } MB; höchstens { NUMBER($most) } MB werden gelesen.
file-trouble-unreadable = Das Gerät konnte die Datei nicht lesen: { $why }

## Die Liste schließen.

close-title = Sind das alle?
closed-title = Die Liste ist geschlossen
close-lead = Aus dieser Liste wird gelost, darum wird sie vorher geschlossen: Dann kann niemand sagen, es seien Kartons hinzugefügt oder weggelassen worden, damit die Ziehung passt.
closed-lead = Die Stichprobe kann jetzt gezogen werden.
close-undo-why = Sie können sie wieder öffnen, bis eine Stichprobe gezogen ist. Kartons, die später auftauchen, gehen nicht verloren: Sie werden eine eigene Gruppe.
close = Die Liste schließen
reopen = Wieder öffnen
to-sample = Die Stichprobe ziehen
seal = Ihr Siegel
seal-why = Ein Fingerabdruck der geschlossenen Liste. Lesen Sie jemandem die ersten Buchstaben vor, oder schreiben Sie sie auf: Eine andere Liste hätte einen anderen.
drawn-already = Aus ihr wurde eine Stichprobe gezogen, darum bleibt sie geschlossen.
small-group-title = Eine Gruppe mit einem einzigen Karton
nothing-listed = Es sind noch keine Kartons aufgelistet.
back-to-boxes = Kartons auflisten
small-group = { $names }: Bei nur einem Karton lässt sich nicht sagen, wie sich die Kartons dort unterscheiden. Besser, er kommt in eine andere Gruppe.
group-counts = { $group }: { $boxes } an { $places }

## Die eigene Liste.

watch-link = Ihre Beobachtungsliste
watch-link-why = Kennen Sie Bänder, die klebrig oder sauer wurden? Führen Sie eine Liste davon; die Prüfung achtet dann darauf.
watch-title = Ihre Beobachtungsliste
watch-lead = Bänder, von denen Sie wissen oder gehört haben, dass sie sich auf eine bestimmte Weise verhalten. Es ist Ihre eigene Liste, und sie reist mit dieser Erhebung.
watch-entries-title = Auf der Liste
watch-none = Noch steht nichts darauf
watch-none-text = Es geht auch ohne. Wenn Sie eine führen, holen Sie sie hier als Tabelle herein: Gleicht die auf einem Band geschriebene Sorte einem Namen Ihrer Liste, sagt es das Blatt des Bandes und zählt es als ein Anzeichen unter anderen, als ein schwächeres, wo nur die Schachtel es sagt, denn eine Schachtel kann zu einem anderen Band gehören. Die App bringt keine Liste mit.
watch-make = Eine Tabelle hereinholen
watch-columns = Die erste Zeile nennt die Spalten auf Englisch: name, behaviours, note und source. Unter behaviours stehen Schlüssel aus der Liste unten, mit Semikolons dazwischen; note (Bemerkung) und source (Quelle) sind Ihre eigenen Worte.
watch-example =
    name,behaviours,note,source
    "blaue Dose, Charge unbekannt",sticky_binder;oxide_loss,haftet,eigene Werkstattnotizen
watch-text = Die Tabelle, eingefügt
watch-replaces = Sie tritt an die Stelle der Liste oben. Nichts wird übernommen, bevor alles lesbar ist.
watch-keys = Schlüssel für das Verhalten
watch-file-name = beobachtungsliste.csv
watch-undone = Es wurde zurückgenommen; die Liste ist wie vorher.
watch-save = { $entries ->
    [0] Eine leere Tabelle zum Ausfüllen speichern
    [one] Als Tabelle speichern (1 Eintrag)
   *[other] Als Tabelle speichern ({ $entries } Einträge)
}
watch-done = { $entries ->
    [one] Übernommen: 1 Eintrag
   *[other] Übernommen: { $entries } Einträge
}
watch-problems = { $count ->
    [one] Eines stimmt mit der Tabelle nicht. Die Liste ist, wie sie war:
   *[other] { $count } Dinge stimmen mit der Tabelle nicht. Die Liste ist, wie sie war:
}
watch-problems-some = { NUMBER($count) } Dinge stimmen mit der Tabelle nicht, die ersten { NUMBER($named) } sind diese. Die Liste ist, wie sie war:
watch-no-source = Ohne Quelle
watch-source = Bekannt aus: { $source }
watch-hidden = Und { NUMBER($entries) } weitere, in der Tabelle, die Sie speichern.
