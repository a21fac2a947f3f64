### From hand to hand: codes on one screen, a camera on the other phone.

show = Hand to a phone beside me
show-lead = Show this screen to the other phone’s camera until it says that it has everything. No signal is needed.
show-rest-lead = Only what the other phone lacks is shown. Hold it to its camera until it says that it has everything.
have = Show what this phone has
have-lead = Show this to the phone that is to hand over. It then shows this phone only what is missing here.
read = Read from a phone beside me
read-lead = On the other phone: Hand over, then “Hand to a phone beside me”. Then look at its screen with this phone’s camera.
section = From phone to phone, without a signal
section-text = One phone shows moving codes, the other reads them with its camera: the entries of a day pass in well under a minute. Photographs do not; they go with the file.
start = Start the codes
pause = Pause
go-on = Go on reading
ready-with-it = Done
code = A code for the other phone’s camera
further = The other phone reads badly
grain = The squares
slower = Show the codes slower
faster = Show the codes as fast as before
part = If the other phone has part of it
part-text = Have it show what it has, and read that first: then only the rest is shown. Without it everything is shown, which does no harm.
read-first = Read what it has
nothing-lacking = The other phone has everything that is here.
too-much = Too much for a camera
camera-on = Switch the camera on
camera-why = The phone asks whether this page may use the camera. Its picture is looked at here for codes; nothing of it is kept or sent.
asking = Waiting for the camera…
finder = What the camera sees
no-camera = No camera
useless = It was not taken in
another-code = That is another code. Look at the moving code of the other phone.
newer = The other phone has a newer version of this app. Update this one, or hand over a file.
wrong = The codes contradicted each other. It begins anew.
whole = Everything is here, and checked
take-in = Take it in
taking-in = Taking it in…
show-rest = Show it the rest
not-here = The other phone told what it has of a survey that is not on this device.
advice-bright = Make this screen as bright as it goes.
advice-near = Hold the phones a hand’s width or two apart, screen to camera, or lay this one down.
advice-blind = This phone cannot see how far the other one is: the other one says it.
advice-flicker = The squares change six times a second. If that is unpleasant, take it slower, or let somebody else hold the phone.
# $entries, $codes, $seconds
shown-seconds = { NUMBER($entries) } entries in { NUMBER($codes) } codes: about { NUMBER($seconds) } seconds.
# $entries, $codes, $minutes
shown-minutes = { NUMBER($entries) } entries in { NUMBER($codes) } codes: about { NUMBER($minutes) } minutes. A file is quicker, if there is a way to send it.
shown-known = This phone has { NUMBER($n) } entries of this survey.
too-much-text = { NUMBER($kilobytes) } kB, packed: that would take too long. Carry the survey file away instead.
grain-coarse = Large squares: for old cameras, or from further away
grain-middle = Middle
grain-fine = Small squares: quicker, for a steady hand
# $have, $want
parts = { NUMBER($have) } of { NUMBER($want) } codes
# $have, $want
paused = { NUMBER($have) } of { NUMBER($want) } codes are here. Go on where it stopped; nothing is lost, and nothing is taken in before all are here.
no-camera-refused = This page may not use the camera. Allow it in the browser’s settings for this page, then try again; or hand over a file.
no-camera-none = This device has no camera that can be used. Hand over a file instead.
no-camera-busy = Another app has the camera. Close it, then try again.
no-camera-not-given = This browser gives this page no camera. Hand over a file instead.
no-camera-other = The camera does not start ({ $why }). Try again, or hand over a file.
they-have = The other phone has { NUMBER($n) } entries of this survey. Show it the rest now.
untitled = A survey without a title
# $title, $known
nothing-new = { $title }: nothing is new, all { NUMBER($known) } entries are here already.
# $title, $new, $known
some-new = { $title }: { NUMBER($new) } new entries, { NUMBER($known) } that are here already.
# $title, $new
all-new = { $title }: { NUMBER($new) } entries. The survey is new on this device.
nobody = somebody without a name
# $n, $who
by = { NUMBER($n) } by { $who }
twins = { NUMBER($n) } entries have a number that is known here with another content, as after a restored backup. Both are kept and told.
too-large = It is larger than any survey.
not-understood = It is whole, but cannot be understood ({ $why }). Ask for the survey file.
