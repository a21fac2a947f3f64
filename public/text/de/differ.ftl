### Was nicht übereinstimmt, wenn mehrere Geräte zusammenkommen.

title = Was nicht übereinstimmt
lead = Beim Zusammenführen der Geräte ging nichts verloren: Jede Antwort bleibt im Protokoll. Hier steht, was auf zweierlei Weise gesehen wurde und was davon zählt.
lead-none = Nichts: Die Einträge aller Geräte passen zusammen.
back = Zurück
link = Ansehen, was nicht übereinstimmt
section = Was nicht übereinstimmt
section-none = Alle Einträge auf diesem Gerät passen zusammen.
section-some = { $n ->
    [one] Eine Sache wartet auf einen Blick.
   *[other] { NUMBER($n) } Sachen warten auf einen Blick.
}
pointer = { $n ->
    [one] Eine Sache stimmt nicht überein
   *[other] { NUMBER($n) } Sachen stimmen nicht überein
}
pointer-text = Beides ist jeweils aufbewahrt, und eines davon zählt einstweilen. Es kann warten, bis der Karton fertig ist.
answers = Verschieden beantwortet
answers-text = Wählen Sie die richtige Antwort, sobald Sie sie wissen. Bis dahin zählt die bezeichnete: die erste in der eigenen Reihenfolge des Protokolls, die auf jedem Gerät dieselbe ist. Keine Uhr entscheidet das.
counts = zählt jetzt
choose = Diese stimmt
chose-this = { $question }: Jetzt zählt „{ $answer }“
undo = Zurücknehmen
who-when = { $who }, { $when }
nobody = jemand ohne Namen
the-survey = Die ganze Erhebung
more = { NUMBER($n) } weitere; sie erscheinen, wenn diese geklärt sind.
settled = Geklärt
settled-line = { $question }: { $who } hat „{ $answer }“ gewählt.
take-back = Wieder öffnen
twins = Zwei Einträge unter einer Nummer
twins-text = So, als wäre ein Telefon aus einer Sicherung wiederhergestellt worden und hätte dann weitergeschrieben. Beide sind aufbewahrt, und die Datei sagt es auf Dauer. Einer von beiden zählt, nach einer Regel, die auf jedem Gerät dieselbe ist.
twin-undo = nimmt einen anderen Eintrag zurück
twin-photo = ein Foto
twin-other = ein anderer Eintrag
draws = Auf mehreren Geräten gezogen
draws-same = Derselbe Startwert aus derselben Liste: Jedes Gerät hat dieselben Kartons gezogen. Es ist nichts zu tun.
draws-differ = Die Kartons sind verschieden. Einigen Sie sich auf eine Ziehung, und legen Sie die anderen beiseite, bevor weiter geprüft wird. Was geprüft wurde, bleibt, und jede Ziehung bleibt im Protokoll.
draw-line = Startwert { $seed }, aus { NUMBER($boxes) } Kartons
put-aside = Diese Ziehung beiseitelegen
draw-aside = Eine Ziehung ist beiseitegelegt
walks = Runde { $number } wurde auf einem Gerät am Regal entlang gegangen und auf einem anderen in der gezogenen Reihenfolge. Sie zählt als am Regal entlang gegangen; das ist die vorsichtigere Lesart.
faults = Was nicht zusammenpasst
fault-gap = Eintrag { $missing } einer Sitzung fehlt: Eine Datei oder eine Übertragung wurde abgeschnitten. Holen Sie die Datei jenes Geräts noch einmal herein.
fault-not-understood = Ein Eintrag stammt von einer neueren Fassung der App. Er wird ungelesen mitgeführt; aktualisieren Sie die App, um ihn zu sehen.
fault-bad-reference = Ein Eintrag nennt etwas, das nicht hier ist: Eine Datei oder eine Übertragung wurde abgeschnitten. Holen Sie die Datei jenes Geräts noch einmal herein.
fault-same-serial = Zwei Kartons wurden als { $serial } aufgenommen. Der erste zählt; nehmen Sie den anderen noch einmal unter einer eigenen Nummer auf.
fault-frame-digest = Die geschlossene Liste passt nicht zu der Prüfzahl, die von ihr aufbewahrt wurde. Lassen Sie die Datei, wie sie ist, und zeigen Sie sie der Person, die die Erhebung plant.
fault-circle = Einträge treten im Kreis einer an die Stelle des anderen. Alle sind aufbewahrt.
names = Geräte mit demselben Namen
names-text = An ihren eigenen Nummern sind sie trotzdem zu unterscheiden. Geben Sie einem auf seinem Gerätebildschirm einen anderen Namen, damit auch Menschen es können.
name-line = „{ $name }“: { NUMBER($devices) } Geräte
name-line-held = „{ $name }“: { NUMBER($devices) } Geräte, geführt von { $people }
clocks = Uhren, die nicht alle richtig gehen können
clocks-text = Oder die Tage dieser Erhebung liegen Jahre auseinander. Auf keiner Uhr beruht etwas; aber Zeiten im Bericht können falsch sein.
clock-line = { $name }: { $first } bis { $last }
clocks-backwards = Einträge, die nach den Uhren älter sind als das, worauf sie beruhen: { NUMBER($n) }.
twice = Von zwei Personen geprüft
twice-text = Zwei Personen haben auf dieselben Fragen je { NUMBER($n) } Antworten gegeben, { NUMBER($same) } davon sind gleich. Das sagt, wie verlässlich die Antworten sind, nicht wie wahr; und weniger, wenn die eine Person gesehen hatte, was die andere geantwortet hat.
twice-line = { $question }: { NUMBER($same) } von { NUMBER($n) } gleich
twice-all = Jedes Paar
pair-line = { $question }: { $first } / { $second }
said-by = { $answer } ({ $who })
