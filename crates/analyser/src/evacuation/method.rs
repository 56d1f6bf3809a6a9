//! How every number is made, so that it can be made again by hand.
//!
//! Symbols: t time in s, p pressure in micron (1 micron = 101 325/760 000 Pa), T the
//! length of the fitted stretch in s. "Common practice" marks a limit set by
//! judgement, without a source.
//!
//! # 1. Memory
//! Readings are summed in blocks of up to one second (count, sums of t and p, lowest
//! and highest, squared differences of neighbours, smallest step, highest pressure that two
//! readings in a row both reached). When 8,192 blocks
//! of one length are held, the two oldest merge into one of the next length, twelve
//! lengths in all; the last merges in place. So memory does not grow with the run,
//! an hour at ten readings a second is kept to the second, and no block reaches
//! across a stamped act. Which readings share a block depends on the readings alone:
//! live and batch give the same answer to the last digit.
//!
//! # 2. Gauge noise
//! Reading noise from neighbours: Var(p₂ − p₁) = 2σ², block by block, the median of
//! the blocks' mean squares divided by 0.455 (median of χ² with one degree of
//! freedom) against bursts. Step: the tenth percentile of the blocks' smallest
//! differences, if at least one reading in fifty repeats the one before.
//!
//! The hold is cut into at most 240 equal bins. A curve with more terms than most
//! explanations (constant, straight, and up to six exponentials with time constants of
//! 0.012, 0.035, 0.1, 0.25, 0.6 and 1.6 lengths of the hold, one for each five bins) is
//! fitted to them. A residual e beyond five standard deviations (1.4826 times the median
//! absolute residual, at least 0.3 steps) takes a weight off its bin, as (5 sd/e)⁴, in
//! three rounds: a burst is not the curve. From what is left come the variance v of a bin
//! and the correlation r of neighbours, Σeᵢeᵢ₊₁/Σeᵢ² (NIST StRD definition), corrected
//! for the k terms fitted to n bins, (r + k/n)·n/(n − k), from 0 to 0.97. Where the gauge
//! shows steps s: if a reading's noise is above s/2, v is at least s²/12 over the readings
//! of a bin; else the readings between two steps repeat one rounding error, v is at least
//! s²/12 and r at least e^(−2m/n), m the steps passed. v is at least (10⁻⁵ of the level)².
//!
//! In the fit a bin of N readings has the weight N/(v·n̄·(1 + r)/(1 − r)), n̄ the readings
//! of an equal bin: an average of correlated values has (1 + r)/(1 − r) times the variance.
//! Noise grows with pressure, as √(s²/12 + (ρp)²) with ρ the relative noise of a reading;
//! the weight follows it, from a fifth of the mean level upwards.
//!
//! # 3. Isolation
//! From the mark of the pump-side valve, or as given, or from the curve. There the
//! low points are candidates from which the pressure never gives back half of its
//! rise. For every instant t₀ in the stretch where the rise can have begun the
//! continuous broken curve
//!
//! p = c₀ + c₁·min(t − t₀, 0) + Σdⱼ·e^(−min(t, t₀)/θⱼ) + a·ℓ(R) + b·g(R; τ) + J·g(R; τⱼ),
//! R = max(t − t₀, 0), b ≥ 0,
//!
//! is fitted with gauge lags λ of 0 to 9 s and jumps J of either sign (τⱼ of 1.3 to
//! 35 s upwards, to 12 s downwards) on a grid: ℓ(u) = u − λ·(1 − e^(−u/λ)) and
//! g(u; τ) = 1 − (τ·e^(−u/τ) − λ·e^(−u/λ))/(τ − λ) are the ramp and the settling that a
//! gauge with lag λ shows. The noise before and after is fitted apart. The profile
//! likelihood, with the Schwarz penalty for a jump and discounted for correlation, is
//! the probability of t₀. Reported is the instant with the most probability around it.
//! Where a slow rise leaves a level that the pump held for long, all of that level and
//! half of the rise decide in which part of it the break is looked for. When no break
//! improves on a smooth curve by ν·ln(RSS ratio) of 10, there is no isolation.
//!
//! *Window* (`isolated_window_s`, 95 %): the 2.5 and 97.5 % points of that probability
//! with 1.4 readings counted as one, wider by half a reading to each side and by 1 s to
//! the early, 0.5 s to the late side (valve and gauge take time to answer), and one
//! reading to each side at least. The three figures were set on tuning runs (even seeds)
//! so that the window holds the truth as often as it says. A mark is good to its stamp, a
//! given time is taken as it is, and a record that starts isolated has its first reading.
//! A pump stopped with its valve open: the corner's profile likelihood (χ² of 3.84). The
//! length of a hold is judged from the later end of the window, gaps and faults from the
//! earlier one.
//!
//! # 4 to 11. The rise of a hold
//! Which part of a hold is fitted, what is fitted, how a leak is weighed against none,
//! what is said, with which interval and limit: [`rise`].
//!
//! # 12. Leak in grams and years, and what a pass is worth
//! Q = V·dp/dt. What the charged system loses through the same leak lies between
//! molecular flow, Q ∝ (p₁ − p₂)/√M, and laminar flow, Q ∝ (p₁² − p₂²)/η, at the
//! saturation pressure of the refrigerant at 20 °C ([`vacuum::flow::out_leak`]). The
//! laminar law agrees within 1 % with the isothermal pipe equation of the library
//! `fluids` 1.3.1, at saturation pressures and viscosities of CoolProp 8.0.0
//! (`vacuum/tests/published/out_leak.py`); the molecular law is from memory (kinetic
//! theory: the mean speed goes as 1/√M). A running system, whose high side stands far
//! above that pressure, loses more; a leak on its low side, less.
//!
//! Three figures are made in this way, each as a range from the smaller end of one law to
//! the larger end of the other: what a leak that was found may lose (its 95 % interval,
//! `operating_loss`); what a leak just below the detection limit of section 9 may lose
//! (`detection_limit_g_per_year`: 1.6 micron/min in 2.8 L of R-600a are 11 to 147 g a
//! year); and whether this hold could have shown 3 g a year, the line of a sealed system
//! in EN 378-1 (quoted second-hand: below 3 g a year at a quarter of the greatest
//! allowable pressure or more): *yes* when both ends of that range are at 3 g or below,
//! *no* when both are above, else *depends on the flow law*. Years until a tenth of the
//! charge is gone: 0.1·charge/loss, a steady loss assumed. Water as vapour: n = pV/RT,
//! all of the gas taken as water.
//!
//! The verdict is that of the rule. A pass is *plain* when its cause is `none` or
//! `moisture` with a confidence of 0.9 or more. It is a *pass with a leak*
//! (`pass_with_leak`) when the cause is `leak` or `leak_and_moisture`, with whatever
//! confidence, or `unclear` with a probability of a leak of 0.5 or more; not where only
//! one side was evacuated, for gas behind a capillary tube looks the same. Any other pass
//! has a cause that is not certain or not known. Only a plain pass is followed by the
//! words that the charge can be weighed in ([`PassWorth`](crate::PassWorth)).
//!
//! A cause is stated from a confidence of 0.9 on, as right in more than 90, or more than
//! 95, of 100 cases, and never with more digits; below it is said as a tendency without a
//! figure ([`Certainty`](crate::Certainty)).
//!
//! *Ice.* Where a hold stands, or levels off, is compared with the pressure over ice at
//! the coldest part (IAPWS R14-08), where the job gives its temperature and it is below
//! freezing. A hold stands when first and last third differ by at most 3 % or twice the
//! noise; it levels off when the second half of its rise is less than 0.6 of the first,
//! and then goes on as a geometric series (an exponential approach). It matches between
//! 0.9·p(T − 2 K) and 2·1.1·p(T + 2 K): thermometer ± 2 K, gauge ± 10 % (common practice,
//! no source), and up to twice the true pressure shown by a thermal gauge in water vapour
//! (gauge literature, second-hand). A match is `not_proven` (`ice_possible`). Without a
//! temperature the level alone, from 30 to 4,585 micron, is said as one that ice may have.
//! A room below 2 °C is said too (UFGS 15182 § 3.3.3).
//!
//! # 13. Pull-down
//! *Foaming*: the pressure turns upwards again and again by more than the gauge does
//! by itself at that level (four standard deviations, 1.5 steps, 1.2 %), and ln p
//! varies about parabolas more than gauge noise would in one case of 100,000 (F test
//! with degrees of freedom reduced for correlation); the rises must be alike, but foam
//! that begins may lift the pressure manyfold first. *Boil-off*: a smooth plateau where
//! water boils between the triple point (4,588 micron) and ambient (IAPWS-IF97), level,
//! or sliding down until it ends in a knee or freezes. *Ice*: a smooth plateau below the
//! triple point that is no floor, see below. *Floor*: levels off above the target, and
//! the same pull-down never goes more than 12 % below. *Choked*: ln p falls straight,
//! far more slowly than a pump does, and not straight after a plateau of water.
//!
//! *Ice or floor.* A pool that boils faster than heat comes in cools to the triple point,
//! stands there while it freezes, and slides to the pressure at which ice (R14-08) takes
//! just the heat that comes in. While it stands a floor looks alike. It is called ice
//! when one of these holds, else floor, or nothing where it is later undercut:
//! it gives way, that is, the fall of ln p over 150 s more than doubles, by 0.001/s at
//! least, and passes by 20 % what was reached before (decaying terms are convex in ln p
//! and only slow down; what comes back to where it was is a valve shut for a moment); or
//! water was seen to freeze, as the fall came to its flattest between 0.55 and 1.1 of the
//! triple point, went on more steeply, and now stands above 0.2 of it (−18 °C); or it stands
//! within 10 % below the triple point, where a floor would be chance; or heat or nitrogen
//! was stamped at its end and the pressure later lies below 0.7 of it. A valve that was
//! stamped opened or turned explains a level that gives way; so does the gas ballast, when
//! it was stamped open and nothing was seen to freeze. A gas ballast that is shut, a
//! valve opened wider, or oil too smooth for the gauge, without a mark, look like ice
//! that gives way. Ambient does not enter: ice is colder than any room. Stretches are cut
//! where they pass the triple point and where heat or nitrogen was stamped. The limits
//! are common practice, no source; tuned on the even seeds of a family of pull-downs that
//! shares no formula with them.
//!
//! *Time to target*: quantile regression of the ratio of the true time to that of a
//! straight fall of ln p, on how much the curve bends and what is left to do.
//!
//! # 14. A second gauge
//! Nothing of it enters sections 1 to 13. Pressures at equal times come from a straight
//! line in ln p between neighbouring seconds of the other gauge, where it measured all
//! the way. *Far side lags*: the throughput is one along the line,
//! Q = S·p_pump = C·(p_far − p_pump), so p_far/p_pump = 1 + S/C
//! ([`Pair::ratio`](crate::Pair::ratio)); said from 4 times on, five minutes long and
//! above the target. *One volume*: a ratio made by flow that falls by a third or more at
//! isolation and then stands, or rises alike within 30 % in micron or in shares.
//! *Disagree*: in one volume, further apart than steps, three standard deviations of
//! noise, and 10 % of reading each (common practice, no source). *Rises alone*: three
//! times and 200 micron within ten minutes, the judged gauge less than a tenth of that.
//!
//! # 15. What it cannot do
//! Said beside what it concerns: [`rise`], at the end. Besides: gas behind a capillary
//! tube bleeds in like a leak, and only the job can tell that one side was evacuated. A
//! hold so tight that the valve leaves no trace shows no instant of isolation.
//!
//! # 16. The verdict
//! *Ceiling*: broken where two settled readings in a row lie above it; one alone may be
//! a disturbance. A limit has room for a share of 10⁻⁹, the rounding of a unit. *Length*:
//! from the latest instant of isolation to the end of the hold, at most one reading
//! beyond the last, plus half the time between readings, 0.5 s at most (times written in
//! whole seconds). *Gauge*: a hold that stands still proves nothing unless the gauge
//! moved in steps of 1 micron or less within a factor of two of the level, slowed down
//! into its standstill, and showed lower pressures or halved its pace over its last six
//! steps; steps above a tenth of the ceiling, four fifths of the readings at the lowest
//! value of the record (half of them, if that is zero), a fifth of the hold below the
//! range, and a freeze (thirty equal readings after a noise of 0.75 steps, or half of the
//! hold after three steps one way that did not slow down) prove nothing. *Unit*: doubtful
//! where the record begins within 4 % of the air outside in another unit and falls to
//! half, or holds below 1 micron. These shares are common practice, no source. What else
//! stands against a pass that is not earned is listed in [`false_passes`](crate::false_passes).

pub mod rise;
