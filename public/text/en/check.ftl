### Checking boxes and tapes.

not-drawn-title = No sample yet
not-drawn = Draw the sample first; then this is where you work through it.
to-sample = To the draw
late-round = Boxes found after the draw
boxes = The boxes of this round
found-one = I found a box that is not on the list
complete-lead = Every box of it has its answer. Stop here with a fair sample, or go on.
see-results = See what the figures say
switch-to-draw = Time is short: walk in the order drawn
switch-note = From now on you may stop after any box and the figures stay fair.
also = What else
change-round = Other rounds
why = What is meant, and why
cant-tell = Can’t tell
cant-tell-hint = Always an answer. Never guess.
photographed = Photographed, read later
photographed-hint = A picture was taken; somebody reads it in the evening.
done = Done
back = Back
to-round = To the round
erase = Erase
empty-box = The box is empty
cant-count = Can’t tell: it cannot be counted today
more-kinds = Other kinds
one-less = One less
one-more = One more
note = A note
note-hint = Anything else that somebody should know.
caution = Caution
mind = Before you open it
mind-mould = Look for mould before you smell anything. Mould, droppings, water: shut the box and say so here.
general = This is general caution, not professional advice. Follow local law and your organisation’s rules; where in doubt stop and call a licensed professional.
next-tape = Next tape
box-ends = Close the box and put it back
finish-round = To the end of the round
may-add = You may add
answers = What you answered
findings = What this points to
nothing-points = Nothing points to trouble. That is not proof of soundness.
cannot-say = What cannot be said
speaks-for = Points to it
speaks-against = Speaks against it
its-sheet = Its sheet
not-looked = Not looked at, or could not be told
does-not-fit = Does not fit together
next-step = Next step
keys = With a keyboard: a digit chooses that answer, Backspace goes back, Enter is Done.
then-sheet = Then: what it points to
then-box = Then: the tapes that were drawn
known-from = Known from
playing = How much is on it
ask-first = Put aside: ask first
ask-first-hint = For a colleague or a professional. It stays in the sample.
aside = Put aside, to ask about
pile-lead = Tapes nobody here could judge. Each has a card to send to a colleague or a professional.
pile-empty = Nothing is put aside. A tape’s sheet has the mark for it.
to-card = Its card
to-card-long = Its card, to send or print
card-lead = What was seen and what is asked, on one page that opens anywhere.
card-question = What do you want to know?
card-question-hint = In your own words; it stands first on the page.
card-seen = What was seen
card-photos = Photographs are not in the page: send them beside it.
card-save = Save the page
card-print = Print
card-saved = The page is among your downloads
card-not-saved = The page was not saved
back-to-tape = Back to the tape
kinds-before = As before, kind and size in one tap:
cant-read = Written, but can’t be read
photographed-short = Photographed
alone = Answer this one by itself
batch-hint = A batch is what one person recorded on one machine in one way. What holds for all of it is answered once; a tape’s own answer counts more.
batch-choose = Which batch is it in?
no-batch = In no batch
batch-new = A new batch
batch-new-hint = A name you will know again: the recordist, the machine, the series.
batch-begin = Put it into this new batch
batch-open = Not answered yet
batch-instead = Take the batch’s answer for this tape
batch-for-all = Answer for every tape of this batch, as the recordist or the papers say.
batch-takes-all = The tape is then in that batch and shares all it says.
nothing = taken out
not-in-round = This box is not in the sample
not-in-round-why = Checking it would bend the figures. Go back to the round.
undo = Undo
then = Then: { $question }
round = { $number ->
    [0] { late-round }
   *[other] Round { $number }
}
begin-round = { $number ->
    [0] Begin the boxes found later
   *[other] Begin round { $number }
}
complete = { $number ->
    [0] The boxes found after the draw are complete
   *[other] Round { $number } is complete
}
# $done, $all
boxes-done = { NUMBER($done) } of { NUMBER($all) } boxes
# $serial, $place
go-to = Go to box { $serial }, { $place }
go-on-with = Go on with box { $serial }
box-title = Box { $serial }
# $round, $serial, $place
box-here = { $round } · Box { $serial } · { $place }
# $serial, $nth, $of, $position
item-here = Box { $serial } · Tape { NUMBER($nth) } of { NUMBER($of) }, number { $position } from the left
# $position, $serial
item-title = Tape { $position } of box { $serial }
take-out = Take number { $position }, counted from the left, then front to back
outcome-checked = { $items ->
    [0] Checked: empty
   *[other] Checked: { $items } counted
}
outcome-not-reached = Not reached
outcome-stopped = Stopped for a hazard
outcome-uncounted = Opened, not counted
outcome-out-of-scope = Holds nothing in scope
untouched = Not visited yet
begun = Begun
# $done, $all
tapes-left = { NUMBER($done) } of { NUMBER($all) } tapes checked
# $question, $answer
said = { $question } – { $answer }
# $title, $word
strength = { $title }: { $word }
hours = About { $likely } of content.
# $likely, $low, $high
hours-between = About { $likely } of content; between { $low } and { $high }.
duration-minutes = { NUMBER($minutes) } min
# $hours, $minutes
duration = { NUMBER($hours) } h { NUMBER($minutes) } min
selected = { $n ->
    [0] Nothing marked yet
    [one] One marked
   *[other] { $n } marked
}
counted = { $n ->
    [one] 1 carrier
   *[other] { $n } carriers
}
# $least, $most, $unit
out-of-range = Between { NUMBER($least) } and { NUMBER($most) } { $unit }, please. If it cannot be measured: can’t tell.
inches = in
decimal-point = Decimal point
together-danger = Any mould or animals?
together-danger-lead = Only look, lamp from the side. Mark what is there: mould seen or suspected, shut the box.
together-signs = What is there to see?
together-signs-lead = Mark what is there. What you leave unmarked, you looked for and did not find.
together-label = What do label and box tell?
together-label-lead = Mark what is written. Papers stay where they are; the box may not be the tape’s own.
together-all = What is there to see and to read?
together-all-lead = Mark what is there and what is written. What you leave unmarked, you looked for and did not find.
together-done-label = Nothing is written
together-done-all = Nothing of this, nothing written
together-done = { $n ->
    [0] I looked: nothing of this
    [one] One marked, nothing else
   *[other] { $n } marked, nothing else
}
explain-hide = Hide the explanations
explain-show = Explain each of them
pile = { aside }: { NUMBER($n) }
# $position, $serial
card-title = Ask first: tape { $position } of box { $serial }
batch-is = Batch: { $name }
batch-is-none = Batch: none
batch-says = For every tape of { $name }
batch-question-speed = Speed
batch-question-tracks = Tracks
batch-question-machine = Machine
# $name, $question
batch-title = Batch { $name }: { $question }
# $batch, $own
batch-and-own = { $batch }; this tape’s own: { $own }
batch-does-not-fit = { $batch }; tells nothing of this carrier
batch-as-here = As on this tape: { $own }
# $name, $answer
as-in-batch = As in batch { $name }: { $answer }
# $answer, $name
shared-by = { $answer }, shared by batch { $name }
own-question-name = What it is called
own-question-batch = Batch
own-question-photos-read = Photographs read
# At the first question of a tape: what was found of the one before. $position
before = Tape { $position }: nothing points to trouble.
