### Der Rahmen: wo im Tag, was gespeichert ist, was schiefging.

app = Quarterlight
skip-to-screen = Zum Inhalt springen
the-day = Der Tag
this-device = Dieses Gerät
go-on = Weiter
go-back = Zurück
try-again = Noch einmal versuchen
undo = Rückgängig
to-all-surveys = Zu allen Erhebungen
later = Später
saved = Gespeichert
saving = Speichert …
not-saved = Nicht gespeichert
save-file-now = Eine Datei mitnehmen
browser-says = Was der Browser meldet
opening = Die Erhebung wird geöffnet …
part-coming = Einen Moment …
part-missing = Dieser Teil der App ist nicht auf dem Gerät
part-missing-why = Es ist nichts verloren: Ihre Antworten sind gesichert. Versuchen Sie es noch einmal, oder starten Sie die App einmal mit Verbindung neu.
start-anew = App neu starten
not-here = Diese Erhebung ist nicht auf diesem Gerät
not-here-why = Die Adresse stimmt, aber hier ist nichts davon gespeichert. Öffnen Sie die Datei der Erhebung, oder nehmen Sie das Gerät, auf dem sie entstanden ist.
cant-read = Die Erhebung konnte nicht gelesen werden
cant-start-title = Quarterlight kann in diesem Browser nicht starten
new-version = Eine neue Fassung ist bereit
new-version-text = Nehmen Sie sie zwischen zwei Kartons: Die Seite wird neu geladen, an dieser selben Stelle.
take-new-version = Jetzt nehmen
follows = Ein anderes Fenster schreibt in dieser Erhebung
follows-text = Dieses hier zeigt, was dort geschrieben wird. Um hier weiterzumachen, lassen Sie dieses Fenster schreiben: Das andere zeigt dann nur noch an.
write-here = In diesem Fenster schreiben
hand-over-nudge-title = Nehmen Sie eine Datei mit, bevor Sie gehen
only-here-short = nur auf diesem Gerät
delete = Diese Erhebung von diesem Gerät löschen
delete-first = Von diesem Gerät löschen?
delete-second = Wirklich löschen?
delete-second-text = Sie können sie zurückholen, bis diese App das nächste Mal startet. Danach ist sie auf diesem Gerät endgültig gelöscht.
delete-yes = Ja, löschen
delete-really = Löschen
keep-it = Behalten
deleted = Von diesem Gerät gelöscht
not-deleted = Sie wurde nicht gelöscht
bring-back = Zurückholen
delete-first-text = { $only-here ->
    [0] Soweit dieses Gerät weiß, wurde alles in einer Datei mitgenommen. Vergewissern Sie sich, dass jemand diese Datei noch hat.
    [one] Ein Eintrag ist nur auf diesem Gerät. Nehmen Sie zuerst eine Datei mit, es sei denn, niemand wird ihn je brauchen.
   *[other] { $only-here } Einträge sind nur auf diesem Gerät. Nehmen Sie zuerst eine Datei mit, es sei denn, niemand wird sie je brauchen.
}
deleted-text = „{ $title }“ steht nicht mehr auf der Liste. Endgültig weg ist sie, wenn diese App das nächste Mal startet.
hand-over-nudge = { $only-here ->
    [one] Ein Eintrag ist nur auf diesem Gerät. Geht es verloren oder kaputt, ist auch er verloren.
   *[other] { $only-here } Einträge sind nur auf diesem Gerät. Geht es verloren oder kaputt, sind auch sie verloren.
}
refused = Das wurde nicht getan
practice-mark = Übung: eine erfundene Sammlung
journey-setup = Einrichten
journey-sample = Ziehen
journey-check = Prüfen
journey-results = Ergebnis
journey-hand-over = Übergeben
here = { $part }, { NUMBER($step) } von { NUMBER($steps) }
next = Danach: { $what }
cant-start = Der Browser liefert keine Zufallszahlen ({ $why }), so ließe sich keine Erhebung von einer anderen unterscheiden.
storage-held = Der Speicher dieses Geräts antwortet noch nicht ({ $why }). Schließen Sie die anderen Fenster dieser App und versuchen Sie es dann noch einmal. Nichts ist verloren.
storage-newer = Was auf diesem Gerät gespeichert ist, stammt von einer neueren Fassung dieser App ({ $why }). Laden Sie mit Netz neu, damit die neuere Fassung kommt. Nichts ist verloren.
lost-coming = Antworten werden zurückgeholt
lost-coming-text = Die Datenbank dieses Browsers hat sie verloren, und die zweite Abschrift hat sie noch. Eine lange Erhebung braucht Minuten: Lassen Sie die App offen, bis sie sagt, dass sie wieder da sind.
lost-back = Der Browser hatte Antworten verloren: Sie sind wieder da
lost-gone = Der Browser hat verloren, was hier aufbewahrt war
lost-back-text = { $entries ->
    [one] In der Datenbank dieses Browsers fehlte ein Eintrag; er kam aus der zweiten Abschrift zurück.
   *[other] In der Datenbank dieses Browsers fehlten { $entries } Einträge; sie kamen aus der zweiten Abschrift zurück.
  } Die Einstellungen dieses Geräts und ein Foto aus der letzten Minute können fehlen. Nehmen Sie jetzt eine Datei mit: Es kann wieder geschehen.
lost-gone-text = Er fand seine Datenbank beschädigt und hat eine leere angelegt, und eine zweite Abschrift gibt es hier nicht. Öffnen Sie die zuletzt mitgenommene Datei, oder sehen Sie im Ordner des Teams nach. Geschieht es noch einmal, nehmen Sie einen anderen Browser oder ein anderes Gerät.
lost-read = Ich habe es gelesen
trouble-title-full = Nicht auf diesem Gerät gespeichert: Es ist voll
trouble-title-denied = Nicht auf diesem Gerät gespeichert: Der Speicher wird verweigert
trouble-title-interrupted = Noch nicht gespeichert: Der Speicher wurde unterbrochen
trouble-title-newer = Noch nicht gespeichert: In einem anderen Fenster läuft eine neuere Fassung
trouble-title-failed = Nicht auf diesem Gerät gespeichert: Der Speicher hat versagt
trouble-text = { $waiting ->
    [one] Ein Eintrag ist nur in diesem Fenster. { $advice }
   *[other] { $waiting } Einträge sind nur in diesem Fenster. { $advice }
}
trouble-advice-full = Schaffen Sie Platz und versuchen Sie es noch einmal, oder nehmen Sie jetzt eine Datei mit.
trouble-advice-denied = Ein privates Fenster behält nichts: Nehmen Sie eine Datei mit, bevor Sie es schließen.
trouble-advice-interrupted = Schließen Sie andere Tabs dieser App und versuchen Sie es noch einmal.
trouble-advice-newer = Nehmen Sie jetzt eine Datei mit und laden Sie dann dieses Fenster neu.
trouble-advice-failed = Versuchen Sie es noch einmal; hilft das nicht, nehmen Sie jetzt eine Datei mit.
refusal-begun-already = Diese Erhebung wurde schon begonnen.
refusal-not-begun = Diese Erhebung wurde nie begonnen.
refusal-empty = Es fehlt etwas: Bitte schreiben Sie einen Namen.
refusal-control-character = Im Namen steht ein Tabulator oder ein Zeilenende. Bitte nehmen Sie es heraus.
refusal-no-stratum = Die Gruppe { $key } steht nicht mehr auf der Liste.
refusal-no-place = Der Ort { $key } steht nicht mehr auf der Liste.
refusal-no-box = Der Karton { $serial } steht nicht mehr auf der Liste.
refusal-frame-closed = Die Liste der Kartons ist geschlossen. Öffnen Sie sie zuerst wieder.
refusal-frame-open = Schließen Sie zuerst die Liste der Kartons.
refusal-no-boxes = Es sind noch keine Kartons aufgelistet.
refusal-drawn = Aus dieser Liste wurde eine Stichprobe gezogen, darum bleibt sie geschlossen. Jetzt gefundene Kartons werden als nach der Ziehung gefunden aufgelistet.
refusal-not-drawn = Es wurde noch keine Stichprobe gezogen.
refusal-no-round = Eine Runde { $number } gibt es nicht.
refusal-out-of-range = Diese Zahl liegt außerhalb des Bereichs.
refusal-no-serials = Es sind keine Kartonnummern mehr übrig.
refusal-not-a-number = Das ist keine Zahl.
refusal-too-long = Das ist zu lang, um gespeichert zu werden. Es wurde nichts geschrieben.
refusal-nothing-to-undo = Es gibt nichts rückgängig zu machen.
refusal-not-undoable = Das lässt sich nicht rückgängig machen.
refusal-no-such-answer = Diese Antwort steht nicht mehr zur Wahl.
refusal-written-elsewhere = Ein anderes Fenster dieses Geräts schreibt in dieser Erhebung. Wählen Sie zuerst „In diesem Fenster schreiben“.

percent = { $number } %
