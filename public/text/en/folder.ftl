### A team’s folder on a server of its own.

title = Exchange with the team’s folder
lead = What is new here goes into the folder, and what others put there comes here. It happens when you tap, and never by itself.
section = Through a folder of the team
section-text = Where there is a line and your team has a WebDAV folder: each phone puts its own entries there, and takes in the others’.
exchange = Exchange now
back = Back
the-folder = The folder
address = Its address
address-hint = As whoever runs the server gave it to you. It begins with https://
user = Name
password = Password
password-hint = An app password made for this, if the server has such: never the one of your mail.
keeping = The password
forget = Forget it when the app is closed
forget-hint = It is asked for again next time.
keep = Keep it on this device
keep-hint = Whoever can open this phone can then use it.
asking = Asking the server…
over = Done
broke-off = It broke off
refused = These parts in the folder were refused, and nothing of them was taken in. Whoever put them there can do it again:
line-photos = Photographs do not go this way; they go with the file.
line-never = Nothing in the folder is ever changed or removed, and nobody’s entries are overwritten.
line-checked = What comes from the folder is checked, part by part, before it is taken in.
line-readers = Whoever can read the folder can read the survey.
address-not-secure = It must begin with https://, so that nobody on the way reads it.
address-not-plain = Only the address of the folder, without a name, a password, blanks or a question mark.
# $done, $all
working = Part { NUMBER($done) } of { NUMBER($all) }
# $taken, $gone
came-all = New here: { NUMBER($taken) } entries. Put into the folder: { NUMBER($gone) }. All of this survey’s entries are in the folder.
# $taken, $gone, $left
came-left = New here: { NUMBER($taken) } entries. Put into the folder: { NUMBER($gone) }. Not in the folder yet: { NUMBER($left) }.
broke-no-line = The server does not answer ({ $why }). What has gone stays gone; tap again when there is a line. If it never answers, whoever runs it must allow this app’s address: the README says how.
broke-password = The name or the password does not fit.
broke-no-folder = There is no such folder, or you may not write there (HTTP { $status }).
broke-full = The server has no more room. Tell whoever runs it; nothing is lost.
broke-odd = The server answered as no folder does (HTTP { $status }). Look at the address.
broke-store = This device could not keep what it read: { $why }
# $name, $why
refused-part = { $name }: { $why }
