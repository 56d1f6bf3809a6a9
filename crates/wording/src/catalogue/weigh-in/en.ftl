# A charge that is weighed in: English, the reference. One file of messages with en.ftl.

weighed-of = Charged: { $charged }; nameplate { $nameplate } ± { $tolerance }.
weighed-alone = Charged: { $charged }; the nameplate charge is not given.
weighed-unknown = Charged: not known from the scale.
weighed-typed = Charged: { $charged }, as typed; no scale shows it.
weighed-typed-of = Charged: { $charged } of { $nameplate }, as typed; no scale shows it.
weighed-as-typed = { $mass } (typed in)
weighed-left = Left in hoses: { $mass }, taken off.
weighed-left-not-given = What the hoses keep was not given; it counts as charged.
weighed-acts = Order of work: { $acts }.
weighed-covers = The ± covers steps, scatter and creep of the scale (95 %), not its calibration.
weighed-plus-minus = { $value } ± { $off } g

act-weigh-in-begins = weigh-in begins
act-cylinder-shut = cylinder valve shut
act-charging-valve-shut = charging valve shut
act-high-side-shut = high-side valve shut
act-compressor-on = compressor on
act-weigh-in-ends = weigh-in ends

weighed-note-touched-back = The scale moved by { $by } at { $at } and came back: the cylinder was touched.
weighed-note-touched = The scale moved by { $by } at { $at } and was not seen to come back: the cylinder was touched, or something leans on it. What went in is not known from the scale.
weighed-note-zero = The scale fell by { $by } at { $at }: it was set to zero, or the cylinder was lifted off. What went in is not known from the scale.
weighed-note-not-heard = The scale was not heard from { $from } to { $to }.
weighed-note-drifts = The scale drifts up by { $by } in a minute: keep draught and vibration away.
weighed-note-too-much = { $by } more than the nameplate charge, beyond the tolerance.
weighed-note-too-little = { $by } less than the nameplate charge, beyond the tolerance.
weighed-note-before = The scale did not stand still before the cylinder was opened.
weighed-note-after = The scale did not stand still at the end.
weighed-note-no-hold = The weigh-in was begun without a hold that passed.

weighed-live-phase = weigh-in
weighed-live-to-go = to go of { $target }
weighed-live-over = too much: shut the cylinder
weighed-live-out = left the cylinder
weighed-live-done = weigh-in ended
weighed-scale = scale

weighed-next-settle = Do not open the cylinder before the scale stands still.
weighed-next-fill = Charge liquid into the high side only, low side shut, compressor off, as the maker says; shut the cylinder when nothing is left to go.
weighed-next-shut = Shut the cylinder now, then the charging valve, then the high side.
weighed-next-charging-valve = Shut the charging valve, then the high side.
weighed-next-high-side = Shut the high-side valve.
weighed-next-compressor = Switch the compressor on and draw in what the hoses hold through the low side.
weighed-next-end = End the weigh-in when the scale stands still.
weighed-next-done = The weigh-in is over. Check the pressures, then pinch off, cut and close the tube.

question-weighed-no-hold = No hold has passed. Begin the weigh-in all the same?
