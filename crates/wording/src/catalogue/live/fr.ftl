# What is said of a run while it is recorded: French.

## Order of work: the acts

step-open = ouvrir la vanne vers la pompe
step-shut = fermer la vanne côté pompe
step-stop = arrêter la pompe
step-manifold = fermer les vannes du manifold
step-manifold-if-open = fermer les vannes du manifold, si le vacuomètre reste ouvert au système
step-break = casser le vide à l'azote sec
step-throttle = réduire le débit
step-ballast = ouvrir le lest d'air
step-heat = chauffer doucement
step-hold = laisser en maintien, ne toucher à rien
step-review = terminer, juger, rapport

## Order of work: advice

advice-waiting = Démarrer la pompe, et ouvrir la vanne vers elle dès que le vacuomètre est reçu.
advice-stalls = Stagnation : { $kind }. { $helps }
advice-pull-down = Laisser tirer au vide. À la cible : d'abord la vanne côté pompe, puis la pompe.
advice-at-target = À la cible : fermer d'abord la vanne côté pompe, puis arrêter la pompe. Ou laisser tirer plus bas : plus c'est long, plus c'est sec.
advice-will-not-pass = Le maintien ne sera pas réussi. Il peut continuer pour dire la cause ; ou ouvrir vers la pompe, ou casser à l'azote, et tirer de nouveau au vide.
advice-stamp-shut = La courbe semble isolée. Si la vanne côté pompe est fermée, poser le repère : le rapport s'appuie dessus.
advice-next = D'ordinaire ensuite : { $act }.
advice-hands-off = Ne pas toucher aux vannes ni aux flexibles tant que le maintien n'est pas assez long.
advice-passed = Le maintien remplit les critères. Terminer pour le rapport, ou continuer par un autre cycle si le fabricant le demande.
advice-passed-leak = La règle est remplie, mais une fuite est indiquée : mieux vaut la trouver avant que du fluide n'entre. Un maintien plus long la mesure mieux.
advice-failed = Le maintien n'est pas réussi. L'allure de la remontée dit où chercher ; puis tirer au vide et maintenir de nouveau.
advice-not-proven = Assez long, mais non prouvé : le jugement dit ce qui manque.
advice-broken = L'azote est entré. Lui laisser quelques minutes pour prendre l'humidité, le laisser sortir, démarrer la pompe, et ouvrir la vanne vers elle pour le cycle suivant.

## Cautions where the act happens

caution-now-compressor = Ne jamais mettre le compresseur sous tension sous vide.
caution-now-nitrogen = Azote sec uniquement par un détendeur, avec une soupape en aval ; jamais d'oxygène, jamais d'air.
caution-now-pressure = Laisser entrer l'azote au plus jusqu'à un peu au-dessus de 0 de pression relative, selon le fabricant ; isoler le vacuomètre par sa vanne de toute pression qu'il ne supporte pas.
caution-now-eyes = Protéger les yeux et les mains.
caution-now-flammable = { $refrigerant } est inflammable : ni flamme, ni étincelle, ni brasage tant qu'il peut en rester ; ventiler, refoulement de la pompe dehors.

## Warnings: what seems to be done the wrong way round

warn-stopped-first = Selon les repères, la pompe a été arrêtée avant que la vanne côté pompe soit fermée. Si cette vanne est ouverte, la fermer maintenant évite que plus d'air et d'huile de pompe n'entre ; puis tirer de nouveau au vide jusqu'à la cible avant le maintien.
warn-open-at-stop = La courbe laisse penser que la pompe a été arrêtée avec sa vanne ouverte : de l'air et de l'huile de pompe peuvent être aspirés. Fermer la vanne et tirer de nouveau au vide aide d'ordinaire.
warn-jumped = La pression a sauté de { $from } à { $to } et aucun repère n'a été posé. Si la pompe a été arrêtée ou privée de courant avec la vanne ouverte, fermer maintenant la vanne côté pompe évite que de l'air et de l'huile n'entrent.
warn-nitrogen-open = L'azote a été repéré sans que la fermeture de la vanne côté pompe le soit : une pompe en marche l'emporte, une pompe arrêtée peut être traversée. Vérifier cette vanne.
warn-gauge-shut-off = Les vannes du manifold ont été repérées fermées, et la fiche de travail ne dit pas que le vacuomètre reste alors ouvert au système (gauge_open_to_system). S'il est coupé, le maintien montre le manifold et ne prouve rien : l'ouvrir au système et maintenir de nouveau.
warn-above-target = La vanne a été fermée au-dessus de la cible de { $target } : un tel maintien ne peut être réussi. Ouvrir vers la pompe et tirer d'abord plus bas fait d'ordinaire gagner ce temps.

## Events

told-marked = Repère posé : { $mark }.
told-withdrawn = Retiré : { $mark }. Le repère reste dans l'enregistrement, comme retiré.
told-gauge-back = Le vacuomètre émet de nouveau.
told-target = La cible de { $target } est atteinte.
told-stall = Le tirage au vide stagne vers { $level } : { $kind }.
told-stall-over = La stagnation ({ $kind }) est terminée.
told-hold = Le maintien a commencé ; il doit durer { $time }.
told-will-not-pass = Le maintien n'est pas terminé, mais : { $answer }.
told-passed = Le maintien est assez long et remplit les critères ({ $answer }). Ce qu'il n'aurait pas pu voir est dans le rapport.
told-passed-leak = Le maintien est assez long. { $answer }. La trouver d'abord.
told-failed = Le maintien n'est pas réussi : { $answer }.
told-not-proven = Le maintien est assez long, mais l'enregistrement ne peut pas le prouver.
mark-manifold-shut = vannes du manifold fermées
mark-by-device = { $mark } (appareil { $device })

## The way to the target, and what is left of a hold

way-in = dans { $range }
way-not-at-this-rate = pas à ce rythme : finit vers { $floor }
way-while-it-stalls = pas de prévision tant que cela stagne
way-no-time = pas encore de durée
way-reached = atteinte
left = encore { $time }
long-enough = assez long

## All of it on one line

line-no-target = pas de cible à ce rythme : finit vers { $floor }
line-no-time = tirage au vide, pas encore de durée jusqu'à la cible
line-target-in = tirage au vide, cible dans { $range }
line-stalls = { $kind }, pas de prévision d'ici là
line-choked = { $kind }, cible dans { $range }
line-at-target = à la cible : fermer vanne côté pompe, puis arrêter pompe
line-hold-left = maintien, encore { $time }
line-hold-enough = maintien, assez long
line-far = éloigné { $pressure }
line-unreadable = { $count } illisibles
line-over = au-dessus
line-under = en dessous
line-fault = défaut
line-lost = perdu
trend-steady = stable
trend-rising = monte de { $rate }/min
trend-falling = baisse de { $rate }/min

## The gauge

state-over = au-dessus de la plage du vacuomètre
state-under = sous la plage du vacuomètre
state-fault = défaut du vacuomètre
state-gap = pas de mesure
state-none = pas encore de mesure
link-waiting = pas encore reçu
link-hearing = reçu
link-silent = MUET : vérifier alimentation et câble
link-lost = PERDU : reconnexion en cours
