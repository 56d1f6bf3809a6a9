# Was von einer Druckprobe mit trockenem Gas gesagt wird.

decay-pass = BESTANDEN: Der Verlust liegt innerhalb der Grenze. Ein Leck unter { $limit } wäre nicht zu sehen gewesen.
decay-fail = NICHT BESTANDEN: Es geht mehr Gas verloren, als erlaubt ist.
decay-not-proven = NICHT NACHGEWIESEN: { $reasons }.

decay-test = Druckprobe: { $from } auf { $to } in { $time }, Zufuhr geschlossen bei { $shut }.
decay-temperature = Temperatur: { $from } auf { $to } °C. Bei der ersten Temperatur beträgt der Druck am Ende { $corrected }.
decay-no-temperature = Temperatur: nicht gemessen.
decay-loss = Verlust: { $loss }.
decay-share = Verlust: { $low } bis { $high } % des Gases in einer Stunde (95 %).
decay-upper = Obere 95-%-Grenze: { $upper }. Erlaubt: { $allowed }.
decay-upper-only = Obere 95-%-Grenze: { $upper }.
decay-detectable = Kleinstes nachweisbares Leck: { $limit }.
decay-refrigerant = Geschätzter Kältemittelverlust durch dasselbe Leck, gefüllt: { $low } bis { $high } g im Jahr.
decay-hold = Dasselbe Leck ergibt in der Standprobe unter Vakuum einen Anstieg von { $low } bis { $high } micron/min.
decay-longer = Eine um { $minutes } min längere Standzeit würde entscheiden, wenn der Verlust so ist, wie er aussieht.
decay-thermometer = Mit einem Thermometer an der Anlage würde eine Standzeit von { $minutes } min entscheiden.
decay-rule = Regel: { $name } ({ $source }).

decay-why-no-readings = es gibt keine Messwerte zu beurteilen
decay-why-leak = es geht mehr Gas verloren, als erlaubt ist
decay-why-supply = nichts zeigt, dass die Zufuhr geschlossen war: der Druck folgt der Temperatur des Gases nicht
decay-why-rose = am Ende ist mehr Gas da als am Anfang
decay-why-high = der Druck lag über dem höchsten, den das Typenschild erlaubt
decay-why-low = der Prüfdruck war zu niedrig
decay-why-barometer = der Druckmesser zählt ab dem Luftdruck, und der Luftdruck ist nicht angegeben
decay-why-volume = das innere Volumen ist nicht angegeben
decay-why-limit = niemand hat gesagt, welcher Verlust erlaubt ist
decay-why-temperature = kein Thermometer zeigt die Temperatur des Gases
decay-why-coarse = die Auflösung des Druckmessers ist zu grob
decay-why-settling = die Wärme vom Füllen ist noch nicht abgeklungen
decay-why-short = die Standzeit ist zu kurz

decay-note-late = Der Druck folgte der Zufuhr bis { $time }, länger als angegeben: beurteilt ab da.
decay-note-unstamped = Niemand hat vermerkt, wann die Zufuhr geschlossen wurde: aus dem Druck gelesen, { $time }.
decay-note-apart = Das Thermometer folgt dem Gas nicht: es kann in der Sonne stehen oder an einem anderen Teil.
decay-note-held = Der Druck wird gehalten wie von einer offenen Zufuhr: Ventil schließen, Druckminderer abnehmen, Probe wiederholen.
decay-note-vented = Das Gas wurde bei { $time } abgelassen: Die Probe endet dort.

# Während eine Druckprobe aufgezeichnet wird. Satzteile beginnen klein.

decay-phase-waiting = wartet auf Gas unter Druck
decay-phase-supply = an der Gaszufuhr, Ventil offen
decay-phase-hold = Druckprobe
decay-phase-vented = Gas abgelassen
decay-live-limit = Verlust höchstens { $upper } (95 %), zulässig { $allowed }
decay-live-share = Verlust { $low } bis { $high } % des Gases in der Stunde
decay-live-early = noch zu früh, um den Verlust zu nennen
decay-live-pass = der Verlust liegt in der Grenze; ein Leck unter { $limit } wäre nicht zu sehen
decay-live-fail = es geht mehr Gas verloren als zulässig

decay-step-pressurise = Stickstoff über den Druckminderer in Stufen einlassen
decay-step-bubbles = zuerst bei niedrigem Druck jede Verbindung mit Blasen prüfen
decay-step-shut = Ventil der Gaszufuhr schließen und den Druckminderer entlasten
decay-step-wait = stehen lassen, Hände weg
decay-step-vent = Gas im Freien ablassen, solange es über 0 Überdruck hat

decay-advice-waiting = Vakuummeter abgesperrt? Dann Stickstoff über den Druckminderer mit Sicherheitsventil einlassen: erst wenig, Blasen an jeder Verbindung, dann in Stufen bis zum Prüfdruck.
decay-advice-supply = An der Gaszufuhr: in Stufen bis zum Prüfdruck, unterwegs Blasen an jeder Verbindung; dann das Ventil der Gaszufuhr schließen und die Marke setzen. Von da an zählt die Probe.
decay-advice-hold = Stehen lassen: keine Hand an Rohre, keine Tür, keine Sonne, kein Gebläse. Zuerst verliert sich die Wärme vom Füllen.
decay-advice-passed = Der Verlust liegt in der Grenze. Für das Blatt anhalten; das Gas im Freien ablassen, solange es über 0 Überdruck hat, dann evakuieren.
decay-advice-failed = Es geht mehr Gas verloren als zulässig: jede Verbindung mit Blasen absuchen, solange der Druck ansteht. Nie unter Druck löten.
decay-advice-not-proven = Warten allein entscheidet es nicht: die Beurteilung sagt, was fehlt.
decay-advice-vented = Das Gas ist heraus. Als Nächstes evakuieren; diese Probe zeigt die Verbindungen, nicht dass die Anlage trocken ist.
decay-warn-supply = Nichts zeigt, dass die Gaszufuhr geschlossen ist: der Druck folgt der Temperatur des Gases nicht. Ventil schließen, Druckminderer abnehmen, neu markieren.
decay-warn-high = Der Druck ist über dem höchsten, den das Typenschild zulässt: Gaszufuhr schließen, zurücktreten, langsam Gas ablassen.
