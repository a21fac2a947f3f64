### Two at one box: one looks, one taps.

title = One looks, one taps
lead = Gloves and a phone do not go together. One looks and calls out a number, the other taps it; both are written beside the answer.
taps = Who taps
looks = Who looks
looks-hint = Left empty, the one who taps looks too, and the screen is as usual.
on = Large and numbered: a question can be read at arm’s length, an answer called out.
off = As usual: one person does both.
stop = One person does both again
line = { title }: { $looker } looks
