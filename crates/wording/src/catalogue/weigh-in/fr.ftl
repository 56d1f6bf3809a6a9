# Une charge que l'on pèse : français.

weighed-of = Chargé : { $charged } ; plaque { $nameplate } ± { $tolerance }.
weighed-alone = Chargé : { $charged } ; la charge de la plaque n'est pas indiquée.
weighed-unknown = Chargé : inconnu d'après la balance.
weighed-typed = Chargé : { $charged }, saisi à la main ; aucune balance ne le montre.
weighed-typed-of = Chargé : { $charged } sur { $nameplate }, saisi à la main ; aucune balance ne le montre.
weighed-as-typed = { $mass } (saisi à la main)
weighed-left = Resté dans les flexibles : { $mass }, déduit.
weighed-left-not-given = Ce que gardent les flexibles n'a pas été indiqué ; cela compte comme chargé.
weighed-acts = Ordre des opérations : { $acts }.
weighed-covers = Le ± couvre les échelons, la dispersion et le fluage de la balance (95 %), pas son étalonnage.
weighed-plus-minus = { $value } ± { $off } g

act-weigh-in-begins = début de la pesée
act-cylinder-shut = robinet de la bouteille fermé
act-charging-valve-shut = vanne de charge fermée
act-high-side-shut = vanne haute pression fermée
act-compressor-on = compresseur en marche
act-weigh-in-ends = fin de la pesée

weighed-note-touched-back = La balance a bougé de { $by } à { $at } et est revenue : la bouteille a été touchée.
weighed-note-touched = La balance a bougé de { $by } à { $at } sans revenir de façon visible : la bouteille a été touchée, ou quelque chose s'y appuie. La balance ne dit pas ce qui a été chargé.
weighed-note-zero = La balance est tombée de { $by } à { $at } : elle a été mise à zéro, ou la bouteille a été soulevée. La balance ne dit pas ce qui a été chargé.
weighed-note-not-heard = La balance est restée muette de { $from } à { $to }.
weighed-note-drifts = La balance dérive vers le haut de { $by } en une minute : éloigner courants d'air et vibrations.
weighed-note-too-much = { $by } de plus que la charge de la plaque, au-delà de la tolérance.
weighed-note-too-little = { $by } de moins que la charge de la plaque, au-delà de la tolérance.
weighed-note-before = La balance n'était pas immobile avant l'ouverture de la bouteille.
weighed-note-after = La balance n'était pas immobile à la fin.
weighed-note-no-hold = La pesée a commencé sans tenue au vide conforme.

weighed-live-phase = pesée
weighed-live-to-go = à charger, sur { $target }
weighed-live-over = trop : fermer la bouteille
weighed-live-out = sorti de la bouteille
weighed-live-done = pesée terminée
weighed-scale = balance

weighed-next-settle = N'ouvrir la bouteille que lorsque la balance est immobile.
weighed-next-fill = Charger du liquide dans la haute pression seulement, basse pression fermée, compresseur arrêté, comme le dit le fabricant ; fermer la bouteille quand il ne reste rien à charger.
weighed-next-shut = Fermer la bouteille maintenant, puis la vanne de charge, puis la haute pression.
weighed-next-charging-valve = Fermer la vanne de charge, puis la haute pression.
weighed-next-high-side = Fermer la vanne haute pression.
weighed-next-compressor = Mettre le compresseur en marche et aspirer le reste des flexibles par la basse pression.
weighed-next-end = Terminer la pesée quand la balance est immobile.
weighed-next-done = La pesée est terminée. Vérifier les pressions, puis pincer, couper et fermer le tube.

question-weighed-no-hold = Aucune tenue au vide n'est conforme. Commencer la pesée quand même ?
