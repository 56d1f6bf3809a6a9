//! From the loss to the verdict.

use findings::{Decay, DecayCriteria, DecayFindings, DecayNotice, DecayReason, Estimate, Verdict};
use vacuum::{
    AllowedLoss, Pressure, ZERO_CELSIUS_K,
    flow::{self, Drive, OutLeak},
    gas::Gas,
    leak::Throughput,
};

use crate::{
    closed::Steps,
    memory::PressureDecay,
    posterior::{Posterior, View},
    series::{Series, Stretch},
    setup::{GaugeZero, Setup},
    supply::supply,
};

/// A leak counts as too large when its loss is above the limit with all but this probability.
const FAILS: f64 = 0.005;
/// The same in the first minutes, in which filling is still at work, and without a
/// thermometer.
const FAILS_ROUGHLY: f64 = 1e-4;
/// One-sided 95 % point of the normal distribution.
const Z_95: f64 = 1.644_853_6;
/// The same for [`FAILS`].
const Z_995: f64 = 2.575_829_3;
/// From this probability of an open supply on, nothing is judged.
const OPEN: f64 = 0.5;
/// Below it a pass may rest on the pressure: the readings have to speak for a closed system,
/// whatever was stamped.
const SHUT: f64 = 0.02;
/// The same where no thermometer shows that the pressure follows the gas: a regulator that
/// wanders looks like a room that does.
const SHUT_WITHOUT: f64 = 0.005;
/// A gain of gas with at least this probability is one.
const ROSE: f64 = 0.99;
/// A test below this pressure above the air around is none, Pa.
const LEAST_OVER_PA: f64 = 0.5e5;
/// How many times as long a hold is looked at to say when it would decide.
const LONGER: [f64; 12] = [
    1.1, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 6.0, 9.0, 13.0, 20.0,
];
/// Longest hold that is proposed, min.
const LONGEST_MIN: f64 = 24.0 * 60.0;
impl PressureDecay {
    /// What the readings so far show.
    #[must_use]
    pub fn findings(&self) -> DecayFindings {
        findings(self)
    }
}

fn findings(test: &PressureDecay) -> DecayFindings {
    let setup = &test.setup;
    let mut answer = DecayFindings {
        verdict: Verdict::NotProven,
        reasons: Vec::new(),
        criteria: criteria(setup),
        decay: None,
        readings: test.readings(),
        notices: Vec::new(),
    };
    let Some(judged) = Judged::of(test, &mut answer.notices) else {
        answer.reasons.push(DecayReason::NoReadings);
        return answer;
    };
    let decay = judged.decay(&mut answer.criteria);
    answer.reasons = judged.reasons(&decay, &answer.criteria, &mut answer.notices);
    answer.verdict = verdict(&answer.reasons);
    answer.notices.sort_by(|a, b| {
        let at = |n: &DecayNotice| n.at_s().unwrap_or(f64::INFINITY);
        at(a).total_cmp(&at(b))
    });
    answer.decay = Some(decay);
    answer
}

/// A leak that is too large fails, unless something says that the readings do not count.
fn verdict(reasons: &[DecayReason]) -> Verdict {
    use DecayReason::{
        BarometerMissing, LeakTooLarge, PressureRose, PressureTooHigh, SupplyOpen, VolumeMissing,
    };
    let any = |of: &[DecayReason]| reasons.iter().any(|r| of.contains(r));
    if reasons.is_empty() {
        Verdict::Pass
    } else if any(&[LeakTooLarge])
        && !any(&[
            BarometerMissing,
            PressureRose,
            PressureTooHigh,
            SupplyOpen,
            VolumeMissing,
        ])
    {
        Verdict::Fail
    } else {
        Verdict::NotProven
    }
}

fn criteria(setup: &Setup) -> DecayCriteria {
    let bar = |pa: Option<f64>| pa.map(|pa| pa / 1e5);
    DecayCriteria {
        name: setup.rule.0.clone(),
        source: setup.rule.1.clone(),
        allowed_pa_m3_per_s: None,
        refused_pa_m3_per_s: None,
        hold_min: setup.hold_min,
        test_pressure_bar_abs: bar(setup.least_pa),
        highest_bar_abs: bar(setup.highest_pa),
    }
}

/// A stretch with what it shows.
struct Judged<'a> {
    test: &'a PressureDecay,
    stretch: Stretch,
    view: View,
    series: Series,
    posterior: Posterior,
    /// Probability that the supply stayed open.
    open: f64,
    /// When the pressure stopped following the supply, s on the clock of the readings.
    shut_at_s: f64,
}

impl<'a> Judged<'a> {
    fn of(test: &'a PressureDecay, notices: &mut Vec<DecayNotice>) -> Option<Self> {
        let setup = &test.setup;
        let stretch = Stretch::of(test)?;
        if !stretch.stamped {
            notices.push(DecayNotice::ShutNotStamped {
                at_s: stretch.shut_at_s,
            });
        }
        if let Some(at_s) = stretch.vented_at_s {
            notices.push(DecayNotice::Vented { at_s });
        }
        let end_s = stretch.vented_at_s.unwrap_or(f64::INFINITY);
        let view = View {
            gas: setup.gas,
            zero: setup.zero,
            around_pa: setup.barometer_pa.unwrap_or(Pressure::ATMOSPHERE.pa()),
            ambient_k: setup.ambient_c + ZERO_CELSIUS_K,
            steps: Steps::Count,
        };
        let mut series = Series::between(test, stretch.shut_at_s, end_s)?;
        let mut shut_at_s = stretch.shut_at_s;
        let found = supply(&view, &series, stretch.stamped)?;
        if let Some(bin) = found.late {
            let until_s = shut_at_s + series.time_s[bin];
            if stretch.stamped {
                notices.push(DecayNotice::ShutLate {
                    said_s: shut_at_s,
                    until_s,
                });
            }
            shut_at_s = until_s;
            series = Series::between(test, shut_at_s, end_s)?;
        }
        let posterior = view.posterior(&series)?;
        Some(Self {
            test,
            stretch,
            view,
            series,
            posterior,
            open: found.open,
            shut_at_s,
        })
    }

    fn decay(&self, criteria: &mut DecayCriteria) -> Decay {
        let (setup, series) = (&self.test.setup, &self.series);
        let last = series.len() - 1;
        let (start_pa, end_pa) = (series.pressure_pa[0], series.pressure_pa[last]);
        let ends = series.kelvin.as_ref().map(|k| (k.mean[0], k.mean[last]));
        let corrected = ends.map(|(from, to)| setup.gas.pressure_at(end_pa, to, from) / 1e5);

        let p = &self.posterior;
        let share = Estimate {
            value: p.mean(),
            low: p.quantile(0.025),
            high: p.quantile(0.975),
        };
        let upper = p.upper_95();
        // p·V: from share per second to Pa·m³/s
        let pv = setup.volume_l.map(|volume_l| start_pa * volume_l * 1e-3);
        let loss = pv.map(|pv| share.scaled(pv));
        let (allowed, refused) = match (setup.limit, self.leak_of_a_unit(start_pa)) {
            (Some(AllowedLoss::Throughput { pa_m3_per_s }), _) => {
                (Some(pa_m3_per_s), Some(pa_m3_per_s))
            }
            (Some(AllowedLoss::Refrigerant { g_per_year }), Some(unit)) => {
                // of the test gas, whichever law the leak follows
                let allowed = g_per_year / self.grams(unit.high());
                let refused = g_per_year / self.grams(unit.low());
                (Some(allowed), Some(refused))
            }
            _ => (None, None),
        };
        let finite = |x: Option<f64>| x.filter(|x| x.is_finite() && *x > 0.0);
        criteria.allowed_pa_m3_per_s = finite(allowed);
        criteria.refused_pa_m3_per_s = finite(refused);

        let g_per_year = loss.and_then(|loss| {
            let unit = self.leak_of_a_unit(start_pa)?;
            let low = self.grams(unit.low()) * loss.low.max(0.0);
            let high = self.grams(unit.high()) * loss.high.max(0.0);
            (low.is_finite() && high.is_finite()).then_some((low, high))
        });
        let hold_rise = loss.and_then(|loss| {
            let unit = self.scaled(start_pa, self.air_into_vacuum()?)?;
            let rise = |unit: Throughput, q: f64| {
                Throughput::from_pa_m3_per_s(unit.pa_m3_per_s() * q.max(0.0))
                    .micron_per_min(setup.volume_l.unwrap_or(f64::NAN))
            };
            Some((rise(unit.low(), loss.low), rise(unit.high(), loss.high)))
        });

        let hours = 3600.0;
        let mut decay = Decay {
            shut_at_s: self.shut_at_s,
            settled_at_s: self.settled_at_s(),
            end_s: self.stretch.shut_at_s.max(self.shut_at_s) + series.length_s(),
            start_bar_abs: start_pa / 1e5,
            end_bar_abs: end_pa / 1e5,
            start_c: ends.map(|(from, _)| from - ZERO_CELSIUS_K),
            end_c: ends.map(|(_, to)| to - ZERO_CELSIUS_K),
            corrected_end_bar_abs: corrected,
            lost_per_hour: share.scaled(hours),
            loss_pa_m3_per_s: loss,
            upper_95_pa_m3_per_s: pv.map(|pv| upper * pv),
            detection_limit_pa_m3_per_s: pv.map(|pv| 2.0 * Z_95 * p.sd() * pv),
            g_per_year,
            hold_rise_micron_per_min: hold_rise,
            decides_in_min: None,
            with_thermometer_min: None,
        };
        if let (Some(pv), Some(allowed)) = (pv, criteria.allowed_pa_m3_per_s) {
            let refused = criteria.refused_pa_m3_per_s.unwrap_or(allowed);
            let undecided = upper * pv > allowed && self.surely_lost() * pv <= refused;
            if undecided || self.too_short() {
                let so_far = series.length_s() / 60.0;
                let whole = self.decides_after(pv, allowed, refused, None);
                let missing = self.test.setup.hold_min - so_far;
                let more = if undecided {
                    whole.map(|whole| (whole - so_far).max(missing))
                } else {
                    Some(missing)
                };
                decay.decides_in_min = more.filter(|m| *m > 0.0);
                if undecided && series.kelvin.is_none() {
                    decay.with_thermometer_min = self.decides_after(pv, allowed, refused, Some(()));
                }
            }
        }
        decay
    }

    /// The first length of hold that would decide, min, if the loss is what it looks like.
    fn decides_after(
        &self,
        pv: f64,
        allowed: f64,
        refused: f64,
        thermometer: Option<()>,
    ) -> Option<f64> {
        let mean = self.posterior.mean().max(0.0) * pv;
        let needed = if mean < allowed {
            (allowed - mean) / Z_95
        } else if mean > refused {
            (mean - refused) / Z_995
        } else {
            return None;
        };
        let way = match thermometer {
            None => *self.posterior.likeliest(|_| true)?,
            Some(()) => {
                let mut way = *self.posterior.likeliest(|_| true)?;
                way.thermometer = true;
                way.unseen = 1.0;
                way
            }
        };
        let first = thermometer.map(|()| 1.0);
        first
            .into_iter()
            .chain(LONGER)
            .find_map(|times| {
                let sd = self.view.sd_at(&self.series, times, &way)? * pv;
                (sd <= needed).then_some(times * self.series.length_s() / 60.0)
            })
            .filter(|min| *min <= LONGEST_MIN)
            .map(|min| min.max(self.test.setup.hold_min))
    }

    fn reasons(
        &self,
        decay: &Decay,
        criteria: &DecayCriteria,
        notices: &mut Vec<DecayNotice>,
    ) -> Vec<DecayReason> {
        let setup = &self.test.setup;
        let mut reasons = Vec::new();
        let p = &self.posterior;
        let start_pa = decay.start_bar_abs * 1e5;
        let open = self.open > OPEN;
        if open {
            reasons.push(DecayReason::SupplyOpen);
            notices.push(DecayNotice::PressureHeldUp);
        }
        if p.below(0.0) > ROSE {
            reasons.push(DecayReason::PressureRose);
        }
        if setup.highest_pa.is_some_and(|most| start_pa > 1.005 * most) {
            reasons.push(DecayReason::PressureTooHigh);
        }
        let least = setup.least_pa.map_or(0.0, |least| 0.99 * least);
        if start_pa < least.max(self.view.around_pa + LEAST_OVER_PA) {
            reasons.push(DecayReason::PressureTooLow);
        }
        if setup.zero == GaugeZero::BarometerUnknown {
            reasons.push(DecayReason::BarometerMissing);
        }
        let apart = self.series.kelvin.is_some() && p.share(|w| w.thermometer) < 0.5;
        if apart && !open {
            notices.push(DecayNotice::ThermometerApart);
        }
        let Some(upper) = decay.upper_95_pa_m3_per_s else {
            reasons.push(DecayReason::VolumeMissing);
            return reasons;
        };
        let (Some(allowed), Some(refused)) =
            (criteria.allowed_pa_m3_per_s, criteria.refused_pa_m3_per_s)
        else {
            reasons.push(DecayReason::LimitMissing);
            return reasons;
        };
        let sure =
            self.surely_lost() * decay.start_bar_abs * 1e5 * setup.volume_l.unwrap_or(0.0) * 1e-3;
        if sure > refused {
            reasons.insert(0, DecayReason::LeakTooLarge);
        } else if upper > allowed && !open {
            self.undecided(allowed, apart, &mut reasons);
        }
        if self.too_short() && !reasons.contains(&DecayReason::HoldTooShort) {
            reasons.push(DecayReason::HoldTooShort);
        }
        let shut = if self.series.kelvin.is_some() && !apart {
            SHUT
        } else {
            SHUT_WITHOUT
        };
        if reasons.is_empty() && self.open > shut {
            reasons.push(DecayReason::SupplyOpen);
        }
        reasons.sort_unstable();
        reasons
    }

    /// What keeps the loss from being known well enough.
    fn undecided(&self, allowed: f64, apart: bool, reasons: &mut Vec<DecayReason>) {
        let pv = self.series.pressure_pa[0] * self.test.setup.volume_l.unwrap_or(0.0) * 1e-3;
        if self.series.kelvin.is_none() || apart {
            reasons.push(DecayReason::TemperatureMissing);
        }
        let sd = self.posterior.sd();
        let without_steps = View {
            steps: Steps::AsIfNone,
            ..self.view
        };
        let coarse = without_steps
            .posterior(&self.series)
            .is_some_and(|p| p.sd() < 0.7 * sd);
        if coarse {
            reasons.push(DecayReason::GaugeTooCoarse);
        }
        if self.settled_at_s().is_none() {
            reasons.push(DecayReason::NotSettled);
        }
        let mean = self.posterior.mean() * pv;
        if reasons.is_empty() || mean < allowed {
            reasons.push(DecayReason::HoldTooShort);
        }
    }

    /// The loss that is exceeded with as good as certainty, share per second.
    fn surely_lost(&self) -> f64 {
        let roughly = self.too_short() || self.series.kelvin.is_none();
        let but = if roughly { FAILS_ROUGHLY } else { FAILS };
        self.posterior.quantile(but)
    }

    fn too_short(&self) -> bool {
        // what is asked in whole minutes may miss its last reading
        self.series.length_s() < self.test.setup.hold_min * 60.0 - 2.0
    }

    /// From when on what is left of the heat of filling is less than the noise or half a step
    /// of the gauge, or than a tenth of what the loss is uncertain by until the end, s.
    fn settled_at_s(&self) -> Option<f64> {
        let series = &self.series;
        let way = self.posterior.likeliest(|_| true)?;
        let heat = self.view.heat_of_filling(series, way)?;
        let end = *heat.last()?;
        let seen = series.noise_pa.max(0.5 * series.step_pa) / series.pressure_pa[0];
        let sd_per_s = self.posterior.sd();
        let last_s = series.time_s.last()?;
        let uncertain = series.time_s.iter().map(|t| 0.1 * sd_per_s * (last_s - t));
        let matters: Vec<bool> = heat
            .iter()
            .zip(uncertain)
            .map(|(h, uncertain)| (h - end).abs() > seen.max(uncertain))
            .collect();
        let last_seen = matters.iter().rposition(|matters| *matters);
        match last_seen {
            None => Some(self.shut_at_s),
            // heat that is there until shortly before the end has not gone
            Some(at) if 10 * at > 9 * series.len() => None,
            Some(at) => series.time_s.get(at + 1).map(|t| self.shut_at_s + t),
        }
    }

    /// The test gas from the pressure of the test into the air around.
    fn found(&self, start_pa: f64) -> Option<Drive> {
        Some(Drive {
            gas: self.test.setup.gas.gas(),
            from: Pressure::from_pa(start_pa).ok()?,
            to: Pressure::from_pa(self.view.around_pa).ok()?,
        })
    }

    /// What 1 Pa·m³/s of the test becomes under another drive.
    fn scaled(&self, start_pa: f64, wanted: Drive) -> Option<OutLeak> {
        let one = Throughput::from_pa_m3_per_s(1.0);
        flow::through_the_same_leak(one, self.found(start_pa)?, wanted)
    }

    /// The refrigerant out of the charged system.
    fn leak_of_a_unit(&self, start_pa: f64) -> Option<OutLeak> {
        let setup = &self.test.setup;
        let refrigerant = setup.refrigerant?;
        let standing = refrigerant.at_20_c.map(|v| v.saturation_pa);
        let wanted = Drive {
            gas: refrigerant.gas()?,
            from: Pressure::from_pa(setup.operating_pa.or(standing)?).ok()?,
            to: Pressure::from_pa(self.view.around_pa).ok()?,
        };
        self.scaled(start_pa, wanted)
    }

    /// Air into the system under vacuum.
    fn air_into_vacuum(&self) -> Option<Drive> {
        Some(Drive {
            gas: Gas::AIR,
            from: Pressure::from_pa(self.view.around_pa).ok()?,
            to: Pressure::from_pa(0.0).ok()?,
        })
    }

    fn grams(&self, throughput: Throughput) -> f64 {
        let refrigerant = self.test.setup.refrigerant;
        refrigerant.map_or(f64::NAN, |r| throughput.g_per_year(r))
    }
}
