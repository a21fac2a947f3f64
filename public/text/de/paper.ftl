### Rundenblätter auf Papier, und wie man sie eingibt.

sheets = Blätter für einen Tag ohne Telefon
sheets-lead = Ein Blatt je Karton, mit seiner Nummer und den Fragen zum Ankreuzen. Drucken Sie sie, oder speichern Sie sie im Druckdialog als PDF.
print = Die Blätter drucken
looked-by = Angesehen von
day = Tag
positions-title = Welche Bänder, gezählt von links, dann von vorn nach hinten
number-of-tape = Nummer des Bandes
how-many = wie viele
stop-line = Schimmel, Kot, Wasser, beißender Geruch: Karton schließen, ankreuzen, mit dem nächsten weitermachen.
put-down = Bewachsen, nass oder belebt: ankreuzen, weglegen, den Rest dieses Bandes leer lassen.
notes = Notizen
type-in = Blätter vom Papier eingeben
type-lead = Die Zahlen sind die neben den Kästchen auf dem Blatt. Die Eingabetaste geht weiter.
serial = Nummer auf dem Blatt, mit Prüfziffer
serial-hint = Wie 0012-3.
filled-by = Wer angesehen hat, wie auf dem Blatt
sheet-day = Tag auf dem Blatt
sheet-day-hint = Wie 2026-11-25.
open = Diesen Karton öffnen
answer = Zahl, oder Zahlen mit Leerzeichen; 0 heißt nicht feststellbar
answer-number = Die geschriebene Zahl; ? heißt nicht feststellbar
answer-counts = Art x Anzahl, mit Leerzeichen: 1x12 2x3. Ein Minuszeichen ist ein leerer Karton; 0 heißt nicht feststellbar
answer-text = Wie geschrieben
take = Eingeben
box-done = Dieser Karton ist eingegeben.
next-sheet = Nächstes Blatt
bad-serial = Die Prüfziffer passt nicht, oder es ist keine Kartonnummer. Sehen Sie noch einmal hin.
bad-day = Schreiben Sie den Tag wie 2026-11-25, oder lassen Sie ihn leer.
no-number = Diese Zahl steht bei dieser Frage nicht auf dem Blatt.
not-offered = Diese Antwort passt nicht zu dem, was vorher geantwortet wurde. Sehen Sie noch einmal auf das Blatt.
one-only = Diese Frage nimmt eine Antwort.
alone = Diese Antwort geht mit keiner anderen zusammen.
not-understood = Das ist nicht zu verstehen.
not-drawn = Karton { $serial } ist in keiner begonnenen Runde.
positions = ab { NUMBER($from) } Bändern: { $positions }
all-up-to = { $n ->
    [one] 1 Band: dieses
   *[other] bis { $n } Bänder: alle
}
tape = Band { NUMBER($nth) } dieses Blattes
