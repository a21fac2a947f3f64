### Figures: a sentence before each, the picture, the small print behind a tap.

title = What the sample says
nothing-title = No figures yet
nothing = Figures rest on complete rounds, or on boxes checked in the order drawn. Check a few boxes first.
to-check = To the check
to-hand-over = To handing over
next = carrying the survey away
working = Working out the figures…
whole-title = The whole collection
for-which = Figures for
how-many = How many there are
carriers = Kinds of carrier
films = Base films
actions = What is to be done
conditions = Conditions and signs
hours-title = Hours of sound
missing = What is not known
small-print-title = The small print
caption = Upright stroke: the estimate. Bar: its 95% interval.
other-basis = Boxes of the round that is not complete
could-not = What these figures leave out
counted-note = Hours follow from size, length class, speed and tracks. Where these are not known the range is wide: see it as a range, not as a number.
field-sign = A field sign is evidence, not a diagnosis.
# $sampled, $boxes
rests-on-boxes = { NUMBER($sampled) } of { NUMBER($boxes) } boxes were drawn and reached their end
# $checked, $items
rests-on-tapes = { NUMBER($checked) } opened and counted, { NUMBER($items) } tapes checked one by one
rests-on-stopped = { NUMBER($n) } stopped for a hazard
rests-on-not-reached = { NUMBER($n) } not found or not opened
rests-on-out-of-scope = { NUMBER($n) } out of scope
# $items, $low, $high
items = About { $items } items; with 95% confidence between { $low } and { $high }.
items-no-range = About { $items } items. No range can be given: too few boxes.
# $seen, $known
share-seen = {" "}({ NUMBER($seen) } seen of { NUMBER($known) })
# $share, $seen
share-no-range = About { $share }{ $seen }; no range can be given.
share-some = , some { $items } items
# $seen, $most, $items
share-not-found = Not found in the sample{ $seen }; at most { $most }{ $items }.
# $low, $high
share-items = ; { $low } to { $high } items
# $share, $low, $high, $items, $seen
share = About { $share }, between { $low } and { $high }{ $items }{ $seen }.
hours = About { $hours } hours
# $from, $to
hours-sampling = ; sampling alone leaves { $from } to { $to }
# $from, $to
hours-unknowns = ; with every unknown speed, length and track at its least or its most, { $from } to { $to }
hours-unknown-length = For about { $share } of the items nothing is known of their length; those in boxes stopped for a hazard are left out of these hours.
# $name, $boxes
problem-group-left-out = Group “{ $name }”, { NUMBER($boxes) } boxes: none of its boxes was counted yet, so no figure below covers it. Check at least two of them.
problem-late-left-out = Boxes found after the draw, { NUMBER($boxes) } boxes: none of them was counted yet, so no figure below covers them. Check at least two of them.
problem-not-made = Some figures could not be made: { $why }.
# $label, $unknown, $low, $high
unknown = { $label }: not known for about { $unknown }. Whatever the truth, the share seen lies between { $low } and { $high }.
small-print-se = standard error { $se }
small-print-df = { $df } degrees of freedom
small-print-deff = design effect { $deff }
every-finished = With the finished boxes of a half-done shelf walk too: { $items } They were not reached in a random order, so the main figures leave them out.
twice = How firm the answers are
twice-lead = A part of the photographs was read a second time by somebody who did not see the first answers. Agreement says how firm an answer is, not how true: two readers can be wrong together.
# $question, $share, $items
read-twice = { $question }: the same answer for about { $share } of the tapes ({ NUMBER($items) } read twice).
twice-small = Kappa (Cohen) and AC1 (Gwet) take off what two readers would agree in by chance: 1 is full agreement, 0 no more than chance. Kappa collapses where nearly all answers are the same.
kappa = kappa { $kappa }
ac1 = AC1 { $agreement }
checked-twice = What was checked twice and what differs
