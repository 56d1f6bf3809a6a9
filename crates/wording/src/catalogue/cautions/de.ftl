# What can hurt, where the act happens: German.

caution-flammable = { $refrigerant } ist brennbar (Sicherheitsgruppe { $group }): keine Flamme, kein Funke, kein Löten, solange etwas davon da sein kann. Pumpenschalter, Stecker, Laptop, Ladegerät und Heißluftgerät können es entzünden: Pumpe an entfernter Steckdose schalten; lüften, Pumpenabluft ins Freie.
caution-flammable-brief = { $refrigerant } brennt: keine Flamme, kein Funke; Pumpe an entfernter Steckdose schalten; Abluft ins Freie.
caution-not-known = Kältemittel hier nicht bekannt: als brennbar behandeln, bis das Typenschild anderes sagt: keine Flamme, kein Funke; Pumpe an entfernter Steckdose schalten; lüften, Pumpenabluft ins Freie.
caution-not-known-brief = Kältemittel nicht bekannt: als brennbar behandeln; keine Flamme, kein Funke; Pumpe an entfernter Steckdose schalten.
caution-open-flammable = Vor dem Schneiden oder Löten an einem System mit brennbarem Kältemittel: absaugen, evakuieren, mit trockenem Stickstoff spülen, nochmals evakuieren und spülen, und die Luft auf Gas prüfen.
caution-cut-out = Verdichter und Filtertrockner mit dem Rohrschneider heraustrennen, nie auslöten: Öl und Kältemittel darin brennen.
caution-heat = Sanft erwärmen, nie mit dem Brenner: Kunststoffauskleidung und Schaum vertragen höchstens etwa 50 °C.
caution-earth = Vor dem Füllen Flasche, Schläuche und Gerät erden: ein Funke kann das Gas entzünden.
caution-nitrogen = Trockenen Stickstoff nur über einen Druckminderer und mit Überdruckventil dahinter; nie Sauerstoff, nie Luft.
caution-test-pressure = Prüfdruck: höchstens der Niederdruckwert des Typenschilds; mit hermetischem Verdichter höchstens 150 psi (10,3 bar) Überdruck, wenn das Typenschild nichts anderes sagt.
caution-braze-pressure = Nie an einem Rohr unter Druck löten: Stickstoff durchströmen lassen, das andere Ende offen.
caution-break-limit = Stickstoff bis knapp über 0 Überdruck einlassen, nicht höher, als der Hersteller sagt, und nur von über 0 ablassen: von darunter strömt Luft ein.
caution-pressure = { $refrigerant } steht bei 20 °C unter { $bar } bar: das Vakuummeter absperren, bevor etwas davon eingelassen wird, und dafür zugelassene Schläuche verwenden.
caution-compressor = Niemals den Verdichter einschalten, solange das System unter Vakuum steht.
caution-unplug = Den Netzstecker des Geräts ziehen: ein Thermostat oder eine Abtauuhr kann den Verdichter von selbst einschalten.
caution-capacitors = Kondensatoren entladen, bevor elektrische Teile berührt werden.
caution-toxic = { $refrigerant } ist giftig (Sicherheitsgruppe { $group }): lüften, Atemschutz bereithalten und den Raum verlassen, sobald es zu riechen ist.
caution-ventilate = Lüften: Kältemittel und Stickstoff verdrängen die Atemluft.
caution-protection = Augen- und Handschutz tragen: flüssiges Kältemittel erfriert Haut und Augen.
caution-pinch-off = Abquetschen: Prozessrohr zweimal quetschen, außerhalb abschneiden, auf Lecks prüfen; das Ende drucklos verschließen, bei brennbarem Kältemittel ohne Flamme.
caution-recover = Vor dem Öffnen Kältemittel nach Vorschrift zurückgewinnen; nicht ablassen.
caution-gauge-off = Das Vakuummeter absperren, bevor Druck ins System kommt, Stickstoff oder Kältemittel.
caution-r744 = R-744: nur gasförmig füllen, bis das System über dem Tripelpunkt ist (5,2 bar absolut): darunter wird Flüssigkeit zu Trockeneis und verstopft die Rohre.
caution-open-slowly = Das Ventil zur Pumpe langsam öffnen: plötzliches Absaugen zieht Öl aus dem Verdichter.
caution-ballast = Den Gasballast vor dem letzten Abpumpen wieder schließen: offen kommt die Pumpe nicht tief genug.
