### What it takes: hours, storage, people, money, and what they are assumed from.

to-takes = What it takes to save them
title = What it takes
lead = Given what is assumed below. The range holds the sample's chance, what nobody knows of the tapes, and the doubt in each assumption. Ranges here are 90%, the figures’ 95%: how far out an assumption could lie, nobody knows so finely.
next = carrying the survey away
working = Drawing ten thousand ways it could be…
amounts = How much there is to do
money = What it costs
no-prices = No price was given, so nothing is said about money. Prices are yours: add the ones you have.
drivers = What would narrow it most
budget = A sum to spend
budget-hint = What it does, the most pressing tapes first. Leave it empty if there is none yet.
budget-wrong = A number, please, such as 25000.
to-assume = Change what is assumed
to-figures = Back to the figures
nothing = Check a few tapes first: hours and money rest on them.
assume-title = What is assumed
assume-lead = Tap a line to change it. What is not set is not counted.
times = People's time
prices = Prices
keeping = Keeping, machines and people
back = Back to what it takes
back-to-list = Back to what is assumed
low = At least
likely = Likely
high = At most
source = Where it comes from
source-hint = A quotation, your own records, a guess
date = True on which day
keep = Keep it
clear = Take it out
currency = Currency
currency-hint = EUR, for example
currency-first = Say the currency first: every price is in it.
not-a-number = Three numbers, please: at least, likely, at most.
quality = Sound is kept at
# $kilohertz, $bits
qualities = { $kilohertz } kHz, { $bits } bit
copies = Copies kept
years = Years of keeping to pay for
access = Small copies for listening
machines = Machines that run at once
machine-hours = Hours a week each runs
people = People
people-hours = Hours a week each has for it
less = { $what }: one less
more = { $what }: one more
quantity-items = Tapes
quantity-content-hours = Hours of sound
quantity-machine-hours = Hours machines run
quantity-staff-hours = Hours people work
quantity-weeks = Weeks, whichever takes longer of machines and people
quantity-gigabytes-masters = Storage for one copy, in GB (1,000,000,000 bytes)
quantity-gigabytes = Storage for all copies, in GB
quantity-gigabyte-years = GB kept, times years
# $name, $mean, $low, $high
quantity = { $name }: about { $mean }; 90% range { $low } to { $high }.
# $currency, $mean, $low, $high
cost = About { $currency } { $mean }; 90% range { $low } to { $high }, given these assumptions.
cost-nothing = The prices that were given are for nothing that was met, so no cost is stated.
not-priced = Not in it, for no price was given: { $what }.
bought-none = { $label }: none.
# $label, $mean, $low, $high, $chance
bought = { $label }: about { $mean } tapes, 90% range { $low } to { $high }; all of them with a chance of { $chance }.
# $group, $narrower
driver-sample = Ten more boxes of { $group }: the range some { $narrower } narrower.
# $kind, $place
in-no-batch = { $kind } ({ $place }), in no batch
kind-unknown = Kind not known
# $group, $narrower
driver-speed = Ask what speed was used for: { $group }. The range some { $narrower } narrower.
# $group, $narrower
driver-tracks = Ask how many tracks were used for: { $group }. The range some { $narrower } narrower.
driver-transfers = More of the tapes transferred: the range some { $narrower } narrower.
learned = Learned: hours, and what hangs on them, are put right by the transfer of { NUMBER($n) } tapes.
driver-repeat = Not in this order: a repeat check. How the tapes were read is in no range; a second person who looks again at some boxes, without seeing the first answers, shows how firm the answers are.
# $name, $narrower
driver-assumption = A better figure for “{ $name }”: the range some { $narrower } narrower.
refused-out-of-order = At least must not be more than likely, nor likely more than at most.
refused-negative = None of the three may be under 0.
refused-too-large = That is over a billion: check the unit.
line-not-set = { $label }: not set
# $likely, $low, $high, $unit
value = { $likely } ({ $low } to { $high }) { $unit }
unit-minutes = minutes
unit-part = of each hour
unit-factor = items
in-force-own = Set here. Source: { $source }.
in-force-no-source = Set here, without a source.
in-force-default = As it stands: { $source }.
in-force-not-set = Not set: nothing of it is counted.
