# What is said of a run while it is recorded: German.

## Order of work: the acts

step-open = das Ventil zur Pumpe öffnen
step-shut = das Pumpenventil schließen
step-stop = die Pumpe abstellen
step-manifold = die Ventile der Monteurhilfe schließen
step-break = das Vakuum mit trockenem Stickstoff brechen
step-throttle = die Strömung drosseln
step-ballast = den Gasballast öffnen
step-ballast-close = den Gasballast schließen
step-heat = sanft erwärmen
step-hold = halten lassen, nichts anfassen
step-review = beenden, beurteilen, Protokoll

## Order of work: advice

advice-waiting = Die Pumpe einschalten und das Ventil zu ihr öffnen, sobald das Vakuummeter gehört wird.
advice-stalls = Stockung: { $kind }. { $helps }
advice-pull-down = Abpumpen lassen. Wenn der Druck niedrig ist und steht: erst das Pumpenventil, dann die Pumpe.
advice-let-pull = Zieldruck erreicht, aber noch nicht niedrig und ruhig: weiter abpumpen. Wird das Ventil jetzt geschlossen, steigt der Druck beim Halten durch das restliche Wasser. Am besten unter { $low }, oder wenn der Druck steht.
advice-close-to-ceiling = Der Druck steht, aber dicht unter der Obergrenze von { $ceiling }: von hier aus bleibt beim Halten kaum Raum für einen Anstieg. Suchen, was ihn dort hält: Pumpenöl, Schläuche, Wasser, ein Leck.
advice-ready = Niedrig genug: erst das Pumpenventil schließen, dann die Pumpe abstellen. Je länger abgepumpt wird, desto trockener.
advice-close-ballast = Laut Marke ist der Gasballast offen: für das letzte Abpumpen schließen. Mit offenem Gasballast kommt die Pumpe nicht so tief, wie sie kann.
advice-will-not-pass = Die Standprobe wird nicht bestanden. Sie kann weitergehen, um die Ursache zu zeigen; oder zur Pumpe öffnen oder mit Stickstoff brechen, und neu evakuieren.
advice-stamp-shut = Die Kurve sieht abgesperrt aus. Ist das Pumpenventil geschlossen, die Marke setzen: darauf stützt sich das Protokoll.
advice-next = Meist als Nächstes: { $act }.
advice-hands-off = Ventile und Schläuche nicht anfassen, bis die Standprobe lang genug ist.
advice-passed = Die Standprobe erfüllt die Kriterien. Für das Protokoll beenden, oder mit einem weiteren Durchgang fortfahren, wenn der Hersteller ihn verlangt.
advice-passed-leak = Die Regel ist erfüllt, aber es gibt Anzeichen für ein Leck: es lohnt sich, es zu finden, bevor Kältemittel hineinkommt. Eine längere Standprobe misst es besser.
advice-failed = Die Standprobe ist nicht bestanden. Wie der Anstieg aussieht, sagt, wo zu suchen ist; dann evakuieren und neu halten.
advice-not-proven = Lang genug, aber nicht nachgewiesen: die Beurteilung sagt, was fehlt.
advice-rig-passed = Pumpe und Schläuche halten das Vakuum wie verlangt. Beenden für das Blatt.
advice-rig-rises = Pumpe und Schläuche halten das Vakuum nicht gut: sie sind undicht, oder Dampf kommt aus Öl und Schläuchen. Beenden: Die Auswertung sagt, was als Nächstes zu tun ist.
advice-broken = Stickstoff ist im System: er verdünnt den restlichen Dampf und spült ihn aus. Ihm einige Minuten geben, ihn von über 0 Überdruck ablassen, die Pumpe einschalten und das Ventil zu ihr für den nächsten Durchgang öffnen.

## Warnings: what seems to be done the wrong way round

warn-stopped-first = Laut Marken wurde die Pumpe abgestellt, bevor das Pumpenventil geschlossen wurde. Ist dieses Ventil offen, hält es weitere Luft und Pumpenöl ab, es jetzt zu schließen; dann vor der Standprobe neu bis zum Zieldruck evakuieren.
warn-open-at-stop = Die Kurve sieht aus, als wäre die Pumpe bei offenem Ventil abgestellt worden: Luft und Pumpenöl können eingezogen werden. Das Ventil zu schließen und neu zu evakuieren hilft meist.
warn-jumped = Der Druck sprang von { $from } auf { $to }, und keine Marke wurde gesetzt. Wurde die Pumpe bei offenem Ventil abgestellt oder verlor sie den Strom, hält es Luft und Öl ab, jetzt das Pumpenventil zu schließen.
warn-nitrogen-open = Für Stickstoff wurde eine Marke gesetzt, für das Schließen des Pumpenventils nicht: eine laufende Pumpe saugt ihn ab, eine abgestellte kann durchgeblasen werden. Dieses Ventil prüfen.
warn-gauge-shut-off = Laut Marke wurden die Ventile der Monteurhilfe geschlossen, und der Auftrag sagt nicht, dass das Vakuummeter dann zum System offen bleibt (gauge_open_to_system). Ist es abgetrennt, zeigt die Standprobe die Monteurhilfe und beweist nichts: es zum System öffnen und neu halten.
warn-above-target = Das Ventil wurde über dem Zieldruck von { $target } geschlossen: eine solche Standprobe kann nicht bestanden werden. Zur Pumpe zu öffnen und erst tiefer abzupumpen spart meist die Zeit.

## Events

told-marked = Marke gesetzt: { $mark }.
told-withdrawn = Zurückgenommen: { $mark }. Die Marke bleibt in der Aufzeichnung, als zurückgenommen.
told-gauge-back = Das Vakuummeter meldet sich wieder.
told-target = Der Zieldruck von { $target } wurde erreicht.
told-stall = Das Abpumpen stockt bei etwa { $level }: { $kind }.
told-stall-over = Die Stockung ({ $kind }) ist vorbei.
told-hold = Die Standprobe hat begonnen; sie muss { $time } dauern.
told-will-not-pass = Die Standprobe ist nicht zu Ende, aber: { $answer }.
told-passed = Die Standprobe ist lang genug und erfüllt die Kriterien ({ $answer }). Was sie nicht hätte sehen können, steht im Protokoll.
told-passed-leak = Die Standprobe ist lang genug. { $answer }. Erst das Leck finden.
told-failed = Die Standprobe ist nicht bestanden: { $answer }.
told-not-proven = Die Standprobe ist lang genug, aber die Aufzeichnung kann sie nicht nachweisen.
mark-manifold-shut = Ventile der Monteurhilfe geschlossen
mark-ballast-closed = Gasballast geschlossen
mark-by-device = { $mark } (Gerät { $device })

## The way to the target, and what is left of a hold

way-in = in { $range } erreicht
way-not-at-this-rate = nicht bei diesem Verlauf: endet bei etwa { $floor }
way-while-it-stalls = keine Vorhersage, solange es stockt
way-no-time = noch keine Zeit bekannt
way-reached = erreicht
left = noch { $time }
held-so-far = bisher { $time }
long-enough = lang genug

## All of it on one line

line-no-target = bei diesem Verlauf kein Zieldruck: endet bei etwa { $floor }
line-no-time = Abpumpen, noch keine Zeit bis zum Zieldruck
line-target-in = Abpumpen, Zieldruck in { $range }
line-stalls = { $kind }, solange keine Vorhersage
line-choked = { $kind }, Zieldruck in { $range }
line-ready = niedrig genug: Pumpenventil schließen, dann Pumpe abstellen
line-let-pull = Zieldruck erreicht, noch nicht niedrig und ruhig: weiter pumpen
line-close-to-ceiling = steht dicht unter der Obergrenze: Ursache suchen
line-hold = Standprobe, { $clock }
line-far = fern { $pressure }
line-unreadable = { $count } unlesbar
line-over = darüber
line-under = darunter
line-fault = Fehler
line-lost = verloren
trend-steady = gleichbleibend
trend-hunting = schwankt
trend-rising = steigt { $rate }/min
trend-falling = fällt { $rate }/min

## The gauge

state-over = über dem Messbereich
state-under = unter dem Messbereich
state-fault = Vakuummeter gestört
state-gap = kein Messwert
state-none = noch kein Messwert
link-waiting = noch nicht gehört
link-hearing = wird gehört
link-silent = STUMM: Strom und Kabel prüfen
link-lost = VERLOREN: neue Verbindung wird versucht
