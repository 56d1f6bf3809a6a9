# What is said of a pressure test with dry gas: English, the reference.

decay-pass = PASS: the loss is within the limit. A leak below { $limit } would not have been seen.
decay-fail = FAIL: more gas is lost than is allowed.
decay-not-proven = NOT PROVEN: { $reasons }.

decay-test = Pressure test: { $from } to { $to } in { $time }, supply shut at { $shut }.
decay-temperature = Temperature: { $from } to { $to } °C. At the first temperature the pressure at the end is { $corrected }.
decay-no-temperature = Temperature: not measured.
decay-loss = Loss: { $loss }.
decay-share = Loss: { $low } to { $high } % of the gas in an hour (95 %).
decay-upper = Upper 95 % limit: { $upper }. Allowed: { $allowed }.
decay-upper-only = Upper 95 % limit: { $upper }.
decay-detectable = Smallest leak detectable: { $limit }.
decay-refrigerant = Estimated refrigerant loss through the same leak, charged: { $low } to { $high } g a year.
decay-hold = The same leak makes a rise of { $low } to { $high } micron/min in the hold under vacuum.
decay-longer = A hold { $minutes } min longer would decide, if the loss is what it looks like.
decay-thermometer = With a thermometer on the system a hold of { $minutes } min would decide.
decay-rule = Rule: { $name } ({ $source }).

decay-why-no-readings = there are no readings to judge
decay-why-leak = more gas is lost than is allowed
decay-why-supply = nothing shows that the supply was shut: the pressure does not follow the temperature of the gas
decay-why-rose = there is more gas at the end than at the beginning
decay-why-high = the pressure was above the highest that the nameplate allows
decay-why-low = the test was made at too low a pressure
decay-why-barometer = the gauge counts from the air around it, and the barometer is not given
decay-why-volume = the internal volume is not given
decay-why-limit = nobody said what loss is allowed
decay-why-temperature = no thermometer shows the temperature of the gas
decay-why-coarse = the steps of the gauge are too large
decay-why-settling = the heat of filling has not gone yet
decay-why-short = the hold is too short

decay-note-late = The pressure followed the supply until { $time }, later than was said: judged from there.
decay-note-unstamped = Nobody stamped when the supply was shut: taken from the pressure, { $time }.
decay-note-apart = The thermometer does not follow the gas: it may stand in the sun or on another part.
decay-note-held = The pressure is held up as by an open supply: shut the valve, take the regulator off, and test again.
decay-note-vented = The gas was let out at { $time }: the test ends there.

# While a pressure test is recorded. Clauses begin with a small letter.

decay-phase-waiting = waiting for gas under pressure
decay-phase-supply = under the supply, valve open
decay-phase-hold = pressure hold
decay-phase-vented = gas let out
decay-live-limit = loss at most { $upper } (95 %), allowed { $allowed }
decay-live-share = loss { $low } to { $high } % of the gas an hour
decay-live-early = too early to say what is lost
decay-live-pass = the loss is within the limit; a leak below { $limit } would not be seen
decay-live-fail = more gas is lost than is allowed

decay-step-pressurise = let nitrogen in through the regulator, in steps
decay-step-bubbles = go over every joint with bubbles at a low pressure first
decay-step-shut = shut the valve of the supply, and take the regulator's pressure off
decay-step-wait = let it stand, hands off
decay-step-vent = let the gas out, outdoors, from above 0 gauge

decay-advice-waiting = Gauge for vacuum valved off? Then nitrogen in, through the regulator with a relief: a little first, bubbles at every joint, then in steps to the pressure of the test.
decay-advice-supply = Under the supply: in steps to the pressure of the test, bubbles at every joint on the way; then shut the valve of the supply and stamp it. The test counts from there.
decay-advice-hold = Let it stand: no hands on tubes, no door, no sun, no fan. The heat of filling goes first.
decay-advice-passed = The loss is within the limit. Stop for the sheet; let the gas out outdoors while it is above 0 gauge, then evacuate.
decay-advice-failed = More gas is lost than is allowed: search every joint with bubbles while the pressure is on. Never braze under pressure.
decay-advice-not-proven = Waiting alone does not decide it: the review says what is missing.
decay-advice-vented = The gas is out. Evacuate next; this test proves the joints, not that the system is dry.
decay-warn-supply = Nothing shows that the supply is shut: the pressure does not follow the temperature of the gas. Shut its valve, take the regulator off, and stamp it again.
decay-warn-high = The pressure is above the highest that the nameplate allows: shut the supply, step back, and let gas out slowly.
