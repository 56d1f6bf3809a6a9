# Ce qui est dit d'une épreuve de pression au gaz sec.

decay-pass = CONFORME : la perte est dans la limite. Une fuite de moins de { $limit } ne se serait pas vue.
decay-fail = NON CONFORME : il se perd plus de gaz qu'il n'est permis.
decay-not-proven = NON DÉMONTRÉ : { $reasons }.

decay-test = Épreuve de pression : de { $from } à { $to } en { $time }, alimentation fermée à { $shut }.
decay-temperature = Température : de { $from } à { $to } °C. À la première température, la pression finale est de { $corrected }.
decay-no-temperature = Température : non mesurée.
decay-loss = Perte : { $loss }.
decay-share = Perte : de { $low } à { $high } % du gaz en une heure (95 %).
decay-upper = Limite supérieure à 95 % : { $upper }. Permis : { $allowed }.
decay-upper-only = Limite supérieure à 95 % : { $upper }.
decay-detectable = Plus petite fuite détectable : { $limit }.
decay-refrigerant = Perte estimée de fluide frigorigène par la même fuite, système chargé : de { $low } à { $high } g par an.
decay-hold = La même fuite produit pendant la tenue au vide une montée de { $low } à { $high } micron/min.
decay-longer = Une attente plus longue de { $minutes } min trancherait, si la perte est ce qu'elle paraît.
decay-thermometer = Avec un thermomètre sur le système, une attente de { $minutes } min trancherait.
decay-rule = Règle : { $name } ({ $source }).

decay-why-no-readings = il n'y a pas de mesures à juger
decay-why-leak = il se perd plus de gaz qu'il n'est permis
decay-why-supply = rien ne montre que l'alimentation était fermée : la pression ne suit pas la température du gaz
decay-why-rose = il y a plus de gaz à la fin qu'au début
decay-why-high = la pression a dépassé le maximum de la plaque signalétique
decay-why-low = la pression d'épreuve était trop basse
decay-why-barometer = le manomètre compte à partir de l'air ambiant et la pression atmosphérique n'est pas indiquée
decay-why-volume = le volume intérieur n'est pas indiqué
decay-why-limit = personne n'a dit quelle perte est permise
decay-why-temperature = aucun thermomètre ne montre la température du gaz
decay-why-coarse = la résolution du manomètre est insuffisante
decay-why-settling = la chaleur du remplissage n'est pas encore dissipée
decay-why-short = l'attente est trop courte

decay-note-late = La pression a suivi l'alimentation jusqu'à { $time }, plus tard qu'indiqué : jugé à partir de là.
decay-note-unstamped = Personne n'a noté quand l'alimentation a été fermée : lu sur la pression, { $time }.
decay-note-apart = Le thermomètre ne suit pas le gaz : il est peut-être au soleil ou sur une autre pièce.
decay-note-held = La pression est maintenue comme par une alimentation ouverte : fermer la vanne, retirer le détendeur et recommencer.
decay-note-vented = Le gaz a été relâché à { $time } : l'épreuve s'arrête là.

# Pendant l'enregistrement d'un essai de pression. Les membres de phrase commencent en minuscule.

decay-phase-waiting = en attente de gaz sous pression
decay-phase-supply = alimentation ouverte
decay-phase-hold = essai de pression
decay-phase-vented = gaz évacué
decay-live-limit = perte d'au plus { $upper } (95 %), admise { $allowed }
decay-live-share = perte de { $low } à { $high } % du gaz par heure
decay-live-early = trop tôt pour dire ce qui se perd
decay-live-pass = la perte est dans la limite ; une fuite sous { $limit } ne se verrait pas
decay-live-fail = il se perd plus de gaz que ce qui est admis

decay-step-pressurise = introduire l'azote par le détendeur, par paliers
decay-step-bubbles = d'abord, à basse pression, passer chaque raccord aux bulles
decay-step-shut = fermer la vanne d'alimentation et décharger le détendeur
decay-step-wait = laisser reposer, sans toucher
decay-step-vent = évacuer le gaz dehors, au-dessus de 0 relatif

decay-advice-waiting = Vacuomètre isolé par sa vanne ? Alors azote par le détendeur, avec soupape : un peu d'abord, bulles à chaque raccord, puis par paliers jusqu'à la pression d'essai.
decay-advice-supply = Alimentation ouverte : par paliers jusqu'à la pression d'essai, bulles à chaque raccord en chemin ; puis fermer la vanne d'alimentation et poser le repère. L'essai compte à partir de là.
decay-advice-hold = Laisser reposer : pas de main sur les tubes, pas de porte, pas de soleil, pas de ventilateur. La chaleur du remplissage part d'abord.
decay-advice-passed = La perte est dans la limite. Arrêter pour la feuille ; évacuer le gaz dehors tant qu'il est au-dessus de 0 relatif, puis tirer au vide.
decay-advice-failed = Il se perd plus de gaz que ce qui est admis : passer chaque raccord aux bulles tant que la pression est là. Ne jamais braser sous pression.
decay-advice-not-proven = Attendre ne suffit pas à décider : la vérification dit ce qui manque.
decay-advice-vented = Le gaz est sorti. Tirer au vide ensuite ; cet essai montre les raccords, pas que le circuit est sec.
decay-warn-supply = Rien ne montre que l'alimentation est fermée : la pression ne suit pas la température du gaz. Fermer sa vanne, retirer le détendeur et poser le repère de nouveau.
decay-warn-high = La pression dépasse la plus haute que la plaque admet : fermer l'alimentation, s'écarter et évacuer du gaz lentement.
