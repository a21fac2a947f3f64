### Ein Schloss für eine Erhebung auf diesem Gerät.

one = Eine verschlossene Erhebung
locked-lead = Ihre Antworten liegen auf diesem Gerät unter einer Passphrase.
open = Öffnen
opening = Das Öffnen dauert ein bis zwei Sekunden …
wrong = Die Passphrase passt nicht. Sehen Sie jeden Buchstaben an, auch die Zeichen zwischen den Wörtern.
closed = Nicht gesichert: Die Erhebung ist verschlossen
closed-advice = Öffnen Sie sie mit ihrer Passphrase, und versuchen Sie es dann noch einmal.
not-available = Dieser Browser kann hier nichts verschließen: Die App wurde nicht über https geöffnet.
failed = Es ging nicht: { $why }. Verloren ist nichts; versuchen Sie es noch einmal.
lock = Diese Erhebung auf diesem Gerät verschließen
lock-text = Für Gebende, die darum bitten. Wer das Telefon findet, kann nichts von dieser Erhebung lesen, auch ihre Fotos nicht. Gefragt wird bei jedem Start, und es dauert ein bis zwei Sekunden; eine lange Erhebung öffnet sich langsamer.
warning-text = Ohne diese Wörter kann niemand die Erhebung hier wieder öffnen, auch Sie nicht. Schreiben Sie sie jetzt auf, und bewahren Sie außerdem anderswo eine versiegelte Datei auf. Dateien, die Sie mitnehmen, verschließt das nicht: Versiegeln Sie sie.
lock-now = Mit dieser Passphrase verschließen
working = Einen Augenblick …
is-locked = Diese Erhebung ist auf diesem Gerät verschlossen
is-locked-text = In diesem Fenster ist sie offen, bis Sie sie zuschließen oder die App schließen.
shut = Jetzt zuschließen
take-off = Das Schloss abnehmen
