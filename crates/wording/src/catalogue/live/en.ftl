# What is said of a run while it is recorded: English, the reference. Clauses begin with a
# small letter.

## Order of work: the acts

step-open = open the valve to the pump
step-shut = shut the pump-side valve
step-stop = stop the pump
step-manifold = shut the manifold valves
step-break = break with dry nitrogen
step-throttle = throttle the flow
step-ballast = open the gas ballast
step-ballast-close = close the gas ballast
step-heat = apply gentle heat
step-hold = let it hold, hands off
step-review = stop, review, sheet

## Order of work: advice

advice-waiting = Start the pump, and open the valve to it once the gauge is heard.
advice-stalls = Stalls: { $kind }. { $helps }
advice-pull-down = Let it pull down. Once it is low and level: pump-side valve first, then the pump.
advice-let-pull = At the target, but not low and level yet: let it pull. If the valve is shut now, the water that is left rises in the hold. Best below { $low }, or when the level stands.
advice-close-to-ceiling = The level stands, but close under the ceiling of { $ceiling }: a hold from here has hardly room to rise. Look for what keeps it there: pump oil, hoses, water, a leak.
advice-ready = Low enough: shut the pump-side valve first, then stop the pump. The longer it pulls, the drier it gets.
advice-close-ballast = The gas ballast is stamped open: close it for the final pull. With it open the pump does not get as low as it can.
advice-will-not-pass = The hold will not pass. It may go on to tell the cause; or open to the pump, or break with nitrogen, and evacuate again.
advice-stamp-shut = The curve looks isolated. If the pump-side valve is shut, stamp it: the sheet rests on it.
advice-next = Usually next: { $act }.
advice-hands-off = Leave valves and hoses alone until the hold is long enough.
advice-passed = The hold meets the criteria. Stop for the sheet, or go on with another round if the maker asks for it.
advice-passed-leak = The rule is met, but a leak is indicated: it is worth finding before any refrigerant goes in. A longer hold measures it better.
advice-failed = The hold fails. What the rise looks like says where to search; then evacuate and hold again.
advice-not-proven = Long enough, but not proven: the review says what is missing.
advice-rig-passed = Pump and hoses keep the vacuum as asked. Stop for the sheet.
advice-rig-rises = Pump and hoses do not keep the vacuum well: they leak, or vapour boils out of oil and hoses. Stop: the review says what to do next.
advice-broken = Nitrogen is in: it dilutes the vapour that is left and sweeps it out. Give it a few minutes, vent it while it is above 0 gauge, start the pump, and open the valve to it for the next round.

## Warnings: what seems to be done the wrong way round

warn-stopped-first = The pump was stamped stopped before the pump-side valve was stamped shut. If that valve is open, shutting it now keeps more air and pump oil out; then evacuate again to the target before the hold.
warn-open-at-stop = The curve looks as if the pump was stopped while its valve was open: air and pump oil can be drawn in. Shutting the valve and evacuating again usually helps.
warn-jumped = The pressure jumped from { $from } to { $to } and nothing was stamped. If the pump was stopped or lost its current with the valve open, shutting the pump-side valve now keeps air and oil out.
warn-nitrogen-open = Nitrogen was stamped with the pump-side valve not stamped shut: a running pump takes it away, a stopped one may be blown through. Check that valve.
warn-gauge-shut-off = The manifold valves were stamped shut, and the job does not say that the gauge stays open to the system then (gauge_open_to_system). If it is cut off, the hold shows the manifold and proves nothing: open it to the system and hold again.
warn-above-target = The valve was shut above the target of { $target }: such a hold cannot pass. Opening to the pump and pulling deeper first usually saves the time.

## Events

told-marked = Marked: { $mark }.
told-withdrawn = Taken back: { $mark }. It stays in the record, withdrawn.
told-gauge-back = The gauge speaks again.
told-target = The target of { $target } was reached.
told-stall = The pull-down stalls near { $level }: { $kind }.
told-stall-over = The stall ({ $kind }) is over.
told-hold = The hold began; it has to last { $time }.
told-will-not-pass = The hold is not over, but: { $answer }.
told-passed = The hold is long enough and meets the criteria ({ $answer }). What it could not have seen stands on the sheet.
told-passed-leak = The hold is long enough. { $answer }. Find it first.
told-failed = The hold fails: { $answer }.
told-not-proven = The hold is long enough, but the record cannot prove it.
mark-manifold-shut = manifold valves shut
mark-ballast-closed = gas ballast closed
mark-by-device = { $mark } (device { $device })

## The way to the target, and what is left of a hold

way-in = in { $range }
way-not-at-this-rate = not at this rate: ends near { $floor }
way-while-it-stalls = no forecast while it stalls
way-no-time = no time yet
way-reached = reached
left = { $time } left
held-so-far = { $time } so far
long-enough = long enough

## All of it on one line

line-no-target = no target at this rate: ends near { $floor }
line-no-time = pull-down, no time to target yet
line-target-in = pull-down, target in { $range }
line-stalls = { $kind }, no forecast meanwhile
line-choked = { $kind }, target in { $range }
line-ready = low enough: shut pump-side valve, then stop pump
line-let-pull = at target, not low and level yet: let it pull
line-close-to-ceiling = level, but close under the ceiling: look for the cause
line-hold = hold, { $clock }
line-far = far { $pressure }
line-unreadable = { $count } unreadable
line-over = over
line-under = under
line-fault = fault
line-lost = lost
trend-steady = steady
trend-hunting = up and down
trend-rising = rising { $rate }/min
trend-falling = falling { $rate }/min

## The gauge

state-over = over the gauge's range
state-under = under the gauge's range
state-fault = gauge fault
state-gap = no reading
state-none = no reading yet
link-waiting = not heard yet
link-hearing = heard
link-silent = SILENT: check power and cable
link-lost = LOST: reconnecting
