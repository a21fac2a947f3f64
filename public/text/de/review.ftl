### Die Sicht der Prüfenden: eine Erhebungsdatei und ein Bericht, Schritt für Schritt geprüft.

title = Prüfen, was Sie bekommen haben
lead = Die Datei wird hier gelesen, auf diesem Gerät. Nichts wird installiert, nichts gesendet, nichts behalten.
file-title = Die Erhebungsdatei
file-button = Die Erhebungsdatei wählen
file-hint = Ihr Name endet auf .zip, oder auf .age, wenn sie versiegelt ist.
working = Es wird geprüft: Ziehung, Tabellen und jede Zahl werden neu gemacht. Das dauert einige Sekunden.
all-holds = Alles stimmt
some-fails = Es stimmt nicht
caught = Was keine Prüfung zeigt: dass die Antworten wahr sind. Wer eine Datei hat, kann eine andere mit neuen Prüfsummen schreiben. Vergleichen Sie die SHA-256 dieser Datei mit einer, die damals veröffentlicht wurde.
sha = SHA-256 der gewählten Datei:
steps = Schritt für Schritt
explain-packing = Ist die Datei so gepackt, wie die App sie packt, mit nichts davor, dazwischen oder dahinter?
explain-checksums = Ist jede Datei darin die, die übergeben wurde?
explain-log = Folgen die Antworten jeder Person lückenlos aufeinander?
explain-frame = Sind die Behälter die, die vor der Ziehung aufgelistet waren?
explain-draw = Mit demselben Startwert noch einmal gezogen: dieselben Behälter und dieselben Bänder?
explain-tables = Aus den Antworten neu gemacht: Ist jede Zelle jeder Tabelle gleich?
explain-figures = Neu gerechnet: Ist jede Zahl gleich, bis zur letzten Stelle?
explain-photos = Ist jedes Foto das, das die Antworten nennen?
explain-rest = Neu geschrieben: Sind der Bericht und das Skript für die Statistik gleich?
report-title = Ein Bericht dazu
report-lead = Wenn Sie einen Bericht als Seite bekommen haben (report.html), wählen Sie ihn hier: Jede Zahl darin wird aus der Erhebungsdatei neu gerechnet.
report-button = Den Bericht wählen
report-holds = Jede Zahl des Berichts folgt aus der Datei
report-fails = Der Bericht folgt nicht aus der Datei
report-unreadable = Das lässt sich nicht prüfen
report-count = Neu gerechnete Zahlen: { NUMBER($count) }.
# $id, $stated, $recomputed
report-wrong = { $id }: Im Bericht steht { $stated }; neu gerechnet ist es { $recomputed }.
report-line = Jede Zahl stimmt, aber Zeile { NUMBER($line) } ist nicht, was das Programm schreibt.
report-version = Seine Worte sind die von { $version } und wurden nicht verglichen; seine Zahlen schon.
report-compares = Er vergleicht mit einem früheren Besuch
report-needs-earlier = Was sich seither geändert hat, lässt sich nur aus beiden neu rechnen. Wählen Sie auch die Erhebungsdatei des früheren Besuchs.
report-earlier = Die frühere Datei wählen
report-none = Das ist kein Bericht, den diese App geschrieben hat, oder sein Kopf wurde geändert. Wählen Sie die Seite namens report.html.
# $survey
report-other-survey = Dieser Bericht gehört zu einer anderen Erhebung ({ $survey }), nicht zur Datei oben. Wählen Sie die Datei, zu der er gehört.
report-other-earlier = Die Datei ist von einem anderen früheren Besuch als dem, mit dem der Bericht vergleicht, oder von einem anderen Stand. Wählen Sie noch einmal den Bericht und dann die andere Datei.
figures-title = Die Zahlen, neu gerechnet
figures-lead = Jede unter der Kennung, die sie im Bericht trägt, mit ihren Grenzen. Anteile sind Teile von 1.
figures-show = Alle Zahlen zeigen
figure-column = Zahl
estimate-column = Schätzung
limits-column = Grenzen
# $low, $high
limits = { $low } bis { $high }
no-limits = keine
link = Die Seite für Prüfende: jeder Schritt, und ein Bericht zur Datei
done = Zu den Erhebungen auf diesem Gerät
