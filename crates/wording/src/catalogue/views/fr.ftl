# Français : ce que les vues d'un enregistrement ajoutent.

## Écran

screen-invented = données inventées
screen-loading = chargement { $percent } %
screen-playing = lecture { $at } sur { $end }
screen-finished = enregistrement terminé { $at } sur { $end }
screen-recording = enregistre { $at }
screen-ended = terminé { $at }
screen-hold = TENUE { $held } sur { $needed }
screen-target = cible { $pressure } : { $words }
screen-target-label = cible
screen-round = cycle { $number }
screen-stall = STAGNATION : { $kind } vers { $level } depuis { $time }
screen-met = CRITÈRES REMPLIS : { $answer }
screen-fails = ÉCHOUÉ : { $answer }
screen-not-proven = NON PROUVÉ : { $answer }
screen-check = VÉRIFIER : { $warning }
screen-caution = Attention : { $caution }
screen-nothing-stamped = Aucun repère pour l'instant.
screen-gauge = Vacuomètre : { $state }
screen-last = dernière mesure il y a { $age }
screen-reconnects = { $count ->
    [one] { $count } reconnexion
   *[other] { $count } reconnexions
}
screen-unreadable = { $count ->
    [one] { $count } illisible
   *[other] { $count } illisibles
}
screen-lost = { $count ->
    [one] { $count } ligne perdue
   *[other] { $count } lignes perdues
}
screen-rows = { $rows } lignes dans l'enregistrement
screen-stands-still = L'ENREGISTREMENT N'AVANCE PLUS depuis { $time } : le disque répond-il ?
screen-disk-takes = Sauvegarde : OK, { $rows } lignes
screen-disk-trouble = Disque : { $trouble }
screen-disk-refuses = Disque, { $trouble }
screen-waiting-rows = { $rows } en cours
screen-free = { $size } libres
screen-comes-next = Ce qui suit d'ordinaire
screen-gauge-and-disk = Vacuomètre et disque
screen-stamped = Repères
screen-nothing-yet = rien pour l'instant
screen-happened = Ce qui s'est passé
screen-back = Toute touche ramène en arrière.
screen-decide = La réglementation locale, les professionnels agréés et les consignes du fabricant décident.
screen-this-run = Cet enregistrement
screen-goes-on = Sans ce terminal l'enregistrement continue : dryhold show le montre, dryhold stop l'arrête.
screen-opened-to-pump = vanne de pompe ouverte
screen-take-back = retirer le dernier repère
screen-type-remark = écrire une remarque
screen-this-page = cette page
screen-stop-asks = arrêter (demande d'abord)
screen-remark = Remarque :
screen-remark-keys = Entrée la garde, Échap l'abandonne
screen-keys = o ouvrir s fermer p arrêt pompe { $manifold }n azote t réduire b/g lest h chauffer u annuler r note i aide q fin
screen-key-manifold = m manifold
screen-keys-pressure = f sous pression e alimentation fermée v évacué u annuler r note i aide q fin
screen-keys-back = gauche/droite pas page haut/bas saut Début/Fin début/fin espace lire i aide q quitter
screen-key-page = c mobile
screen-key-leave = d quitter
screen-how-to-leave = Fermer ce terminal : l'enregistrement continue ; dryhold show le montre à nouveau, dryhold stop l'arrête.
screen-no-page = Pas de page : --view-lan en donne une aux mobiles.
screen-no-such-key = { $key } ne pose aucun repère.
screen-no-manifold = m n'est proposé que si la fiche de travail dit gauge_open_to_system = true.
screen-was-stamped = Repère posé : { $mark }. u le retire.
screen-no-remark = Pas de remarque.
screen-remark-kept = Remarque gardée.
screen-not-suspended = Pas de suspension : cela arrêterait l'enregistrement. Prendre un autre terminal.
screen-compare = Le navigateur avertit une fois. Y regarder le certificat ; continuer seulement si son empreinte SHA-256 est
screen-page-at = Toute touche ramène en arrière. La page est à
screen-no-signs = Ce terminal n'a pas de signes pour dessiner le code pour l'appareil photo.
screen-code-size = Le code pour l'appareil photo prend { $columns } × { $rows }.
screen-look-on = Pour regarder seulement, sans poser de repères :
screen-takes = Le tout prend { $columns } × { $rows }.

## Phrases une à une

spoken-more = Il s'est passé plus que ce qui est encore connu.
spoken-hold = Tenue au vide, { $clock } : { $answer }
spoken-pull-down = Tirage au vide, cible { $words }
spoken-ask = Une ligne vide dit où en sont les choses.
typed-marks = Arrêter avec Ctrl-C. Pour poser un repère, taper sa lettre et Entrée : { $marks }, u retire le dernier repère, ou une remarque.

## Touches qui pourraient coûter une tenue au vide

question-shut-again = La vanne côté pompe est déjà notée fermée, à { $at }, et la tenue au vide dure depuis { $held }. Commencer une nouvelle tenue au vide ?
question-undo-hold = Retirer « { $mark } » de { $at } ? La tenue au vide de { $held } repose dessus.
question-stop = Arrêter l'enregistrement ?
question-stop-hold = Arrêter l'enregistrement ? La tenue au vide a duré { $held } sur { $needed }.
question-answer-key = y oui, toute autre touche non
question-answer-line = Taper y et Entrée pour oui ; tout le reste veut dire non.
question-answered-no = Rien n'a été changé.
screen-taking-back = Repère retiré : { $mark } ({ $at }).
screen-nothing-to-undo = Il n'y a aucun repère à retirer.

## Ce qui ne va pas avec la mesure

trouble-word-no-reading = PAS DE MESURE
trouble-word-lost = SIGNAL PERDU
trouble-word-over = HORS PLAGE
trouble-word-fault = DÉFAUT
trouble-word-unreadable = ILLISIBLE
trouble-no-reading = Aucune mesure depuis { $time } : vérifier l'alimentation et le câble du vacuomètre.
trouble-lost = Vacuomètre perdu depuis { $time } : vérifier le câble et la prise. Le programme réessaie et l'enregistrement continue.
trouble-over = Au-dessus de la plage du vacuomètre depuis { $time }. C'est habituel tant que la pompe n'a pas retiré l'essentiel de l'air.
trouble-over-hold = Au-dessus de la plage du vacuomètre depuis { $time } : le circuit se remplit, ou le vacuomètre a été isolé.
trouble-fault = Le vacuomètre signale un défaut depuis { $time } : regarder son afficheur, son capteur et son câble.
trouble-unreadable = Depuis { $time }, le vacuomètre envoie ce que son format n'explique pas : --dialect est-il le bon ? dryhold listen montre ce qui arrive.
trouble-heard = Reçu : { $line }
trouble-hold = Tenue au vide interrompue depuis { $time } : dès que le vacuomètre mesure à nouveau, recommencer la tenue avec s.
warn-hold-interrupted = La tenue au vide a été interrompue pendant { $time } et ne prouve rien : recommencer la tenue avec s.
advice-hold-again = Recommencer la tenue au vide avec s ; les vannes restent comme elles sont.
