### Wann eine Runde zu Ende sein kann, und wann die Arbeit.

rule = Wann hören Sie auf?
rule-lead = Wählen Sie jetzt, vor dem ersten Karton. Wer aufhört, wenn eine Zahl gerade gut aussieht, hört zu früh auf; bei einer vorher gewählten Regel ist das nicht so.
by-time = Wenn die Zeit um ist
by-time-hint = Am Ende einer Runde, oder nach jedem Karton, wenn Sie in gezogener Reihenfolge gehen.
by-ten = Wenn ein Anteil auf zehn Prozentpunkte nach beiden Seiten bekannt ist
by-five = Wenn ein Anteil auf fünf Prozentpunkte nach beiden Seiten bekannt ist
which = Der Anteil wovon?
not-chosen = Vorher wurde keine Regel zum Aufhören gewählt: Die Zeit entscheidet.
agreed = Die Regel zum Aufhören
fixed = Sie wurde vor dem ersten Karton gewählt und bleibt, wie sie ist.
width-alone = Die Regel sieht darauf, wie weit die Grenzen auseinanderliegen, nie darauf, was die Zahl sagt.
looking = Es wird berechnet, wie genau die Zahlen sind …
looks = Erster Blick nach { NUMBER($minimum) } Kartons, dann alle { NUMBER($batch) }, höchstens { NUMBER($maximum) } Kartons.
left = { $n ->
    [one] Noch 1 Karton in dieser Runde.
   *[other] Noch { $n } Kartons in dieser Runde.
}
pace = Zuletzt etwa { $each } je Karton, also { $all } Arbeit; ohne Pause bis { $end }.
look-title = { $number ->
    [0] Vor dem ersten Blick: { NUMBER($boxes) } Kartons
   *[other] Blick { $number } von höchstens { NUMBER($looks) }: { NUMBER($boxes) } Kartons
}
look-width = { $label }: Die Grenzen liegen { NUMBER($width) } Prozentpunkte auseinander; gewünscht sind { NUMBER($wanted) } oder weniger.
look-no-width = { $label }: Es gibt noch keine Grenzen; gewünscht sind { NUMBER($wanted) } Prozentpunkte oder weniger zwischen ihnen.
look-says-first = Weitermachen: Der erste Blick kommt nach { NUMBER($boxes) } Kartons.
look-says-few = Weitermachen: Nur { NUMBER($telling) } Kartons sagen etwas in die eine oder andere Richtung, und { NUMBER($wanted) } braucht es, bevor der Breite zu trauen ist. Nächster Blick nach { NUMBER($next) } Kartons.
look-says-next = Weitermachen: Der nächste Blick kommt nach { NUMBER($next) } Kartons.
look-says-reached = Hier aufhören: Der Anteil ist so genau, wie Sie ihn wollten.
look-says-exhausted = Hier aufhören: Das sind so viele Kartons, wie Sie vereinbart haben, und die Grenzen sind, wie sie sind.
