### Ein Ordner des Teams auf einem eigenen Server.

title = Mit dem Ordner des Teams austauschen
lead = Was hier neu ist, kommt in den Ordner, und was andere hineingelegt haben, kommt hierher. Das geschieht, wenn Sie tippen, und nie von selbst.
section = Über einen Ordner des Teams
section-text = Wo es ein Netz gibt und Ihr Team einen WebDAV-Ordner hat: Jedes Telefon legt seine eigenen Einträge dorthin und holt die der anderen herein.
exchange = Jetzt austauschen
back = Zurück
the-folder = Der Ordner
address = Seine Adresse
address-hint = So, wie Sie sie von der Person bekommen haben, die den Server betreibt. Sie beginnt mit https://
user = Name
password = Passwort
password-hint = Ein App-Passwort eigens dafür, wenn der Server solche hat: nie das Ihrer E-Mail.
keeping = Das Passwort
forget = Vergessen, wenn die App geschlossen wird
forget-hint = Beim nächsten Mal wird wieder danach gefragt.
keep = Auf diesem Gerät behalten
keep-hint = Wer dieses Telefon öffnen kann, kann es dann benutzen.
asking = Der Server wird gefragt …
over = Fertig
broke-off = Es brach ab
refused = Diese Teile im Ordner wurden abgewiesen, und nichts davon wurde hereingeholt. Wer sie hineingelegt hat, kann es noch einmal tun:
line-photos = Fotos gehen nicht auf diesem Weg; sie gehen mit der Datei.
line-never = Nichts im Ordner wird je geändert oder entfernt, und niemandes Einträge werden überschrieben.
line-checked = Was aus dem Ordner kommt, wird Teil für Teil geprüft, bevor es hereingeholt wird.
line-readers = Wer den Ordner lesen kann, kann die Erhebung lesen.
address-not-secure = Sie muss mit https:// beginnen, damit unterwegs niemand mitliest.
address-not-plain = Nur die Adresse des Ordners, ohne Namen, Passwort, Leerzeichen oder Fragezeichen.
# $done, $all
working = Teil { NUMBER($done) } von { NUMBER($all) }
# $taken, $gone
came-all = Neu hier: { NUMBER($taken) } Einträge. In den Ordner gelegt: { NUMBER($gone) }. Alle Einträge dieser Erhebung sind im Ordner.
# $taken, $gone, $left
came-left = Neu hier: { NUMBER($taken) } Einträge. In den Ordner gelegt: { NUMBER($gone) }. Noch nicht im Ordner: { NUMBER($left) }.
broke-no-line = Der Server antwortet nicht ({ $why }). Was hinüber ist, bleibt drüben; tippen Sie wieder, wenn es ein Netz gibt. Antwortet er nie, so muss, wer ihn betreibt, die Adresse dieser App zulassen: Das README sagt, wie.
broke-password = Der Name oder das Passwort passt nicht.
broke-no-folder = Einen solchen Ordner gibt es nicht, oder Sie dürfen dort nicht schreiben (HTTP { $status }).
broke-full = Der Server hat keinen Platz mehr. Sagen Sie es der Person, die ihn betreibt; nichts ist verloren.
broke-odd = Der Server antwortete, wie kein Ordner antwortet (HTTP { $status }). Prüfen Sie die Adresse.
broke-store = Dieses Gerät konnte nicht behalten, was es las: { $why }
# $name, $why
refused-part = { $name }: { $why }
