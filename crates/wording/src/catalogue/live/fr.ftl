# What is said of a run while it is recorded: French.

## Order of work: the acts

step-open = ouvrir la vanne vers la pompe
step-shut = fermer la vanne côté pompe
step-stop = arrêter la pompe
step-manifold = fermer les vannes du manifold
step-break = casser le vide à l'azote sec
step-throttle = réduire le débit
step-ballast = ouvrir le lest d'air
step-ballast-close = fermer le lest d'air
step-heat = chauffer doucement
step-hold = laisser tenir, ne toucher à rien
step-review = terminer, juger, rapport

## Order of work: advice

advice-waiting = Démarrer la pompe, et ouvrir la vanne vers elle dès que le vacuomètre est reçu.
advice-stalls = Stagnation : { $kind }. { $helps }
advice-pull-down = Laisser tirer au vide. Une fois bas et stable : d'abord la vanne côté pompe, puis la pompe.
advice-let-pull = À la cible, mais pas encore bas et stable : laisser tirer. Si la vanne est fermée maintenant, l'eau qui reste fait remonter la pression pendant la tenue au vide. De préférence sous { $low }, ou quand le niveau est stable.
advice-close-to-ceiling = Le niveau est stable, mais juste sous le plafond de { $ceiling } : une tenue qui part d'ici n'a presque pas de marge. Chercher ce qui le retient là : huile de pompe, flexibles, eau, une fuite.
advice-ready = Assez bas : fermer d'abord la vanne côté pompe, puis arrêter la pompe. Plus on tire longtemps, plus c'est sec.
advice-close-ballast = Selon les repères, le lest d'air est ouvert : le fermer pour le tirage final. Ouvert, il empêche la pompe de descendre aussi bas qu'elle peut.
advice-will-not-pass = La tenue au vide ne sera pas réussie. Elle peut continuer pour dire la cause ; ou ouvrir vers la pompe, ou casser à l'azote, et tirer de nouveau au vide.
advice-stamp-shut = La courbe semble isolée. Si la vanne côté pompe est fermée, poser le repère : le rapport s'appuie dessus.
advice-next = D'ordinaire ensuite : { $act }.
advice-hands-off = Ne pas toucher aux vannes ni aux flexibles tant que la tenue au vide n'est pas assez longue.
advice-passed = La tenue au vide remplit les critères. Terminer pour le rapport, ou continuer par un autre cycle si le fabricant le demande.
advice-passed-leak = La règle est remplie, mais une fuite est indiquée : mieux vaut la trouver avant que du fluide n'entre. Une tenue plus longue la mesure mieux.
advice-failed = La tenue au vide n'est pas réussie. L'allure de la remontée dit où chercher ; puis tirer au vide et recommencer la tenue.
advice-not-proven = Assez long, mais non prouvé : le jugement dit ce qui manque.
advice-rig-passed = La pompe et les flexibles tiennent le vide comme demandé. Arrêter pour la fiche.
advice-rig-rises = La pompe et les flexibles ne tiennent pas bien le vide : ils fuient, ou de la vapeur sort de l'huile et des flexibles. Arrêter : l'analyse dit ce qu'il faut faire ensuite.
advice-broken = L'azote est entré : il dilue la vapeur qui reste et la balaie. Lui laisser quelques minutes, le purger tant qu'il est au-dessus de 0 de pression relative, démarrer la pompe, et ouvrir la vanne vers elle pour le cycle suivant.

## Warnings: what seems to be done the wrong way round

warn-stopped-first = Selon les repères, la pompe a été arrêtée avant que la vanne côté pompe soit fermée. Si cette vanne est ouverte, la fermer maintenant évite que plus d'air et d'huile de pompe n'entre ; puis tirer de nouveau au vide jusqu'à la cible avant la tenue au vide.
warn-open-at-stop = La courbe laisse penser que la pompe a été arrêtée avec sa vanne ouverte : de l'air et de l'huile de pompe peuvent être aspirés. Fermer la vanne et tirer de nouveau au vide aide d'ordinaire.
warn-jumped = La pression a sauté de { $from } à { $to } et aucun repère n'a été posé. Si la pompe a été arrêtée ou privée de courant avec la vanne ouverte, fermer maintenant la vanne côté pompe évite que de l'air et de l'huile n'entrent.
warn-nitrogen-open = L'azote a été repéré sans que la fermeture de la vanne côté pompe le soit : une pompe en marche l'emporte, une pompe arrêtée peut être traversée. Vérifier cette vanne.
warn-gauge-shut-off = Les vannes du manifold ont été repérées fermées, et la fiche de travail ne dit pas que le vacuomètre reste alors ouvert au système (gauge_open_to_system). S'il est coupé, la tenue montre le manifold et ne prouve rien : l'ouvrir au système et recommencer la tenue.
warn-above-target = La vanne a été fermée au-dessus de la cible de { $target } : une telle tenue ne peut être réussie. Ouvrir vers la pompe et tirer d'abord plus bas fait d'ordinaire gagner ce temps.

## Events

told-marked = Repère posé : { $mark }.
told-withdrawn = Retiré : { $mark }. Le repère reste dans l'enregistrement, comme retiré.
told-gauge-back = Le vacuomètre émet de nouveau.
told-target = La cible de { $target } a été atteinte.
told-stall = Le tirage au vide stagne vers { $level } : { $kind }.
told-stall-over = La stagnation ({ $kind }) est terminée.
told-hold = La tenue au vide a commencé ; elle doit durer { $time }.
told-will-not-pass = La tenue au vide n'est pas terminée, mais : { $answer }.
told-passed = La tenue au vide est assez longue et remplit les critères ({ $answer }). Ce qu'elle n'aurait pas pu voir est dans le rapport.
told-passed-leak = La tenue au vide est assez longue. { $answer }. La trouver d'abord.
told-failed = La tenue au vide n'est pas réussie : { $answer }.
told-not-proven = La tenue au vide est assez longue, mais l'enregistrement ne peut pas le prouver.
mark-manifold-shut = vannes du manifold fermées
mark-ballast-closed = lest d'air fermé
mark-by-device = { $mark } (appareil { $device })

## The way to the target, and what is left of a hold

way-in = dans { $range }
way-not-at-this-rate = pas à ce rythme : finit vers { $floor }
way-while-it-stalls = pas de prévision tant que cela stagne
way-no-time = pas encore de durée
way-reached = atteinte
left = encore { $time }
held-so-far = { $time } jusqu'ici
long-enough = assez long

## All of it on one line

line-no-target = pas de cible à ce rythme : finit vers { $floor }
line-no-time = tirage au vide, pas encore de durée jusqu'à la cible
line-target-in = tirage au vide, cible dans { $range }
line-stalls = { $kind }, pas de prévision d'ici là
line-choked = { $kind }, cible dans { $range }
line-ready = assez bas : fermer vanne côté pompe, puis arrêter pompe
line-let-pull = à la cible, pas encore bas et stable : laisser tirer
line-close-to-ceiling = stable juste sous le plafond : chercher la cause
line-hold = tenue, { $clock }
line-far = éloigné { $pressure }
line-unreadable = { $count } illisibles
line-over = au-dessus
line-under = en dessous
line-fault = défaut
line-lost = perdu
trend-steady = stable
trend-hunting = fluctue
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
