### Setting a survey up.

step-time = the time you have
step-about = why and for whom
step-scope = what is in scope
step-before = before you go
step-places = where the boxes are
step-boxes = how many there are
step-close = closing the list
step-sample = drawing the sample

## The time you have.

time-title = How long have you got?
time-lead = Hours with your hands on boxes: half a day leaves two or three of them.
hours = Hours of checking
minutes = Minutes a box, to begin with
minutes-hint = Ten is a fair guess. Your real pace is learned as you go.
fewer-hours = One hour less
more-hours = One hour more
fewer-minutes = One minute less
more-minutes = One minute more
buys-too-little = That is too little for a sample: two boxes are the least.
buys-boxes = That is about { NUMBER($boxes) } boxes, in rounds of four to six. Every complete round counts, whenever you must stop.
buys-title = What that buys
buys-what = How closely you would know the share of a fault that one tape in five has, and the number of tapes:
# $hours, $boxes, $points, $percent
buys = { $hours ->
    [one] 1 hour: { NUMBER($boxes) } boxes, the share to within { NUMBER($points) } percentage points, the number to within { NUMBER($percent) }%
   *[other] { $hours } hours: { NUMBER($boxes) } boxes, the share to within { NUMBER($points) } percentage points, the number to within { NUMBER($percent) }%
}
# $boxes, $items, $checked
buys-guesses = A forecast, with 95% confidence, from guesses until the first round is in: { NUMBER($boxes) } boxes in all, about { NUMBER($items) } tapes in a box and { NUMBER($checked) } of them checked, tapes of a box somewhat alike.
# The curve of hours. What its handle is called, its ends, its scale.
curve-handle = Hours of checking: drag along the curve
curve-hours = { $hours ->
    [one] 1 hour
   *[other] { NUMBER($hours) } hours
}
curve-points = ± { NUMBER($points) } points

## Why and for whom.

about-title = Why, and for whom?
about-lead = A line each. It stands at the top of everything you hand over.
name = What the survey is called
for-whom = Who asked for it
purpose = What will be decided with it
purpose-hint = A budget, an order of work, whether to accept a gift…
person = Your name or initials
person-hint = Written beside every answer you give.

## What is in scope.

scope-title = What counts?
scope-lead = Mark what belongs to the survey. Video and other media are tallied, not checked.
scope-originals = Originals
scope-originals-hint = The only recording there is.
scope-copies = Copies
scope-copies-hint = Working, safety or listening copies.
scope-blanks = Blank tapes
scope-blanks-hint = Unused, or nobody knows.
scope-commercial = Commercial releases
scope-commercial-hint = Bought recordings.
scope-transferred = Already transferred
scope-transferred-hint = Tapes of which a good file exists.

## Before you go.

before-title = Before you go
before-lead = Mark what is done. None of it is required; each has spoilt somebody's day.
before-access = Access
before-access-hint = Who has the key, the light switch, the lift, until when?
before-permission = Permission
before-permission-hint = To open boxes, to take photographs, to move things.
before-company = Somebody knows
before-company-hint = Where you are, and when you will be back. There is often no signal.
before-water = Damp and water
before-water-hint = Was there ever a flood or mould? Then ask a specialist before you open anything.
before-recordist = The recordist
before-recordist-hint = Is anybody left who knows the machines, the speeds, the tracks?
before-deadline = The deadline
before-deadline-hint = Is anything decided before your figures are there?
before-kit = In the bag
before-kit-hint = Lamp, pencil and slips, gloves, a mask, a tape measure, power for the phone.
before-offline = The phone
before-offline-hint = Open “This device” and see that it is ready for no signal.
people-more = What may hurt people
people-first = People first
people-text = You look, you smell from a distance, you shine a lamp. Nothing is unwound, rubbed, wetted, heated or played.

## Where the boxes are.

places-title = Where are the boxes?
places-lead = Name each shelf, bay or heap you can count in one go.
place-name = A place
place-hint = As you would say it to a colleague: “cellar, left wall, second shelf”.
add-place = Add this place
places-so-far = Places so far
no-places = None yet.
groups = Groups
groups-why = One group is enough for most collections. Make another only if a part is likely to be quite different (a second room, another owner) and you want figures for it by itself.
groups-small = Statisticians say stratum. Each group is sampled by itself, at least two boxes of it. Few groups are better than many.
group-name = Another group
add-group = Add this group
which-group = Group of this place
or-list = There is a list already
rename = Rename
rename-this = Rename { $name }
new-name = New name
renamed = Now called “{ $name }”
call-it = Call it that
groups-first = The first group can be renamed: it holds all places that were named before there was another.
place-boxes = { $boxes ->
    [0] no boxes yet
    [one] 1 box
   *[other] { $boxes } boxes
}

## How many there are.

boxes-title = How many boxes?
boxes-lead = Choose a place and count along it, or take in a list that somebody made.
boxes-no-places = Name a place first.
to-places = Name places
take-list = Paste or import a list
total = In all
count-lead = Tap once for each box, in the order they stand. Pencil its number on a slip and put it in.
one-more = One more box
several = Several at once
several-hint = For a long shelf: count first, then add them all.
how-many = How many boxes
fewer = One fewer
more = One more
as-found = With what is written on it
label = Written on the box
add-labelled = Add this box
listed = Boxes here
how-full = One tap says how full it looks: that sharpens every total.
place-gone = This place is not on the list
back-to-places = Other places
late = The list is closed
late-text = Boxes you add now are kept apart as found after the list was closed. They count as a group of their own.
add-several = { $boxes ->
    [one] Add 1 box
   *[other] Add { $boxes } boxes
}
# $first, $last, $boxes
added = { $boxes ->
    [one] Box { $last } listed
   *[other] { $boxes } boxes listed, { $first } to { $last }
}
place-listed = Place listed: { $name }
taken-off = Box { $serial } taken off the list
# $serial, $answer
answered = Box { $serial }: { $answer }
show-all = Show { NUMBER($boxes) } more
fullness-of = How full is box { $serial }?
take-off = Take box { $serial } off the list

## A list that somebody made.

list-title = A list of boxes
list-lead = Paste it from a spreadsheet, or choose a CSV file. Nothing is taken in before all of it can be read.
list-columns = The first row names the columns: place and label, and if you have them group, full (1 to 4 quarters) and items. Any order; commas, semicolons or tabs.
list-example =
    place,label,full
    Cellar shelf 1,Interviews A,4
    Cellar shelf 1,Interviews B,2
list-text = The list
list-file = Choose a file
list-take = Take it in
list-wrong = Nothing was taken in
list-empty = Paste a list or choose a file first.
list-reading = Reading the list…
list-undo = Take it all back
# $n, $all
list-known = { NUMBER($n) } of these { NUMBER($all) } boxes are already listed
list-known-text = They have the same place and label as boxes on the list. A list taken in twice counts every box twice. Nothing was added yet.
list-known-rest = Add only the others
list-known-all = Add all of them all the same
list-undone = The list was taken back.
list-long = The file is long; its first lines are shown. All of it is taken in.
list-problems = { $count ->
    [one] One thing is wrong with the list. It stays as you pasted it:
   *[other] { $count } things are wrong with the list. It stays as you pasted it:
}
# $named, $count
list-problems-some = { NUMBER($count) } things are wrong with the list, the first { NUMBER($named) } are these. It stays as you pasted it:
# $done, $all
list-progress = { NUMBER($done) } of { NUMBER($all) } boxes listed
# $boxes, $places
list-done = Taken in: { $boxes } in { $places }.
n-places = { $n ->
    [one] 1 place
   *[other] { $n } places
}
list-stopped = Taking it in stopped half-way: { $why }
file-trouble-nothing = No file was chosen.
# $has, $most
file-trouble-too-large = The file has { NUMBER($has) } MB; at most { NUMBER($most) } MB are read.
file-trouble-unreadable = The device could not read the file: { $why }

## Closing the list.

close-title = Is that all of them?
closed-title = The list is closed
close-lead = The lot is drawn from this list, so it is closed first: then nobody can say that boxes were added or left out to suit the draw.
closed-lead = The sample can be drawn now.
close-undo-why = You can open it again until a sample is drawn. Boxes that turn up later are not lost: they become a group of their own.
close = Close the list
reopen = Open it again
to-sample = Draw the sample
seal = Its seal
seal-why = A fingerprint of the closed list. Read its first letters to a witness or note them down: another list would have another.
drawn-already = A sample was drawn from it, so it stays closed.
small-group-title = A group with a single box
nothing-listed = No boxes are listed yet.
back-to-boxes = List boxes
small-group = { $names }: with one box, nothing can be said about how boxes differ there. Better put it into another group.
# $group, $boxes, $places
group-counts = { $group }: { $boxes } in { $places }

## The watch-list.

watch-link = Your watch-list
watch-link-why = Do you know tapes that turned sticky, or sour? Keep a list of them; the check then looks out for them.
watch-title = Your watch-list
watch-lead = Tapes you know, or were told of, that behave in a certain way. It is your own list and travels with this survey.
watch-entries-title = On the list
watch-none = Nothing is on it yet
watch-none-text = You can do without. If you keep one, take it in here as a table: where the make written on a tape is like a name on your list, the tape’s sheet says so and counts it as one sign among others, a weaker one where only the box says it, for a box may be another tape’s. No list comes with the app.
watch-make = Take in a table
watch-columns = The first row names the columns: name, behaviours, note and source. Behaviours are keys from the list below, with semicolons between them; note and source are your own words.
watch-example =
    name,behaviours,note,source
    "blue tin, lot unknown",sticky_binder;oxide_loss,clings,own bench notes
watch-text = The table, pasted
watch-replaces = It takes the place of the list above. Nothing is taken in before all of it can be read.
watch-keys = Keys for behaviours
watch-file-name = watch-list.csv
watch-undone = It was taken back; the list is as it was before.
watch-save = { $entries ->
    [0] Save an empty table to fill in
    [one] Save as a table (1 entry)
   *[other] Save as a table ({ $entries } entries)
}
watch-done = { $entries ->
    [one] Taken in: 1 entry
   *[other] Taken in: { $entries } entries
}
watch-problems = { $count ->
    [one] One thing is wrong with the table. The list is as it was:
   *[other] { $count } things are wrong with the table. The list is as it was:
}
# $named, $count
watch-problems-some = { NUMBER($count) } things are wrong with the table, the first { NUMBER($named) } are these. The list is as it was:
watch-no-source = No source
watch-source = Known from: { $source }
watch-hidden = And { NUMBER($entries) } more, in the table you save.
