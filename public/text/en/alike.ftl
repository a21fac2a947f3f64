### Shortcuts for tapes that are like one another.

same = Same as the last tape?
same-lead = Look at this tape first. Only what you see on it yourself may be taken over.
same-rest = Anything growing, damage, shape, wind, what has come off and smell are asked of each tape by itself.
not-same = Not the same: ask me
rest-title = The tapes that were not drawn
rest-hint = A remark for those who come after you. No figure rests on it: figures use drawn tapes that were looked at.
rest-drawn = “The rest is alike” cannot stand in for a drawn tape: it may be the one that differs. Each drawn tape is looked at; “Same as the last tape” makes that short.
alike = I looked: they are like the drawn ones
differ = I looked: some are different
not-looked = Not looked at
# $position, $serial
same-as = Tape { $position } of box { $serial } had:
same-confirm = { $n ->
    [one] I looked at this tape: it is the same
   *[other] I looked at this tape: all { $n } are the same
}
rest-short = Tapes not drawn
