### Arbeit, die länger dauert: wie weit sie ist, wie man sie anhält, und wo sie nicht getan werden kann.

unable-title = Dieser Teil der App ist nicht gestartet
# Was gesagt wird, wo der zweite Teil nicht startet, und was trotzdem geht.
unable = Zahlen und Dateien macht ein zweiter Teil der App, und dieser Browser hat ihn nicht gestartet ({ $why }). Alles andere geht: Antworten werden aufgenommen und auf diesem Gerät behalten. Versuchen Sie es noch einmal, laden Sie die Seite neu, oder öffnen Sie die App in einem neueren Browser.
stop = Anhalten
stopped = Angehalten. Nichts wurde geändert.
raw-log = Eine Kopie des Protokolls sichern
raw-log-text = Falls die Erhebungsdatei auf diesem Gerät nicht entsteht: jede Antwort, wie sie geschrieben wurde, eine je Zeile, ohne Zahlen und Fotografien. Schicken Sie sie an die Person, die Ihre Erhebung betreut.
# $done, $all
drawn = { NUMBER($done) } von { NUMBER($all) }
# Photographs that are in the file by now: $done, $all
photos = Fotos: { NUMBER($done) } von { NUMBER($all) }
