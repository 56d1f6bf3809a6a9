# English: the reference. Every other file has the same messages with the same
# variables; a test compares. Numbers arrive already written, with their units.
# Clauses begin with a small letter: the program makes sentences of them.

## Numbers

unknown = unknown
range = { $low } to { $high }
estimate = { $value } { $unit } (95 %: { $low } to { $high })
estimate-both = { $value } { $unit } ({ $micron }; 95 %: { $low } to { $high } { $unit })
at-most = at most { $value }
before-noon = am
after-noon = pm
seconds = seconds
minutes = minutes
hours = hours
days = { $range } days
months = { $range } months
years = { $range } years
per-year = g/year
list-and = { $list } and { $last }
labelled = { $name }: { $text }
clause-break = { "; " }

## Verdict and its reasons

verdict-pass = PASS
verdict-fail = FAIL
verdict-not-proven = NOT PROVEN
verdict-pass-rule = PASS by the rule
pass-leak = a leak is indicated
pass-leak-size = a leak is indicated: { $size }
pass-cause-unknown = what the rise comes from is not known
pass-reason = Pulled down to the target of { $target }, then held for { $time } under the ceiling of { $ceiling }.
pass-reason-highest = Pulled down to the target of { $target }, then held for { $time } under the ceiling of { $ceiling }, highest { $highest }.
pass-without-hold = The criteria are met.
no-reason = No reason was recorded.
reason-target-not-reached = the pull-down did not reach the target
reason-hold-too-short = the hold was shorter than the criteria require
reason-ceiling-exceeded = the pressure went above the ceiling during the hold
reason-no-isolation = the record does not show when the pump was valved off
reason-gap-in-hold = readings are missing in the hold
reason-gauge-fault = the gauge reported a fault or left its range in the hold
reason-pump-open-at-stop = the pump was stopped while its valve was still open
reason-no-readings = there is no measurement to judge
reason-ice-possible = the hold stands where ice at the coldest part of the system stands: it does not show that the system is dry
reason-gauge-too-coarse = the gauge resolution is too coarse to prove the hold
reason-gauge-shut-off = the manifold was shut, and the gauge may have been cut off from the system
reason-unit-doubtful = the readings look as if they came in another unit
reason-pump-on-too-short = the pump was valved off too soon after the target
reason-rose-too-much = the pressure rose more in the hold than the criteria allow
reason-not-steady = the pressure was not steady at the end of the hold
reason-repeat-asked = the hold stood in the band in which evacuation and hold are to be repeated
reason-rounds-missing = evacuations that the criteria require before this one are missing
reason-sides-not-shown = the criteria require both sides, and the job does not say that both were evacuated
reason-ambient-not-shown = the criteria require a warmer room, or its temperature is not given
reason-besides = { $reason } (measured: { $measured }; required: { $required })
pass-softer = by criteria softer than common practice ({ $target }, { $minutes } min)
softer-than-common = By criteria softer than common practice ({ $target }, { $minutes } min). { $text }
reason-lowest = the pull-down did not reach the target of { $target }: lowest { $lowest }
reason-lasted = the hold lasted { $lasted }, the criteria require { $asked }
reason-began-above = the hold began at { $start }, already above the ceiling of { $ceiling }
reason-rose-above = the pressure rose to { $highest } in the hold, above the ceiling of { $ceiling }
reason-other = a reason that this version has no words for

## Criteria

judged-against = Judged against: { $criteria } ({ $source }).
criteria = target { $target }, hold { $minutes } min, ceiling { $ceiling }
criteria-besides = { $criteria }; besides: { $further }
criteria-common = common practice
criteria-common-source = common practice, no published source
criteria-given = as given
criteria-given-source = given on the command line

## The review, line by line

round = Round { $number }
pulldown-line = Pull-down of { $time }: lowest { $lowest }, { $reached }.
nothing-measured = nothing measured
lowest = lowest { $pressure }
highest = highest { $pressure }
from-to = from { $from } to { $to }
target-reached = target reached
target-reached-at = target reached at { $moment }
target-not-reached = target not reached
hold-line = Hold of { $figures }; isolated at { $moment } ({ $basis }).
basis-mark = from the mark
basis-given = as given by the reviewer
basis-curve = found in the curve
basis-from-start = isolated from the start of the record
note-line = note: { $text }
note-line-at = note: at { $moment }: { $text }
next-line = Next: { $text }
record-line = record: { $text }
left-out-line = left out: { $text }
digest = Digest of the record: { $digest }. To check it: dryhold verify FOLDER.

## Phases of a run

phase-waiting = waiting for the gauge
phase-pull-down = pull-down
phase-at-target = target reached
phase-hold = hold

## Marks

mark-valve-opened = valve opened
mark-pump-side-shut = pump-side valve shut
mark-pump-stopped = pump stopped
mark-nitrogen-break = nitrogen break
mark-throttled = flow throttled
mark-ballast-opened = gas ballast opened
mark-heat-applied = heat applied
mark-pressurised = pressurised
mark-supply-shut = supply valve shut
mark-vented = gas vented
mark-note = note
mark-from-device = device { $device }: { $words }

## Stalls: what held the pull-down up

stall-line = Stall, { $kind }, { $from } to { $to } near { $level }.
stall-foaming = pump oil foaming
stall-boil-off = water boiling off
stall-ice = water frozen to ice
stall-floor = floor reached
stall-choked = choked flow
stall-foaming-advice = reducing the flow at the pump until the oil settles usually clears it; old oil wants changing
stall-boil-off-advice = liquid water is boiling: gentle heat and an open gas ballast usually help; below { $freezing } water freezes, so let it boil off first
stall-ice-advice = water has frozen and leaves slowly as vapour: warm the cold spot gently, never with a flame; or break the vacuum with dry nitrogen through a regulator and pull again; open the gas ballast where the pump has one
stall-floor-advice = pump, oil, hoses, a leak or moisture hold it here: a blank-off check of pump and hoses tells which
stall-choked-advice = look for a half-shut valve, a kinked or thin hose, a core left in
stall-throttled = ended when the flow was reduced
stall-ballast-opened = ended when the gas ballast was opened
stall-heat-applied = ended when heat was applied
stall-nitrogen-break = ended when the vacuum was broken with nitrogen
stall-cleared = cleared by itself
stall-isolated = lasted until the pump was valved off
stall-still-on = still going on
stall-rough = { $times } times as rough as the gauge by itself
stall-gave-way = given way when the flow was reduced
stall-rises-again = rising again and again
stall-smooth = smooth
stall-boils = smooth, where water boils at { $c } °C
stall-sublimes = smooth, where water sublimes as ice at { $c } °C
stall-levelling = levelling off
stall-levelling-at = levelling off at { $pressure }
stall-falling = falling { $percent } % a minute, far more slowly than a pump does

## Findings

said-isolation-from-curve = isolation was found in the curve; it may have been up to { $earlier } earlier or { $later } later; a mark at the valve would make it certain
said-starts-isolated = the record starts with a rise: it is taken as isolated from its first reading
said-pressure-falls = the pressure fell from { $from } to { $to } during the hold: gas was taken up or cooled down, or the pump was still connected
said-will-not-pass-leak = at this rise { $ceiling } is passed about { $minutes } min after isolation (in more than { $odds } of 100 such cases): this hold will not pass; the rise is straight: look for a leak
said-will-not-pass = at this rise { $ceiling } is passed about { $minutes } min after isolation (in more than { $odds } of 100 such cases): this hold will not pass; hold on to learn the cause
said-left-range = the pressure ran out of the gauge's range { $after } after isolation: the rise is at least { $rate }
said-fit-stops-early = the rise is judged only up to where gauge and leak still behave in a straight line
said-rise-began-late = the pressure stayed level for { $minutes } min after isolation and rose only then; a leak or boiling water begins at once, so something let go, opened, warmed up or reached the gauge late; the rise is judged from there on
said-free-water-ahead = the rise has not levelled off; where it may end takes in the saturation pressure of water at { $room } ({ $saturation }): liquid water may be left in the system
said-free-water = the rise levels off near { $level }, the saturation pressure of water at { $room } ({ $saturation }): liquid water is probably left in the system
said-bound-moisture = the rise levels off near { $level }, far below the { $saturation } of free water at { $room }: rather water bound in oil or drier, a cold spot, or refrigerant coming out of the oil
said-pass-with-leak = the rule is met, yet { $leak }
said-ice-in-hold = the hold stands at { $level }, where ice at the coldest part ({ $c } °C, { $saturation }) may stand: { $range } (thermometer 2 K, gauge 10 %, double in water vapour)
said-ice-not-ruled-out = ice at { $c } °C stands at { $level } too: water frozen in a part so cold or colder does not show in this hold; give the temperature of the coldest part, or thaw it and repeat
said-too-cold-to-dry = the room is at { $c } °C: an evacuation test asks for more than 2 °C (UFGS 15182), for water freezes and hardly comes out; warm the system and repeat
room = { $c } °C
room-assumed = { $c } °C (assumed)
said-stalled = { $kind } for { $minutes } min near { $level }, { $evidence }; { $end }: { $advice }
said-isolation-mark-missing = closing the valve left no trace in the pressure, or it never was closed: stamp “{ $mark }” at that moment, or give the time when reviewing
said-hold-longer = { $time } more of hold were needed
said-missing-charge = { $grams } g were missing { $months } months after the last charge: as a leak, that raises this hold by { $rates }
said-missing-charge-and-answer = { $asked }; { $answer }
said-missing-charge-ruled-out = such a leak would have shown, for at most { $rate } can be left: the charge was short, unless the leak was mended before this hold
said-missing-charge-leak = the leak of { $rates } in this hold explains it: it was a leak
said-missing-charge-small-leak = there is a leak, but at most { $rate } do not explain it: the charge was short as well
said-missing-charge-hold-longer = this hold could show { $rate } at best and leaves it open whether it was a leak or a short charge: hold for about { $time }
said-missing-charge-open = this hold leaves it open whether it was a leak or a short charge
said-later-hold-broken-off = the hold begun here was broken off after { $time }, before it could show anything: the hold before it counts
said-one-side-evacuated = only one side was evacuated: gas left behind the capillary tube bleeds into the hold and looks like a leak; evacuate from both sides, or hold for hours, before blaming one
said-pump-open-at-stop = the pump was stopped while its valve was still open: air, pump oil and contaminants can be drawn into the system; shut the pump-side valve first, then stop the pump, and evacuate again
said-gauge-stands-still = the gauge stood still at { $level } for { $time }, and nothing in the record shows that it would have moved: a gauge that is dead, frozen or cut off shows the same
said-gauge-at-floor = the gauge stood at { $level }, the lowest value that it shows in this record: the pressure may have been anywhere below, and a dead gauge shows the same
said-gauge-under-range = the gauge said for much of the hold that the pressure was below its range: that is no measurement, and a broken wire can show the same
said-gauge-steps = the gauge resolution is { $step }; the coarsest that proves this hold is { $most }
said-gauge-shut-off = the manifold valves were shut, and the job says that the gauge is cut off from the system then: the hold shows the manifold and not the system
said-gauge-shut-off-unknown = the manifold valves were shut, and the job does not say whether the gauge stays open to the system then (gauge_open_to_system): the hold may show the manifold and not the system
said-unit-doubtful = the record begins at { $number } { $unit }, and { $number } is the air outside in { $likely }: it may have come in { $likely }; compare with the gauge's display, then give --pressure-unit, or --unit-checked if { $unit } is right
said-unit-too-low = the hold stands at { $number } { $unit }, lower than pumps of this trade reach: compare the unit with the gauge's display, then give --pressure-unit, or --unit-checked if { $unit } is right
said-unit-by-dialect = the gauge sends numbers without a unit, and its format takes them as { $unit }: compare with the gauge's display
said-unit-by-option = the unit { $unit } is not stated in the file, it was given by --pressure-unit: compare with the gauge's display
said-criteria-softer = the criteria are softer than common practice: target, ceiling or hold require less than { $target } and { $minutes } min
said-calibration-overdue = { $days ->
    [one] the calibration of the gauge had been overdue for { $count } day when the record began (due { $due })
   *[other] the calibration of the gauge had been overdue for { $count } days when the record began (due { $due })
}: whoever pays a claim may refuse it; have the gauge calibrated
said-calibration-overdue-beside = { $days ->
    [one] the calibration of the gauge at the { $place } had been overdue for { $count } day when the record began (due { $due })
   *[other] the calibration of the gauge at the { $place } had been overdue for { $count } days when the record began (due { $due })
}; it does not decide the verdict
said-far-side-lags = the far gauge stood { $ratio } times above the pump side for { $time } ({ $range }): hose, core or capillary leaves 1/{ $ratio } of the pump's speed; { $wait }; shorter, wider hoses and cores taken out usually help
far-side-later = the pump side was at the target { $time } before the far side, which is the one judged
far-side-not-later = the target is judged at the far gauge
far-side-never = the pump side was at the target, the far side, which is the one judged, never
said-gauges-disagree = in one volume the judged gauge shows { $far } and the one at the { $place } { $beside }, more than steps, noise and { $percent } % of reading each explain: have both checked; oil or moisture on a sensor is the usual cause
said-rises-alone-pump = the pump-side gauge alone rises { $range } within { $time } (far gauge { $far }): the stopped pump lets air back, it is not the system
said-rises-alone = the pump-side gauge alone rises { $range } within { $time } (far gauge { $far }): pump, hose or a joint there lets gas in, not the system
beyond-range = from { $from } beyond its range
said-other = a finding that this version has no words for

## The rise

rise-none = no rise beyond gauge noise
rise-leak = straight rise: leak
rise-moisture = rise that levels off: moisture or another volatile
rise-leak-and-moisture = leak and moisture together
rise-unclear = cause of the rise not clear yet
rise-and-rate = { $cause }, { $rate }
rise-and-share = { $cause }; a leak's share is { $rate }
rise-at-level = { $rise }, at { $level }
rise-moisture-part = { $rise }; the moisture part levels off at { $level }
rise-not-level = { $rise }, bending over but not level yet: heading for a level of { $range }
rise-pace = { $rise }, 63 % of it after { $pace }
rise-hold-longer = A hold of { $all } in all ({ $more } more) should tell leak and moisture apart.
rise-odds = Such an answer is right in more than { $odds } of 100 cases.
rise-and-straight = { $cause }; straight part { $rate }
rise-towards = { $rise }; what bends over levels off at { $level }
tends-none = no rise seen so far; not certain yet
tends-leak = tends to a leak; not certain yet
tends-moisture = tends to moisture; not certain yet
tends-leak-and-moisture = tends to leak and moisture; not certain yet
live-odds = { $cause }, right in over { $odds } of 100
live-leak = straight rise: leak
live-moisture = levels off: moisture
live-leak-and-moisture = leak and moisture
live-unclear = cause not clear yet
live-unclear-more = cause not clear, { $more } more to tell
live-will-not-pass = will not pass, right in over { $odds } of 100
live-will-not-pass-leak = leak, will not pass, right in over { $odds } of 100

## The leak

leak-flow = Air drawn in by the leak: { $flow }.
leak-flow-grams = Air drawn in by the leak: { $flow }; the same flow of refrigerant would be { $grams }.
leak-flow-unclear = Air drawn in, if it is a leak: { $flow }.
leak-flow-unclear-grams = Air drawn in, if it is a leak: { $flow }; the same flow of refrigerant would be { $grams }.
leak-other-rate = The charged system loses at another rate.
leak-charged = Charged and standing at 20 °C it may lose { $loss }.
low-side-draws-in = while it runs cold the low side stands below the air outside (about { $kpa } kPa absolute at { $c } °C): a leak there then draws air in instead
loss = { $range } g/year
loss-years = { $loss }, a tenth of the charge in { $years }
loss-of = { $loss } of { $refrigerant }
sight-unknown = How small a leak this hold could have shown is not known.
sight = This hold could not have shown a leak below { $limit }: a smaller leak is not ruled out.
sight-grams = This hold could not have shown a leak below { $limit }, through which the charged system may lose { $grams }: a smaller leak is not ruled out.
sealed-yes-sentence = A leak of { $line } (sealed system, EN 378-1, quoted second-hand) would have shown.
sealed-no-sentence = A leak of { $line } (sealed system, EN 378-1, quoted second-hand) would not have shown.
sealed-depends-sentence = Whether a leak of { $line } (sealed system, EN 378-1, quoted second-hand) would have shown depends on how it flows.
flow-in-volume = { $flow } in { $volume } L
water = Water left as vapour: at most { $mg } mg; what oil and filter-drier hold comes on top.
water-ppm = Water left as vapour: at most { $mg } mg ({ $ppm } ppm of the charge; new refrigerant may hold { $limit } ppm by weight, AHRI 700); what oil and filter-drier hold comes on top.
water-by-thermal-gauge = calculated from half of what this thermal gauge shows, for it shows water vapour about twice too high

## Gauges beside the judged one

place-pump-side = pump side
beside-nothing = { $place }: nothing measured.
beside-lowest = { $place }: lowest { $lowest }
beside-at-target = { $pressure } at target ({ $compared })
beside-at-isolation = { $pressure } at isolation ({ $compared })
beside-alike = the judged gauge within 10 % of it
beside-above = the judged gauge { $ratio } times above
beside-below = the judged gauge at { $ratio } of it
beside-one-volume = in the hold one volume with the judged gauge

## What went in

data-rows = { $rows } rows, { $used } readings used
data-left-out = { $count ->
    [one] { $rows } row left out
   *[other] { $rows } rows left out
}
data-gaps = { $count ->
    [one] { $gaps } gap of { $time } in all
   *[other] { $gaps } gaps of { $time } in all
}
data-every = one every { $seconds } s
data-a-second = { $number } a second
data-steps = gauge resolution { $step }
data-noise = noise { $noise }
rows-one = row { $rows }
rows-many = rows { $rows }
rows-and-more = rows { $rows } and { $rest } more
and-more = and { $rest } more

## What comes next

next-pass = the criteria are met; refrigerant can be weighed in if the maker's instructions and local codes require nothing more.
next-pass-leak = the criteria are met, but a leak is indicated: it is worth finding before any refrigerant goes in (under pressure, with dry nitrogen through a regulator and bubbles, or tracer gas and a detector, never above the nameplate's low side); then evacuate and hold again.
next-pass-moisture = Some moisture or another volatile still boils out: a longer evacuation leaves less of it.
next-pass-uncertain = the criteria are met; whether anything still leaks in or boils out is not certain, and a longer hold would tell. The maker's instructions and local codes decide what comes next.
next-pass-unknown = the criteria are met, but what the rise comes from is not known, and a leak is not ruled out: hold longer, or evacuate again and compare the holds; a rise from moisture gets weaker with every evacuation, one from a leak does not.
next-pass-one-side = the criteria are met, but only one side was evacuated: the rise may be gas left behind the capillary tube, or a leak; evacuate from both sides and hold again.
next-both-sides = evacuate from both sides and hold again: until then the rise may be gas left behind the capillary tube, and no leak is shown.
next-order-of-work = evacuate again to the target; shut the pump-side valve first, then stop the pump, so that nothing flows back from the pump.
next-leak = search for the leak under pressure, with dry nitrogen through a regulator and bubbles, or tracer gas and a detector, never above the nameplate's low side; then evacuate and hold again.
next-moisture = evacuate again and hold again; gentle heat, fresh pump oil and a new filter-drier usually shorten it.
next-leak-and-moisture = find the leak first (under pressure, with dry nitrogen through a regulator and bubbles, or tracer gas and a detector, never above the nameplate's low side), because it lets new moisture in; then evacuate, with gentle heat, fresh pump oil and a new filter-drier.
next-too-high = the pressure stood still, but too high: evacuate again to the target before the pump-side valve is shut.
next-unclear = evacuate again and compare the holds: a rise from moisture gets weaker with every evacuation, one from a leak does not.
next-as-it-looks = as it looks, and that is not certain: { $helps }
next-decide = A hold of { $all } in all should tell them apart at once.
next-target = a blank-off check of pump and hoses tells whether they or the system hold the pressure up; fresh pump oil, wider hoses and a look for leaks usually follow.
next-reasons = the reasons above say what to put right before the next evacuation.
next-check-gauge = check the gauge, its cable and its settings, then record again.
next-finer-gauge = repeat the hold with an absolute vacuum gauge that resolves a few micron.
next-ice = warm the coldest part of the system above freezing (thaw the evaporator), evacuate again to the target, and repeat the hold; if it was ice, the pressure comes back higher while water is left, and not at all once it is out.
next-gauge-open = repeat the hold with the gauge open to the system, and say in the job that it stays so when the manifold is shut (gauge_open_to_system).
next-unit = compare the unit with the gauge's display, then review again with --pressure-unit, or with --unit-checked if it is right.
next-besides = evacuate and hold again as the criteria require: { $required }.
next-tell = if it was so, say it in the job file or when reviewing: { $required }.
next-mark = mark the moment the pump-side valve is shut, or review again with the time of isolation given.
next-see-to-gauge = see to the gauge and its cable, then repeat the hold: what was not measured cannot be judged.
next-hold = pull down to the target, shut the pump-side valve, stop the pump, and let the system hold.
next-hold-on = keep holding { $more } more ({ $all } in all); if the system has been opened since, evacuate and hold again.
next-will-not-pass = this hold will not pass, however long it goes on.
next-learn-cause = Going on for { $more } more ({ $all } in all) would only tell the cause.
next-repeat-longer = repeat the hold, longer, with the gauge on the system side.

## Curve

invented = INVENTED DEMONSTRATION DATA: no evidence of any repair
invented-short = INVENTED DATA
curve-title = Evacuation curve, { $source }: { $verdict }
curve-scale = pressure on a logarithmic scale
axis-since-start = { $unit } since the record began
curve-no-hold = No hold was found in this record.
curve-job = job { $job }
curve-started = started { $time }
curve-judged-by = judged by { $program }
curve-target = target
curve-ceiling = ceiling of the hold
curve-both-limits = target and ceiling
curve-last-reading = last reading
curve-last-measurement = last measurement
curve-fit = fitted rise (dashed)
curve-stall = { $kind } near { $level }
curve-hold = hold, { $time }
curve-hold-number = hold { $number }
curve-hold-number-time = hold { $number }, { $time }
curve-shut-isolated = pump-side valve shut, isolated
curve-isolated-given = isolated (as given)
curve-isolated-curve = isolated (found in the curve)
curve-isolated-start = isolated from the start
curve-no-readings = no readings, { $time }
curve-fault = gauge fault, { $time }
curve-over = over range
curve-over-bound = over range, above { $bound }
curve-under = under range
curve-under-bound = under range, below { $bound }
curve-more-acts = +{ $acts } more
curve-dashed = { $place } (dashed)

## Close-up of the hold

close-title = The hold on a linear scale
close-heading = The hold, linear scale
close-sight = A leak below { $limit } would not have shown.
axis-since-isolation = { $unit } since isolation
close-ceiling = ceiling
close-end = end of hold
close-settled = after settling
close-off-scale = ceiling { $ceiling }: off this scale
close-equalisation = equalisation

## The sheet

sheet-title = Evacuation record: { $verdict }, { $source }
sheet-heading = Evacuation and hold record
sheet-job = Job { $job }
sheet-claim = claim { $claim }
sheet-work-order = work order { $order }
sheet-no-job = no job data
sheet-started = started { $time }
sheet-start-unknown = start time not known
sheet-no-hold = No hold was found in this record: there is nothing to show here.
not-given = not given
not-known = not known
given-at-review = { $value } (given for this review)

criterion = Criterion
asked-for = Required
measured = Measured
met = Met
met-yes = yes
met-no = no
met-not-shown = not shown
criterion-pull-down = Pull-down
criterion-hold = Hold
criterion-ceiling = Ceiling of the hold
criterion-record = Record
asked-target = { $target } or lower
asked-hold = { $minutes } min or longer
asked-ceiling = not above { $ceiling }
asked-record = isolation shown, hold without a gap
criterion-pump-on = Pump on
asked-pump-on = { $minutes } min or longer after the target
criterion-rise = Rise in the hold
asked-rise = not more than { $rise }
criterion-steady = Steady at the end
asked-steady = within { $within } over the last { $minutes } min
measured-moved = moved by { $moved }
criterion-repeat = Repeat band
asked-repeat = not above { $pressure }, else repeat
criterion-rounds = Evacuations before
asked-rounds = { $rounds } before this one
measured-rounds = { $met } of { $rounds }
asked-ambient = above { $c } °C
criterion-unit = Unit
asked-unit = stated by gauge or file
unit-by-dialect = { $unit }, assumed: the gauge sends none, its format says so
unit-by-option = { $unit }, assumed: given by --pressure-unit
unit-stated = { $unit }
hold-begins = hold begins at { $pressure }
no-hold-found = no hold found
held = { $time }, isolated at { $moment } ({ $basis })
highest-and-ends = highest { $highest } ({ $start } after settling, { $end } at the end)

rise-title = Rise, leak, water
entry-cause = Cause of the rise
rise-no-hold = no hold, no answer
rise-not-clear = not clear yet
entry-to-tell = To tell the cause
a-hold-of = a hold of { $all } in all
entry-leaks-share = A leak's share
entry-straight = Straight part
entry-levels-off = Levels off at
entry-pace = 63 % of the rise
after = after { $time }
entry-air = Air drawn in
entry-as-refrigerant = Same flow of refrigerant
entry-may-lose = Estimated refrigerant loss
entry-running = While running
entry-reckoned = Calculated from
reckoned-ends = rise × volume ({ $volume }), 20 °C; flow as through a tube and as through a pinhole
reckoned-other-rate = rise × volume ({ $volume }), 20 °C; the charged system loses at another rate
volume-given = the volume given
entry-could-not-show = Smallest leak detectable
leak-below = { $limits }; a smaller leak is not ruled out
leak-below-grams = { $limits } (charged: { $grams }); a smaller leak is not ruled out
entry-sealed = Sealed system
sealed-yes = a leak of { $line } would have shown (EN 378-1, second-hand)
sealed-no = a leak of { $line } would not have shown (EN 378-1, second-hand)
sealed-depends = a leak of { $line } shows or not by how it flows (EN 378-1, second-hand)
entry-water = Water as vapour
water-needs-volume = needs the internal volume, which is not given
water-at-most = at most { $mg } mg; oil and filter-drier may hold more
water-at-most-ppm = at most { $mg } mg, { $ppm } ppm of the charge (new refrigerant: { $limit } ppm at most, AHRI 700); oil and filter-drier may hold more

system-title = System
entry-appliance = Appliance
entry-model = Model
entry-serial = Serial no.
entry-refrigerant = Refrigerant
safety-group = { $refrigerant } (safety group { $group })
entry-charge = Charge
entry-oil = Oil
entry-volume = Volume
entry-sides = Evacuated from
sides-one = one side only
sides-both = both sides
entry-ambient = Ambient
ambient-and-coldest = { $ambient }; coldest { $coldest }
entry-repair = Repair
paperwork-title = Customer, claim and parts
entry-work-order = Work order
entry-claim = Warranty claim
entry-customer = Customer
entry-site = Location
entry-leak-location = Leak found at
entry-parts-fitted = Parts fitted
entry-compressor-old = Old compressor, serial no.
entry-compressor-new = New compressor, serial no.
entry-recovered = Refrigerant recovered
entry-charged = Refrigerant charged

instruments-title = Gauge, pump, hoses
entry-gauge = Gauge
principle-thermal = thermal
principle-diaphragm = diaphragm
entry-dialect = Gauge format
entry-calibrated = Calibrated
entry-next-due = Next calibration
was-overdue = { $day }, OVERDUE
entry-steps = Gauge resolution
entry-noise = Gauge noise
entry-interval = Reading interval
entry-pump = Pump
entry-hoses = Hoses
entry-second-gauge = Second gauge
and-due = { $value }, due { $due }
and-noise = { $value }, noise { $noise }
second-serial = no. { $serial }
second-calibrated = calibrated { $day }
second-due = due { $day }

timeline-title = Timeline (h:mm:ss)
event-stall = stall: { $kind }
event-isolated = isolated ({ $basis })
event-end-of-hold = end of hold
more-in-record = { $rows } more in the record
notes-title = What usually comes next; findings
more-findings = { $sentences } more in findings.json.
cautions-title = Cautions
sign-technician = Technician
sign-licence = Licence or certificate no.
sign-signature = Signature
sign-date = Date
foot = Judged by { $program } against “{ $criteria }” ({ $source }). “95 %: a to b” holds the true value in 19 of 20 cases. A passed hold does not say that there is no leak, only what it could have shown. Local codes and the maker's instructions decide.
code-alt = The digest of the record as a code that a camera reads

## Tables and pages

criteria-title = Criteria and what was measured
rounds-title = All rounds
rounds-round = Round
rounds-rise = Rise
rounds-none = none
logo-alt = Logo of the shop
photo-alt = Photo taken for this job; it is part of the record
overleaf = More on page { $page }.
continued = { $title } (continued)
page-of = Page { $page } of { $pages }
