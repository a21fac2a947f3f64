### Abkürzungen für Bänder, die einander gleichen.

same = Wie das letzte Band?
same-lead = Sehen Sie dieses Band zuerst an. Übernehmen darf man nur, was man an ihm selbst sieht.
same-rest = Bewuchs, Schäden, Form, Wickel, abgelöste Teile und Geruch werden bei jedem Band für sich gefragt.
not-same = Nicht gleich: einzeln fragen
rest-title = Die Bänder, die nicht gezogen wurden
rest-hint = Eine Bemerkung für die, die nach Ihnen kommen. Keine Zahl stützt sich darauf: Zahlen kommen von gezogenen Bändern, die angesehen wurden.
rest-drawn = „Der Rest ist gleich“ kann nicht für ein gezogenes Band stehen: Es kann gerade das sein, das anders ist. Jedes gezogene Band wird angesehen; „Wie das letzte Band“ macht das kurz.
alike = Angesehen: wie die gezogenen
differ = Angesehen: einige sind anders
not-looked = Nicht angesehen
same-as = Band { $position } aus Karton { $serial } hatte:
same-confirm = { $n ->
    [one] Ich habe dieses Band angesehen: Es ist gleich
   *[other] Ich habe dieses Band angesehen: Alle { $n } Angaben sind gleich
}
rest-short = Nicht gezogene Bänder
