### Work that takes long: how far it is, stopping it, and where it cannot be done.

unable-title = This part of the app did not start
# What is said where the worker does not start, and what still works.
unable = Figures and files are made by a second part of the app, and this browser did not start it ({ $why }). All else works: answers are taken and kept on this device. Try again, load the page again, or open the app in a newer browser.
stop = Stop
stopped = Stopped. Nothing was changed.
raw-log = Save a copy of the raw log
raw-log-text = Should the survey file not be made on this device: every answer as it was written, a line each, without figures and photographs. Send it to whoever looks after your survey.
# $done, $all
drawn = { NUMBER($done) } of { NUMBER($all) }
# Photographs that are in the file by now: $done, $all
photos = Photographs: { NUMBER($done) } of { NUMBER($all) }
