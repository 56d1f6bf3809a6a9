//! The rise of a hold: sections 4 to 11 of the method.
//!
//! Symbols as in [`method`](super): t time in s since the start of the fit, p pressure in
//! micron, T the length of the fit in s. *CP* marks a figure set by judgement: common
//! practice, no source. *Tuned* marks one that was set on simulated holds with even seeds
//! (`crates/scorecard`) and checked on odd ones; it has no other source.
//!
//! # 4. Which part is fitted
//! *Start.* The two sides of the valve equalise in the first seconds. In the first half of
//! the hold, 180 s at most, an exponential of 1, 2, 3.5, 6 or 10 s is fitted beside a line
//! and an exponential of 30, 70 or 160 s. It is taken as equalisation with time constant τₑ
//! where its height is above four standard deviations. Equalisation is over after τₑ times
//! ln(height/sd), from 3 to 7; pressure counts as rise from then on. The fit starts
//! earlier, after 2.5 τₑ, and carries the rest (section 6). Both are within 30 % of the hold
//! and 150 s. Where none is seen the fit starts three readings, and 3 s, after isolation.
//! (CP)
//!
//! *Bins.* Fast parts show early only, so the bins of the fit grow with time: bin number
//! 20·ln(1 + t/15 s), rounded down; 82 in a quarter of an hour. The mean of a curve
//! over a bin is taken by Simpson's rule. Noise comes from equal bins (section 2). Fewer
//! than eight bins of either are not fitted.
//!
//! *End.* The fit ends before 228,000 micron (0.3 atm: the inflow of a leak falls off), and
//! before 10,000 micron (a thermal gauge bends upwards above 10 Torr) if twelve blocks lie
//! below it and the last quarter goes on with 0.6 of the steepest quarter's slope or more.
//! (CP)
//!
//! *Top of the gauge.* The fit ends where the gauge says that it is over its range. Most
//! gauges do not say so: they stand still. Five blocks or more that repeat the highest value
//! to the end of the hold are such a top, if it lies above 400 micron and the climb stopped
//! without slowing down, in one of two ways. (CP throughout)
//!
//! * *At once*: the six blocks before climbed by 2 % of the top, and the larger of the last
//!   two steps, or the mean of the last three, is above 0.3 of the largest. Besides, two
//!   steps are above a twentieth of the climb, or the climb is 0.8 of the top and either the
//!   top is above 5,000 micron or twenty blocks stand still. On a gauge whose readings
//!   repeat on the way, the second half of eight blocks or more must make half of the first.
//! * *Short of an end*: a climb of 24 blocks or more, by 0.3 of the top, of which the last
//!   quarter made 0.17 (a straight one makes 0.25, one that is over after three time
//!   constants 0.06); going on, it would have passed the top by 2 % and by three steps.
//!
//! Gas that runs out or comes to saturation slows down first. From the top on nothing is a
//! measurement; the mean rise up to it is the least that explains it. Where the gauge names
//! no bound, the highest pressure that two readings in a row reached stands for it; a climb
//! below 2 % of the top counts as none.
//!
//! *Late onset.* A curve that stays level and then rises is fitted from its onset on: the
//! hinge that beats every curve that is straight or bends over by F > 40 and is three times
//! as steep as what came before (CP; F with n·(1 − r)/(1 + r) bins for n).
//!
//! # 5. Temperature
//! Where a temperature was recorded, p is brought to the temperature of the first bin by
//! the gas law. If it moved by more than 0.05 K, a term proportional to the warming, sd
//! 3 % of the level a kelvin, either sign, is added: oil and walls give gas off when they
//! warm (about 5 % a kelvin for a heat of desorption of 40 kJ/mol, Clausius and Clapeyron;
//! CP).
//!
//! The room moves without being seen: sd 0.2 K in 800 s, growing as √T, a quarter of that
//! where a temperature was recorded. (CP) A kelvin makes level/293 by the gas law and 5 %
//! of the rise by gas set free. Two terms of that size and either sign, t/T and (t/T)²,
//! stand for it. Without them a slow swing of the room would look like a leak, or hide one.
//! What a parabola leaves of a smooth bend, and the gauge's own characteristic, are
//! Legendre polynomials of third and fourth degree, sd 0.2 % of the rise each (CP): without
//! them a precise record of a straight rise that bends by a part in a thousand is *leak and
//! moisture*.
//!
//! # 6. Explanations of a rise
//! p(t) = c + Σₖ hₖ·u(t; τₖ) + g·v(t) + Q·t/T − d·u(t; τ_d) + nuisance terms,
//!
//! u(t; τ) = (1 − e^(−t/τ))/(1 − e^(−T/τ)),
//!
//! v(t) = (√(t + 4 s) − √4 s)/(√(T + 4 s) − √4 s).
//!
//! Every part is scaled to 1 at the last reading; hₖ, g, Q and d are micron over the fit
//! and never negative.
//!
//! * *Stores* u(t; τₖ): water, dissolved refrigerant, gas on walls. All of fourteen time
//!   constants at once, even in ln τ, from 3 s (a twentieth of a fit shorter than a minute)
//!   to eight lengths of the fit: a continuous spread, as real systems have.
//! * *Layer* g·v: gas that diffuses out of a thick layer goes as √t (J. Crank, *The
//!   Mathematics of Diffusion*, from memory); the 4 s keep the slope at 0 finite (CP).
//! * *Straight part* Q: air that comes in. It is the leak.
//! * *Depletion* d, with τ_d of 0.6, 2 or 6 T, or none: something takes gas up, so that a
//!   level curve does not disprove a leak.
//! * *Nuisance terms* are integrated out beforehand (normal priors, Woodbury's
//!   identity): the start c (sd 100 times the highest pressure), the end of equalisation
//!   (two exponentials of 0.6 and 1.4 τₑ, of 2 and 7 s where none was seen, sd the larger
//!   of rise and first jump), the room and the thermometer (section 5).
//!
//! **The longest time constant is a judgement, not a finding.** A store much slower than
//! the hold is a straight line. Eight lengths of the hold are allowed: everything slower
//! counts as a leak, everything faster competes with it. With a longer limit the answer is
//! more often *unclear*; with a shorter one it is more often sure, and wrong on slow systems.
//! This figure sets how often anybody can be sure.
//!
//! *Priors.* R is the rise: the range of the medians of sixteenths of the hold, at least
//! four standard deviations of a bin.
//!
//! | height | prior | why |
//! |---|---|---|
//! | stores and layer | half-normals of 0.05, 0.25 and 1 R, a third each; stores below 20 s with the first jump in place of R where that is larger | most are small, some make the whole rise; the fast ones may be what is left of equalisation (tuned) |
//! | straight part | five half-normals, a fifth each, even in the logarithm from the larger of 2σ_Q and 0.02 R to 1.2 R | see below |
//! | depletion | half-normal of R; probability of none 2/3, each of the three τ_d 1/9 | tuned |
//! | leak or none | even; see section 7 | no family of systems is preferred |
//!
//! σ_Q is the standard deviation of the straight part beside the nuisance terms alone. A
//! single broad prior for Q would punish a small leak before the data speak, the more the
//! broader it is (D. V. Lindley, Biometrika 44 (1957) 187, from memory). A mixture of
//! scales, even in the logarithm from the smallest leak that this hold could show, takes
//! that away: its evidence is at least a fifth of what the best of the five scales gives.
//!
//! *Noise.* What is left by the sum with everything, weighted, has a mean square f² that
//! should be 1: f² = (misfit + 6·1.05²)/((n − 6) + 6), at least 0.8², for n bins and
//! six terms in use; the assumed 1.05 counts as six bins. All sums are then weighed with f
//! times the noise. (Tuned)
//!
//! *Evidence.* The likelihood is normal and every height is cut off at 0, so the integral
//! over all heights has no closed form. It is taken by expectation propagation (T. Minka,
//! UAI 2001, 362; for cut-off normals J. Cunningham, P. Hennig and S. Lacoste-Julien,
//! arXiv:1111.6832): each prior is replaced in turn by the normal with which it has the same
//! mean and variance against all the others, in eight rounds or until no mean moves by 0.003
//! of its sd. The moments of a cut-off normal, centre m and sd s before the cut, are
//! m + sλ and s² + m·(m + sλ) (second about 0), λ = φ(m/s)/Φ(m/s); below m/s = −6 by the
//! asymptotic series (NIST DLMF 7.12.1). Tests compare the moments with a library and the
//! evidence with numerical integration.
//!
//! *Two kinds of sums.* With all stores at once, with and without Q, each four times (none
//! or one of three τ_d). And with few: none, one or two stores (probability 0.3, 0.4, 0.3,
//! shared among all choices of them), with and without Q; the twelve best within e⁷ are
//! weighed again with each store a third of a step faster and slower, and what is e⁷ below
//! the best is dropped. Some systems are simple, and a sum with all stores has less evidence there,
//! for its prior allows so much else. Where the rise levels off and how fast, as shown on
//! the sheet, comes from the sums of few stores.
//!
//! To *decide whether* there is a leak, all of them compete with it. To *say how large* it
//! is, 85 % of the prior weight goes to sums in which only stores up to 2 T, and no layer,
//! stand beside it: a slower store is a straight line too, and the two cannot be told
//! apart. The other 15 % (CP) go to the sums with all stores and the layer, in which the
//! leak is smaller; they set the lower end of the interval.
//!
//! # 7. What is said
//! *From evidence to probability.* The odds of a model are no better than the model. So
//! they are not said: fifteen figures of the fit ([`Rise::evidence`](crate::Rise::evidence))
//! are turned into a probability P of a leak by a map that was fitted on simulated holds
//! whose truth is known. In order (E evidence, *all*: with all stores, no depletion;
//! *few*: all sums of few stores together; each figure is cut off at the ends given):
//!
//! 1. x = ln E(all, leak) − ln E(all, none), −6 to 8;
//! 2. tanh(x/1.5): the same, where it matters most;
//! 3. x − 2, 0 to 8: the same, where it is large;
//! 4. y = ln E(few, leak) − ln E(few, none), −6 to 8;
//! 5. tanh(y/1.5);
//! 6. ln E(few, none) − ln E(all, none), −6 to 6: is the system simple?
//! 7. what depletion adds to the sum with a leak, ln, 0 to 4;
//! 8. the same without a leak;
//! 9. ln of the median of Q, given a leak, over R, −4 to 0.7;
//! 10. ln of the width of its 95 % interval over its median, −3 to 1.5;
//! 11. ln(σ_Q/R), −7 to 0;
//! 12. ln(T/600 s), −2.5 to 2;
//! 13. ln f, the noise over what was assumed, −0.3 to 1.5;
//! 14. ln(R/mean level), −5 to 1;
//! 15. ln(R/30 micron), −4 to 5.
//!
//! Each, less its mean and over its spread, enters linearly, squared and in products into
//! log-odds (logistic regression with a ridge of 3). A rising map of these log-odds,
//! by isotonic regression with pooling of adjacent violators (M. Ayer and others, Ann.
//! Math. Statist. 26 (1955) 641, from memory), drawn through about thirty points, gives P.
//! It is fitted on log-odds of seeds that the regression had not seen (five groups, each left
//! out in turn). Where the sums of few stores speak against a straight part by more than 0.5
//! nats, P is at most 0.8: a store slower than the hold may do alone what many do not
//! (tuned). P never goes beyond the shares found at the ends of that map: no
//! probability is said that the number of simulated holds does not bear.
//!
//! Every simulated hold has a *twin*: the same system, gauge, room and noise, with the leak
//! and without. Without twins the map would learn which systems leak, and its figures would
//! look far better and mean nothing. Only even seeds are used; odd ones say how often a
//! statement is right. The physics of the simulation are balances that are integrated in time
//! (diffusion in layers, sites that let go and take up, a pool with its own heat, a sink),
//! none of them a formula of this page. Leaks that nobody could see (below 3.29 standard
//! deviations of a line through the independent readings, or one step) are left out.
//!
//! *Names.* P from 0.66 on: a leak, if the straight part adds more than 0.3 micron and
//! 0.4 % of the level over the fit (late rises: half the limit of nothing). P low enough
//! that 1 − P′ is 0.72 or more, with P′/(1 − P′) = 1.27·P/(1 − P): no leak. Where there is
//! next to no rise, 1 − P′ from 0.57 on, with a factor of 1.1: the detection limit says
//! how large a leak may still be. Between them *unclear*, and so is every name whose
//! confidence is below one half. **A leak that is denied counts more than one that is
//! claimed**: a charge that is weighed into a leaking system costs more than a search for
//! nothing. The factors hold a margin, for the map was fitted on the seeds on which they
//! were chosen. (CP)
//!
//! * *leak* or *leak and moisture*: whichever is less probably wrong. Vapour is what of the
//!   rise since equalisation the straight part does not make. L = Pr(vapour above 5 % of it)
//!   speaks for *leak and moisture*, 1 − Pr(vapour above 30 %) for *leak* (between them either
//!   name is right; CP); vapour is named when it leads by 0.1. Of the one that is named,
//!   times P, the confidence is made: the two are not independent, so their
//!   product is too small. A product of 0.59, 0.79, 0.83, 0.89 and 1 is a confidence of 0.62,
//!   0.87, 0.90, 0.95 and 0.99, straight lines between (measured on even seeds). Beside
//!   a rise of more than 3,000 micron *leak and moisture* is never more than 0.85: a pool of
//!   water cools as it boils, and bends otherwise than stores do (tuned).
//! * *none* when the rise since equalisation is above the limit of nothing with a probability
//!   below one half; confidence (1 − P′)·Pr(rise below 1.4 limits). Else *moisture*,
//!   confidence (1 − P′)·Pr(rise above 0.6 limits). The limit of nothing: the largest of
//!   2.5 σ of a reading, one step, 1.5 % of the level, and a tenth of the level between 2.5
//!   and 7 micron: every system gives off a little dissolved gas (CP). For a rise that set in
//!   late: the largest of 2.5 σ, one step and 1 micron.
//! * *unclear*: confidence is the smaller of P and 1 − P.
//!
//! *A rise that left the range of the gauge* is a leak with a confidence of 0.97 (CP) when
//! the second half of the way up made more than 0.7 of the first, or when the mean rise is
//! above 3,000 micron/min, faster than water gives off vapour (CP). Where the range ends
//! above 4,700 micron, a quarter of the saturation pressure of water at 21 °C, water slows
//! down on the way, and only the first of the two counts. It is never *none* or
//! *moisture*: an answer of that kind becomes *unclear*. With fewer than eight bins, too
//! few to fit, such a rise is a leak and any other is unclear.
//!
//! # 8. Intervals
//! *Leak.* Given that there is one, Q is a mixture of cut-off normals, some for each sum;
//! depletion counts three tenths of what it counts in section 7 (tuned: coverage and width).
//! 2.5, 50 and 97.5 % of the mixture are taken. The distance of each end from the median and
//! 1.96 times 2 % of the median, for the gauge's own shape (CP), are added in squares. The
//! lower end is 0 where 1 − P is above 0.1: there may be none. The spike at 0 never enters
//! the upper end. The value is the median where a leak is named or P is above 0.5, else 0.
//! Where the rise left the range of the gauge: from half of the mean rise to the top
//! (equalisation may have helped) to twice the largest rise by the last reading below it
//! (CP).
//!
//! *Level* at which the vapour ends, and its time constant: mean, 2.5 and 97.5 % over the
//! sums of one and two stores by their weights. Two stores closer than 0.9 in ln τ are one;
//! half a step of the grid widens the time constant. A level of which the rise is more than
//! 15 % short is extrapolated, and its lower end is then the pressure reached: NIST StRD
//! Misra1a and Misra1c fit the same data with ends of 239 and 636. The interval has no share
//! for the height of a single sum, so it is too narrow where one sum outweighs all others.
//!
//! # 9. Detection limit
//! (1.645 + 1.645)·σ, the form of ISO 11929: 5 % false alarms, 5 % missed. σ is that of the
//! straight part beside the nuisance terms *and* two stores, of 0.25 and 0.8 T (CP), with
//! normal priors as wide as what was certainly given off: the rise of the sums without a
//! leak less three standard deviations, by their weights. So a hold in which much gas comes
//! off has a large limit, as it should. Never below one step of a gauge whose noise is below
//! half a step.
//!
//! # 10. How much longer
//! Said with *unclear* only. For the store that gives off most in the best sum of few
//! stores without a leak, the length of fit is sought, in steps of 10 % and up to 48 hours,
//! at which the best straight line would miss it by Δχ² = 16 (CP), with this noise,
//! correlation and spacing. It is what the noise allows; the map of section 7 may ask for
//! more, so it is a lower bound.
//!
//! # 11. Before the hold is over
//! Every sum predicts the pressure at the end of the asked hold. Its standard deviation is
//! that of the rise, that of the straight part as far ahead, and a third of what the stores
//! have still to give (CP). "Will not pass" is said when all sums together, by their weights
//! and P, give 99 % to an end above the ceiling and the heaviest clears it by 2.576/√f
//! standard deviations, f the part of the hold that is over (P. C. O'Brien and T. R. Fleming,
//! Biometrics 35 (1979) 549; for looks at every moment 2·(1 − Φ(c)) is exact). Nothing is
//! said before 45 s of fit. The verdict of the whole hold does not use it.
//!
//! # What remains unsure
//! * A vapour slower than about the hold and a leak are one line. The longest time constant
//!   decides there, and *unclear* says so: the most frequent reason for that answer.
//! * A probability is true of systems as wide as the simulated ones, half of them leaking. In
//!   a shop where one system in twenty leaks, a leak said with 0.95 is wrong more often; where
//!   most leak, less often.
//! * Some leaks that can be seen are denied with confidence at some moment of their hold;
//!   `scorecard moments` counts them, and its gate allows 9 in 1,000 leaky moments.
//! * Several vapours with close time constants can hide a leak of 10 to 20 % of the rise.
//! * A sink whose pace is as long as the hold hides a leak of its own size: the sum is flat.
//! * Expectation propagation is an approximation. Its evidence was compared with numerical
//!   integration in two dimensions only; in seventeen the map of section 7 stands for what it
//!   is off.
//! * A gauge that bends in itself by more than 2 %, or in waves by more than 0.4 %, makes a leak of its bend.
