# Deutsch: was die Ansichten einer Aufzeichnung hinzufügen.

## Bildschirm

screen-invented = erfundene Daten
screen-loading = liest { $percent } %
screen-playing = läuft, { $at } von { $end }
screen-finished = beendete Aufzeichnung { $at } von { $end }
screen-recording = zeichnet auf { $at }
screen-ended = beendet { $at }
screen-hold = STANDPROBE { $held } von { $needed }
screen-target = Ziel { $pressure }: { $words }
screen-target-label = Ziel
screen-round = Durchgang { $number }
screen-stall = STOCKUNG: { $kind } bei etwa { $level } seit { $time }
screen-met = KRITERIEN ERFÜLLT: { $answer }
screen-fails = NICHT BESTANDEN: { $answer }
screen-not-proven = NICHT NACHGEWIESEN: { $answer }
screen-check = PRÜFEN: { $warning }
screen-caution = Vorsicht: { $caution }
screen-nothing-stamped = Noch keine Marke gesetzt.
screen-gauge = Vakuummeter: { $state }
screen-last = zuletzt vor { $age }
screen-reconnects = { $count }-mal neu verbunden
screen-unreadable = { $count } unlesbar
screen-lost = { $count ->
    [one] { $count } Zeile verloren
   *[other] { $count } Zeilen verloren
}
screen-rows = { $rows } Zeilen in der Aufzeichnung
screen-stands-still = DIE AUFZEICHNUNG STEHT STILL seit { $time }: antwortet der Datenträger?
screen-disk-takes = Speichern: OK, { $rows } Zeilen
screen-disk-trouble = Datenträger: { $trouble }
screen-disk-refuses = Datenträger, { $trouble }
screen-waiting-rows = { $rows } noch offen
screen-free = { $size } frei
screen-comes-next = Was meist als Nächstes kommt
screen-gauge-and-disk = Vakuummeter und Datenträger
screen-stamped = Marken
screen-nothing-yet = noch nichts
screen-happened = Was geschah
screen-back = Jede Taste führt zurück.
screen-decide = Örtliche Vorschriften, zugelassene Fachleute und Herstellerangaben entscheiden.
screen-this-run = Diese Aufzeichnung
screen-goes-on = Ohne dieses Terminal geht die Aufzeichnung weiter: dryhold show zeigt sie, dryhold stop beendet sie.
screen-opened-to-pump = Ventil zur Pumpe offen
screen-take-back = letzte Marke zurücknehmen
screen-type-remark = Bemerkung schreiben
screen-this-page = diese Seite
screen-stop-asks = beenden (fragt zuerst)
screen-remark = Bemerkung:
screen-remark-keys = Enter behält sie, Esc verwirft sie
screen-keys = o auf s zu p Pumpe aus { $manifold }n Stickstoff t drosseln b/g Ballast h Wärme u zurück r Text i Info q Ende
screen-key-manifold = m Monteurhilfe
screen-keys-pressure = f unter Druck e Zufuhr zu v abgelassen u zurück r Text i Info q Ende
screen-keys-back = links/rechts Schritt Bild auf/ab Sprung Pos1/Ende Anfang/Ende Leertaste abspielen i Info q Ende
screen-key-page = c Telefon
screen-key-leave = d verlassen
screen-how-to-leave = Dieses Terminal schließen, und die Aufzeichnung geht weiter; dryhold show zeigt sie wieder, dryhold stop beendet sie.
screen-no-page = Keine Seite: --view-lan gibt Telefonen eine.
screen-no-such-key = { $key } setzt keine Marke.
screen-no-manifold = m gibt es nur, wo der Auftrag gauge_open_to_system = true sagt.
screen-was-stamped = Marke gesetzt: { $mark }. u nimmt sie zurück.
screen-no-remark = Keine Bemerkung.
screen-remark-kept = Bemerkung aufgenommen.
screen-not-suspended = Nicht angehalten: das würde die Aufzeichnung anhalten. Ein anderes Terminal benutzen.
screen-compare = Der Browser warnt einmal. Dort das Zertifikat ansehen; nur weitergehen, wenn sein SHA-256-Fingerabdruck so lautet:
screen-page-at = Jede Taste führt zurück. Die Seite ist unter
screen-no-signs = Dieses Terminal hat keine Zeichen für den Code, den eine Kamera liest.
screen-code-size = Der Code für die Kamera braucht { $columns } × { $rows }.
screen-look-on = Nur zum Zusehen, ohne Marken zu setzen:
screen-takes = Alles zusammen braucht { $columns } × { $rows }.

## Einzelne Sätze

spoken-more = Es geschah mehr, als noch bekannt ist.
spoken-hold = Standprobe, { $clock }: { $answer }
spoken-pull-down = Abpumpen, Ziel { $words }
spoken-ask = Eine leere Zeile sagt, wie es steht.
typed-marks = Beenden mit Strg-C. Für eine Marke deren Buchstaben und Enter tippen: { $marks }, u nimmt die letzte Marke zurück, oder eine Bemerkung.

## Tasten, die eine Standprobe kosten könnten

question-shut-again = Das Ventil zur Pumpe ist schon seit { $at } als geschlossen vermerkt, die Standprobe dauert bereits { $held }. Eine neue Standprobe beginnen?
question-undo-hold = „{ $mark }“ von { $at } zurücknehmen? Die Standprobe von { $held } beruht darauf.
question-stop = Aufzeichnung beenden?
question-stop-hold = Aufzeichnung beenden? Die Standprobe dauert erst { $held } von { $needed }.
question-answer-key = y ja, jede andere Taste nein
question-answer-line = y und Enter tippen für ja; alles andere heißt nein.
question-answered-no = Nichts wurde geändert.
screen-taking-back = Wird zurückgenommen: { $mark } ({ $at }).
screen-nothing-to-undo = Es gibt keine Marke zurückzunehmen.

## Was jetzt mit der Anzeige nicht stimmt

trouble-word-no-reading = KEIN MESSWERT
trouble-word-lost = KEIN SIGNAL
trouble-word-over = ÜBER BEREICH
trouble-word-fault = MESSFEHLER
trouble-word-unreadable = UNLESBAR
trouble-no-reading = Seit { $time } kein Messwert: Stromversorgung und Kabel des Vakuummeters prüfen.
trouble-lost = Seit { $time } keine Verbindung zum Vakuummeter: Kabel und Stecker prüfen. Das Programm versucht es weiter, die Aufzeichnung läuft.
trouble-over = Seit { $time } über dem Messbereich. Das ist üblich, bis die Pumpe die meiste Luft entfernt hat.
trouble-over-hold = Seit { $time } über dem Messbereich: Die Anlage füllt sich, oder das Vakuummeter wurde abgesperrt.
trouble-fault = Seit { $time } meldet das Vakuummeter einen Fehler: Anzeige, Messzelle und Kabel ansehen.
trouble-unreadable = Seit { $time } sendet das Vakuummeter, was sein Format nicht erklärt: Stimmt --dialect? dryhold listen zeigt, was kommt.
trouble-heard = Gehört: { $line }
trouble-hold = Standprobe seit { $time } unterbrochen: sobald wieder Messwerte kommen, die Standprobe mit s neu beginnen.
warn-hold-interrupted = Die Standprobe war { $time } unterbrochen und weist nichts nach: die Standprobe mit s neu beginnen.
advice-hold-again = Die Standprobe mit s neu beginnen; die Ventile bleiben, wie sie sind.
