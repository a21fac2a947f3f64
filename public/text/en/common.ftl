### The shell: where in the day, what is saved, what went wrong.

app = Quarterlight
skip-to-screen = Skip to the screen
the-day = The day
this-device = This device
go-on = Go on
go-back = Back
try-again = Try again
undo = Undo
to-all-surveys = To all surveys
later = Later
saved = Saved
saving = Saving…
not-saved = Not saved
save-file-now = Carry away a file
browser-says = What the browser says
opening = Opening the survey…
part-coming = One moment…
part-missing = This part of the app is not on the device
part-missing-why = Nothing is lost: what you answered is kept. Try again, or start the app anew with a connection once.
start-anew = Start the app anew
not-here = This survey is not on this device
not-here-why = Its address is right, but nothing of it is stored here. Open its file, or the device it was made on.
cant-read = The survey could not be read
cant-start-title = Quarterlight cannot start in this browser
new-version = A new version is ready
new-version-text = Take it between two boxes: the screen is loaded again, at this same place.
take-new-version = Take it now
follows = Another window writes in this survey
follows-text = This one shows what is written there, as it is written. To go on here, let this window write: the other one follows then.
write-here = Write in this window
hand-over-nudge-title = Carry away a file before you leave
only-here-short = on this device only
delete = Delete this survey from this device
delete-first = Delete it from this device?
delete-second = Delete it, really?
delete-second-text = You can bring it back until this app is next started. After that it is gone from this device for good.
delete-yes = Yes, delete it
delete-really = Delete it
keep-it = Keep it
deleted = Deleted from this device
not-deleted = It was not deleted
bring-back = Bring it back
delete-first-text = { $only-here ->
    [0] All of it was carried away in a file, as far as this device knows. Make sure that somebody still has that file.
    [one] One entry of it is on this device only. Carry away a file first, unless nobody will ever need it.
   *[other] { $only-here } entries of it are on this device only. Carry away a file first, unless nobody will ever need it.
}
deleted-text = “{ $title }” is off the list. It goes for good when this app is next started.
hand-over-nudge = { $only-here ->
    [one] One entry is on this device only. If it is lost or breaks, it is lost with it.
   *[other] { $only-here } entries are on this device only. If it is lost or breaks, they are lost with it.
}
refused = That was not done
practice-mark = Practice: an invented collection
journey-setup = Set up
journey-sample = Sample
journey-check = Check
journey-results = Results
journey-hand-over = Hand over
# $part, $step, $steps
here = { $part }, { NUMBER($step) } of { NUMBER($steps) }
next = Next: { $what }
cant-start = The browser gives no random numbers ({ $why }), so no survey could be told from another.
storage-held = This device’s storage does not answer yet ({ $why }). Close the other windows of this app, then try again. Nothing is lost.
storage-newer = What is stored on this device was written by a newer version of this app ({ $why }). Reload with a network, so that the newer version comes. Nothing is lost.
lost-coming = Answers are being brought back
lost-coming-text = This browser’s database has lost them, and the second copy has them. A long survey takes minutes: leave the app open until it says that they are back.
lost-back = The browser had lost answers: they were brought back
lost-gone = The browser lost what was kept here
lost-back-text = { $entries ->
    [one] One entry was missing from this browser’s database and came back from the second copy.
   *[other] { $entries } entries were missing from this browser’s database and came back from the second copy.
  } This device’s settings and a photograph of the last minute may be missing. Carry away a file now: it may happen again.
lost-gone-text = It found its database damaged and began an empty one, and there is no second copy here. Open the last file that was carried away, or look into the team’s folder. If it happens again, use another browser or device.
lost-read = I have read it
trouble-title-full = Not saved on this device: it is full
trouble-title-denied = Not saved on this device: storage is refused
trouble-title-interrupted = Not saved yet: storage was interrupted
trouble-title-newer = Not saved yet: another window runs a newer version
trouble-title-failed = Not saved on this device: storage failed
# $waiting, $advice
trouble-text = { $waiting ->
    [one] One entry is in this window only. { $advice }
   *[other] { $waiting } entries are in this window only. { $advice }
}
trouble-advice-full = Free some room and try again, or carry away a file now.
trouble-advice-denied = A private window keeps nothing: carry away a file before you close it.
trouble-advice-interrupted = Close other tabs of this app and try again.
trouble-advice-newer = Carry away a file now, then reload this window.
trouble-advice-failed = Try again; if that does not help, carry away a file now.
refusal-begun-already = This survey was begun already.
refusal-not-begun = This survey was never begun.
refusal-empty = Something is missing: please write a name.
refusal-control-character = There is a tab or a line end in the name. Please take it out.
refusal-no-stratum = The group { $key } is not on the list any more.
refusal-no-place = The place { $key } is not on the list any more.
refusal-no-box = The box { $serial } is not on the list any more.
refusal-frame-closed = The list of boxes is closed. Open it again first.
refusal-frame-open = Close the list of boxes first.
refusal-no-boxes = No boxes are listed yet.
refusal-drawn = A sample was drawn from this list, so it stays closed. Boxes found now are listed as found after the draw.
refusal-not-drawn = No sample was drawn yet.
refusal-no-round = There is no round { $number }.
refusal-out-of-range = That number is out of range.
refusal-no-serials = No box numbers are left.
refusal-not-a-number = That is not a number.
refusal-too-long = That is too long to be kept. Nothing was written.
refusal-nothing-to-undo = There is nothing to undo.
refusal-not-undoable = This cannot be undone.
refusal-no-such-answer = That answer is no longer among those to choose from.
refusal-written-elsewhere = Another window of this device writes in this survey. Choose “Write in this window” first.

percent = { $number }%
