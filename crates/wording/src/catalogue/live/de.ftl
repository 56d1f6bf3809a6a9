# What is said of a run while it is recorded: German.

## Order of work: the acts

step-open = das Ventil zur Pumpe öffnen
step-shut = das Pumpenventil schließen
step-stop = die Pumpe abstellen
step-manifold = die Ventile der Monteurhilfe schließen
step-manifold-if-open = die Ventile der Monteurhilfe schließen, wenn das Vakuummeter dann zum System offen bleibt
step-break = das Vakuum mit trockenem Stickstoff brechen
step-throttle = die Strömung drosseln
step-ballast = den Gasballast öffnen
step-heat = sanft erwärmen
step-hold = halten lassen, nichts anfassen
step-review = beenden, beurteilen, Protokoll

## Order of work: advice

advice-waiting = Die Pumpe einschalten und das Ventil zu ihr öffnen, sobald das Vakuummeter gehört wird.
advice-stalls = Stockung: { $kind }. { $helps }
advice-pull-down = Abpumpen lassen. Am Zieldruck: erst das Pumpenventil, dann die Pumpe.
advice-at-target = Am Zieldruck: erst das Pumpenventil schließen, dann die Pumpe abstellen. Oder tiefer abpumpen lassen: je länger, desto trockener.
advice-will-not-pass = Die Haltephase wird nicht bestanden. Sie kann weitergehen, um die Ursache zu zeigen; oder zur Pumpe öffnen oder mit Stickstoff brechen, und neu evakuieren.
advice-stamp-shut = Die Kurve sieht abgesperrt aus. Ist das Pumpenventil geschlossen, die Marke setzen: darauf stützt sich das Protokoll.
advice-next = Meist als Nächstes: { $act }.
advice-hands-off = Ventile und Schläuche nicht anfassen, bis die Haltephase lang genug ist.
advice-passed = Die Haltephase erfüllt die Kriterien. Für das Protokoll beenden, oder mit einem weiteren Durchgang fortfahren, wenn der Hersteller ihn verlangt.
advice-passed-leak = Die Regel ist erfüllt, aber es gibt Anzeichen für ein Leck: es lohnt sich, es zu finden, bevor Kältemittel hineinkommt. Eine längere Haltephase misst es besser.
advice-failed = Die Haltephase ist nicht bestanden. Wie der Anstieg aussieht, sagt, wo zu suchen ist; dann evakuieren und neu halten.
advice-not-proven = Lang genug, aber nicht nachgewiesen: die Beurteilung sagt, was fehlt.
advice-broken = Stickstoff ist im System. Ihm einige Minuten geben, Feuchtigkeit aufzunehmen, ihn ablassen, die Pumpe einschalten und das Ventil zu ihr für den nächsten Durchgang öffnen.

## Cautions where the act happens

caution-now-compressor = Niemals den Verdichter unter Vakuum einschalten.
caution-now-nitrogen = Trockenen Stickstoff nur über einen Druckminderer, mit Überdruckventil dahinter; nie Sauerstoff, nie Luft.
caution-now-pressure = Stickstoff höchstens bis knapp über 0 Überdruck einlassen, wie der Hersteller es angibt; das Vakuummeter vor Druck absperren, den es nicht verträgt.
caution-now-eyes = Augen und Hände schützen.
caution-now-flammable = { $refrigerant } ist brennbar: keine Flamme, kein Funke, kein Löten, solange etwas davon da sein kann; lüften, Pumpenabluft ins Freie.

## Warnings: what seems to be done the wrong way round

warn-stopped-first = Laut Marken wurde die Pumpe abgestellt, bevor das Pumpenventil geschlossen wurde. Ist dieses Ventil offen, hält es weitere Luft und Pumpenöl ab, es jetzt zu schließen; dann vor der Haltephase neu bis zum Zieldruck evakuieren.
warn-open-at-stop = Die Kurve sieht aus, als wäre die Pumpe bei offenem Ventil abgestellt worden: Luft und Pumpenöl können eingezogen werden. Das Ventil zu schließen und neu zu evakuieren hilft meist.
warn-jumped = Der Druck sprang von { $from } auf { $to }, und keine Marke wurde gesetzt. Wurde die Pumpe bei offenem Ventil abgestellt oder verlor sie den Strom, hält es Luft und Öl ab, jetzt das Pumpenventil zu schließen.
warn-nitrogen-open = Für Stickstoff wurde eine Marke gesetzt, für das Schließen des Pumpenventils nicht: eine laufende Pumpe saugt ihn ab, eine abgestellte kann durchgeblasen werden. Dieses Ventil prüfen.
warn-gauge-shut-off = Laut Marke wurden die Ventile der Monteurhilfe geschlossen, und der Auftrag sagt nicht, dass das Vakuummeter dann zum System offen bleibt (gauge_open_to_system). Ist es abgetrennt, zeigt die Haltephase die Monteurhilfe und beweist nichts: es zum System öffnen und neu halten.
warn-above-target = Das Ventil wurde über dem Zieldruck von { $target } geschlossen: eine solche Haltephase kann nicht bestanden werden. Zur Pumpe zu öffnen und erst tiefer abzupumpen spart meist die Zeit.

## Events

told-marked = Marke gesetzt: { $mark }.
told-withdrawn = Zurückgenommen: { $mark }. Die Marke bleibt in der Aufzeichnung, als zurückgenommen.
told-gauge-back = Das Vakuummeter meldet sich wieder.
told-target = Der Zieldruck von { $target } ist erreicht.
told-stall = Das Abpumpen stockt bei etwa { $level }: { $kind }.
told-stall-over = Die Stockung ({ $kind }) ist vorbei.
told-hold = Die Haltephase hat begonnen; sie muss { $time } dauern.
told-will-not-pass = Die Haltephase ist nicht zu Ende, aber: { $answer }.
told-passed = Die Haltephase ist lang genug und erfüllt die Kriterien ({ $answer }). Was sie nicht hätte sehen können, steht im Protokoll.
told-passed-leak = Die Haltephase ist lang genug. { $answer }. Erst das Leck finden.
told-failed = Die Haltephase ist nicht bestanden: { $answer }.
told-not-proven = Die Haltephase ist lang genug, aber die Aufzeichnung kann sie nicht nachweisen.
mark-manifold-shut = Ventile der Monteurhilfe geschlossen
mark-by-device = { $mark } (Gerät { $device })

## The way to the target, and what is left of a hold

way-in = in { $range } erreicht
way-not-at-this-rate = nicht bei diesem Verlauf: endet bei etwa { $floor }
way-while-it-stalls = keine Vorhersage, solange es stockt
way-no-time = noch keine Zeit bekannt
way-reached = erreicht
left = noch { $time }
long-enough = lang genug

## All of it on one line

line-no-target = bei diesem Verlauf kein Zieldruck: endet bei etwa { $floor }
line-no-time = Abpumpen, noch keine Zeit bis zum Zieldruck
line-target-in = Abpumpen, Zieldruck in { $range }
line-stalls = { $kind }, solange keine Vorhersage
line-choked = { $kind }, Zieldruck in { $range }
line-at-target = am Zieldruck: Pumpenventil schließen, dann Pumpe abstellen
line-hold-left = Haltephase, noch { $time }
line-hold-enough = Haltephase, lang genug
line-far = fern { $pressure }
line-unreadable = { $count } unlesbar
line-over = darüber
line-under = darunter
line-fault = Fehler
line-lost = verloren
trend-steady = gleichbleibend
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
