# What can hurt, where the act happens: English, the reference. The table of acts is in
# cautions.rs. One file of messages with en.ftl.

caution-flammable = { $refrigerant } is flammable (safety group { $group }): no flame, spark or brazing while any may be present. Pump switch, plug, laptop, charger and heat gun can light it: switch the pump at a distant socket; ventilate, pump exhaust outdoors.
caution-flammable-brief = { $refrigerant } burns: no flame, no spark; switch the pump at a distant socket; exhaust outdoors.
caution-not-known = Refrigerant not known here: treat it as flammable until the nameplate says otherwise: no flame, no spark; switch the pump at a distant socket; ventilate, pump exhaust outdoors.
caution-not-known-brief = Refrigerant not known: treat it as flammable; no flame, no spark; switch the pump at a distant socket.
caution-open-flammable = Before a system with flammable refrigerant is cut or brazed: recover, evacuate, purge with dry nitrogen, then evacuate and purge again, and test the air for gas.
caution-cut-out = Cut out compressors and filter-driers with a tube cutter, never unbraze them: the oil and refrigerant in them burn.
caution-heat = Heat gently, never with a torch: plastic liner and foam stand about 50 °C at most.
caution-earth = Connect cylinder, hoses and appliance to earth before charging: a static spark can light the gas.
caution-nitrogen = Dry nitrogen only through a regulator, and with a relief downstream; never oxygen, never air.
caution-test-pressure = Test pressure: at most the low-side value on the nameplate; with a hermetic compressor at most 150 psi (10.3 bar) gauge unless the nameplate says otherwise.
caution-braze-pressure = Never braze a tube under pressure: let nitrogen flow through it with the far end open.
caution-break-limit = Let nitrogen in to slightly above 0 gauge, no higher than the maker says, and vent only from above 0: from below, air flows in.
caution-pressure = { $refrigerant } stands at { $bar } bar at 20 °C: valve the gauge off before any is let in, and use hoses rated for it.
caution-compressor = Never energise the compressor while the system is under vacuum.
caution-unplug = Unplug the appliance: a thermostat or a defrost timer can start the compressor by itself.
caution-capacitors = Discharge capacitors before you touch electrical parts.
caution-toxic = { $refrigerant } is toxic (safety group { $group }): ventilate, keep breathing protection at hand, and leave the room if you smell it.
caution-ventilate = Ventilate: refrigerant and nitrogen displace the air one breathes.
caution-protection = Wear eye and hand protection: liquid refrigerant freezes skin and eyes.
caution-pinch-off = Pinch-off: crimp the process tube twice, cut it outside the crimps, check for leaks, then close the end, never with pressure behind it, and without a flame where it is flammable.
caution-recover = Recover refrigerant as the law asks before opening a system; do not vent it.
caution-gauge-off = Valve the vacuum gauge off before any pressure goes in, nitrogen or refrigerant, whichever it is.
caution-r744 = R-744: charge vapour only until the system is above the triple point (5.2 bar absolute): below it liquid turns to dry ice and blocks the tubes.
caution-open-slowly = Open the valve to the pump slowly: a sudden pull draws oil out of the compressor.
caution-ballast = Close the gas ballast again before the final pull: with it open the pump does not get low enough.
