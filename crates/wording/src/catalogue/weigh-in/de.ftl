# Eine Füllmenge, die eingewogen wird: Deutsch.

weighed-of = Eingefüllt: { $charged }; Typenschild { $nameplate } ± { $tolerance }.
weighed-alone = Eingefüllt: { $charged }; die Füllmenge des Typenschilds ist nicht angegeben.
weighed-unknown = Eingefüllt: aus der Waage nicht bekannt.
weighed-typed = Eingefüllt: { $charged }, von Hand eingegeben; keine Waage zeigt es.
weighed-typed-of = Eingefüllt: { $charged } von { $nameplate }, von Hand eingegeben; keine Waage zeigt es.
weighed-as-typed = { $mass } (von Hand eingegeben)
weighed-left = In Schläuchen geblieben: { $mass }, abgezogen.
weighed-left-not-given = Was in den Schläuchen bleibt, wurde nicht angegeben; es zählt als eingefüllt.
weighed-acts = Reihenfolge: { $acts }.
weighed-covers = Das ± umfasst Schritte, Streuung und Kriechen der Waage (95 %), nicht ihre Kalibrierung.
weighed-plus-minus = { $value } ± { $off } g

act-weigh-in-begins = Einwiegen beginnt
act-cylinder-shut = Flaschenventil zu
act-charging-valve-shut = Füllventil zu
act-high-side-shut = Ventil der Hochdruckseite zu
act-compressor-on = Verdichter ein
act-weigh-in-ends = Einwiegen beendet

weighed-note-touched-back = Die Waage bewegte sich bei { $at } um { $by } und kam zurück: Die Flasche wurde berührt.
weighed-note-touched = Die Waage bewegte sich bei { $at } um { $by } und kam nicht erkennbar zurück: Die Flasche wurde berührt, oder etwas lehnt an ihr. Wie viel eingefüllt wurde, ist aus der Waage nicht bekannt.
weighed-note-zero = Die Waage fiel bei { $at } um { $by }: Sie wurde auf null gestellt, oder die Flasche wurde abgehoben. Wie viel eingefüllt wurde, ist aus der Waage nicht bekannt.
weighed-note-not-heard = Die Waage war von { $from } bis { $to } nicht zu hören.
weighed-note-drifts = Die Waage driftet in einer Minute um { $by } nach oben: Zugluft und Erschütterung fernhalten.
weighed-note-too-much = { $by } mehr als die Füllmenge des Typenschilds, über der Toleranz.
weighed-note-too-little = { $by } weniger als die Füllmenge des Typenschilds, unter der Toleranz.
weighed-note-before = Die Waage stand nicht still, bevor die Flasche geöffnet wurde.
weighed-note-after = Die Waage stand am Ende nicht still.
weighed-note-no-hold = Das Einwiegen wurde ohne bestandene Standprobe begonnen.

weighed-live-phase = Einwiegen
weighed-live-to-go = noch, von { $target }
weighed-live-over = zu viel: Flasche schließen
weighed-live-out = hat die Flasche verlassen
weighed-live-done = Einwiegen beendet
weighed-scale = Waage

weighed-next-settle = Die Flasche erst öffnen, wenn die Waage still steht.
weighed-next-fill = Flüssig nur in die Hochdruckseite füllen, Niederdruckseite zu, Verdichter aus, wie der Hersteller es sagt; die Flasche schließen, wenn nichts mehr fehlt.
weighed-next-shut = Jetzt die Flasche schließen, dann das Füllventil, dann die Hochdruckseite.
weighed-next-charging-valve = Das Füllventil schließen, dann die Hochdruckseite.
weighed-next-high-side = Das Ventil der Hochdruckseite schließen.
weighed-next-compressor = Den Verdichter einschalten und den Rest der Schläuche durch die Niederdruckseite einsaugen.
weighed-next-end = Das Einwiegen beenden, wenn die Waage still steht.
weighed-next-done = Das Einwiegen ist vorbei. Drücke prüfen, dann das Rohr abquetschen, abschneiden und verschließen.

question-weighed-no-hold = Keine Standprobe ist bestanden. Das Einwiegen trotzdem beginnen?
