### A lock on a survey on this device.

one = A locked survey
locked-lead = Its answers lie on this device under a passphrase.
open = Open it
opening = Opening takes a second or two…
wrong = The passphrase does not fit. Look at every letter, and at the marks between the words.
closed = Not saved: the survey is locked
closed-advice = Open it with its passphrase, then try again.
not-available = This browser can lock nothing here: the app was not opened by https.
failed = It could not be done: { $why }. Nothing was lost; try again.
lock = Lock this survey on this device
lock-text = For a donor who asks for it. Whoever finds the phone can read nothing of this survey, its photographs included. It is asked for at each start and takes a second or two; a long survey opens more slowly.
warning-text = Without these words nobody can open the survey here again, neither you nor anybody else. Write them down now, and keep a sealed file somewhere else as well. Files you carry away are not locked by this: seal them.
lock-now = Lock it with this passphrase
working = One moment…
is-locked = This survey is locked on this device
is-locked-text = It is open in this window until you shut it or close the app.
shut = Shut it now
take-off = Take the lock off
