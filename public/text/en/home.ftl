### The start of the day.

title = Surveys on this device
title-first = What is in all these boxes?
first-1 = Quarterlight finds out what a tape collection holds by looking closely at a few boxes, drawn by lot.
first-2 = You list the boxes, the lot decides which ones to open, and each takes a few minutes of looking and tapping.
first-3 = At the end of the day you carry away honest figures for the whole collection, each with how far it may be out.
lead = Go on with one, or start another.
go-on = Go on where you were
start = Start a new survey
stratum-all = Everything
untitled = A survey without a title
yours = Surveys
list-failed = The surveys on this device cannot be listed
list-failed-text = You can still start one: it will be kept in this window until you carry away its file.
install = Put it on the home screen
install-text = Open the browser's menu and choose "Add to home screen" or "Install". It then opens like any other app, and the browser keeps its data more firmly.
first-title = Survey of { $day }
go-on-with = { go-on }: { $title }
