# Ce qui est dit d'une charge : ce qu'il faut peser, ce qui reste dans les flexibles, l'ordre du travail.

charge-title = { $refrigerant } : { $charge } ± { $tolerance } selon la plaque, local à { $celsius } °C.
charge-tolerance-usual = Aucune tolérance indiquée : 2 %, au moins 1 g, est l'usage courant. Ce que disent la plaque ou le fabricant prime.
charge-weigh-out = Prélever { $mass } de la bouteille : { $charge } pour le système, { $left } pour ce qui reste dans les flexibles ({ $share } % de la charge).
charge-weigh-out-alone = Prélever { $mass } de la bouteille.
charge-hose = Flexible { $number } : { $bore } mm × { $length } m, { $ml } mL de { $contents ->
    [liquid] liquide
   *[vapour] vapeur
 } : { $mass }
charge-cylinder-line = Conduite de la bouteille : { $ml } mL, { $mass }
charge-manifold = Contenu du manifold : { $ml } mL, { $mass }
charge-undrawn = Retirés tels quels, les flexibles gardent { $left } : prélever { $mass }.
charge-drawn = Vidés par le côté basse pression du système en marche, à { $pressure }, les flexibles gardent { $left } : prélever { $mass }.
charge-drawn-assumed = La pression du côté basse pression n'est pas indiquée : on prend celle du { $refrigerant } à −25 °C (usage courant, sans source).
charge-uncertainty = Incertitude ± { $all } (95 %) : flexibles ± { $hoses }, température et pression de leur contenu ± { $state }, échelons de la balance ± { $scale }.
charge-uncertainty-no-scale = Incertitude ± { $all } (95 %) : flexibles ± { $hoses }, température et pression de leur contenu ± { $state }. L'échelon de la balance n'est pas indiqué et n'est pas compté.
charge-forgotten = Si seulement { $charge } sortaient de la bouteille, il manquerait { $off } au système ({ $share } %), ± { $uncertainty }.
charge-in-system = Sur { $out } prélevés, { $mass } sont dans le système, ± { $uncertainty } (95 %) : { $off } par rapport à la plaque ({ $share } %).
charge-margin = Marge au-dessus de la plus petite charge que la tolérance admet : { $margin }.
charge-standing-short = Le système manque de charge.
charge-standing-within = La charge est dans sa tolérance.
charge-standing-over = Le système est trop chargé : récupérer l'excédent.
charge-standing-open = On ne peut pas dire si la charge est dans sa tolérance : l'incertitude est trop grande.
charge-state = À { $celsius } °C, le { $refrigerant } est à { $pressure } ; un manomètre qui compte à partir de l'air indique environ { $gauge }. Liquide { $liquid } g/L, vapeur { $vapour } g/L.
charge-state-blend = À { $celsius } °C, le { $refrigerant } liquide bout à { $pressure } (un manomètre qui compte à partir de l'air indique environ { $gauge }) et sa vapeur se condense à { $dew }. Liquide { $liquid } g/L, vapeur { $vapour } g/L.
charge-scale-fine = Balance : des échelons de { $step } sont assez fins pour ± { $tolerance }.
charge-level = Cylindre de charge à { $pressure } : { $celsius } °C à l'intérieur, liquide { $liquid } g/L. Régler son échelle d'après cette pression et laisser le niveau baisser de { $ml } mL.
charge-level-vapour = La vapeur qui prend la place du liquide est comptée ; avec une échelle pour le liquide seul, il manquerait { $share } % de la charge.
charge-dial-cold = Une échelle réglée 10 K trop froid fait charger { $share } % de moins.
charge-dial-warm = Une échelle réglée 10 K trop chaud fait charger { $share } % de trop.
charge-fill = Remplir la bouteille de { $volume } L avec { $mass } au plus : 80 % de son volume à 25 °C (usage courant, sans source). La limite poinçonnée sur la bouteille prime.
charge-fill-warm = À 50 °C, ce liquide occupe { $share } % de la bouteille.
charge-limit = { $standard } ({ $place ->
    [household] appareils domestiques
   *[commercial] appareils commerciaux
 }) admet au plus { $mass } de ce fluide dans un circuit ({ $source ->
    [memory] chiffre de mémoire
   *[seen] chiffre lu dans son texte
 }) ; les règles locales décident.
charge-source = Masses volumiques et pressions : tables faites avec CoolProp 8.0.0.

charge-warning = Attention : { $warning }
charge-warn-no-hoses = Aucun flexible indiqué : ce que les flexibles gardent n'est pas compté.
charge-warn-much = Les flexibles gardent { $share } % de la charge. Les aspirer par le côté basse pression, système en marche, ou en prendre de plus courts et plus fins.
charge-warn-scale = Une balance à échelons de { $step } est trop grossière pour ± { $tolerance } : son échelon devrait être au plus un quart de la tolérance (usage courant, sans source).
charge-warn-uncertain = Avec ces flexibles et cette balance, la charge est incertaine de ± { $uncertainty }, plus que sa tolérance de ± { $tolerance }. Aspirer les flexibles par le côté basse pression, ou en prendre de plus courts et une balance plus fine.
charge-warn-vapour = La vapeur du { $refrigerant } n'a pas la composition de son liquide : ce que garde un flexible plein de vapeur est une estimation.
charge-warn-cylinder-warm = La bouteille est à une pression qui correspond à { $celsius } °C, { $kelvin } K au-dessus du local. Elle est chaude, ou contient de l'air ou un autre gaz, et alors son échelle trompe.
charge-warn-cylinder-cold = La bouteille est à une pression qui correspond à { $celsius } °C, { $kelvin } K au-dessous du local. Elle est froide, ou la pression a été lue sur un manomètre qui compte à partir de l'air : ajouter la pression de l'air, environ 1 bar.
charge-warn-limit = La charge dépasse { $mass }, la limite de { $standard } pour un fluide inflammable dans les { $place ->
    [household] appareils domestiques
   *[commercial] appareils commerciaux
 } (de mémoire) : la plaque est-elle bien lue ? Les règles locales décident.

charge-order = Ordre du travail
charge-cautions = Précautions
charge-expect = Ce qui doit se passer : { $words }
charge-otherwise = Sinon : { $words }
charge-caution = Prudence : { $words }
charge-step-prepare = Ne commencer que si la tenue au vide est conforme. Le compresseur reste arrêté, le vacuomètre est isolé. Poser la bouteille sur la balance de façon que du liquide en sorte, laisser pendre le flexible librement et mettre la balance à zéro.
charge-step-low-shut = Fermer le côté basse pression du manifold.
charge-step-low-shut-expect = Le liquide n'entre que du côté haute pression : du côté basse pression il atteint le compresseur, qui ne peut pas le comprimer.
charge-step-liquid = Compresseur arrêté. Ouvrir la bouteille, puis la vanne de charge et le côté haute pression, et laisser entrer du liquide jusqu'à ce que { $mass } aient quitté la bouteille.
charge-step-liquid-expect = Le côté haute pression monte vers { $pressure }. Le côté basse pression suit par le capillaire en quelques minutes.
charge-step-liquid-wrong = Le côté basse pression reste sous vide : rien ne passe. Un tube a été bouché au brasage, ou le filtre ou le capillaire est obstrué. Arrêter, récupérer la charge et ouvrir.
charge-step-shut = Fermer la bouteille, puis la vanne de charge, puis le côté haute pression. Attendre que la balance soit stable et noter ce qui a quitté la bouteille.
charge-step-start = Mettre le compresseur en marche, maintenant qu'il y a du fluide des deux côtés.
charge-step-start-expect = Le côté haute pression monte au-dessus de { $pressure } ; le côté basse pression baisse et se stabilise, dans un congélateur vers { $low } (−25 °C, usage courant).
charge-step-start-wrong = Le côté basse pression passe sous vide et y reste, et la haute pression monte à peine : rien ne circule, un tube a été bouché au brasage ou est obstrué. Les deux pressions restent égales : le compresseur ne pompe pas. L'arrêter.
charge-step-start-vacuum = Ce côté basse pression travaille au-dessous de la pression de l'air extérieur : ce qui n'est pas étanche, un flexible aussi, aspire de l'air.
charge-step-draw = Bouteille et vanne du côté haute pression de l'appareil fermées, ouvrir la vanne de charge, puis peu à peu le côté basse pression du manifold : le compresseur en marche vide les flexibles.
charge-step-draw-expect = La basse pression monte pendant que les flexibles se vident, puis revient où elle était. Fermer alors le côté basse pression.
charge-step-draw-not = Prévu ici sans cette étape : les flexibles gardent { $left } quand on les retire, ce qu'il faut récupérer.
charge-step-pinch = Pincer les tubes de charge, les couper, fermer leurs extrémités (sans flamme si le fluide est inflammable) et chercher les fuites à chaque raccord.

charge-caution-locked = Ne jamais laisser du liquide enfermé entre deux vannes fermées : il fait éclater un flexible en se réchauffant. Lui laisser un chemin vers le système ou vers une bouteille de récupération.
charge-caution-slug = Ouvrir le côté basse pression peu à peu : le liquide qui atteint un compresseur en marche le casse.
charge-caution-fill = Ne jamais remplir une bouteille au-delà de la limite poinçonnée : pleine de liquide, elle éclate en se réchauffant.
charge-caution-warm = Réchauffer une bouteille avec de l'eau à 40 °C au plus (usage courant, sans source), jamais avec une flamme ni un pistolet à air chaud.
charge-caution-code = Les instructions du fabricant, la pratique agréée et les règles locales décident du fluide, de la quantité à introduire et de qui peut le faire.
