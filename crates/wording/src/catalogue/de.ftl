# German. Which word was chosen for which thing is in GLOSSARY.md.

## Numbers

unknown = unbekannt
range = { $low } bis { $high }
estimate = { $value } { $unit } (95 %: { $low } bis { $high })
estimate-both = { $value } { $unit } ({ $micron }; 95 %: { $low } bis { $high } { $unit })
at-most = höchstens { $value }
before-noon = vorm.
after-noon = nachm.
seconds = Sekunden
minutes = Minuten
hours = Stunden
days = { $range } Tagen
months = { $range } Monaten
years = { $range } Jahren
per-year = g/Jahr
list-and = { $list } und { $last }
labelled = { $name }: { $text }
clause-break = { "; " }

## Verdict and its reasons

verdict-pass = BESTANDEN
verdict-fail = NICHT BESTANDEN
verdict-not-proven = NICHT NACHGEWIESEN
verdict-pass-rule = BESTANDEN laut Regel
pass-leak = es gibt Anzeichen für ein Leck
pass-leak-size = es gibt Anzeichen für ein Leck: { $size }
pass-cause-unknown = woher der Anstieg kommt, ist nicht bekannt
pass-reason = Bis zum Zieldruck von { $target } evakuiert, dann Standprobe { $time } unter der Obergrenze von { $ceiling }.
pass-reason-highest = Bis zum Zieldruck von { $target } evakuiert, dann Standprobe { $time } unter der Obergrenze von { $ceiling }, höchster Druck { $highest }.
pass-without-hold = Die Kriterien sind erfüllt.
no-reason = Es ist kein Grund aufgezeichnet.
reason-target-not-reached = beim Evakuieren wurde der Zieldruck nicht erreicht
reason-hold-too-short = die Standzeit war kürzer als gefordert
reason-ceiling-exceeded = der Druck stieg in der Standprobe über die Obergrenze
reason-no-isolation = die Aufzeichnung zeigt nicht, wann die Pumpe abgesperrt wurde
reason-gap-in-hold = in der Standprobe fehlen Messwerte
reason-gauge-fault = das Vakuummeter meldete in der Standprobe einen Fehler oder verließ seinen Messbereich
reason-pump-open-at-stop = die Pumpe wurde abgestellt, als ihr Ventil noch offen war
reason-no-readings = es gibt keine Messung, die beurteilt werden könnte
reason-ice-possible = der Druck der Standprobe ist der von Eis an der kältesten Stelle des Systems: sie zeigt nicht, dass das System trocken ist
reason-gauge-too-coarse = die Auflösung des Vakuummeters ist zu grob, um die Standprobe zu belegen
reason-gauge-shut-off = die Monteurhilfe wurde geschlossen, und das Vakuummeter war vielleicht vom System getrennt
reason-unit-doubtful = die Messwerte sehen aus, als kämen sie in einer anderen Einheit
reason-pump-on-too-short = die Pumpe wurde nach dem Zieldruck zu früh abgesperrt
reason-rose-too-much = der Druck stieg in der Standzeit stärker, als die Vorgaben zulassen
reason-not-steady = der Druck war am Ende der Standzeit nicht konstant
reason-repeat-asked = der Druck lag in dem Bereich, in dem Evakuieren und Standprobe zu wiederholen sind
reason-rounds-missing = Evakuierungen, die vor dieser vorgeschrieben sind, fehlen
reason-sides-not-shown = vorgeschrieben sind beide Seiten, und der Auftrag nennt nicht beide
reason-ambient-not-shown = vorgeschrieben ist ein wärmerer Raum, oder seine Temperatur ist nicht angegeben
reason-besides = { $reason } (gemessen: { $measured }; gefordert: { $required })
pass-softer = nach Kriterien, die milder sind als die übliche Praxis ({ $target }, { $minutes } min)
softer-than-common = Nach Kriterien, die milder sind als die übliche Praxis ({ $target }, { $minutes } min). { $text }
reason-lowest = beim Evakuieren wurde der Zieldruck von { $target } nicht erreicht: tiefster Druck { $lowest }
reason-lasted = die Standzeit betrug { $lasted }, gefordert sind { $asked }
reason-began-above = die Standprobe begann bei { $start }, schon über der Obergrenze von { $ceiling }
reason-rose-above = der Druck stieg in der Standprobe auf { $highest }, über die Obergrenze von { $ceiling }
reason-other = ein Grund, für den diese Version keine Worte hat

## Criteria

judged-against = Beurteilt nach: { $criteria } ({ $source }).
criteria = Zieldruck { $target }, Standzeit { $minutes } min, Obergrenze { $ceiling }
criteria-besides = { $criteria }; außerdem: { $further }
criteria-common = übliche Praxis
criteria-common-source = übliche Praxis, keine veröffentlichte Quelle
criteria-given = wie angegeben
criteria-given-source = auf der Befehlszeile angegeben

## The review, line by line

round = Durchgang { $number }
pulldown-line = Evakuieren { $time } lang: tiefster Druck { $lowest }, { $reached }.
nothing-measured = nichts gemessen
lowest = tiefster Druck { $pressure }
highest = höchster Druck { $pressure }
from-to = von { $from } auf { $to }
target-reached = Zieldruck erreicht
target-reached-at = Zieldruck bei { $moment } erreicht
target-not-reached = Zieldruck nicht erreicht
hold-line = Standprobe: { $figures }; abgesperrt bei { $moment } ({ $basis }).
basis-mark = laut Marke
basis-given = wie vom Prüfer angegeben
basis-curve = in der Kurve gefunden
basis-from-start = von Beginn der Aufzeichnung an abgesperrt
note-line = Hinweis: { $text }
note-line-at = Hinweis: bei { $moment }: { $text }
next-line = Weiter: { $text }
record-line = Aufzeichnung: { $text }
left-out-line = ausgelassen: { $text }
digest = Prüfsumme der Aufzeichnung: { $digest }. Zum Prüfen: dryhold verify ORDNER.

## Phases of a run

phase-waiting = wartet auf das Vakuummeter
phase-pull-down = Evakuieren
phase-at-target = Zieldruck erreicht
phase-hold = Standprobe

## Marks

mark-valve-opened = Ventil geöffnet
mark-pump-side-shut = Pumpenventil geschlossen
mark-pump-stopped = Pumpe abgestellt
mark-nitrogen-break = mit Stickstoff gebrochen
mark-throttled = Strömung gedrosselt
mark-ballast-opened = Gasballast geöffnet
mark-heat-applied = erwärmt
mark-pressurised = unter Druck gesetzt
mark-supply-shut = Gaszufuhr geschlossen
mark-vented = Gas abgelassen
mark-note = Bemerkung
mark-from-device = Gerät { $device }: { $words }

## Stalls: what held the pull-down up

stall-line = Stockung, { $kind }, { $from } bis { $to } bei etwa { $level }.
stall-foaming = Pumpenöl schäumt
stall-boil-off = Wasser siedet ab
stall-ice = Wasser zu Eis gefroren
stall-floor = Enddruck erreicht
stall-choked = Strömung gehemmt
stall-foaming-advice = die Strömung an der Pumpe zu drosseln, bis sich das Öl beruhigt, hilft meist; altes Öl gehört gewechselt
stall-boil-off-advice = flüssiges Wasser siedet: sanfte Wärme und ein offener Gasballast helfen meist; unter { $freezing } gefriert Wasser, darum erst absieden lassen
stall-ice-advice = Wasser ist gefroren und entweicht nur langsam als Dampf: die kalte Stelle sanft erwärmen, nie mit einer Flamme; oder das Vakuum mit trockenem Stickstoff über einen Druckminderer brechen und erneut evakuieren; den Gasballast öffnen, wo die Pumpe einen hat
stall-floor-advice = Pumpe, Öl, Schläuche, ein Leck oder Feuchtigkeit halten den Druck hier: Pumpe und Schläuche für sich abgesperrt zu prüfen zeigt, was es ist
stall-choked-advice = nach einem halb geschlossenen Ventil, einem geknickten oder dünnen Schlauch, einem nicht entfernten Ventileinsatz sehen
stall-throttled = endete, als die Strömung gedrosselt wurde
stall-ballast-opened = endete, als der Gasballast geöffnet wurde
stall-heat-applied = endete, als erwärmt wurde
stall-nitrogen-break = endete, als das Vakuum mit Stickstoff gebrochen wurde
stall-cleared = gab sich von selbst
stall-isolated = dauerte, bis die Pumpe abgesperrt wurde
stall-still-on = dauert noch an
stall-rough = { $times }-mal so unruhig wie das Vakuummeter für sich
stall-gave-way = gab nach, als die Strömung gedrosselt wurde
stall-rises-again = steigt immer wieder an
stall-smooth = glatt
stall-boils = glatt, dort wo Wasser bei { $c } °C siedet
stall-sublimes = glatt, dort wo Eis bei { $c } °C sublimiert
stall-levelling = flacht ab
stall-levelling-at = flacht bei { $pressure } ab
stall-falling = fällt { $percent } % in der Minute, viel langsamer, als eine Pumpe zieht

## Findings

said-isolation-from-curve = die Absperrung wurde in der Kurve gefunden; sie kann bis zu { $earlier } früher oder { $later } später gewesen sein; eine Marke am Ventil machte sie sicher
said-starts-isolated = die Aufzeichnung beginnt mit einem Anstieg: sie gilt vom ersten Messwert an als abgesperrt
said-pressure-falls = der Druck fiel in der Standprobe von { $from } auf { $to }: Gas wurde aufgenommen oder kühlte ab, oder die Pumpe war noch verbunden
said-will-not-pass-leak = bei diesem Anstieg wird { $ceiling } etwa { $minutes } min nach dem Absperren überschritten (in mehr als { $odds } von 100 solchen Fällen): diese Standprobe wird nicht bestanden; der Anstieg ist gerade: nach einem Leck suchen
said-will-not-pass = bei diesem Anstieg wird { $ceiling } etwa { $minutes } min nach dem Absperren überschritten (in mehr als { $odds } von 100 solchen Fällen): diese Standprobe wird nicht bestanden; sie fortzusetzen zeigt die Ursache
said-left-range = der Druck verließ { $after } nach dem Absperren den Messbereich des Vakuummeters: der Anstieg beträgt mindestens { $rate }
said-fit-stops-early = der Anstieg wird nur so weit beurteilt, wie sich Vakuummeter und Leck noch geradlinig verhalten
said-rise-began-late = der Druck blieb nach dem Absperren { $minutes } min gleich und stieg erst dann; ein Leck oder siedendes Wasser beginnt sofort, also hat sich spät etwas gelöst, geöffnet, erwärmt oder das Vakuummeter erreicht; der Anstieg wird von dort an beurteilt
said-free-water-ahead = der Anstieg ist noch nicht abgeflacht; wo er enden kann, schließt den Sättigungsdruck von Wasser bei { $room } ein ({ $saturation }): flüssiges Wasser kann im System sein
said-free-water = der Anstieg flacht bei etwa { $level } ab, dem Sättigungsdruck von Wasser bei { $room } ({ $saturation }): wahrscheinlich ist flüssiges Wasser im System
said-bound-moisture = der Anstieg flacht bei etwa { $level } ab, weit unter { $saturation }, dem Druck von freiem Wasser bei { $room }: eher in Öl oder Trockner gebundenes Wasser, eine kalte Stelle oder Kältemittel, das aus dem Öl ausgast
said-pass-with-leak = die Regel ist erfüllt, doch { $leak }
said-ice-in-hold = die Standprobe steht bei { $level }, wo Eis an der kältesten Stelle ({ $c } °C, { $saturation }) stehen kann: { $range } (Thermometer 2 K, Vakuummeter 10 %, doppelt in Wasserdampf)
said-ice-not-ruled-out = auch Eis bei { $c } °C steht bei { $level }: an so kalten oder kälteren Stellen gefrorenes Wasser zeigt diese Standprobe nicht; Temperatur der kältesten Stelle angeben oder abtauen
said-too-cold-to-dry = der Raum hat { $c } °C: eine Evakuierungsprüfung verlangt mehr als 2 °C (UFGS 15182), denn Wasser gefriert und kommt kaum heraus; System erwärmen und wiederholen
room = { $c } °C
room-assumed = { $c } °C (angenommen)
said-stalled = { $kind } { $minutes } min lang bei etwa { $level }, { $evidence }; { $end }: { $advice }
said-isolation-mark-missing = das Schließen des Ventils hinterließ im Druck keine Spur, oder es wurde nie geschlossen: in diesem Augenblick die Marke „{ $mark }“ setzen oder die Zeit bei der Beurteilung angeben
said-hold-longer = es fehlten noch { $time } Standzeit
said-missing-charge = { $months } Monate nach der letzten Füllung fehlten { $grams } g: als Leck heben sie diese Standprobe um { $rates }
said-missing-charge-and-answer = { $asked }; { $answer }
said-missing-charge-ruled-out = ein solches Leck hätte sich gezeigt, denn höchstens { $rate } können übrig sein: es war zu wenig gefüllt, es sei denn, das Leck wurde vor dieser Standprobe behoben
said-missing-charge-leak = das Leck von { $rates } in dieser Standprobe erklärt es: es war ein Leck
said-missing-charge-small-leak = es gibt ein Leck, aber höchstens { $rate } erklären es nicht: es war auch zu wenig gefüllt
said-missing-charge-hold-longer = diese Standprobe konnte bestenfalls { $rate } zeigen und lässt offen, ob es ein Leck oder eine zu kleine Füllung war: etwa { $time } lang stehen lassen
said-missing-charge-open = diese Standprobe lässt offen, ob es ein Leck oder eine zu kleine Füllung war
said-later-hold-broken-off = die hier begonnene Standprobe wurde nach { $time } abgebrochen, bevor sie etwas zeigen konnte: es zählt die Standprobe davor
said-one-side-evacuated = es wurde nur von einer Seite evakuiert: Gas, das hinter dem Kapillarrohr blieb, strömt in der Standprobe nach und sieht wie ein Leck aus; von beiden Seiten evakuieren oder eine Standprobe von Stunden machen, bevor man eines annimmt
said-pump-open-at-stop = die Pumpe wurde abgestellt, als ihr Ventil noch offen war: Luft, Pumpenöl und Schmutz können in das System gezogen werden; erst das Pumpenventil schließen, dann die Pumpe abstellen, und erneut evakuieren
said-gauge-stands-still = das Vakuummeter stand { $time } lang still bei { $level }, und nichts in der Aufzeichnung zeigt, dass es sich bewegt hätte: ein totes, eingefrorenes oder abgetrenntes Vakuummeter zeigt dasselbe
said-gauge-at-floor = das Vakuummeter stand bei { $level }, dem niedrigsten Wert, den es in dieser Aufzeichnung zeigt: der Druck kann beliebig tiefer gelegen haben, und ein totes Vakuummeter zeigt dasselbe
said-gauge-under-range = das Vakuummeter meldete während eines großen Teils der Standprobe einen Druck unter seinem Messbereich: das ist keine Messung, und ein gebrochenes Kabel kann dasselbe zeigen
said-gauge-steps = die Auflösung des Vakuummeters beträgt { $step }; die gröbste, die diese Standprobe belegt, ist { $most }
said-gauge-shut-off = die Ventile der Monteurhilfe wurden geschlossen, und laut Auftrag ist das Vakuummeter dann vom System getrennt: die Standprobe zeigt die Monteurhilfe und nicht das System
said-gauge-shut-off-unknown = die Ventile der Monteurhilfe wurden geschlossen, und der Auftrag sagt nicht, ob das Vakuummeter dann zum System offen bleibt (gauge_open_to_system): die Standprobe zeigt vielleicht die Monteurhilfe und nicht das System
said-unit-doubtful = die Aufzeichnung beginnt bei { $number } { $unit }, und { $number } ist der Luftdruck in { $likely }: vielleicht kam sie in { $likely }; mit der Anzeige des Vakuummeters vergleichen, dann --pressure-unit angeben, oder --unit-checked, wenn { $unit } stimmt
said-unit-too-low = die Standprobe steht bei { $number } { $unit }, tiefer als Pumpen dieses Fachs kommen: die Einheit mit der Anzeige des Vakuummeters vergleichen, dann --pressure-unit angeben, oder --unit-checked, wenn { $unit } stimmt
said-unit-by-dialect = das Vakuummeter sendet Zahlen ohne Einheit, und sein Datenformat nimmt sie als { $unit }: mit der Anzeige des Vakuummeters vergleichen
said-unit-by-option = die Einheit { $unit } steht nicht in der Datei, sie wurde mit --pressure-unit angegeben: mit der Anzeige des Vakuummeters vergleichen
said-criteria-softer = die Kriterien sind milder als die übliche Praxis: Zieldruck, Obergrenze oder Standprobe verlangen weniger als { $target } und { $minutes } min
said-calibration-overdue = { $days ->
    [one] die Kalibrierung des Vakuummeters war zu Beginn der Aufzeichnung seit { $count } Tag überfällig (fällig { $due })
   *[other] die Kalibrierung des Vakuummeters war zu Beginn der Aufzeichnung seit { $count } Tagen überfällig (fällig { $due })
}: ein Garantieantrag kann deshalb abgelehnt werden; Vakuummeter kalibrieren lassen
said-calibration-overdue-beside = { $days ->
    [one] die Kalibrierung des Vakuummeters ({ $place }) war zu Beginn der Aufzeichnung seit { $count } Tag überfällig (fällig { $due })
   *[other] die Kalibrierung des Vakuummeters ({ $place }) war zu Beginn der Aufzeichnung seit { $count } Tagen überfällig (fällig { $due })
}; für das Ergebnis zählt dieses Vakuummeter nicht
said-far-side-lags = das ferne Vakuummeter stand { $time } lang { $ratio }-mal über der Pumpenseite ({ $range }): Schlauch, Ventileinsatz oder Kapillare lassen 1/{ $ratio } der Saugleistung der Pumpe übrig; { $wait }; kürzere, weitere Schläuche und entfernte Ventileinsätze helfen meist
far-side-later = die Pumpenseite war { $time } vor der fernen Seite, die beurteilt wird, am Zieldruck
far-side-not-later = der Zieldruck wird am fernen Vakuummeter beurteilt
far-side-never = die Pumpenseite war am Zieldruck, die ferne Seite, die beurteilt wird, nie
said-gauges-disagree = im selben Volumen zeigt das beurteilte Vakuummeter { $far } und das andere ({ $place }) { $beside }, mehr als Stufen, Rauschen und je { $percent } % vom Messwert erklären: beide prüfen lassen; Öl oder Feuchtigkeit auf einem Sensor ist die übliche Ursache
said-rises-alone-pump = nur das Vakuummeter der Pumpenseite steigt { $range } in { $time } (fernes Vakuummeter { $far }): durch die abgestellte Pumpe strömt Luft zurück, es ist nicht das System
said-rises-alone = nur das Vakuummeter der Pumpenseite steigt { $range } in { $time } (fernes Vakuummeter { $far }): Pumpe, Schlauch oder eine Verbindung dort lässt Gas ein, nicht das System
beyond-range = von { $from } über seinen Messbereich hinaus
said-other = ein Befund, für den diese Version keine Worte hat

## The rise

rise-none = kein Anstieg über das Rauschen hinaus
rise-leak = gerader Anstieg: Leck
rise-moisture = Anstieg, der abflacht: Feuchtigkeit oder ein anderer flüchtiger Stoff
rise-leak-and-moisture = Leck und Feuchtigkeit zugleich
rise-unclear = Ursache des Anstiegs noch nicht klar
rise-and-rate = { $cause }, { $rate }
rise-and-share = { $cause }; der Anteil eines Lecks ist { $rate }
rise-at-level = { $rise }, bei { $level }
rise-moisture-part = { $rise }; der Anteil der Feuchtigkeit flacht ab bei { $level }
rise-not-level = { $rise }, biegt ab, ist aber noch nicht flach: auf dem Weg zu { $range }
rise-pace = { $rise }, 63 % davon nach { $pace }
rise-hold-longer = Eine Standprobe von insgesamt { $all } (noch { $more }) sollte Leck und Feuchtigkeit unterscheiden.
rise-odds = Eine solche Antwort stimmt in mehr als { $odds } von 100 Fällen.
rise-and-straight = { $cause }; gerader Anteil { $rate }
rise-towards = { $rise }; was abbiegt, flacht ab bei { $level }
tends-none = bisher kein Anstieg zu sehen; noch nicht sicher
tends-leak = sieht eher nach einem Leck aus; noch nicht sicher
tends-moisture = sieht eher nach Feuchtigkeit aus; noch nicht sicher
tends-leak-and-moisture = sieht eher nach Leck und Feuchtigkeit aus; noch nicht sicher
live-odds = { $cause }, stimmt in über { $odds } von 100
live-leak = gerader Anstieg: Leck
live-moisture = flacht ab: Feuchtigkeit
live-leak-and-moisture = Leck und Feuchtigkeit
live-unclear = Ursache noch nicht klar
live-unclear-more = Ursache nicht klar, noch { $more } nötig
live-will-not-pass = wird nicht bestanden, stimmt in über { $odds } von 100
live-will-not-pass-leak = Leck, wird nicht bestanden, stimmt in über { $odds } von 100

## The leak

leak-flow = Durch das Leck eingezogene Luft: { $flow }.
leak-flow-grams = Durch das Leck eingezogene Luft: { $flow }; dieselbe Strömung an Kältemittel wäre { $grams }.
leak-flow-unclear = Eingezogene Luft, falls es ein Leck ist: { $flow }.
leak-flow-unclear-grams = Eingezogene Luft, falls es ein Leck ist: { $flow }; dieselbe Strömung an Kältemittel wäre { $grams }.
leak-other-rate = Das gefüllte System verliert mit einer anderen Rate.
leak-charged = Gefüllt und bei 20 °C stehend kann es { $loss } verlieren.
low-side-draws-in = im kalten Betrieb liegt die Niederdruckseite unter dem Luftdruck (etwa { $kpa } kPa absolut bei { $c } °C): ein Leck dort saugt dann Luft an
loss = { $range } g/Jahr
loss-years = { $loss }, ein Zehntel der Füllmenge in { $years }
loss-of = { $loss } { $refrigerant }
sight-unknown = Wie klein ein Leck sein dürfte, das diese Standprobe noch gezeigt hätte, ist nicht bekannt.
sight = Ein Leck unter { $limit } hätte diese Standprobe nicht zeigen können: ein kleineres Leck ist nicht ausgeschlossen.
sight-grams = Ein Leck unter { $limit }, durch das das gefüllte System { $grams } verlieren kann, hätte diese Standprobe nicht zeigen können: ein kleineres Leck ist nicht ausgeschlossen.
sealed-yes-sentence = Ein Leck von { $line } (dauerhaft geschlossenes System, EN 378-1, aus zweiter Hand) hätte sich gezeigt.
sealed-no-sentence = Ein Leck von { $line } (dauerhaft geschlossenes System, EN 378-1, aus zweiter Hand) hätte sich nicht gezeigt.
sealed-depends-sentence = Ob sich ein Leck von { $line } (dauerhaft geschlossenes System, EN 378-1, aus zweiter Hand) gezeigt hätte, hängt von seiner Strömung ab.
flow-in-volume = { $flow } in { $volume } L
water = Als Dampf verbliebenes Wasser: höchstens { $mg } mg; was Öl und Filtertrockner halten, kommt hinzu.
water-ppm = Wasser als Dampf: höchstens { $mg } mg ({ $ppm } ppm der Füllmenge; neues Kältemittel darf { $limit } Gewichts-ppm enthalten, AHRI 700); was Öl und Filtertrockner enthalten, kommt hinzu.
water-by-thermal-gauge = aus der Hälfte der Anzeige dieses thermischen Vakuummeters berechnet, denn es zeigt Wasserdampf etwa doppelt zu hoch an

## Gauges beside the judged one

place-pump-side = Pumpenseite
beside-nothing = { $place }: nichts gemessen.
beside-lowest = { $place }: tiefster Druck { $lowest }
beside-at-target = { $pressure } am Zieldruck ({ $compared })
beside-at-isolation = { $pressure } beim Absperren ({ $compared })
beside-alike = das beurteilte Vakuummeter höchstens 10 % davon entfernt
beside-above = das beurteilte Vakuummeter { $ratio }-mal darüber
beside-below = das beurteilte Vakuummeter beim { $ratio }-Fachen davon
beside-one-volume = in der Standprobe ein Volumen mit dem beurteilten Vakuummeter

## What went in

data-rows = { $rows } Zeilen, { $used } Messwerte verwendet
data-left-out = { $count ->
    [one] { $rows } Zeile ausgelassen
   *[other] { $rows } Zeilen ausgelassen
}
data-gaps = { $count ->
    [one] { $gaps } Lücke von insgesamt { $time }
   *[other] { $gaps } Lücken von insgesamt { $time }
}
data-every = alle { $seconds } s einer
data-a-second = { $number } je Sekunde
data-steps = Auflösung des Vakuummeters { $step }
data-noise = Rauschen { $noise }
rows-one = Zeile { $rows }
rows-many = Zeilen { $rows }
rows-and-more = Zeilen { $rows } und { $rest } weitere
and-more = und { $rest } weitere

## What comes next

next-pass = die Kriterien sind erfüllt; Kältemittel kann eingewogen werden, wenn Herstellerangaben und örtliche Vorschriften nicht mehr verlangen.
next-pass-leak = die Kriterien sind erfüllt, aber es gibt Anzeichen für ein Leck: es lohnt sich, es zu finden, bevor Kältemittel hineinkommt (unter Druck, mit trockenem Stickstoff über einen Druckminderer und Schaum, oder Prüfgas und Suchgerät, nie über dem Niederdruckwert des Typenschilds); dann evakuieren und Standprobe wiederholen.
next-pass-moisture = Etwas Feuchtigkeit oder ein anderer flüchtiger Stoff siedet noch aus: längeres Evakuieren lässt weniger davon zurück.
next-pass-uncertain = die Kriterien sind erfüllt; ob noch etwas einströmt oder aussiedet, ist nicht sicher, eine längere Standprobe würde es zeigen. Was als Nächstes kommt, bestimmen Herstellerangaben und örtliche Vorschriften.
next-pass-unknown = die Kriterien sind erfüllt, aber woher der Anstieg kommt, ist nicht bekannt, und ein Leck ist nicht ausgeschlossen: länger warten, oder erneut evakuieren und die Standproben vergleichen; ein Anstieg durch Feuchtigkeit wird mit jedem Evakuieren schwächer, einer durch ein Leck nicht.
next-pass-one-side = die Kriterien sind erfüllt, aber nur eine Seite wurde evakuiert: der Anstieg kann Gas sein, das hinter dem Kapillarrohr blieb, oder ein Leck; von beiden Seiten evakuieren und Standprobe wiederholen.
next-both-sides = von beiden Seiten evakuieren und Standprobe wiederholen: bis dahin kann der Anstieg von Gas hinter dem Kapillarrohr kommen, und ein Leck ist nicht gezeigt.
next-order-of-work = neu bis zum Zieldruck evakuieren; erst das Pumpenventil schließen, dann die Pumpe abstellen, damit nichts aus der Pumpe zurückströmt.
next-leak = das Leck suchen: unter Druck, mit trockenem Stickstoff über einen Druckminderer und Schaum, oder Prüfgas und Suchgerät, nie über dem Niederdruckwert des Typenschilds; dann evakuieren und Standprobe wiederholen.
next-moisture = erneut evakuieren und Standprobe wiederholen; sanfte Wärme, frisches Pumpenöl und ein neuer Filtertrockner verkürzen es meist.
next-leak-and-moisture = erst das Leck suchen (unter Druck, mit trockenem Stickstoff über einen Druckminderer und Schaum, oder Prüfgas und Suchgerät, nie über dem Niederdruckwert des Typenschilds), denn es lässt neue Feuchtigkeit ein; dann evakuieren, mit sanfter Wärme, frischem Pumpenöl und einem neuen Filtertrockner.
next-too-high = der Druck blieb stehen, aber zu hoch: neu bis zum Zieldruck evakuieren, bevor das Pumpenventil geschlossen wird.
next-unclear = erneut evakuieren und die Standproben vergleichen: ein Anstieg durch Feuchtigkeit wird mit jedem Evakuieren schwächer, einer durch ein Leck nicht.
next-as-it-looks = so wie es aussieht, und das ist nicht sicher: { $helps }
next-decide = Eine Standprobe von insgesamt { $all } sollte beide auf einmal unterscheiden.
next-target = Pumpe und Schläuche für sich abgesperrt zu prüfen zeigt, ob sie oder das System den Druck hoch halten; frisches Pumpenöl, weitere Schläuche und eine Lecksuche folgen meist.
next-reasons = die Gründe oben sagen, was vor dem nächsten Evakuieren in Ordnung zu bringen ist.
next-check-gauge = Vakuummeter, Kabel und Einstellungen prüfen, dann neu aufzeichnen.
next-finer-gauge = die Standprobe mit einem Absolut-Vakuummeter wiederholen, das einige micron auflöst.
next-ice = die kälteste Stelle des Systems über den Gefrierpunkt erwärmen (Verdampfer abtauen), neu bis zum Zieldruck evakuieren und die Standprobe wiederholen; war es Eis, kommt der Druck höher wieder, solange noch Wasser da ist, und nicht mehr, wenn es heraus ist.
next-gauge-open = die Standprobe mit einem zum System offenen Vakuummeter wiederholen, und im Auftrag angeben, dass es bei geschlossener Monteurhilfe offen bleibt (gauge_open_to_system).
next-unit = die Einheit mit der Anzeige des Vakuummeters vergleichen, dann mit --pressure-unit neu beurteilen, oder mit --unit-checked, wenn sie stimmt.
next-besides = erneut evakuieren und die Standprobe machen, wie gefordert: { $required }.
next-tell = wenn es so war, im Auftrag oder bei der Auswertung angeben: { $required }.
next-mark = den Augenblick markieren, in dem das Pumpenventil geschlossen wird, oder mit Angabe dieser Zeit neu beurteilen.
next-see-to-gauge = nach Vakuummeter und Kabel sehen, dann die Standprobe wiederholen: was nicht gemessen wurde, kann nicht beurteilt werden.
next-hold = bis zum Zieldruck evakuieren, das Pumpenventil schließen, die Pumpe abstellen und die Standprobe abwarten.
next-hold-on = die Standprobe noch { $more } fortsetzen (insgesamt { $all }); wurde das System seither geöffnet, evakuieren und Standprobe wiederholen.
next-will-not-pass = diese Standprobe wird nicht bestanden, wie lange sie auch dauert.
next-learn-cause = Noch { $more } länger (insgesamt { $all }) zeigte nur die Ursache.
next-repeat-longer = eine längere Standprobe machen, mit dem Vakuummeter auf der Systemseite.

## Curve

invented = ERFUNDENE VORFÜHRDATEN: kein Nachweis irgendeiner Reparatur
invented-short = ERFUNDENE DATEN
curve-title = Evakuierungskurve, { $source }: { $verdict }
curve-scale = Druck auf logarithmischer Skala
axis-since-start = { $unit } seit Beginn der Aufzeichnung
curve-no-hold = In dieser Aufzeichnung wurde keine Standprobe gefunden.
curve-job = Auftrag { $job }
curve-started = begonnen { $time }
curve-judged-by = beurteilt von { $program }
curve-target = Zieldruck
curve-ceiling = Obergrenze
curve-both-limits = Ziel, Obergrenze
curve-last-reading = letzter Messwert
curve-last-measurement = letzte Messung
curve-fit = angepasster Anstieg (gestrichelt)
curve-stall = { $kind } bei etwa { $level }
curve-hold = Standprobe, { $time }
curve-hold-number = Standprobe { $number }
curve-hold-number-time = Standprobe { $number }, { $time }
curve-shut-isolated = Pumpenventil geschlossen, abgesperrt
curve-isolated-given = abgesperrt (wie angegeben)
curve-isolated-curve = abgesperrt (in der Kurve gefunden)
curve-isolated-start = von Beginn an abgesperrt
curve-no-readings = keine Messwerte, { $time }
curve-fault = Fehler des Vakuummeters, { $time }
curve-over = über Messbereich
curve-over-bound = über Messbereich, über { $bound }
curve-under = unter Messbereich
curve-under-bound = unter Messbereich, unter { $bound }
curve-more-acts = +{ $acts } weitere
curve-dashed = { $place } (gestrichelt)

## Close-up of the hold

close-title = Die Standprobe auf linearer Skala
close-heading = Die Standprobe, lineare Skala
close-sight = Ein Leck unter { $limit } hätte sich nicht gezeigt.
axis-since-isolation = { $unit } seit dem Absperren
close-ceiling = Obergrenze
close-end = Ende
close-settled = nach Ausgleich
close-off-scale = Obergrenze { $ceiling }: außer Skala
close-equalisation = Druckausgleich

## The sheet

sheet-title = Evakuierungsprotokoll: { $verdict }, { $source }
sheet-heading = Protokoll: Evakuierung und Standprobe
sheet-job = Auftrag { $job }
sheet-claim = Garantieantrag { $claim }
sheet-work-order = Arbeitsauftrag { $order }
sheet-no-job = keine Auftragsdaten
sheet-started = begonnen { $time }
sheet-start-unknown = Beginn nicht bekannt
sheet-no-hold = In dieser Aufzeichnung wurde keine Standprobe gefunden: hier ist nichts zu zeigen.
not-given = nicht angegeben
not-known = nicht bekannt
given-at-review = { $value } (für diese Auswertung angegeben)

criterion = Kriterium
asked-for = Gefordert
measured = Gemessen
met = Erfüllt
met-yes = ja
met-no = nein
met-not-shown = nicht gezeigt
criterion-pull-down = Evakuieren
criterion-hold = Standzeit
criterion-ceiling = Obergrenze
criterion-record = Aufzeichnung
asked-target = { $target } oder tiefer
asked-hold = { $minutes } min oder länger
asked-ceiling = nicht über { $ceiling }
asked-record = Absperren gezeigt, Standprobe ohne Lücke
criterion-pump-on = Pumpe läuft
asked-pump-on = mindestens { $minutes } min nach dem Zieldruck
criterion-rise = Anstieg
asked-rise = höchstens { $rise }
criterion-steady = Konstant am Ende
asked-steady = innerhalb { $within } in den letzten { $minutes } min
measured-moved = Änderung { $moved }
criterion-repeat = Wiederholbereich
asked-repeat = nicht über { $pressure }, sonst wiederholen
criterion-rounds = Evakuierungen zuvor
asked-rounds = { $rounds } vor dieser
measured-rounds = { $met } von { $rounds }
asked-ambient = über { $c } °C
criterion-unit = Einheit
asked-unit = von Vakuummeter oder Datei genannt
unit-by-dialect = { $unit }, angenommen: das Vakuummeter sendet keine, das Datenformat sagt es
unit-by-option = { $unit }, angenommen: mit --pressure-unit angegeben
unit-stated = { $unit }
hold-begins = Standprobe beginnt bei { $pressure }
no-hold-found = keine Standprobe gefunden
held = { $time }, abgesperrt bei { $moment } ({ $basis })
highest-and-ends = höchster Druck { $highest } ({ $start } nach Ausgleich, { $end } am Ende)

rise-title = Anstieg, Leck, Wasser
entry-cause = Ursache
rise-no-hold = ohne Standprobe keine Antwort
rise-not-clear = noch nicht klar
entry-to-tell = Zur Klärung
a-hold-of = eine Standprobe von insgesamt { $all }
entry-leaks-share = Leckanteil
entry-straight = Gerader Anteil
entry-levels-off = Flacht ab bei
entry-pace = 63 % des Anstiegs
after = nach { $time }
entry-air = Luft eingezogen
entry-as-refrigerant = Als Kältemittel
entry-may-lose = Kältemittelverlust
entry-running = Im Betrieb
entry-reckoned = Berechnet aus
reckoned-ends = Anstieg × Volumen ({ $volume }), 20 °C; Strömung wie durch ein Rohr und wie durch ein feines Loch
reckoned-other-rate = Anstieg × Volumen ({ $volume }), 20 °C; das gefüllte System verliert anders
volume-given = dem angegebenen
entry-could-not-show = Kleinstes Leck
leak-below = erkennbar ab { $limits }; ein kleineres Leck ist nicht ausgeschlossen
leak-below-grams = erkennbar ab { $limits } (gefüllt { $grams }); ein kleineres ist nicht ausgeschlossen
entry-sealed = Geschlossen
sealed-yes = Leck von { $line } hätte sich gezeigt (EN 378-1, aus zweiter Hand)
sealed-no = Leck von { $line } hätte sich nicht gezeigt (EN 378-1, aus zweiter Hand)
sealed-depends = Leck von { $line }: je nach Strömung (EN 378-1, aus zweiter Hand)
entry-water = Wasser als Dampf
water-needs-volume = braucht das innere Volumen, das nicht angegeben ist
water-at-most = höchstens { $mg } mg; Öl und Filtertrockner können mehr halten
water-at-most-ppm = höchstens { $mg } mg, { $ppm } ppm der Füllmenge (neues Kältemittel: höchstens { $limit } ppm, AHRI 700); Öl und Filtertrockner können mehr enthalten

system-title = System
entry-appliance = Gerät
entry-model = Modell
entry-serial = Seriennr.
entry-refrigerant = Kältemittel
safety-group = { $refrigerant } (Sicherheitsgruppe { $group })
entry-charge = Füllmenge
entry-oil = Öl
entry-volume = Volumen
entry-sides = Evakuiert von
sides-one = nur einer Seite
sides-both = beiden Seiten
entry-ambient = Umgebung
ambient-and-coldest = { $ambient }; kälteste { $coldest }
entry-repair = Reparatur
paperwork-title = Kunde, Garantieantrag und Teile
entry-work-order = Arbeitsauftrag
entry-claim = Garantieantrag
entry-customer = Kunde
entry-site = Standort
entry-leak-location = Leckstelle
entry-parts-fitted = Eingebaute Teile
entry-compressor-old = Alter Verdichter, Seriennr.
entry-compressor-new = Neuer Verdichter, Seriennr.
entry-recovered = Kältemittel rückgewonnen
entry-charged = Kältemittel eingefüllt

instruments-title = Vakuummeter, Pumpe, Schläuche
entry-gauge = Vakuummeter
principle-thermal = thermisch
principle-diaphragm = Membran
entry-dialect = Datenformat
entry-calibrated = Kalibriert
entry-next-due = Nächste Kalibrierung
was-overdue = { $day }, ÜBERFÄLLIG
entry-steps = Auflösung
entry-noise = Rauschen
entry-interval = Messabstand
entry-pump = Pumpe
entry-hoses = Schläuche
entry-second-gauge = Zweites Gerät
and-due = { $value }, fällig { $due }
and-noise = { $value }, Rauschen { $noise }
second-serial = Nr. { $serial }
second-calibrated = kalibriert { $day }
second-due = fällig { $day }

timeline-title = Ablauf (h:mm:ss)
event-stall = Stockung: { $kind }
event-isolated = abgesperrt ({ $basis })
event-end-of-hold = Ende der Standprobe
more-in-record = { $rows } weitere in der Aufzeichnung
notes-title = Was meist als Nächstes kommt; Befunde
more-findings = { $sentences } weitere in findings.json.
cautions-title = Sicherheit
sign-technician = Techniker
sign-licence = Zertifikat- oder Zulassungsnr.
sign-signature = Unterschrift
sign-date = Datum
foot = Beurteilt von { $program } nach „{ $criteria }“ ({ $source }). „95 %: a bis b“ schließt den wahren Wert in 19 von 20 Fällen ein. Eine bestandene Standprobe sagt nicht, dass es kein Leck gibt, nur was sie hätte zeigen können. Örtliche Vorschriften und Herstellerangaben entscheiden.
code-alt = Die Prüfsumme der Aufzeichnung als Code für die Kamera

## Tables and pages

criteria-title = Kriterien und Messwerte
rounds-title = Alle Durchgänge
rounds-round = Durchgang
rounds-rise = Anstieg
rounds-none = keine
logo-alt = Logo des Betriebs
photo-alt = Foto zu diesem Auftrag; es gehört zur Aufzeichnung
overleaf = Mehr auf Seite { $page }.
continued = { $title } (Fortsetzung)
page-of = Seite { $page } von { $pages }
