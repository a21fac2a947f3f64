### Drawing the sample.

close-first-title = First close the list
close-first = A sample is drawn from a list that nobody changes any more. Close the list of boxes, then come back.
to-closing = To closing the list
seed-title = Give the draw its seed
seed-lead = The seed decides which boxes are checked. Whoever knows it can draw the same boxes again, so nobody can say they were picked.
next-check = the first box
source-title = Where does the seed come from?
seed = The seed
seed-dice-hint = Throw a die ten times or more and type the numbers.
seed-witness-hint = Words or numbers from somebody who does not know the shelves.
seed-device-hint = Made by this device just now. A witness or dice convince a doubter more.
round-size = Boxes in a round
round-size-hint = A complete round is a fair sample whenever time runs out. Four to six is usual.
fewer = One less
more = One more
items-title = How many tapes of a box are checked?
items-all = All of them
items-all-hint = Right for small boxes.
draw = Draw the sample
seed-missing = Type the seed first.
drawn-title = The sample is drawn
walk = How will you walk?
begin = Begin round 1
go-on = Go on with the check
record = What is on record
first-round = The first round
again = Draw again with another seed
again-note = Drawing again is possible, but every draw stays on record and stands in the report.
keep = Keep this draw
source-dice = Dice
source-dice-hint = Thrown here, seen by all.
source-witness = A witness
source-witness-hint = Somebody says a word or a number.
source-device = This device
source-device-hint = Its random generator. Quick.
items = { NUMBER($n) }, drawn at random
items-hint = In a fuller box the draw names { NUMBER($n) } of them.
# $boxes, $rounds
drawn-lead = All { NUMBER($boxes) } boxes stand in a random order, cut into { NUMBER($rounds) } rounds. You check as many rounds as time allows.
# $number, $seed, $source
roll-in-force = Draw { NUMBER($number) }: seed “{ $seed }”, from { $source }, in force
# $number, $seed, $source
roll-replaced = Draw { NUMBER($number) }: seed “{ $seed }”, from { $source }, replaced
digest = Fingerprint of the closed list: { $digest }
walk-shelf = Along the shelves
walk-shelf-hint = Less walking. A half-done round stays out of the main figures.
walk-draw = In the order drawn
walk-draw-hint = More walking. You may stop after any box and the figures stay fair.
