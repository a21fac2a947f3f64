### The report and what goes with it: what is in it, own words, an earlier visit; making and saving.

link = Report, workbook, catalogue records
section = Papers for others
section-text = A report, a paragraph for an application, a workbook and catalogue records, made here from the same answers. You decide what is in them.
title = Papers
lead = Made on this device from what was answered. What you choose here is kept in the survey: it goes along in its file, and can be taken back. The papers themselves are in English.
back = Back
said-options = What is in the report was changed.
for-whom = Who will read it
for-colleagues = Colleagues
for-colleagues-hint = Places, labels and names as they were written.
for-outsiders = Outsiders
for-outsiders-hint = Without places, names and labels; strata and scenarios by number.
outsiders-title = Your own words stay
outsiders-text = What you write yourself is kept as it is. Name no place and nobody in it: whoever knows where tapes lie can take them.
sections = In the report
sections-hint = What the figures rest on is always in: findings, assumptions, method, limits and the data. The report says what you left out.
about = Who answers for it
author = Who answers for the report
qualifications = What qualifies them
version = Version
version-hint = As you count, 1 or “draft”, for example
words = In your own words
words-hint = The report marks them as yours, and that they do not come from the survey.
words-at-the-start = At the beginning
# $place, $characters
words-written = { $place }: { NUMBER($characters) } characters
# $place
words-none = { $place }: nothing yet
words-title = Your words: { $place }
words-lead = An empty line begins a new paragraph.
words-text = Text
words-gone = This section is left out of the report, and its text with it.
words-too-long = That is { NUMBER($over) } characters too long. Nothing was kept yet.
keep = Keep it
make = Make the papers
make-hint = Each is saved among your downloads. A survey file and these papers carry the same figures, each with its own name.
report = The report
report-hint = A page for any browser, to read and to print.
paragraph = A paragraph to paste
paragraph-hint = For an application: size, hours, work and cost with their ranges.
workbook = The workbook
workbook-hint = For any spreadsheet: change a rate, and the total follows.
records = Catalogue records
records-hint = PBCore XML of the tapes that were checked.
# $done, $all
working = { NUMBER($done) } of { NUMBER($all) } drawn…
making = Making it…
made = It was handed to the browser
made-paragraph = The paragraph
copy = Copy it
copied = Copied. Paste it where you need it.
not-copied = This browser does not copy by itself. Mark the text and copy it.
could-not = It could not be made
section-board = On one page
section-findings = Findings
section-change = Change since an earlier visit
section-today = Found, and to be kept apart
section-recommendations = Recommendations
section-takes = What it takes
section-assumptions = Assumptions
section-method = Method
section-limits = Limits
section-cautions = Cautions
section-definitions = Definitions
section-glossary = Words used
section-statistics = For statisticians
earlier = An earlier visit
earlier-text = Choose the survey file of an earlier visit to the same boxes: the report then says what changed since, each change with its range. The file is only read; nothing of it comes into this survey.
earlier-choose = Choose an earlier file
earlier-chosen = { $name } is compared with. It is kept until this app is next loaded.
earlier-drop = Compare with nothing
earlier-see = See what changed
earlier-reading = Reading and comparing…
earlier-refused = They cannot be compared
changed-title = What changed
changed-lead = From an earlier visit to this one, each change with its 95% range.
changed-sure = More than the draw of boxes explains
changed-none = Nothing changed more than the draw of boxes explains.
changed-unsure = May have changed or not
changed-unsure-text = The range holds no change, too. That is not the same as unchanged.
changed-by-chance-title = How far to trust it
# $n, $by-chance
changed-by-chance = { NUMBER($n) } changes of figures in both files have a range. If nothing had changed, about { $by-chance } of them would seem to have, by chance alone. Trust those that you looked for beforehand.
changed-same-survey = The earlier file is an earlier state of this survey: a box that was not looked at again counts as it was.
# $then, $now, $common
changed-visits-again = The earlier visit looked into { NUMBER($then) } boxes, this one into { NUMBER($now) }, by the same draw; { NUMBER($common) } were reached in both.
# $then, $now, $common
changed-visits-apart = The earlier visit looked into { NUMBER($then) } boxes, this one into { NUMBER($now) }, by a draw of its own; { NUMBER($common) } were reached in both.
# $then, $now
changed-then-now = { $then } then, { $now } now
# $change, $low, $high
changed-more = { $change } more ({ $low } to { $high } more)
# $change, $low, $high
changed-fewer = { $change } fewer ({ $low } to { $high } fewer)
# $fewer, $more
changed-either = between { $fewer } fewer and { $more } more
changed-no-range = change { $change }, no range can be given
points = { $n } points
changed-items = Tapes in all
changed-hours = Hours of sound in all, sampling alone
changed-class = To be done: { $class }
refused-earlier = the earlier survey
refused-this = this survey
refused-no-draw = No box was drawn yet in { $which }, so there is nothing to compare.
refused-no-figure = No box was counted yet in a round that counts in { $which }, so there is nothing to compare.
refused-practice = One of the two is an invented collection to practise on, and the other is not.
refused-same = Both have the same entries: there is nothing to compare.
# $named, $count
refused-frame = The two lists of boxes differ ({ NUMBER($count) } boxes), so a change of figures would mix what changed with what was listed. { $named } List the same boxes in the same order for a second visit, under the same labels; then draw and check.
unlike-stratum = Box { $serial } is in another group.
# $serial, $then, $now
unlike-label = Box { $serial } was labelled “{ $then }” and is labelled “{ $now }” now.
unlike-then = Box { $serial } was listed then and is not now.
unlike-now = Box { $serial } is listed now and was not then.
