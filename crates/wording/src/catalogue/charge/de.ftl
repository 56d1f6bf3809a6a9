# Was über eine Füllung gesagt wird: was einzuwiegen ist, was in Schläuchen bleibt, der Arbeitsablauf.

charge-title = { $refrigerant }: { $charge } ± { $tolerance } laut Typenschild, Raum { $celsius } °C.
charge-tolerance-usual = Keine Toleranz angegeben: 2 %, mindestens 1 g, sind übliche Praxis. Was Typenschild oder Hersteller sagen, geht vor.
charge-weigh-out = { $mass } aus der Flasche entnehmen: { $charge } für das System, { $left } für das, was in Schläuchen bleibt ({ $share } % der Füllmenge).
charge-weigh-out-alone = { $mass } aus der Flasche entnehmen.
charge-hose = Schlauch { $number }: { $bore } mm × { $length } m, { $ml } mL { $contents ->
    [liquid] Flüssigkeit
   *[vapour] Dampf
 }: { $mass }
charge-cylinder-line = Leitung der Flasche: { $ml } mL, { $mass }
charge-manifold = Monteurhilfe: { $ml } mL, { $mass }
charge-undrawn = So abgenommen, wie sie sind, behalten Schläuche { $left }: { $mass } entnehmen.
charge-drawn = Über die Niederdruckseite des laufenden Systems leergesaugt, bei { $pressure }, behalten Schläuche { $left }: { $mass } entnehmen.
charge-drawn-assumed = Der Druck der Niederdruckseite ist nicht angegeben: angenommen ist der von { $refrigerant } bei −25 °C (übliche Praxis, ohne Quelle).
charge-uncertainty = Unsicher um ± { $all } (95 %): Schläuche ± { $hoses }, Temperatur und Druck ihres Inhalts ± { $state }, Stufen der Waage ± { $scale }.
charge-uncertainty-no-scale = Unsicher um ± { $all } (95 %): Schläuche ± { $hoses }, Temperatur und Druck ihres Inhalts ± { $state }. Die Stufe der Waage ist nicht angegeben und nicht mitgerechnet.
charge-forgotten = Verließen nur { $charge } die Flasche, so fehlten dem System { $off } ({ $share } %), ± { $uncertainty }.
charge-in-system = Von { $out }, die entnommen wurden, sind { $mass } im System, ± { $uncertainty } (95 %): { $off } gegenüber dem Typenschild ({ $share } %).
charge-margin = Abstand zur kleinsten Füllmenge, die die Toleranz zulässt: { $margin }.
charge-standing-short = Das System ist unterfüllt.
charge-standing-within = Die Füllmenge liegt in ihrer Toleranz.
charge-standing-over = Das System ist überfüllt: zurückgewinnen, was zu viel ist.
charge-standing-open = Ob die Füllmenge in ihrer Toleranz liegt, lässt sich nicht sagen: zu viel ist unsicher.
charge-state = Bei { $celsius } °C steht { $refrigerant } unter { $pressure }; ein Manometer, das von der Luft aus zählt, zeigt etwa { $gauge }. Flüssigkeit { $liquid } g/L, Dampf { $vapour } g/L.
charge-state-blend = Bei { $celsius } °C siedet flüssiges { $refrigerant } unter { $pressure } (ein Manometer, das von der Luft aus zählt, zeigt etwa { $gauge }), sein Dampf kondensiert unter { $dew }. Flüssigkeit { $liquid } g/L, Dampf { $vapour } g/L.
charge-scale-fine = Waage: Stufen von { $step } sind fein genug für ± { $tolerance }.
charge-level = Füllzylinder bei { $pressure }: innen { $celsius } °C, Flüssigkeit { $liquid } g/L. Die Skala nach diesem Druck einstellen und den Stand um { $ml } mL fallen lassen.
charge-level-vapour = Der Dampf, der an die Stelle der Flüssigkeit tritt, ist eingerechnet; mit einer Skala für Flüssigkeit allein fehlten { $share } % der Füllmenge.
charge-dial-cold = Mit einer Skala, die 10 K zu kalt steht, wird { $share } % zu wenig gefüllt.
charge-dial-warm = Mit einer Skala, die 10 K zu warm steht, wird { $share } % zu viel gefüllt.
charge-fill = Die Flasche von { $volume } L mit höchstens { $mass } füllen: 80 % ihres Volumens bei 25 °C (übliche Praxis, ohne Quelle). Die auf der Flasche eingeschlagene Grenze geht vor.
charge-fill-warm = Bei 50 °C nimmt diese Flüssigkeit { $share } % der Flasche ein.
charge-limit = { $standard } ({ $place ->
    [household] Haushaltsgeräte
   *[commercial] gewerbliche Geräte
 }) erlaubt davon höchstens { $mass } in einem Kreislauf ({ $source ->
    [memory] Zahl aus dem Gedächtnis
   *[seen] Zahl im Text gelesen
 }); örtliche Vorschriften entscheiden.
charge-source = Dichten und Drücke: Tabellen, mit CoolProp 8.0.0 erstellt.

charge-warning = Achtung: { $warning }
charge-warn-no-hoses = Kein Schlauch angegeben: was in Schläuchen bleibt, ist nicht mitgerechnet.
charge-warn-much = In Schläuchen bleiben { $share } % der Füllmenge. Bei laufendem System über die Niederdruckseite einsaugen, oder kürzere und dünnere nehmen.
charge-warn-scale = Eine Waage mit Stufen von { $step } ist zu grob für ± { $tolerance }: ihre Stufe sollte höchstens ein Viertel der Toleranz sein (übliche Praxis, ohne Quelle).
charge-warn-uncertain = Mit diesen Schläuchen und dieser Waage ist die Füllmenge um ± { $uncertainty } unsicher, mehr als ihre Toleranz von ± { $tolerance }. Schläuche über die Niederdruckseite einsaugen, oder kürzere und eine feinere Waage nehmen.
charge-warn-vapour = Der Dampf von { $refrigerant } ist anders zusammengesetzt als die Flüssigkeit: was ein Schlauch voll Dampf behält, ist geschätzt.
charge-warn-cylinder-warm = Die Flasche steht unter einem Druck, der zu { $celsius } °C gehört, { $kelvin } K über dem Raum. Sie ist warm, oder es ist Luft oder ein anderes Gas darin, und dann ist die Skala falsch.
charge-warn-cylinder-cold = Die Flasche steht unter einem Druck, der zu { $celsius } °C gehört, { $kelvin } K unter dem Raum. Sie ist kalt, oder der Druck wurde an einem Manometer abgelesen, das von der Luft aus zählt: den Luftdruck dazuzählen, etwa 1 bar.
charge-warn-limit = Die Füllmenge liegt über { $mass }, der Grenze von { $standard } für ein brennbares Kältemittel ({ $place ->
    [household] Haushaltsgeräte
   *[commercial] gewerbliche Geräte
 }; aus dem Gedächtnis): ist das Typenschild richtig gelesen? Örtliche Vorschriften entscheiden.

charge-order = Arbeitsablauf
charge-cautions = Sicherheitshinweise
charge-expect = Was geschehen soll: { $words }
charge-otherwise = Falls nicht: { $words }
charge-caution = Vorsicht: { $words }
charge-step-prepare = Erst beginnen, wenn die Standprobe bestanden ist. Der Verdichter bleibt aus, das Vakuummeter ist abgesperrt. Die Flasche so auf die Waage stellen, dass Flüssigkeit austritt, den Schlauch frei hängen lassen und die Waage auf null stellen.
charge-step-low-shut = Die Niederdruckseite der Monteurhilfe schließen.
charge-step-low-shut-expect = Flüssigkeit geht nur in die Hochdruckseite: in der Niederdruckseite gelangt sie zum Verdichter, der sie nicht verdichten kann.
charge-step-liquid = Verdichter aus. Die Flasche, dann Füllventil und Hochdruckseite öffnen und Flüssigkeit einlassen, bis { $mass } die Flasche verlassen haben.
charge-step-liquid-expect = Die Hochdruckseite steigt gegen { $pressure }. Die Niederdruckseite folgt durch das Kapillarrohr innerhalb von Minuten.
charge-step-liquid-wrong = Die Niederdruckseite bleibt im Vakuum: nichts kommt durch. Ein Rohr wurde zugelötet, oder Filtertrockner oder Kapillarrohr ist verstopft. Anhalten, die Füllung zurückgewinnen und öffnen.
charge-step-shut = Die Flasche, dann das Füllventil, dann die Hochdruckseite schließen. Warten, bis die Waage ruht, und aufschreiben, was die Flasche verlassen hat.
charge-step-start = Den Verdichter einschalten, jetzt, wo in beiden Seiten Kältemittel ist.
charge-step-start-expect = Die Hochdruckseite steigt über { $pressure }; die Niederdruckseite fällt und bleibt dann stehen, in einem Gefriergerät bei etwa { $low } (−25 °C, übliche Praxis).
charge-step-start-wrong = Die Niederdruckseite geht ins Vakuum und bleibt dort, und die Hochdruckseite steigt kaum: nichts läuft um, ein Rohr wurde zugelötet oder ist verstopft. Beide Drücke bleiben gleich: der Verdichter fördert nicht. Ausschalten.
charge-step-start-vacuum = Diese Niederdruckseite läuft unter dem Druck der Außenluft: was nicht dicht ist, auch ein Schlauch, saugt Luft an.
charge-step-draw = Bei geschlossener Flasche und geschlossenem Ventil an der Hochdruckseite des Geräts das Füllventil öffnen, dann die Niederdruckseite der Monteurhilfe nach und nach ein wenig: der laufende Verdichter saugt die Schläuche leer.
charge-step-draw-expect = Die Niederdruckseite steigt, während sich die Schläuche leeren, und fällt auf ihren Wert zurück. Dann die Niederdruckseite schließen.
charge-step-draw-not = Hier ohne diesen Schritt geplant: Schläuche behalten { $left }, wenn sie abgenommen werden; das ist zurückzugewinnen.
charge-step-pinch = Die Prozessrohre abquetschen, abschneiden, ihre Enden verschließen (bei brennbarem Kältemittel ohne Flamme) und an jeder Verbindung nach Lecks suchen.

charge-caution-locked = Nie Flüssigkeit zwischen zwei geschlossenen Ventilen einsperren: beim Erwärmen sprengt sie einen Schlauch. Ihr einen Weg ins System oder in eine Rückgewinnungsflasche lassen.
charge-caution-slug = Die Niederdruckseite nach und nach öffnen: Flüssigkeit, die einen laufenden Verdichter erreicht, zerstört ihn.
charge-caution-fill = Eine Flasche nie über die eingeschlagene Grenze füllen: voll Flüssigkeit birst sie, wenn sie sich erwärmt.
charge-caution-warm = Eine Flasche mit Wasser von höchstens 40 °C anwärmen (übliche Praxis, ohne Quelle), nie mit Flamme oder Heißluft.
charge-caution-code = Angaben des Herstellers, fachkundige Praxis mit Zulassung und örtliche Vorschriften entscheiden, was, wie viel und von wem gefüllt werden darf.
