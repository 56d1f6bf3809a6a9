# Deutsch: was die Ansichten einer Aufzeichnung hinzufügen.

## Bildschirm

screen-invented = erfundene Daten
screen-loading = liest { $percent } %
screen-playing = läuft, { $at } von { $end }
screen-finished = beendete Aufzeichnung { $at } von { $end }
screen-recording = zeichnet auf { $at }
screen-ended = beendet { $at }
screen-hold = HALTEPHASE { $held } von { $needed }
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
screen-disk-takes = Datenträger nimmt Zeilen an: { $rows }
screen-disk-trouble = Datenträger: { $trouble }
screen-disk-refuses = Datenträger, { $trouble }
screen-waiting-rows = { $rows } noch nicht gesichert
screen-free = { $size } frei
screen-comes-next = Was meist als Nächstes kommt
screen-gauge-and-disk = Vakuummeter und Datenträger
screen-stamped = Marken
screen-nothing-yet = noch nichts
screen-happened = Was geschah
screen-back = Jede Taste führt zurück.
screen-decide = Örtliche Vorschriften, zugelassene Fachleute und Herstellerangaben entscheiden.
screen-this-run = Diese Aufzeichnung
screen-goes-on = Ohne dieses Terminal geht die Aufzeichnung weiter; anhalten dann mit: kill -INT { $process }
screen-opened-to-pump = Ventil zur Pumpe offen
screen-manifold-shut = Monteurhilfe geschlossen
screen-take-back = letzte Marke zurücknehmen
screen-type-remark = Bemerkung schreiben
screen-this-page = diese Seite
screen-stop-asks = beenden (fragt zuerst)
screen-remark = Bemerkung:
screen-remark-keys = Enter behält sie, Esc verwirft sie
screen-ask-stop = Aufzeichnung beenden? y beendet, jede andere Taste nicht
screen-keys = o auf s zu p Pumpe aus m Monteurhilfe n Stickstoff t drosseln b Ballast h Wärme u zurück r Text i Info q Ende
screen-keys-back = links/rechts Schritt Bild auf/ab Sprung Pos1/Ende Anfang/Ende Leertaste abspielen i Info q Ende
screen-key-page = c Telefon
screen-no-page = Keine Seite: --view-lan gibt Telefonen eine.
screen-no-such-key = { $key } setzt keine Marke.
screen-was-stamped = Marke gesetzt: { $mark }. u nimmt sie zurück.
screen-still-records = Die Aufzeichnung geht weiter.
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
spoken-hold = Haltephase, { $clock }: { $answer }
spoken-pull-down = Abpumpen, Ziel { $words }
spoken-ask = Eine leere Zeile sagt, wie es steht.
typed-marks = Beenden mit Strg-C. Für eine Marke deren Buchstaben und Enter tippen: s Pumpenventil zu, p Pumpe aus, m Monteurhilfe zu, o Ventil auf, n mit Stickstoff gebrochen, t gedrosselt, b Gasballast, h Wärme, u nimmt die letzte Marke zurück, oder eine Bemerkung.
