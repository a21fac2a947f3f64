### Die Regale einer Runde, und was nicht warten darf.

map = An den Regalen entlang
map-lead = Die Orte dieser Runde in Gehreihenfolge; ihre Kartons sind markiert, erledigte abgehakt.
list-order = Gezählt in der Reihenfolge, in der die Kartons aufgelistet wurden. Ein seither versetzter Karton steht anderswo: Seine Nummer entscheidet.
found-title = Heute gefunden: absondern
found-lead = Was Menschen oder anderen Bändern schaden kann, und wo es ist. Sagen Sie es der Person, die sich um die Sammlung kümmert, bevor Sie gehen.
found-none = Nichts dergleichen wurde bisher gefunden. Das beweist nicht, dass es nichts gibt.
found-note = Was verschimmelt oder nass ist oder Kot enthält, wird nicht umhergetragen: schließen, kennzeichnen, stehen lassen und Bescheid sagen.
print = Diese Liste drucken
done = erledigt
to-do = zu tun
begun = begonnen
found = { found-title }: { NUMBER($n) }
shelf = { $place }: { NUMBER($n-drawn) } von { NUMBER($n-boxes) } Kartons
on-shelf = Karton { $serial }, Nummer { NUMBER($nth) } im Regal: { $status }
