### What does not agree once several devices have met.

title = What does not agree
lead = Nothing was lost in putting the devices together: every answer stays in the log. Here is what was seen in two ways, and what counts.
lead-none = Nothing: every device’s entries fit together.
back = Back
link = See what does not agree
section = What does not agree
section-none = All entries on this device fit together.
section-some = { $n ->
    [one] One thing is waiting for a look.
   *[other] { NUMBER($n) } things are waiting for a look.
}
pointer = { $n ->
    [one] One thing does not agree
   *[other] { NUMBER($n) } things do not agree
}
pointer-text = Both of each pair are kept, and one of them counts meanwhile. It can wait until the box is done.
answers = Answered differently
answers-text = Choose the right one when you know it. Until then the one marked counts: the first in the log’s own order, which is the same on every device. No clock decides it.
counts = counts now
choose = This one is right
# $question, $answer
chose-this = { $question }: { $answer } counts now
undo = Undo
# $who, $when
who-when = { $who }, { $when }
nobody = somebody without a name
the-survey = The whole survey
more = { NUMBER($n) } more, shown when these are settled.
settled = Settled
# $question, $answer, $who
settled-line = { $question }: { $who } chose “{ $answer }”.
take-back = Open it again
twins = Two entries under one number
twins-text = As if a phone was restored from a backup and then went on. Both are kept, and the file says so for good. One of each pair counts, by a rule that is the same on every device.
twin-undo = takes another entry back
twin-photo = a photograph
twin-other = another entry
draws = Drawn on several devices
draws-same = The same seed from the same list: every device drew the same boxes. There is nothing to do.
draws-differ = The boxes differ. Agree on one draw, and put the others aside, before more is checked. What was checked stays, and every draw stays in the log.
# $seed, $boxes
draw-line = Seed { $seed }, from { NUMBER($boxes) } boxes
put-aside = Put this draw aside
draw-aside = One draw is put aside
walks = Round { $number } was walked along the shelves on one device and as drawn on another. It counts as walked along the shelves, which is the more careful reading.
faults = What does not fit together
fault-gap = Entry { $missing } of one session is missing: a file or a transfer was cut short. Take in the file of that device again.
fault-not-understood = An entry comes from a newer version of the app. It is carried along unread; update the app to see it.
fault-bad-reference = An entry names something that is not here: a file or a transfer was cut short. Take in the file of that device again.
fault-same-serial = Two boxes were listed as { $serial }. The first counts; list the other again under a number of its own.
fault-frame-digest = The closed list does not match the number that was kept of it. Keep the file as it is, and show it to whoever plans the survey.
fault-circle = Entries take each other’s place in a circle. All of them are kept.
names = Devices of one name
names-text = They are told apart by their own numbers all the same. Give one another name on its device screen, so that people can, too.
# $name, $devices
name-line = “{ $name }”: { NUMBER($devices) } devices
# $name, $devices, $people
name-line-held = “{ $name }”: { NUMBER($devices) } devices, held by { $people }
clocks = Clocks that cannot all be right
clocks-text = Or the days of this survey lie years apart. Nothing rests on a clock; but times in the report may be wrong.
# $name, $first, $last
clock-line = { $name }: { $first } to { $last }
clocks-backwards = Entries that are, by the clocks, older than what they rest on: { NUMBER($n) }.
twice = Checked by two people
# $n, $same
twice-text = Two people gave { NUMBER($n) } answers each to the same questions, and { NUMBER($same) } of them are the same. That says how firm the answers are, not how true; and less if one saw what the other had answered.
# $question, $same, $n
twice-line = { $question }: { NUMBER($same) } of { NUMBER($n) } the same
twice-all = Every pair
# $question, $first, $second
pair-line = { $question }: { $first } / { $second }
# $who, $answer
said-by = { $answer } ({ $who })
