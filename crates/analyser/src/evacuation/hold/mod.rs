//! One hold: where equalisation ends, which stretch can be fitted, what the
//! weighed explanations amount to.

mod cause;
mod early_answer;
pub(crate) mod gauge_evidence;
pub(crate) mod gauge_range;
pub(crate) mod ice;
pub(crate) mod loss;

pub(crate) use cause::EXTRAPOLATED;

use findings::{Hold, IsolationBasis, ShowsTooLittle, Statement};
use run_memory::{Block, GaugeNoise, StepTable, gauge_noise};
use statistics::{
    hinge::late_rise, linear::least_squares, robust::lower_decile, robust::median_of,
};
use vacuum::{GaugePrinciple, Pressure, water};

use self::{cause::Stretch, early_answer::EarlyQuery, gauge_range::OverRangeFlag};
use super::{
    isolation::Isolation,
    rise::{self, FitContext, HoldBin},
};
use crate::settings::Settings;

/// Most bins in a fit (common practice, no source).
const BINS: usize = 240;
/// Bins that grow with time: so many for each e-fold beyond this time, s (common practice,
/// no source).
const PER_E_FOLD: f64 = 20.0;
const GROWS_FROM_S: f64 = 15.0;
/// Time constants after which the rest of equalisation can be fitted (common practice, no
/// source).
const FADED: f64 = 2.5;
/// Where no equalisation is seen the fit starts after so many times between blocks, and s,
/// but within this share of the hold (common practice, no source).
const FEW: f64 = 3.0;
const FEW_SHARE: f64 = 0.2;
/// Equalisation is looked for in this share of the hold, and s, in so many blocks at least
/// (common practice, no source).
const LOOKED_AT: (f64, f64) = (0.5, 180.0);
const FEWEST_EARLY: usize = 10;
/// Its height in standard deviations, at least; time constants after which it is over; the
/// latest end, as a share of the hold and in s (common practice, no source).
const SEEN_SDS: f64 = 4.0;
const OVER_AFTER: (f64, f64) = (3.0, 7.0);
const LATEST: (f64, f64) = (0.3, 150.0);
/// Time constants tried for what stands beside it and for equalisation, s, and the largest
/// of the latter, as shares of the stretch and of the former (common practice, no source).
const SLOW_TAUS_S: [f64; 3] = [30.0, 70.0, 160.0];
const FAST_TAUS_S: [f64; 5] = [1.0, 2.0, 3.5, 6.0, 10.0];
const FAST_UP_TO: (f64, f64) = (0.15, 0.25);
/// The smallest late rise: share of the level, standard deviations of a reading, micron
/// (common practice, no source).
const LATE_RISE: (f64, f64, f64) = (0.02, 3.0, 2.0);

/// A hold with what the sheet does not print.
#[derive(Debug, Clone)]
pub(crate) struct JudgedHold {
    pub(crate) hold: Hold,
    pub(crate) noise: GaugeNoise,
    /// When the pump was stopped with its valve open, s, if the curve shows it.
    pub(crate) stopped_open_s: Option<f64>,
    pub(crate) trouble: Vec<Statement>,
    /// Why the gauge shows too little to prove the hold, if it does.
    pub(crate) too_little: Option<ShowsTooLittle>,
    /// Readings in it.
    pub(crate) readings: u64,
    /// Time of the last of them, s.
    pub(crate) last_reading_s: f64,
}

/// Judges the blocks from isolation to the end of the hold.
/// `over` is where the gauge first said that it was over its range, if it did.
pub(crate) fn judge(
    blocks: &[Block],
    isolation: Isolation,
    over: Option<OverRangeFlag>,
    settings: &Settings,
) -> JudgedHold {
    let from = blocks.partition_point(|b| b.t() < isolation.at_s - 1e-9);
    let to = blocks.partition_point(|b| b.first_s <= isolation.end_s + 1e-9);
    let inside = &blocks[from..to.max(from)];
    let ranged = gauge_range::within(&blocks[..from], inside, over);
    let usable = gauge_range::usable_part(ranged);
    let top = gauge_range::run_to_the_top(&blocks[..from], inside, ranged, isolation.at_s, over);
    let settling = settling(usable, isolation);
    let settled_at_s = settling.over_s;
    let settled = &usable[usable.partition_point(|b| b.t() < settled_at_s)..];
    let fading = &usable[usable.partition_point(|b| b.t() < settling.fading_s)..];
    let mut noise = gauge_noise(settled);
    if noise.step_micron.is_none() && noise.reading_micron < 1e-9 {
        // it never moved: its step shows elsewhere in the run, near this level
        noise.step_micron = step_near(blocks, settled.first().map_or(0.0, Block::p));
    }
    let ceiling_micron = settings.criteria.ceiling_micron;
    let too_little = gauge_evidence::of(blocks, settled, noise, ceiling_micron);
    let mut trouble = Vec::new();
    if usable.len() < inside.len() {
        trouble.push(Statement::FitStopsEarly);
    }
    let steps = StepTable::of(settled, noise);
    let bins = hold_bins(settled, steps);
    let (t, p): (Vec<f64>, Vec<f64>) = bins.iter().map(|b| (b.t, b.p)).unzip();
    let onset_s = late_rise(&t, &p, least_onset_micron(&bins, noise))
        .zip(settled.first())
        .map(|(t, first)| first.t() + t);
    // before the onset nothing rose: what there is to explain begins with it
    let risen = onset_s.map_or(settled, |at| {
        &settled[settled.partition_point(|b| b.t() < at)..]
    });
    let bins = if onset_s.is_some() {
        hold_bins(risen, steps)
    } else {
        bins
    };
    let fitted = if onset_s.is_some() { risen } else { fading };
    let fit = rise::fit(
        &bins,
        &growing_bins(fitted, steps),
        context(risen, fitted, bins.len(), noise, settling.tau_s),
    );
    let (rise, early) = match (fit, fitted) {
        (Some(fit), [first, ..]) => {
            let fit_from_s = first.t() - isolation.at_s;
            let stretch = Stretch {
                origin_s: first.t(),
                lead_s: fit_from_s,
                late: onset_s.is_some(),
            };
            let rise = cause::describe(&fit, stretch, noise, top);
            let query = EarlyQuery {
                ceiling_micron: settings.criteria.ceiling_micron,
                needed_s: 60.0 * settings.criteria.hold_min,
                fit_from_s,
            };
            let early = early_answer::answer(&fit, &rise, query);
            (rise, early)
        }
        _ => (cause::too_few(top), None),
    };
    if let Some(top) = top {
        trouble.push(Statement::LeftRange {
            after_s: top.after_s,
            at_least_micron_per_min: top.at_least_micron_per_min,
        });
    }
    if let Some(at_s) = onset_s {
        trouble.push(Statement::RiseBeganLate(at_s - isolation.at_s));
    }
    let ends = levels(inside, settled);
    let leak = loss::throughput(&rise, settings);
    let operating_loss = loss::in_operation(&rise, ends.1, settings);
    let smallest_leak = loss::smallest_leak(&rise, ends.1, settings);
    let water_vapour_mg = ends.1.zip(settings.volume_l).and_then(|(end, volume)| {
        let factor = settings
            .gauge_principle
            .map_or(1.0, GaugePrinciple::water_vapour_factor);
        let p = Pressure::from_micron(end * factor).ok()?;
        Some(water::vapour_mg(p, volume, settings.ambient_or_assumed_c()))
    });
    JudgedHold {
        hold: Hold {
            isolated_at_s: isolation.at_s,
            isolated_window_s: isolation.window,
            basis: isolation.basis,
            settled_at_s,
            end_s: isolation.end_s,
            duration_s: isolation.end_s - isolation.at_s,
            start_micron: ends.0,
            end_micron: ends.1,
            highest_micron: ends.2,
            rise,
            early_answer: early.filter(|_| {
                ends.2
                    .is_none_or(|highest| highest <= settings.criteria.ceiling_micron)
            }),
            leak,
            operating_loss,
            smallest_leak,
            water_vapour_mg,
            water_ppm_of_charge: water_vapour_mg
                .zip(settings.charge_g)
                .and_then(|(mg, charge)| water::ppm_of_charge(mg, charge)),
        },
        noise,
        stopped_open_s: isolation.stopped_open_s,
        trouble,
        too_little,
        readings: inside.iter().map(|b| u64::from(b.n)).sum(),
        last_reading_s: inside.last().map_or(isolation.at_s, |b| b.last_s),
    }
}

/// The gauge's step within a factor of two of `level_micron`, from the whole run.
fn step_near(blocks: &[Block], level_micron: f64) -> Option<f64> {
    let near = 0.5 * level_micron..2.0 * level_micron;
    let mut steps: Vec<f64> = blocks
        .iter()
        .filter(|b| near.contains(&b.p()) && b.min_step.is_finite())
        .map(|b| b.min_step)
        .collect();
    lower_decile(&mut steps)
}

/// How equalisation went.
#[derive(Debug, Clone, Copy)]
struct Settling {
    /// When it is over, s of the run.
    over_s: f64,
    /// From when on it is so little that the fit can carry it, s of the run.
    fading_s: f64,
    /// Its time constant, s; `None`: none was seen.
    tau_s: Option<f64>,
}

/// End of equalisation: six time constants of the fast exponential, if there is
/// one; else a few readings. After two and a half of them the rest can be fitted.
fn settling(blocks: &[Block], isolation: Isolation) -> Settling {
    let at = isolation.at_s;
    let Some(last) = blocks.last() else {
        return Settling {
            over_s: at,
            fading_s: at,
            tau_s: None,
        };
    };
    let span = last.t() - at;
    let few = (FEW * span / blocks.len().max(1) as f64).max(FEW);
    let shortest = at + few.min(FEW_SHARE * span.max(0.0));
    let none = Settling {
        over_s: shortest,
        fading_s: shortest,
        tau_s: None,
    };
    if isolation.basis == IsolationBasis::FromStart {
        return none;
    }
    let look = (LOOKED_AT.0 * span).min(LOOKED_AT.1);
    let early: Vec<&Block> = blocks.iter().take_while(|b| b.t() <= at + look).collect();
    if early.len() < FEWEST_EARLY {
        return none;
    }
    let Some((tau, height, sd)) = fast_term(&early, at) else {
        return none;
    };
    if height.abs().partial_cmp(&(SEEN_SDS * sd)) != Some(std::cmp::Ordering::Greater) {
        return none;
    }
    let times = (height.abs() / sd).ln().clamp(OVER_AFTER.0, OVER_AFTER.1);
    let latest = (at + LATEST.0 * span).min(at + LATEST.1).max(shortest);
    Settling {
        over_s: (at + tau * times + few).clamp(shortest, latest),
        fading_s: (at + FADED * tau + few).clamp(shortest, latest),
        tau_s: Some(tau),
    }
}

/// Best fast exponential beside a line and a slow exponential: time constant,
/// height, noise.
fn fast_term(early: &[&Block], at: f64) -> Option<(f64, f64, f64)> {
    let y: Vec<f64> = early.iter().map(|b| b.p()).collect();
    let t: Vec<f64> = early.iter().map(|b| (b.t() - at).max(0.0)).collect();
    let span = t[t.len() - 1].max(1.0);
    let decay = |tau: f64| t.iter().map(|t| (-t / tau).exp()).collect::<Vec<f64>>();
    let mut best: Option<(f64, f64, f64)> = None;
    for slow in SLOW_TAUS_S {
        for tau in FAST_TAUS_S {
            if tau > FAST_UP_TO.0 * span || tau > FAST_UP_TO.1 * slow {
                break;
            }
            let line = t.iter().map(|t| t / span).collect();
            let columns = vec![vec![1.0; t.len()], line, decay(slow), decay(tau)];
            if let Some(fit) = least_squares(&columns, &y)
                && best.is_none_or(|b| fit.rss < b.2)
            {
                best = Some((tau, fit.coefficients[3], fit.rss));
            }
        }
    }
    best.map(|(tau, height, rss)| {
        let sd = (rss / (t.len() as f64 - 5.0).max(1.0)).sqrt();
        (tau, height, sd.max(1e-3 * y[0].abs()))
    })
}

/// The smallest late rise worth the name: what is dissolved in oil comes at once, so
/// it need not be passed over here; the gauge's own drift must (common practice, no
/// source).
fn least_onset_micron(bins: &[HoldBin], noise: GaugeNoise) -> f64 {
    let level = bins.first().map_or(0.0, |b| b.p);
    (LATE_RISE.0 * level)
        .max(LATE_RISE.1 * noise.reading_micron)
        .max(noise.step_micron.unwrap_or(0.0))
        .max(LATE_RISE.2)
}

/// What the fit needs to know about the readings behind `bins` bins.
fn context(
    blocks: &[Block],
    fitted: &[Block],
    bins: usize,
    noise: GaugeNoise,
    settling_s: Option<f64>,
) -> FitContext {
    let readings: f64 = blocks.iter().map(|b| f64::from(b.n)).sum();
    FitContext {
        reading_micron: noise.reading_micron,
        readings_per_bin: readings / bins.max(1) as f64,
        settling_s,
        settled_t: match (fitted, blocks) {
            ([from, ..], [settled, ..]) => settled.t() - from.t(),
            _ => 0.0,
        },
    }
}

/// Equal-time bins for noise and onset, corrected to one temperature by the gas law where a temperature
/// was recorded.
fn hold_bins(settled: &[Block], steps: StepTable) -> Vec<HoldBin> {
    let (Some(first), Some(last)) = (settled.first(), settled.last()) else {
        return Vec::new();
    };
    let width = (last.t() - first.t()) / BINS as f64;
    binned(settled, steps, |t| {
        if width > 0.0 {
            ((t / width).ceil() - 1.0).max(0.0)
        } else {
            0.0
        }
    })
}

/// Bins that grow with time, for the fit: what is fast shows early only.
fn growing_bins(fitted: &[Block], steps: StepTable) -> Vec<HoldBin> {
    binned(fitted, steps, |t| {
        (PER_E_FOLD * (t / GROWS_FROM_S).ln_1p()).floor()
    })
}

/// Means of the blocks that `place` (of the time since the first) puts together.
fn binned(blocks: &[Block], steps: StepTable, place: impl Fn(f64) -> f64) -> Vec<HoldBin> {
    let Some(first) = blocks.first() else {
        return Vec::new();
    };
    let reference_c = first.temperature_c();
    let mut out: Vec<HoldBin> = Vec::with_capacity(BINS + 1);
    let mut bin = Sums::default();
    let mut here = 0.0;
    for b in blocks {
        let to = place(b.t() - first.t());
        if to > here {
            out.extend(bin.take(steps));
            here = to;
        }
        bin.add(b, first.t(), reference_c);
    }
    out.extend(bin.take(steps));
    out
}

/// Sums of one bin.
#[derive(Debug, Default)]
struct Sums {
    t: f64,
    p: f64,
    n: f64,
    from: f64,
    to: f64,
    warming: f64,
    warm: f64,
}

impl Sums {
    fn add(&mut self, b: &Block, start_s: f64, reference_c: Option<f64>) {
        let w = f64::from(b.n);
        let mut to_reference = 1.0;
        if let (Some(reference), Some(c)) = (reference_c, b.temperature_c()) {
            let kelvin = |c: f64| c + vacuum::ZERO_CELSIUS_K;
            to_reference = kelvin(reference) / kelvin(c);
            self.warming += w * (c - reference);
            self.warm += w;
        }
        if self.n == 0.0 {
            self.from = b.first_s - start_s;
        }
        self.to = b.last_s - start_s;
        self.t += w * (b.t() - start_s);
        self.p += w * b.p() * to_reference;
        self.n += w;
    }

    fn take(&mut self, steps: StepTable) -> Option<HoldBin> {
        let done = std::mem::take(self);
        (done.n > 0.0).then(|| HoldBin {
            t: done.t / done.n,
            p: done.p / done.n,
            n: done.n,
            ends: (done.from, done.to),
            step: steps.at(done.p / done.n),
            warming_k: (done.warm > 0.0).then(|| done.warming / done.warm),
        })
    }
}

/// Pressures after equalisation and at the end, each as the median of a short
/// stretch, and the highest that two readings in a row both reached: one reading may
/// be a disturbance, two are the pressure. Where there is only one reading, that one.
fn levels(inside: &[Block], settled: &[Block]) -> (Option<f64>, Option<f64>, Option<f64>) {
    let stretch = |blocks: &[Block]| {
        let m = median_of(blocks.iter().map(Block::p));
        m.is_finite().then_some(m)
    };
    let k = (settled.len() / 60).clamp(1, 5);
    let start = stretch(&settled[..k.min(settled.len())]);
    let end = stretch(&inside[inside.len() - k.min(inside.len())..]);
    let highest = match settled {
        [] => end,
        // a pair that begins before the hold has settled is not one of the hold
        [first, rest @ ..] => rest
            .iter()
            .map(|b| b.pair_high)
            .chain((first.n > 1).then_some(first.pair_high))
            .chain((rest.is_empty() && first.n == 1).then(|| first.p()))
            .fold(None, |a: Option<f64>, p| Some(a.map_or(p, |a| a.max(p)))),
    };
    (start, end, highest)
}
