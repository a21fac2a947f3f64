### When a round may be over, and when the work is.

rule = When will you stop?
rule-lead = Choose now, before the first box. Whoever stops when a figure happens to look good stops too early; a rule chosen beforehand does not.
by-time = When the time is over
by-time-hint = At the end of a round, or after any box if you walk in the order drawn.
by-ten = When a share is known to ten points either way
by-five = When a share is known to five points either way
which = The share of what?
not-chosen = No rule for stopping was chosen beforehand: time decides.
agreed = The rule for stopping
fixed = It was chosen before the first box and stays as it is.
width-alone = The rule looks at how far apart the limits are, never at what the figure says.
looking = Working out how close the figures are…
# $minimum, $batch, $maximum
looks = First look after { NUMBER($minimum) } boxes, then every { NUMBER($batch) }, at most { NUMBER($maximum) } boxes.
left = { $n ->
    [one] 1 box left in this round.
   *[other] { $n } boxes left in this round.
}
# $each, $all, $end
pace = About { $each } a box lately, so { $all } of work; without a break that is { $end }.
# $number, $looks, $boxes
look-title = { $number ->
    [0] Before the first look: { NUMBER($boxes) } boxes
   *[other] Look { $number } of at most { NUMBER($looks) }: { NUMBER($boxes) } boxes
}
# $label, $width, $wanted
look-width = { $label }: the limits are { NUMBER($width) } points of a hundred apart; wanted are { NUMBER($wanted) } or fewer.
# $label, $wanted
look-no-width = { $label }: there are no limits yet; wanted are { NUMBER($wanted) } points or fewer between them.
look-says-first = Go on: the first look comes after { NUMBER($boxes) } boxes.
# $telling, $wanted, $next
look-says-few = Go on: only { NUMBER($telling) } boxes tell one way or the other, and { NUMBER($wanted) } are wanted before the width is believed. Next look after { NUMBER($next) } boxes.
look-says-next = Go on: the next look comes after { NUMBER($next) } boxes.
look-says-reached = Stop here: the share is as close as you wanted it.
look-says-exhausted = Stop here: that is as many boxes as you agreed on, and the limits are what they are.
