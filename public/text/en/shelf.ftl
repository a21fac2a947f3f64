### The shelves of a round, and what was found that must not wait.

map = Along the shelves
map-lead = The places of this round in walking order; its boxes are marked, done ones ticked.
list-order = Counted in the order the boxes were listed. A box that was moved since then stands elsewhere: its serial decides.
found-title = Found today: to set apart
found-lead = What may hurt people or other tapes, and where it is. Tell whoever looks after the collection before you go.
found-none = Nothing of the kind was found so far. That is not proof that there is none.
found-note = Nothing is carried about that is mouldy, wet or has droppings: close it, mark it, leave it, and say so.
print = Print this list
done = done
to-do = to do
begun = begun
found = { found-title }: { NUMBER($n) }
# $place, $n-drawn, $n-boxes
shelf = { $place }: { NUMBER($n-drawn) } of { NUMBER($n-boxes) } boxes
# $serial, $nth, $status
on-shelf = Box { $serial }, number { NUMBER($nth) } along the shelf: { $status }
