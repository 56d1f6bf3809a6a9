# What is said of a charge: what to weigh out, what hoses keep, the order of work. English, the reference.

charge-title = { $refrigerant }: { $charge } ± { $tolerance } on the nameplate, room at { $celsius } °C.
charge-tolerance-usual = No tolerance was given: 2 %, at least 1 g, is common practice. What the nameplate or the maker says goes before it.
charge-weigh-out = Weigh out { $mass }: { $charge } for the system, { $left } for what hoses keep ({ $share } % of the charge).
charge-weigh-out-alone = Weigh out { $mass }.
charge-hose = Hose { $number }: { $bore } mm × { $length } m, { $ml } mL of { $contents ->
    [liquid] liquid
   *[vapour] vapour
 }: { $mass }
charge-cylinder-line = Line of the cylinder: { $ml } mL, { $mass }
charge-manifold = Manifold: { $ml } mL, { $mass }
charge-undrawn = Taken off as they are, hoses keep { $left }: weigh out { $mass }.
charge-drawn = Drawn empty through the low side of the running system, at { $pressure }, hoses keep { $left }: weigh out { $mass }.
charge-drawn-assumed = The pressure of the low side was not given: taken as that of { $refrigerant } at −25 °C (common practice, no source).
charge-uncertainty = Uncertain by ± { $all } (95 %): hoses ± { $hoses }, temperature and pressure of what they keep ± { $state }, steps of the scale ± { $scale }.
charge-uncertainty-no-scale = Uncertain by ± { $all } (95 %): hoses ± { $hoses }, temperature and pressure of what they keep ± { $state }. The step of the scale was not given and is not counted.
charge-forgotten = If only { $charge } left the cylinder, the system would be { $off } short ({ $share } %), ± { $uncertainty }.
charge-in-system = Of { $out } weighed out, { $mass } are in the system, ± { $uncertainty } (95 %): { $off } against the nameplate ({ $share } %).
charge-margin = Margin above the lowest charge that the tolerance allows: { $margin }.
charge-standing-short = The system is short of charge.
charge-standing-within = The charge is within its tolerance.
charge-standing-over = The system is overcharged: recover what is too much.
charge-standing-open = Whether the charge is within its tolerance cannot be told: what is uncertain is too much.
charge-state = At { $celsius } °C { $refrigerant } stands at { $pressure }; a gauge that counts from the air shows about { $gauge }. Liquid { $liquid } g/L, vapour { $vapour } g/L.
charge-state-blend = At { $celsius } °C liquid { $refrigerant } boils at { $pressure } (a gauge that counts from the air shows about { $gauge }), and its vapour condenses at { $dew }. Liquid { $liquid } g/L, vapour { $vapour } g/L.
charge-scale-fine = Scale: steps of { $step } are fine enough for ± { $tolerance }.
charge-level = Charging cylinder at { $pressure }: { $celsius } °C inside, liquid { $liquid } g/L. Set its dial by this pressure, and let the level fall by { $ml } mL.
charge-level-vapour = This counts the vapour that takes the place of the liquid; a scale for liquid alone would leave the charge { $share } % short.
charge-dial-cold = A dial left 10 K too cold charges { $share } % too little.
charge-dial-warm = A dial left 10 K too warm charges { $share } % too much.
charge-fill = Fill the cylinder of { $volume } L with at most { $mass }: 80 % of its volume at 25 °C (common practice, no source). The limit stamped on the cylinder goes before it.
charge-fill-warm = At 50 °C this liquid takes { $share } % of the cylinder.
charge-limit = { $standard } ({ $place ->
    [household] household appliances
   *[commercial] commercial appliances
 }) allows at most { $mass } of it in a circuit ({ $source ->
    [memory] figure from memory
   *[seen] figure read in its text
 }); local codes decide.
charge-source = Densities and pressures: tables made with CoolProp 8.0.0.

charge-warning = Mind: { $warning }
charge-warn-no-hoses = No hose was given: what hoses keep is not counted.
charge-warn-much = Hoses keep { $share } % of the charge. Draw them in through the low side while the system runs, or take shorter and thinner ones.
charge-warn-scale = A scale with steps of { $step } is too coarse for ± { $tolerance }: its step should be a quarter of the tolerance at most (common practice, no source).
charge-warn-uncertain = With these hoses and this scale the charge is uncertain by ± { $uncertainty }, more than its tolerance of ± { $tolerance }. Draw hoses in through the low side, or use shorter ones and a finer scale.
charge-warn-vapour = The vapour of { $refrigerant } has another composition than its liquid: what a hose full of vapour keeps is an estimate.
charge-warn-cylinder-warm = The cylinder stands at a pressure that belongs to { $celsius } °C, { $kelvin } K above the room. It is warm, or air or another gas is in it, and then its dial is wrong.
charge-warn-cylinder-cold = The cylinder stands at a pressure that belongs to { $celsius } °C, { $kelvin } K below the room. It is cold, or the pressure was read from a gauge that counts from the air: add the barometer, about 1 bar.
charge-warn-limit = The charge is above { $mass }, the limit of { $standard } for a refrigerant that burns in { $place ->
    [household] household appliances
   *[commercial] commercial appliances
 } (from memory): is the nameplate read rightly? Local codes decide.

charge-order = Order of work
charge-cautions = Cautions
charge-expect = What should happen: { $words }
charge-otherwise = If not: { $words }
charge-caution = Caution: { $words }
charge-step-prepare = Begin only when the hold has passed. The compressor stays off, the vacuum gauge is valved off. Set the cylinder on the scale so that liquid comes out, let the hose hang free, and set the scale to zero.
charge-step-low-shut = Shut the low side of the manifold.
charge-step-low-shut-expect = Liquid goes into the high side only: in the low side it reaches the compressor, which cannot compress it.
charge-step-liquid = Compressor off. Open the cylinder, then the charging valve and the high side, and let liquid in until { $mass } have left the cylinder.
charge-step-liquid-expect = The high side rises towards { $pressure }. The low side follows through the capillary tube within minutes.
charge-step-liquid-wrong = The low side stays in vacuum: nothing comes through. A tube was brazed shut, or drier or capillary tube is blocked. Stop, recover the charge, and open it.
charge-step-shut = Shut the cylinder, then the charging valve, then the high side. Wait until the scale is still, and note what left the cylinder.
charge-step-start = Switch the compressor on, now that refrigerant is in both sides.
charge-step-start-expect = The high side climbs above { $pressure }; the low side falls and settles, in a freezer near { $low } (−25 °C, common practice).
charge-step-start-wrong = The low side goes into vacuum and stays there, and the high side hardly climbs: nothing comes round, a tube was brazed shut or is blocked. Both pressures stay alike: the compressor does not pump. Switch it off.
charge-step-start-vacuum = This low side runs below the pressure of the air outside: whatever is not tight, a hose too, draws air in.
charge-step-draw = With the cylinder and the valve at the high side of the appliance shut, open the charging valve, then the low side of the manifold a little at a time: the running compressor draws hoses empty.
charge-step-draw-expect = The low side rises while hoses empty, and falls back to where it was. Then shut the low side.
charge-step-draw-not = Planned here without this step: hoses keep { $left } when they are taken off, which has to be recovered.
charge-step-pinch = Pinch the process tubes off, cut them, close their ends (without a flame where the refrigerant burns), and look for leaks at every joint.

charge-caution-locked = Never leave liquid locked in between two shut valves: it bursts a hose as it warms. Leave it a way into the system or into a recovery cylinder.
charge-caution-slug = Open the low side little by little: liquid that reaches a running compressor breaks it.
charge-caution-fill = Never fill a cylinder beyond the limit stamped on it: one that is full of liquid bursts as it warms.
charge-caution-warm = Warm a cylinder with water of at most 40 °C (common practice, no source), never with a flame or a heat gun.
charge-caution-code = The maker's instructions, licensed practice and local codes decide what may be charged, how much, and by whom.
