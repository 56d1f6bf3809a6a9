# What can hurt, where the act happens: French.

caution-flammable = { $refrigerant } est inflammable (groupe de sécurité { $group }) : ni flamme, ni étincelle, ni brasage tant qu'il peut en rester. Interrupteur de pompe, prise, ordinateur, chargeur et pistolet à air chaud peuvent l'enflammer : commander la pompe à une prise éloignée ; ventiler, refoulement dehors.
caution-flammable-brief = { $refrigerant } brûle : ni flamme, ni étincelle ; commander la pompe à une prise éloignée ; refoulement dehors.
caution-not-known = Fluide frigorigène non connu ici : le traiter comme inflammable tant que la plaque ne dit pas autre chose : ni flamme, ni étincelle ; commander la pompe à une prise éloignée ; ventiler, refoulement dehors.
caution-not-known-brief = Fluide non connu : le traiter comme inflammable ; ni flamme, ni étincelle ; commander la pompe à une prise éloignée.
caution-open-flammable = Avant de couper ou de braser sur un système à fluide inflammable : récupérer, tirer au vide, balayer à l'azote sec, puis tirer au vide et balayer encore, et contrôler l'air au détecteur de gaz.
caution-cut-out = Déposer compresseurs et filtres déshydrateurs au coupe-tube, jamais en débrasant : l'huile et le fluide qu'ils contiennent brûlent.
caution-heat = Chauffer doucement, jamais au chalumeau : cuve plastique et mousse supportent au plus 50 °C environ.
caution-earth = Relier bouteille, flexibles et appareil à la terre avant de charger : une étincelle peut enflammer le gaz.
caution-nitrogen = Azote sec uniquement par un détendeur et avec une soupape en aval ; jamais d'oxygène, jamais d'air.
caution-test-pressure = Pression d'épreuve : au plus la valeur basse pression de la plaque ; avec un compresseur hermétique au plus 150 psi (10,3 bar) relatifs, sauf si la plaque dit autre chose.
caution-braze-pressure = Ne jamais braser un tube sous pression : y laisser circuler l'azote, l'autre extrémité ouverte.
caution-break-limit = Laisser entrer l'azote jusqu'à un peu au-dessus de 0 de pression relative, pas plus haut que ne le dit le fabricant, et ne purger que d'au-dessus de 0 : d'en dessous, l'air entre.
caution-pressure = { $refrigerant } est à { $bar } bar à 20 °C : isoler le vacuomètre par sa vanne avant d'en laisser entrer, et utiliser des flexibles prévus pour cette pression.
caution-compressor = Ne jamais mettre le compresseur sous tension tant que le système est sous vide.
caution-unplug = Débrancher l'appareil : un thermostat ou une horloge de dégivrage peut démarrer le compresseur de lui-même.
caution-capacitors = Décharger les condensateurs électriques avant de toucher aux parties électriques.
caution-toxic = { $refrigerant } est toxique (groupe de sécurité { $group }) : ventiler, garder une protection respiratoire à portée de main, et quitter les lieux à la moindre odeur.
caution-ventilate = Ventiler : le fluide et l'azote chassent l'air que l'on respire.
caution-protection = Protéger les yeux et les mains : le fluide liquide gèle la peau et les yeux.
caution-pinch-off = Pincement : pincer deux fois le tube de charge, couper au-delà, rechercher les fuites ; fermer le bout sans pression, et sans flamme si le fluide est inflammable.
caution-recover = Avant d'ouvrir, récupérer le fluide comme la loi le demande ; ne pas le rejeter.
caution-gauge-off = Isoler le vacuomètre par sa vanne avant toute pression, azote ou fluide.
caution-r744 = R-744 : charger en vapeur seulement jusqu'à dépasser le point triple (5,2 bar absolus) : en dessous, le liquide devient neige carbonique et bouche les tubes.
caution-open-slowly = Ouvrir lentement la vanne vers la pompe : une aspiration brusque entraîne l'huile du compresseur.
caution-ballast = Refermer le lest d'air avant le tirage final : ouvert, la pompe ne descend pas assez bas.
