### Der Beginn des Tages.

title = Erhebungen auf diesem Gerät
title-first = Was ist in all diesen Kartons?
first-1 = Quarterlight findet heraus, was eine Tonbandsammlung enthält, indem Sie einige ausgeloste Kartons genau ansehen.
first-2 = Sie listen die Kartons auf, das Los bestimmt, welche geöffnet werden, und jeder braucht einige Minuten Hinsehen und Tippen.
first-3 = Am Ende des Tages nehmen Sie ehrliche Zahlen für die ganze Sammlung mit, jede mit der Angabe, wie weit sie danebenliegen kann.
lead = Machen Sie mit einer weiter, oder beginnen Sie eine neue.
go-on = Dort weitermachen, wo Sie waren
start = Eine neue Erhebung beginnen
stratum-all = Alles
untitled = Eine Erhebung ohne Titel
yours = Erhebungen
list-failed = Die Erhebungen auf diesem Gerät lassen sich nicht auflisten
list-failed-text = Sie können trotzdem eine beginnen: Sie bleibt in diesem Fenster, bis Sie ihre Datei mitnehmen.
install = Auf den Startbildschirm legen
install-text = Öffnen Sie das Menü des Browsers und wählen Sie „Zum Startbildschirm hinzufügen“ oder „Installieren“. Sie öffnet sich dann wie jede andere App, und der Browser behält ihre Daten verlässlicher.
first-title = Erhebung vom { $day }
go-on-with = { go-on }: { $title }
