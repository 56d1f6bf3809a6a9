# Français : ce que les vues d'un enregistrement ajoutent.

## Écran

screen-invented = données inventées
screen-loading = chargement { $percent } %
screen-playing = lecture { $at } sur { $end }
screen-finished = enregistrement terminé { $at } sur { $end }
screen-recording = enregistre { $at }
screen-ended = terminé { $at }
screen-hold = MAINTIEN { $held } sur { $needed }
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
screen-disk-takes = Le disque prend les lignes : { $rows }
screen-disk-trouble = Disque : { $trouble }
screen-disk-refuses = Disque, { $trouble }
screen-waiting-rows = { $rows } pas encore en sûreté
screen-free = { $size } libres
screen-comes-next = Ce qui suit d'ordinaire
screen-gauge-and-disk = Vacuomètre et disque
screen-stamped = Repères
screen-nothing-yet = rien pour l'instant
screen-happened = Ce qui s'est passé
screen-back = Toute touche ramène en arrière.
screen-decide = La réglementation locale, les professionnels agréés et les consignes du fabricant décident.
screen-this-run = Cet enregistrement
screen-goes-on = Sans ce terminal l'enregistrement continue ; pour l'arrêter alors : kill -INT { $process }
screen-opened-to-pump = vanne de pompe ouverte
screen-manifold-shut = manifold fermé
screen-take-back = retirer le dernier repère
screen-type-remark = écrire une remarque
screen-this-page = cette page
screen-stop-asks = arrêter (demande d'abord)
screen-remark = Remarque :
screen-remark-keys = Entrée la garde, Échap l'abandonne
screen-ask-stop = Arrêter l'enregistrement ? y arrête, autre touche continue
screen-keys = o ouvrir s fermer p arrêt pompe m manifold n azote t réduire b lest h chauffer u annuler r note i aide q fin
screen-keys-back = gauche/droite pas page haut/bas saut Début/Fin début/fin espace lire i aide q quitter
screen-key-page = c mobile
screen-no-page = Pas de page : --view-lan en donne une aux mobiles.
screen-no-such-key = { $key } ne pose aucun repère.
screen-was-stamped = Repère posé : { $mark }. u le retire.
screen-still-records = L'enregistrement continue.
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
spoken-hold = Maintien, { $clock } : { $answer }
spoken-pull-down = Tirage au vide, cible { $words }
spoken-ask = Une ligne vide dit où en sont les choses.
typed-marks = Arrêter avec Ctrl-C. Pour poser un repère, taper sa lettre et Entrée : s vanne côté pompe fermée, p pompe arrêtée, m manifold fermé, o vanne ouverte, n vide cassé à l'azote, t débit réduit, b lest, h chauffage, u retire le dernier repère, ou une remarque.
