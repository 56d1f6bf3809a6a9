# French. Which word was chosen for which thing is in GLOSSARY.md. No-break spaces
# stand before : ; % and inside « ».

## Numbers

unknown = inconnu
range = { $low } à { $high }
estimate = { $value } { $unit } (95 % : { $low } à { $high })
estimate-both = { $value } { $unit } ({ $micron } ; 95 % : { $low } à { $high } { $unit })
at-most = au plus { $value }
before-noon = AM
after-noon = PM
seconds = secondes
minutes = minutes
hours = heures
days = { $range } jours
months = { $range } mois
years = { $range } ans
per-year = g/an
list-and = { $list } et { $last }
labelled = { $name } : { $text }
clause-break = { "\u202F; " }

## Verdict and its reasons

verdict-pass = CONFORME
verdict-fail = NON CONFORME
verdict-not-proven = NON PROUVÉ
verdict-pass-rule = CONFORME selon la règle
pass-leak = une fuite est indiquée
pass-leak-size = une fuite est indiquée : { $size }
pass-cause-unknown = on ne sait pas d'où vient la remontée
pass-reason = Tiré au vide jusqu'à la cible de { $target }, puis maintenu { $time } sous le plafond de { $ceiling }.
pass-reason-highest = Tiré au vide jusqu'à la cible de { $target }, puis maintenu { $time } sous le plafond de { $ceiling }, maximum { $highest }.
pass-without-hold = Les critères sont remplis.
no-reason = Aucun motif n'a été enregistré.
reason-target-not-reached = le tirage au vide n'a pas atteint la cible
reason-hold-too-short = la tenue au vide a été plus courte que ne l'exigent les critères
reason-ceiling-exceeded = la pression a dépassé le plafond pendant la tenue au vide
reason-no-isolation = l'enregistrement ne montre pas quand la pompe a été isolée
reason-gap-in-hold = il manque des mesures dans la tenue au vide
reason-gauge-fault = le vacuomètre a signalé un défaut ou quitté sa plage pendant la tenue au vide
reason-pump-open-at-stop = la pompe a été arrêtée alors que sa vanne était encore ouverte
reason-no-readings = il n'y a aucune mesure à juger
reason-ice-possible = la tenue au vide se tient là où se tient la glace au point le plus froid du système : elle ne montre pas que le système est sec
reason-gauge-too-coarse = la résolution du vacuomètre est trop grossière pour prouver la tenue au vide
reason-gauge-shut-off = le manifold a été fermé, et le vacuomètre a pu être séparé du système
reason-unit-doubtful = les mesures semblent venir dans une autre unité
reason-pump-on-too-short = la pompe a été isolée trop tôt après la cible
reason-rose-too-much = la pression est remontée plus que les critères ne l'admettent
reason-not-steady = la pression n'était pas stable à la fin de la tenue au vide
reason-repeat-asked = la pression se trouvait dans la plage où il faut recommencer le tirage au vide et la tenue au vide
reason-rounds-missing = des tirages au vide exigés avant celui-ci manquent
reason-sides-not-shown = les critères exigent les deux côtés, et la fiche de travail ne dit pas que les deux ont été tirés au vide
reason-ambient-not-shown = les critères exigent un local plus chaud, ou sa température n'est pas donnée
reason-besides = { $reason } (mesuré : { $measured } ; exigé : { $required })
pass-softer = selon des critères plus souples que la pratique courante ({ $target }, { $minutes } min)
softer-than-common = Selon des critères plus souples que la pratique courante ({ $target }, { $minutes } min). { $text }
reason-lowest = le tirage au vide n'a pas atteint la cible de { $target } : minimum { $lowest }
reason-lasted = la tenue au vide a duré { $lasted }, les critères exigent { $asked }
reason-began-above = la tenue au vide a commencé à { $start }, déjà au-dessus du plafond de { $ceiling }
reason-rose-above = la pression est montée à { $highest } pendant la tenue au vide, au-dessus du plafond de { $ceiling }
reason-other = un motif pour lequel cette version n'a pas de mots

## Criteria

judged-against = Jugé selon : { $criteria } ({ $source }).
criteria = cible { $target }, tenue au vide { $minutes } min, plafond { $ceiling }
criteria-besides = { $criteria } ; en outre : { $further }
criteria-common = pratique courante
criteria-common-source = pratique courante, sans source publiée
criteria-given = comme indiqué
criteria-given-source = indiqué sur la ligne de commande

## The review, line by line

round = Cycle { $number }
pulldown-line = Tirage au vide de { $time } : minimum { $lowest }, { $reached }.
nothing-measured = rien de mesuré
lowest = minimum { $pressure }
highest = maximum { $pressure }
from-to = de { $from } à { $to }
target-reached = cible atteinte
target-reached-at = cible atteinte à { $moment }
target-not-reached = cible non atteinte
hold-line = Tenue au vide : { $figures } ; isolé à { $moment } ({ $basis }).
basis-mark = d'après le repère
basis-given = selon le vérificateur
basis-curve = trouvé dans la courbe
basis-from-start = isolé dès le début de l'enregistrement
note-line = note : { $text }
note-line-at = note : à { $moment } : { $text }
next-line = Ensuite : { $text }
record-line = enregistrement : { $text }
left-out-line = écarté : { $text }
digest = Empreinte de l'enregistrement : { $digest }. Pour la vérifier : dryhold verify DOSSIER.

## Phases of a run

phase-waiting = en attente du vacuomètre
phase-pull-down = tirage au vide
phase-at-target = cible atteinte
phase-hold = tenue au vide

## Marks

mark-valve-opened = vanne ouverte
mark-pump-side-shut = vanne côté pompe fermée
mark-pump-stopped = pompe arrêtée
mark-nitrogen-break = vide cassé à l'azote
mark-throttled = débit réduit
mark-ballast-opened = lest d'air ouvert
mark-heat-applied = chauffage
mark-pressurised = mis sous pression
mark-supply-shut = vanne d'alimentation fermée
mark-vented = gaz évacué
mark-note = remarque
mark-from-device = appareil { $device }: { $words }

## Stalls: what held the pull-down up

stall-line = Stagnation, { $kind }, { $from } à { $to } vers { $level }.
stall-foaming = moussage de l'huile de pompe
stall-boil-off = ébullition d'eau
stall-ice = eau gelée en glace
stall-floor = vide limite atteint
stall-choked = débit étranglé
stall-foaming-advice = réduire le débit à la pompe jusqu'à ce que l'huile se calme y remédie d'ordinaire ; une huile ancienne est à changer
stall-boil-off-advice = de l'eau liquide bout : une chaleur douce et le lest d'air ouvert aident d'ordinaire ; sous { $freezing } l'eau gèle, mieux vaut donc la laisser d'abord s'évaporer
stall-ice-advice = l'eau a gelé et ne part que lentement en vapeur : réchauffer doucement le point froid, jamais à la flamme ; ou casser le vide à l'azote sec par un détendeur et tirer de nouveau ; ouvrir le lest d'air si la pompe en a un
stall-floor-advice = la pompe, l'huile, les flexibles, une fuite ou l'humidité la retiennent ici : un essai de la pompe et des flexibles obturés dit lequel
stall-choked-advice = chercher une vanne à moitié fermée, un flexible plié ou trop fin, un obus resté en place
stall-throttled = terminée quand le débit a été réduit
stall-ballast-opened = terminée quand le lest d'air a été ouvert
stall-heat-applied = terminée quand on a chauffé
stall-nitrogen-break = terminée quand le vide a été cassé à l'azote
stall-cleared = disparue d'elle-même
stall-isolated = a duré jusqu'à l'isolement de la pompe
stall-still-on = encore en cours
stall-rough = { $times } fois plus agité que le vacuomètre seul
stall-gave-way = a cédé quand le débit a été réduit
stall-rises-again = remonte sans cesse
stall-smooth = lisse
stall-boils = lisse, là où l'eau bout à { $c } °C
stall-sublimes = lisse, là où la glace se sublime à { $c } °C
stall-levelling = se stabilise
stall-levelling-at = se stabilise à { $pressure }
stall-falling = baisse de { $percent } % par minute, bien plus lentement qu'une pompe

## Findings

said-isolation-from-curve = l'isolement a été trouvé dans la courbe ; il a pu avoir lieu jusqu'à { $earlier } plus tôt ou { $later } plus tard ; un repère à la vanne le rendrait certain
said-starts-isolated = l'enregistrement commence par une remontée : il est considéré comme isolé dès sa première mesure
said-pressure-falls = la pression est tombée de { $from } à { $to } pendant la tenue au vide : du gaz a été absorbé ou refroidi, ou la pompe était encore raccordée
said-will-not-pass-leak = avec cette remontée, { $ceiling } est dépassé environ { $minutes } min après l'isolement (dans plus de { $odds } cas sur 100) : cette tenue au vide ne sera pas conforme ; la remontée est droite : chercher une fuite
said-will-not-pass = avec cette remontée, { $ceiling } est dépassé environ { $minutes } min après l'isolement (dans plus de { $odds } cas sur 100) : cette tenue au vide ne sera pas conforme ; le poursuivre sert à connaître la cause
said-left-range = la pression est sortie de la plage du vacuomètre { $after } après l'isolement : la remontée est d'au moins { $rate }
said-fit-stops-early = la remontée n'est jugée que jusqu'où le vacuomètre et la fuite restent linéaires
said-rise-began-late = la pression est restée stable { $minutes } min après l'isolement et n'est montée qu'ensuite ; une fuite ou de l'eau qui bout commence aussitôt, donc quelque chose s'est libéré, ouvert, réchauffé ou a atteint tard le vacuomètre ; la remontée est jugée à partir de là
said-free-water-ahead = la remontée ne s'est pas stabilisée ; là où elle peut finir inclut la pression de saturation de l'eau à { $room } ({ $saturation }) : il peut rester de l'eau liquide dans le système
said-free-water = la remontée se stabilise vers { $level }, la pression de saturation de l'eau à { $room } ({ $saturation }) : il reste probablement de l'eau liquide dans le système
said-bound-moisture = la remontée se stabilise vers { $level }, loin sous { $saturation } pour de l'eau libre à { $room } : plutôt de l'eau liée dans l'huile ou le déshydrateur, un point froid, ou du fluide frigorigène qui sort de l'huile
said-pass-with-leak = la règle est remplie, mais { $leak }
said-ice-in-hold = la tenue au vide se tient à { $level }, où peut se tenir la glace au point le plus froid ({ $c } °C, { $saturation }) : { $range } (thermomètre 2 K, vacuomètre 10 %, double dans la vapeur d'eau)
said-ice-not-ruled-out = la glace à { $c } °C se tient aussi à { $level } : l'eau gelée en un point aussi froid ou plus froid ne se voit pas dans cette tenue au vide ; indiquer la température du point le plus froid, ou dégivrer et recommencer
said-too-cold-to-dry = le local est à { $c } °C : une épreuve de tirage au vide demande plus de 2 °C (UFGS 15182), car l'eau gèle et n'en sort guère ; réchauffer le système et recommencer
room = { $c } °C
room-assumed = { $c } °C (supposés)
said-stalled = { $kind } pendant { $minutes } min vers { $level }, { $evidence } ; { $end } : { $advice }
said-isolation-mark-missing = la fermeture de la vanne n'a pas laissé de trace dans la pression, ou elle n'a jamais été fermée : poser le repère « { $mark } » à ce moment, ou indiquer l'heure à la vérification
said-hold-longer = il aurait fallu { $time } de tenue au vide de plus
said-missing-charge = il manquait { $grams } g { $months } mois après la dernière charge : si c'était une fuite, cette tenue au vide monterait de { $rates }
said-missing-charge-and-answer = { $asked } ; { $answer }
said-missing-charge-ruled-out = une telle fuite se serait vue, car il peut en rester au plus { $rate } : la charge était insuffisante, sauf si la fuite a été réparée avant cette tenue au vide
said-missing-charge-leak = la fuite de { $rates } dans cette tenue au vide l'explique : c'était une fuite
said-missing-charge-small-leak = il y a une fuite, mais au plus { $rate } ne l'expliquent pas : la charge était aussi insuffisante
said-missing-charge-hold-longer = cette tenue au vide pouvait montrer au mieux { $rate } et laisse ouvert si c'était une fuite ou une charge insuffisante : maintenir environ { $time }
said-missing-charge-open = cette tenue au vide laisse ouvert si c'était une fuite ou une charge insuffisante
said-later-hold-broken-off = la tenue au vide commencée ici a été interrompue après { $time }, avant de pouvoir montrer quoi que ce soit : c'est la tenue précédente qui compte
said-one-side-evacuated = un seul côté a été tiré au vide : le gaz resté derrière le capillaire passe dans la tenue au vide et ressemble à une fuite ; tirer des deux côtés, ou maintenir des heures, avant d'en accuser une
said-pump-open-at-stop = la pompe a été arrêtée alors que sa vanne était encore ouverte : air, huile de pompe et impuretés peuvent être aspirés dans le système ; fermer d'abord la vanne côté pompe, puis arrêter la pompe, et tirer de nouveau au vide
said-gauge-stands-still = le vacuomètre est resté immobile à { $level } pendant { $time }, et rien dans l'enregistrement ne montre qu'il aurait bougé : un vacuomètre mort, figé ou séparé montre la même chose
said-gauge-at-floor = le vacuomètre est resté à { $level }, la plus basse valeur qu'il montre dans cet enregistrement : la pression a pu être n'importe où au-dessous, et un vacuomètre mort montre la même chose
said-gauge-under-range = le vacuomètre a annoncé pendant une grande partie de la tenue au vide une pression sous son étendue de mesure : ce n'est pas une mesure, et un câble rompu peut montrer la même chose
said-gauge-steps = la résolution du vacuomètre est de { $step } ; la plus grossière qui prouve cette tenue au vide est { $most }
said-gauge-shut-off = les vannes du manifold ont été fermées, et la fiche de travail dit que le vacuomètre est alors séparé du système : la tenue au vide montre le manifold et non le système
said-gauge-shut-off-unknown = les vannes du manifold ont été fermées, et la fiche de travail ne dit pas si le vacuomètre reste alors ouvert au système (gauge_open_to_system) : la tenue au vide montre peut-être le manifold et non le système
said-unit-doubtful = l'enregistrement commence à { $number } { $unit }, et { $number } est l'air extérieur en { $likely } : il est peut-être venu en { $likely } ; comparer avec l'affichage du vacuomètre, puis donner --pressure-unit, ou --unit-checked si { $unit } est juste
said-unit-too-low = la tenue au vide se tient à { $number } { $unit }, plus bas que n'atteignent les pompes de ce métier : comparer l'unité avec l'affichage du vacuomètre, puis donner --pressure-unit, ou --unit-checked si { $unit } est juste
said-unit-by-dialect = le vacuomètre envoie des nombres sans unité, et son format les prend pour des { $unit } : comparer avec l'affichage du vacuomètre
said-unit-by-option = l'unité { $unit } n'est pas dans le fichier, elle a été donnée par --pressure-unit : comparer avec l'affichage du vacuomètre
said-criteria-softer = les critères sont plus souples que la pratique courante : cible, plafond ou tenue au vide demandent moins que { $target } et { $minutes } min
said-calibration-overdue = { $days ->
    [one] l'étalonnage du vacuomètre était échu depuis { $count } jour au début de l'enregistrement (échéance { $due })
   *[other] l'étalonnage du vacuomètre était échu depuis { $count } jours au début de l'enregistrement (échéance { $due })
} : une demande de garantie peut être refusée pour cette raison ; faire étalonner le vacuomètre
said-calibration-overdue-beside = { $days ->
    [one] l'étalonnage du vacuomètre ({ $place }) était échu depuis { $count } jour au début de l'enregistrement (échéance { $due })
   *[other] l'étalonnage du vacuomètre ({ $place }) était échu depuis { $count } jours au début de l'enregistrement (échéance { $due })
} ; ce vacuomètre ne compte pas pour le résultat
said-far-side-lags = le vacuomètre éloigné est resté { $ratio } fois au-dessus du côté pompe pendant { $time } ({ $range }) : flexible, obus ou capillaire laissent 1/{ $ratio } du débit de la pompe ; { $wait } ; des flexibles plus courts et plus larges et des obus retirés aident d'ordinaire
far-side-later = le côté pompe était à la cible { $time } avant le côté éloigné, qui est celui que l'on juge
far-side-not-later = la cible est jugée au vacuomètre éloigné
far-side-never = le côté pompe était à la cible, le côté éloigné, que l'on juge, jamais
said-gauges-disagree = dans un même volume le vacuomètre jugé indique { $far } et l'autre ({ $place }) { $beside }, plus que n'expliquent les pas, le bruit et { $percent } % de la mesure de chacun : faire contrôler les deux ; de l'huile ou de l'humidité sur un capteur en est la cause habituelle
said-rises-alone-pump = seul le vacuomètre côté pompe monte { $range } en { $time } (vacuomètre éloigné { $far }) : la pompe arrêtée laisse revenir de l'air, ce n'est pas le système
said-rises-alone = seul le vacuomètre côté pompe monte { $range } en { $time } (vacuomètre éloigné { $far }) : la pompe, le flexible ou un raccord y laisse entrer du gaz, pas le système
beyond-range = de { $from } au-delà de sa plage
said-other = un constat pour lequel cette version n'a pas de mots

## The rise

rise-none = pas de remontée au-delà du bruit
rise-leak = remontée droite : fuite
rise-moisture = remontée qui se stabilise : humidité ou autre produit volatil
rise-leak-and-moisture = fuite et humidité ensemble
rise-unclear = cause de la remontée pas encore claire
rise-and-rate = { $cause }, { $rate }
rise-and-share = { $cause } ; la part d'une fuite est { $rate }
rise-at-level = { $rise }, à { $level }
rise-moisture-part = { $rise } ; la part de l'humidité se stabilise à { $level }
rise-not-level = { $rise }, qui s'infléchit sans être encore plate : vers { $range }
rise-pace = { $rise }, dont 63 % après { $pace }
rise-hold-longer = Une tenue au vide de { $all } en tout (encore { $more }) devrait distinguer fuite et humidité.
rise-odds = Une telle réponse est juste dans plus de { $odds } cas sur 100.
rise-and-straight = { $cause } ; part droite { $rate }
rise-towards = { $rise } ; ce qui s'infléchit se stabilise à { $level }
tends-none = pas de remontée visible jusqu'ici ; pas encore sûr
tends-leak = cela ressemble à une fuite ; pas encore sûr
tends-moisture = cela ressemble à de l'humidité ; pas encore sûr
tends-leak-and-moisture = cela ressemble à une fuite avec humidité ; pas encore sûr
live-odds = { $cause }, juste dans plus de { $odds } cas sur 100
live-leak = remontée droite : fuite
live-moisture = se stabilise : humidité
live-leak-and-moisture = fuite et humidité
live-unclear = cause pas encore claire
live-unclear-more = cause pas claire, encore { $more } pour la savoir
live-will-not-pass = ne sera pas réussi, juste dans plus de { $odds } cas sur 100
live-will-not-pass-leak = fuite, ne sera pas réussi, juste dans plus de { $odds } cas sur 100

## The leak

leak-flow = Air aspiré par la fuite : { $flow }.
leak-flow-grams = Air aspiré par la fuite : { $flow } ; le même débit de fluide frigorigène serait { $grams }.
leak-flow-unclear = Air aspiré, si c'est une fuite : { $flow }.
leak-flow-unclear-grams = Air aspiré, si c'est une fuite : { $flow } ; le même débit de fluide frigorigène serait { $grams }.
leak-other-rate = Le système chargé perd à un autre rythme.
leak-charged = Chargé et à l'arrêt à 20 °C, il peut perdre { $loss }.
low-side-draws-in = en marche à froid, le côté basse pression est au-dessous de l'air ambiant (environ { $kpa } kPa absolus à { $c } °C) : une fuite y aspire alors de l'air
loss = { $range } g/an
loss-years = { $loss }, un dixième de la charge en { $years }
loss-of = { $loss } de { $refrigerant }
sight-unknown = On ne sait pas quelle est la plus petite fuite que cette tenue au vide aurait montrée.
sight = Cette tenue au vide n'aurait pas pu montrer une fuite inférieure à { $limit } : une fuite plus petite n'est pas exclue.
sight-grams = Cette tenue au vide n'aurait pas pu montrer une fuite inférieure à { $limit }, par laquelle le système chargé peut perdre { $grams } : une fuite plus petite n'est pas exclue.
sealed-yes-sentence = Une fuite de { $line } (système scellé, EN 378-1, de seconde main) se serait vue.
sealed-no-sentence = Une fuite de { $line } (système scellé, EN 378-1, de seconde main) ne se serait pas vue.
sealed-depends-sentence = Qu'une fuite de { $line } (système scellé, EN 378-1, de seconde main) se soit vue dépend de son écoulement.
flow-in-volume = { $flow } dans { $volume } L
water = Eau restée en vapeur : au plus { $mg } mg ; s'y ajoute ce que retiennent l'huile et le filtre déshydrateur.
water-ppm = Eau restant en vapeur : au plus { $mg } mg ({ $ppm } ppm de la charge ; un fluide neuf peut en contenir { $limit } ppm en masse, AHRI 700) ; l'huile et le filtre déshydrateur en contiennent en plus.
water-by-thermal-gauge = calculé sur la moitié de ce qu'indique ce vacuomètre thermique, qui indique la vapeur d'eau environ deux fois trop haut

## Gauges beside the judged one

place-pump-side = côté pompe
beside-nothing = { $place } : rien de mesuré.
beside-lowest = { $place } : minimum { $lowest }
beside-at-target = { $pressure } à la cible ({ $compared })
beside-at-isolation = { $pressure } à l'isolement ({ $compared })
beside-alike = le vacuomètre jugé à moins de 10 % de lui
beside-above = le vacuomètre jugé { $ratio } fois au-dessus
beside-below = le vacuomètre jugé à { $ratio } fois cette valeur
beside-one-volume = pendant la tenue au vide un seul volume avec le vacuomètre jugé

## What went in

data-rows = { $rows } lignes, { $used } mesures utilisées
data-left-out = { $count ->
    [one] { $rows } ligne écartée
   *[other] { $rows } lignes écartées
}
data-gaps = { $count ->
    [one] { $gaps } trou de { $time } en tout
   *[other] { $gaps } trous de { $time } en tout
}
data-every = une toutes les { $seconds } s
data-a-second = { $number } par seconde
data-steps = résolution du vacuomètre { $step }
data-noise = bruit { $noise }
rows-one = ligne { $rows }
rows-many = lignes { $rows }
rows-and-more = lignes { $rows } et { $rest } autres
and-more = et { $rest } autres

## What comes next

next-pass = les critères sont remplis ; on peut charger à la balance si les consignes du fabricant et la réglementation locale n'exigent rien de plus.
next-pass-leak = les critères sont remplis, mais une fuite est indiquée : mieux vaut la trouver avant que du fluide n'entre (sous pression, à l'azote sec par un détendeur et à l'eau savonneuse, ou au gaz traceur et au détecteur, jamais au-dessus de la basse pression de la plaque) ; puis tirer au vide et maintenir de nouveau.
next-pass-moisture = Un peu d'humidité ou d'un autre produit volatil s'évapore encore : un tirage au vide plus long en laisse moins.
next-pass-uncertain = les critères sont remplis ; il n'est pas sûr que plus rien n'entre ou ne s'évapore, et une tenue au vide plus longue le dirait. La suite dépend des consignes du fabricant et de la réglementation locale.
next-pass-unknown = les critères sont remplis, mais on ne sait pas d'où vient la remontée, et une fuite n'est pas exclue : une tenue au vide plus longue, ou tirer de nouveau au vide et comparer les tenues au vide ; une remontée due à l'humidité faiblit à chaque tirage, une due à une fuite non.
next-pass-one-side = les critères sont remplis, mais un seul côté a été tiré au vide : la remontée peut venir de gaz resté derrière le tube capillaire, ou d'une fuite ; tirer au vide des deux côtés et refaire la tenue au vide.
next-both-sides = tirer au vide des deux côtés et refaire la tenue au vide : d'ici là la remontée peut venir de gaz resté derrière le capillaire, et rien ne montre une fuite.
next-order-of-work = tirer de nouveau au vide jusqu'à la cible ; fermer d'abord la vanne côté pompe, puis arrêter la pompe, pour que rien ne revienne de la pompe.
next-leak = chercher la fuite sous pression, à l'azote sec par un détendeur et à l'eau savonneuse, ou au gaz traceur et au détecteur, jamais au-dessus de la basse pression de la plaque ; puis tirer au vide et maintenir de nouveau.
next-moisture = tirer au vide et refaire la tenue au vide ; une chaleur douce, de l'huile de pompe neuve et un filtre déshydrateur neuf abrègent d'ordinaire.
next-leak-and-moisture = trouver d'abord la fuite (sous pression, à l'azote sec par un détendeur et à l'eau savonneuse, ou au gaz traceur et au détecteur, jamais au-dessus de la basse pression de la plaque), car elle laisse entrer de l'humidité ; puis tirer au vide, avec une chaleur douce, de l'huile de pompe neuve et un filtre déshydrateur neuf.
next-too-high = la pression est restée stable, mais trop haute : tirer de nouveau au vide jusqu'à la cible avant de fermer la vanne côté pompe.
next-unclear = tirer de nouveau au vide et comparer les tenues au vide : une remontée due à l'humidité faiblit à chaque tirage, une due à une fuite non.
next-as-it-looks = à ce qu'il semble, et ce n'est pas sûr : { $helps }
next-decide = Une tenue au vide de { $all } en tout devrait les distinguer d'un coup.
next-target = un essai de la pompe et des flexibles obturés dit si ce sont eux ou le système qui tiennent la pression haute ; de l'huile de pompe neuve, des flexibles plus larges et une recherche de fuite suivent d'ordinaire.
next-reasons = les motifs ci-dessus disent ce qu'il faut corriger avant le prochain tirage au vide.
next-check-gauge = vérifier le vacuomètre, son câble et ses réglages, puis enregistrer de nouveau.
next-finer-gauge = refaire la tenue au vide avec un vacuomètre absolu qui distingue quelques micron.
next-ice = réchauffer le point le plus froid du système au-dessus de zéro (dégivrer l'évaporateur), tirer de nouveau au vide jusqu'à la cible et refaire la tenue au vide ; si c'était de la glace, la pression revient plus haut tant qu'il reste de l'eau, et plus du tout une fois qu'elle est sortie.
next-gauge-open = refaire la tenue au vide avec le vacuomètre ouvert au système, et dire dans la fiche de travail qu'il le reste quand le manifold est fermé (gauge_open_to_system).
next-unit = comparer l'unité avec l'affichage du vacuomètre, puis juger de nouveau avec --pressure-unit, ou avec --unit-checked si elle est juste.
next-besides = refaire le tirage au vide et la tenue au vide comme exigé : { $required }.
next-tell = si c'était le cas, le dire dans la fiche de travail ou à l'analyse : { $required }.
next-mark = marquer le moment où la vanne côté pompe est fermée, ou juger de nouveau en donnant l'heure de l'isolement.
next-see-to-gauge = s'occuper du vacuomètre et de son câble, puis refaire la tenue au vide : ce qui n'a pas été mesuré ne peut être jugé.
next-hold = tirer au vide jusqu'à la cible, fermer la vanne côté pompe, arrêter la pompe et laisser le système en tenue au vide.
next-hold-on = maintenir encore { $more } ({ $all } en tout) ; si le système a été ouvert depuis, tirer au vide et refaire la tenue au vide.
next-will-not-pass = cette tenue au vide ne sera pas conforme, quelle que soit sa durée.
next-learn-cause = Continuer encore { $more } ({ $all } en tout) ne dirait que la cause.
next-repeat-longer = refaire la tenue au vide, plus longue, avec le vacuomètre côté système.

## Curve

invented = DONNÉES DE DÉMONSTRATION INVENTÉES : ne prouvent aucune réparation
invented-short = INVENTÉ
curve-title = Courbe de tirage au vide, { $source } : { $verdict }
curve-scale = pression sur échelle logarithmique
axis-since-start = { $unit } depuis le début de l'enregistrement
curve-no-hold = Aucune tenue au vide n'a été trouvée dans cet enregistrement.
curve-job = travail { $job }
curve-started = début { $time }
curve-judged-by = jugé par { $program }
curve-target = cible
curve-ceiling = plafond
curve-both-limits = cible et plafond
curve-last-reading = dernière lecture
curve-last-measurement = dernière mesure
curve-fit = remontée ajustée (tirets)
curve-stall = { $kind } vers { $level }
curve-hold = tenue au vide, { $time }
curve-hold-number = tenue au vide { $number }
curve-hold-number-time = tenue au vide { $number }, { $time }
curve-shut-isolated = vanne côté pompe fermée, isolé
curve-isolated-given = isolé (comme indiqué)
curve-isolated-curve = isolé (trouvé dans la courbe)
curve-isolated-start = isolé dès le début
curve-no-readings = pas de mesures, { $time }
curve-fault = défaut du vacuomètre, { $time }
curve-over = au-dessus de la plage
curve-over-bound = au-dessus de la plage, plus de { $bound }
curve-under = sous la plage
curve-under-bound = sous la plage, moins de { $bound }
curve-more-acts = +{ $acts } autres
curve-dashed = { $place } (tirets)

## Close-up of the hold

close-title = La tenue au vide sur échelle linéaire
close-heading = La tenue au vide, échelle linéaire
close-sight = Une fuite sous { $limit } ne se serait pas vue.
axis-since-isolation = { $unit } depuis l'isolement
close-ceiling = plafond
close-end = fin
close-settled = après équilibre
close-off-scale = plafond { $ceiling } : hors échelle
close-equalisation = équilibrage

## The sheet

sheet-title = Rapport de tirage au vide : { $verdict }, { $source }
sheet-heading = Tirage au vide et tenue au vide
sheet-job = Travail { $job }
sheet-claim = demande de garantie { $claim }
sheet-work-order = ordre de travail { $order }
sheet-no-job = pas de données du travail
sheet-started = début { $time }
sheet-start-unknown = heure de début inconnue
sheet-no-hold = Aucune tenue au vide n'a été trouvée dans cet enregistrement : il n'y a rien à montrer ici.
not-given = non indiqué
not-known = non connu
given-at-review = { $value } (donné pour cette analyse)

criterion = Critère
asked-for = Exigé
measured = Mesuré
met = Rempli
met-yes = oui
met-no = non
met-not-shown = non montré
criterion-pull-down = Tirage au vide
criterion-hold = Tenue au vide
criterion-ceiling = Plafond
criterion-record = Enregistrement
asked-target = { $target } ou moins
asked-hold = { $minutes } min ou plus
asked-ceiling = pas plus de { $ceiling }
asked-record = isolement visible, tenue au vide sans interruption
criterion-pump-on = Pompe en marche
asked-pump-on = au moins { $minutes } min après la cible
criterion-rise = Remontée
asked-rise = au plus { $rise }
criterion-steady = Stable à la fin
asked-steady = à { $within } près les { $minutes } dernières min
measured-moved = variation de { $moved }
criterion-repeat = Plage à refaire
asked-repeat = pas plus de { $pressure }, sinon recommencer
criterion-rounds = Tirages avant
asked-rounds = { $rounds } avant celui-ci
measured-rounds = { $met } sur { $rounds }
asked-ambient = plus de { $c } °C
criterion-unit = Unité
asked-unit = donnée par le vacuomètre ou le fichier
unit-by-dialect = { $unit }, supposée : le vacuomètre n'en envoie pas, son format le dit
unit-by-option = { $unit }, supposée : donnée par --pressure-unit
unit-stated = { $unit }
hold-begins = la tenue au vide commence à { $pressure }
no-hold-found = aucune tenue au vide trouvée
held = { $time }, isolé à { $moment } ({ $basis })
highest-and-ends = maximum { $highest } ({ $start } après équilibre, { $end } à la fin)

rise-title = Remontée, fuite, eau
entry-cause = Cause
rise-no-hold = sans tenue au vide, pas de réponse
rise-not-clear = pas encore claire
entry-to-tell = Pour la savoir
a-hold-of = une tenue au vide de { $all } en tout
entry-leaks-share = Part d'une fuite
entry-straight = Part droite
entry-levels-off = Se stabilise à
entry-pace = 63 % de la montée
after = après { $time }
entry-air = Air aspiré
entry-as-refrigerant = En fluide
entry-may-lose = Perte de fluide
entry-running = En marche
entry-reckoned = Calculé d'après
reckoned-ends = remontée × volume ({ $volume }), 20 °C ; écoulement comme par un tube et comme par un trou fin
reckoned-other-rate = remontée × volume ({ $volume }), 20 °C ; le système chargé perd autrement
volume-given = celui indiqué
entry-could-not-show = Plus petite fuite
leak-below = décelable dès { $limits } ; une fuite plus petite n'est pas exclue
leak-below-grams = décelable dès { $limits } (chargé, { $grams }) ; une plus petite n'est pas exclue
entry-sealed = Scellé
sealed-yes = une fuite de { $line } se serait vue (EN 378-1, de seconde main)
sealed-no = une fuite de { $line } ne se serait pas vue (EN 378-1, de seconde main)
sealed-depends = une fuite de { $line } se voit ou non selon son écoulement (EN 378-1, de seconde main)
entry-water = Eau en vapeur
water-needs-volume = demande le volume intérieur, qui n'est pas indiqué
water-at-most = au plus { $mg } mg ; l'huile et le filtre peuvent en retenir plus
water-at-most-ppm = au plus { $mg } mg, { $ppm } ppm de la charge (fluide neuf : { $limit } ppm au plus, AHRI 700) ; l'huile et le filtre déshydrateur peuvent en contenir plus

system-title = Système
entry-appliance = Appareil
entry-model = Modèle
entry-serial = N° de série
entry-refrigerant = Fluide
safety-group = { $refrigerant } (groupe de sécurité { $group })
entry-charge = Charge
entry-oil = Huile
entry-volume = Volume
entry-sides = Tiré au vide
sides-one = d'un seul côté
sides-both = des deux côtés
entry-ambient = Ambiance
ambient-and-coldest = { $ambient } ; froid { $coldest }
entry-repair = Réparation
paperwork-title = Client, garantie et pièces
entry-work-order = Ordre de travail
entry-claim = Demande de garantie
entry-customer = Client
entry-site = Lieu
entry-leak-location = Fuite trouvée
entry-parts-fitted = Pièces posées
entry-compressor-old = Ancien compresseur, n° de série
entry-compressor-new = Nouveau compresseur, n° de série
entry-recovered = Fluide récupéré
entry-charged = Fluide chargé

instruments-title = Vacuomètre, pompe, flexibles
entry-gauge = Vacuomètre
principle-thermal = thermique
principle-diaphragm = à membrane
entry-dialect = Format des données
entry-calibrated = Étalonné
entry-next-due = Prochain étalonnage
was-overdue = { $day }, ÉCHU
entry-steps = Résolution
entry-noise = Bruit
entry-interval = Intervalle
entry-pump = Pompe
entry-hoses = Flexibles
entry-second-gauge = Second appareil
and-due = { $value }, échéance { $due }
and-noise = { $value }, bruit { $noise }
second-serial = n° { $serial }
second-calibrated = étalonné { $day }
second-due = échéance { $day }

timeline-title = Déroulement (h:mm:ss)
event-stall = stagnation : { $kind }
event-isolated = isolé ({ $basis })
event-end-of-hold = fin de la tenue au vide
more-in-record = { $rows } autres dans l'enregistrement
notes-title = Ce qui suit d'ordinaire ; constats
more-findings = { $sentences } autres dans findings.json.
cautions-title = Précautions
sign-technician = Technicien
sign-licence = N° d'attestation ou de certificat
sign-signature = Signature
sign-date = Date
foot = Jugé par { $program } selon « { $criteria } » ({ $source }). « 95 % : a à b » contient la vraie valeur dans 19 cas sur 20. Une tenue au vide conforme ne dit pas qu'il n'y a pas de fuite, seulement ce qu'elle aurait pu montrer. La réglementation locale et les consignes du fabricant décident.
code-alt = L'empreinte de l'enregistrement sous forme de code lisible par une caméra

## Tables and pages

criteria-title = Critères et mesures
rounds-title = Tous les cycles
rounds-round = Cycle
rounds-rise = Remontée
rounds-none = aucun
logo-alt = Logo de l'entreprise
photo-alt = Photo de cette intervention ; elle fait partie de l'enregistrement
overleaf = Suite en page { $page }.
continued = { $title } (suite)
page-of = Page { $page } sur { $pages }
