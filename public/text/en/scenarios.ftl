### Scenarios: other ways to do it, beside what is planned.

link = Other ways to do it, side by side
title = Side by side
lead = Other ways to do it, beside what is planned. All are drawn with the same chances, so what they have in common is no part of a difference’s range. Given these assumptions; ranges are 90%.
none = Nothing stands beside the plan yet. Name another way, a second machine or fewer tapes, say, then change what it assumes.
new-name = A name for another way
new-name-hint = Two machines, for example
add = Put it beside the plan
full = { $n } stand beside the plan already: more are not told.
taken = There is one of this name already.
name-wrong = A name of 1 to 80 characters on one line, please.
planned = As planned
yours = The ways beside the plan
change = { $name }: change what it assumes
# $name, $why
unused = { $name } is kept, but not told: { $why }
open = Change { $name }
rename = Name
back = Back to side by side
back-to-takes = Back to what it takes
remove = Take it away
said-kept = { $name }: changed
said-removed = { $name }: taken away
said-added = { $name }: put beside the plan
left-out = Nothing is done with
left-out-hint = Tapes of these classes are left as they are, and cost nothing.
there-is = What there is
budget = Money there is
budget-wrong = A number from 0 to a million million, please, and a price first.
weeks = Weeks there are
weeks-wrong = A number from 0 to 10,000, please.
empty-hint = Empty: not said.
capacity = Machines and people
capacity-as-planned = As planned
values = Times and prices
values-text = Change a value for this way alone.
to-values = Change times and prices
value-own = { $line }, for this way alone
value-clear = As planned
column-way = Way
column-amount = About, and the range
column-beside = Beside the plan
not-told = not told
is-the-plan = the plan
no-difference = no difference
# $mean, $low, $high
amount = { $mean } ({ $low } to { $high })
# $mean, $low, $high
more = { $mean } more ({ $low } to { $high } more)
# $mean, $low, $high
less = { $mean } less ({ $low } to { $high } less)
# $mean, $low, $high
either = between { $low } less and { $high } more; on average { $mean }
# $amount
average-more = { $amount } more
average-less = { $amount } less
same-title = The same every way
enough-title = What it is enough for
# $name, $budget, $chance, $items
enough-budget = { $name }: { $budget } pays for all of it with a chance of { $chance }; about { $items } tapes are done.
# $name, $weeks, $chance, $items
enough-weeks = { $name }: { $weeks } weeks are enough for all of it with a chance of { $chance }; about { $items } tapes are done.
quantity-cost = Cost, { $currency }
quantity-budget-items = Tapes done for the money there is
quantity-in-weeks-items = Tapes done in the weeks there are
fault-currency = its currency is not the plan’s, so its costs cannot be set beside them.
fault-no-price = there is money, but no price: give prices first.
fault-class = it names a class of work that this program does not know.
fault-too-many = only { $n } are told side by side.
fault-unread = this program cannot read it ({ $why }).
