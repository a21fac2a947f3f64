### Fotos.

title = Fotos
take = Ein Foto machen
take-another = Noch eins machen
keeping = Es wird verkleinert und gespeichert …
not-here = Nicht auf diesem Gerät
not-kept-title = Das Foto wurde nicht gespeichert
answers-stand = Ihre Antworten sind gespeichert.
private = Vor dem Speichern verkleinert, aufrecht gedreht und von Ort, Zeit und Kameradaten befreit. Es kommt in die Erhebungsdatei.
taken = Foto gemacht
shows-label = Etikett, Schrift
shows-damage = Schaden
shows-other = Anderes
one = Foto { NUMBER($number) }: { $what }
take-back = Foto { $number } entfernen
not-a-picture = Der Browser kann es nicht als Bild lesen ({ $browser }). Machen Sie es noch einmal, oder wählen Sie ein anderes.
not-kept-full = Auf diesem Gerät ist kein Platz. Speichern Sie die Erhebungsdatei, schaffen Sie Platz, und machen Sie es dann noch einmal.
not-kept-store = Das Gerät hat es nicht angenommen ({ $error }). Machen Sie es noch einmal.
not-kept-too-many-bytes = Es ist auch verkleinert zu groß. Machen Sie es noch einmal aus größerem Abstand.
not-kept-picture = Es ist nicht zu gebrauchen ({ $error }). Machen Sie es noch einmal.
not-kept-refused = Die Erhebung nimmt es nicht an: { $refusal }.
not-kept-elsewhere = Inzwischen wurde eine andere Erhebung geöffnet.
