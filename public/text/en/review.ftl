### The reviewer's view: a survey file, and a report, checked step by step.

title = Check what you were sent
lead = The file is read here, on this device. Nothing is installed, nothing is sent, nothing is kept.
file-title = The survey file
file-button = Choose the survey file
file-hint = Its name ends in .zip, or in .age where it is sealed.
working = Checking: the draw, the tables and every figure are made anew. This takes some seconds.
all-holds = All of it holds
some-fails = It does not hold
caught = What the checks cannot show: that the answers are true. Whoever has a file can write another with new checksums. Compare the SHA-256 of this one with one that was published at the time.
sha = SHA-256 of the file you chose:
steps = Step by step
explain-packing = Is the file packed as the app packs it, with nothing before, between or behind?
explain-checksums = Is every file inside the one that was handed over?
explain-log = Do the answers of each person follow each other without a gap?
explain-frame = Are the boxes those that were listed before the draw?
explain-draw = Drawn again from the same seed: the same boxes and the same tapes?
explain-tables = Made anew from the answers: is every cell of every table the same?
explain-figures = Computed again: is every figure the same, to the last digit?
explain-photos = Is every photograph the one that the answers name?
explain-rest = Written again: are the report and the script for statisticians the same?
report-title = A report beside it
report-lead = If you were sent a report as a page (report.html), choose it here: each number in it is computed again from the survey file.
report-button = Choose the report
report-holds = Every number of the report follows from the file
report-fails = The report does not follow from the file
report-unreadable = This cannot be checked
report-count = Numbers computed again: { NUMBER($count) }.
# $id, $stated, $recomputed
report-wrong = { $id }: the report says { $stated }; computed again it is { $recomputed }.
report-line = Every number is right, but line { NUMBER($line) } is not what the program writes.
report-version = Its words are those of { $version } and were not compared; its numbers were.
report-compares = It compares with an earlier visit
report-needs-earlier = What changed since then can only be computed again from both. Choose the survey file of the earlier visit, too.
report-earlier = Choose the earlier file
report-none = This is no report that this app wrote, or its head was changed. Choose the page called report.html.
# $survey
report-other-survey = This report is of another survey ({ $survey }), not of the file above. Choose the file it belongs to.
report-other-earlier = The file is of another earlier visit than the report compares with, or of another state of it. Choose the report again, and then the other file.
figures-title = The figures, computed again
figures-lead = Each by the id that it bears in the report, with its limits. Shares are parts of 1.
figures-show = Show every figure
figure-column = Figure
estimate-column = Estimate
limits-column = Limits
# $low, $high
limits = { $low } to { $high }
no-limits = none
link = The reviewer’s page: every step, and a report beside the file
done = To the surveys on this device
