### Round sheets on paper, and typing them in.

sheets = Sheets for a day without a phone
sheets-lead = One sheet a box, with its serial and the questions to tick. Print them, or save them as a PDF by the print dialogue.
print = Print the sheets
looked-by = Looked at by
day = Day
positions-title = Which tapes, counted from the left, then front to back
number-of-tape = Tape number
how-many = how many
stop-line = Mould, droppings, water, a smell that bites: shut the box, tick it, go on with the next.
put-down = Growing, wet or alive: tick it, put it down, leave the rest of this tape empty.
notes = Notes
type-in = Type in sheets from paper
type-lead = Numbers are those beside the boxes on the sheet. Enter goes on.
serial = Serial on the sheet, with its check digit
serial-hint = As 0012-3.
filled-by = Who looked, as on the sheet
sheet-day = Day on the sheet
sheet-day-hint = As 2026-11-25.
open = Open this box
answer = Number, or numbers with spaces; 0 is can’t tell
answer-number = The number written; ? is can’t tell
answer-counts = Kind x how many, with spaces: 1x12 2x3. A minus sign is an empty box; 0 is can’t tell
answer-text = As written
take = Enter
box-done = This box is typed in.
next-sheet = Next sheet
bad-serial = The check digit does not fit, or it is no serial. Look again.
bad-day = Write the day as 2026-11-25, or leave it empty.
no-number = That number is not on the sheet for this question.
not-offered = That answer does not fit what was answered before. Look at the sheet again.
one-only = This question takes one answer.
alone = That answer goes with no other.
not-understood = This is not understood.
not-drawn = Box { $serial } is not in a round that was begun.
# $from, $positions
positions = from { NUMBER($from) } tapes: { $positions }
all-up-to = { $n ->
    [one] 1 tape: it
   *[other] up to { $n } tapes: all
}
tape = Tape { NUMBER($nth) } of this sheet
