### Files: carrying a survey away, and taking one in.

title = Hand it over
lead = One file holds everything: every answer, the draw, the tables, the figures, a report. Whoever gets it can check it without this app.
save = Carry the survey file away
saved-title = The file was handed to the browser
only-here = Only on this device
only-here-text = The survey lives in this browser’s storage and nowhere else until you carry a file away. Do it at the end of each day.
on-this-device = This survey on this device
send = Send it with another app
seal-it = Seal it with a passphrase
seal-warning = Lost with the passphrase, lost for good
seal-warning-text = Whoever finds a sealed file can read nothing of it. Nor can you, without these words: nobody can make them anew. Write them down now, and send them another way than the file.
passphrase = Passphrase
passphrase-hint = As whoever sealed it gave it to you.
passphrase-made = Made by chance on this device, kept nowhere. A passphrase of your own is only as good as it is hard to guess.
another = Another one
save-sealed = Carry it away sealed
sealed = This file is sealed
unseal = Open it
unsealing = Opening it takes a second or two…
working = Making the file…
contents = What is in it
contents-log = every entry of the log, as it was written
contents-draw = the draw: the seed, every rank, every roll
contents-tables = tables for any spreadsheet or statistics program
contents-figures = every figure with its interval and method
contents-report = a report to read and print
contents-script = a script that recomputes the main figures in R
check-it = Check a survey file
check-text = Choose a file that somebody gave you, or the one you just saved: its checksums, draw and figures are made anew here.
check-button = Choose a file to check
holds = Everything in the file follows from its log
fails = The file does not hold
take-in = Take in a colleague’s file
take-in-text = Its entries are added to what is here; nothing is overwritten, and the order does not matter.
open = Open a survey file
opening = Reading the file…
practise = Practise on an invented cellar
could-not = The file could not be taken in
could-not-save = The file could not be made
not-held = The device has no room for a file of this size now ({ $why }). Nothing is lost: everything is still here. Delete on the device what you no longer need, close other apps, then make the file again.
nothing-lost = Nothing on this device was changed.
no-room = The survey could not be kept on this device
# $name, $kilobytes
saved = { $name }, { NUMBER($kilobytes) } kB. Look for it among your downloads, and send it to somebody today.
# $entries, $writers
entries = { $writers ->
    [one] { NUMBER($entries) } entries from one session.
   *[other] { NUMBER($entries) } entries from { $writers } sessions.
}
without-photos = Photographs that are not on this device, or that it does not give, and so not in the file: { NUMBER($n) }.
seal-error-wrong-passphrase = The passphrase does not fit. Look at every letter, and at the marks between the words.
seal-error-bad-header = It is not sealed with a passphrase, or its beginning was changed. Have it sent again.
seal-error-too-much-work = It was sealed so firmly that a phone cannot open it. Open it at a desk: quarterlight unseal.
seal-error-damaged = It is cut short or was changed. Have it sent again.
seal-error-too-large = It is larger than any survey file.
seal-error-no-passphrase = Write a passphrase first.
shared-sent = Handed to the other app. Make sure that it arrives.
shared-stopped = Not sent. The file is among your downloads.
shared-failed = It could not be sent ({ $why }). The file is among your downloads.
file-error-too-large = It is larger than any survey file. Choose the file that this app saved.
file-error-not-a-zip = It is no survey file: survey files are zip files made by this app. Choose another.
file-error-truncated = It is cut short: the transfer broke off. Have it sent again.
file-error-not-canonical = It was packed again by another program, or changed ({ $what }). Ask for the file as it was first handed over.
file-error-newer-format = It was made by a newer version of this app. Update the app, then open it; the file is fine.
file-error-missing = { $name } is missing from it. Have it sent again.
file-error-changed = { $name } in it was changed after it was handed over. Ask for the file as it was first handed over.
file-error-unlisted = { $name } was added to it afterwards. Ask for the original file.
# $name, $why
file-error-bad-tag-file = { $name } in it cannot be read ({ $why }). Ask for the original file.
# $name, $why
file-error-bad-photo = { $name } in it is refused: { $why }. Nothing of the file was taken in. Ask for the original file.
# $line, $why
file-error-bad-log = Line { $line } of its log cannot be read ({ $why }). Ask for the original file.
file-error-wrong-figure = The figure { $id } in it does not follow from its log. Ask whoever made it.
file-error-other-survey = It belongs to another survey. Open it from the start screen; it is kept beside this one.
# $has, $most
pick-error-too-large = It has { NUMBER($has) } MB; an app reads at most { NUMBER($most) } MB. At a desk larger ones are read: quarterlight verify, quarterlight merge.
pick-error-unreadable = The device could not read it: { $why }
verdict-holds = holds
verdict-fails = does not hold
verdict-not-made = not made
check-packing = Packing
check-checksums = Checksums
check-log = Log
check-frame = List of boxes
check-draw = Draw
check-tables = Tables
check-figures = Figures
check-photos = Photographs
check-rest = Report and script
