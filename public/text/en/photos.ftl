### Photographs.

title = Photographs
take = Take a photograph
take-another = Take another
keeping = Making it small and keeping it…
not-here = Not on this device
not-kept-title = The photograph was not kept
answers-stand = What you answered is kept.
private = Made small, turned upright, and freed of place, time and camera before it is kept. It goes into the survey file.
taken = Photograph taken
shows-label = Label, writing
shows-damage = Damage
shows-other = Other
# $number, $what
one = Photograph { NUMBER($number) }: { $what }
take-back = Remove photograph { $number }
not-a-picture = The browser cannot read it as a picture ({ $browser }). Take it again, or choose another.
not-kept-full = There is no room on this device. Save the survey file, make room, then take it again.
not-kept-store = The device did not take it ({ $error }). Take it again.
not-kept-too-many-bytes = It is too large even when made small. Take it again from farther away.
not-kept-picture = It is { $error }. Take it again.
not-kept-refused = The survey does not take it: { $refusal }.
not-kept-elsewhere = Another survey was opened meanwhile.
