//! One hold: where equalisation ends, which stretch can be fitted, what the
//! weighed explanations amount to.

use vacuum::{Pressure, water};

use crate::{
    cause::{self, Stretch},
    early::{self, Question},
    findings::{Hold, IsolationBasis, Said, ShowsTooLittle},
    history::Block,
    isolation::Isolation,
    linear::least_squares,
    loss,
    noise::{GaugeNoise, Steps, gauge_noise},
    onset,
    rise::{self, FitContext, HoldBin},
    settings::Settings,
    sight,
    smooth::median,
};

/// Most bins in a fit.
const BINS: usize = 240;
/// Above this a thermal gauge bends upwards (about 10 Torr), micron.
const GAUGE_BENDS_MICRON: f64 = 10_000.0;
/// Above this the inflow through a leak itself falls off (0.3 atm), micron.
pub(crate) const INFLOW_BENDS_MICRON: f64 = 228_000.0;

/// A hold with what the sheet does not print.
#[derive(Debug, Clone)]
pub(crate) struct JudgedHold {
    pub(crate) hold: Hold,
    pub(crate) noise: GaugeNoise,
    /// When the pump was stopped with its valve open, s, if the curve shows it.
    pub(crate) stopped_open_s: Option<f64>,
    pub(crate) trouble: Vec<Said>,
    /// Why the gauge shows too little to prove the hold, if it does.
    pub(crate) too_little: Option<ShowsTooLittle>,
    /// Readings in it.
    pub(crate) readings: u64,
    /// Time of the last of them, s.
    pub(crate) last_reading_s: f64,
}

/// Judges the blocks from isolation to the end of the hold.
pub(crate) fn judge(blocks: &[Block], isolation: Isolation, settings: &Settings) -> JudgedHold {
    let from = blocks.partition_point(|b| b.t() < isolation.at_s - 1e-9);
    let to = blocks.partition_point(|b| b.first_s <= isolation.end_s + 1e-9);
    let inside = &blocks[from..to.max(from)];
    let usable = usable_part(inside);
    let settled_at_s = settled_at(usable, isolation);
    let settled = &usable[usable.partition_point(|b| b.t() < settled_at_s)..];
    let mut noise = gauge_noise(settled);
    if noise.step_micron.is_none() && noise.reading_micron < 1e-9 {
        // it never moved: its step shows elsewhere in the run, near this level
        noise.step_micron = step_near(blocks, settled.first().map_or(0.0, Block::p));
    }
    let ceiling_micron = settings.criteria.ceiling_micron;
    let too_little = sight::of(blocks, settled, noise, ceiling_micron);
    let mut trouble = Vec::new();
    if usable.len() < inside.len() {
        trouble.push(Said::FitStopsEarly);
    }
    let steps = Steps::of(settled, noise);
    let bins = hold_bins(settled, steps);
    let onset_s = onset::find(&bins, least_onset_micron(&bins, noise))
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
    let fit = rise::fit(&bins, context(risen, bins.len(), noise));
    let (rise, early) = match (fit, risen) {
        (Some(fit), [first, ..]) => {
            let fit_from_s = first.t() - isolation.at_s;
            let stretch = Stretch {
                origin_s: first.t(),
                lead_s: fit_from_s,
                late: onset_s.is_some(),
            };
            let rise = cause::describe(&fit, stretch, noise);
            let question = Question {
                ceiling_micron: settings.criteria.ceiling_micron,
                needed_s: 60.0 * settings.criteria.hold_min,
                fit_from_s,
            };
            let early = early::answer(&fit, &rise, question);
            (rise, early)
        }
        _ => (cause::too_few(inside), None),
    };
    if let Some(at_s) = onset_s {
        trouble.push(Said::RiseBeganLate(at_s - isolation.at_s));
    }
    let ends = levels(inside, settled);
    let leak = loss::throughput(&rise, settings);
    let operating_loss = loss::in_operation(&rise, ends.1, settings);
    let sight = loss::sight(&rise, ends.1, settings);
    let water_vapour_mg = ends.1.zip(settings.volume_l).and_then(|(end, volume)| {
        let p = Pressure::from_micron(end).ok()?;
        Some(water::vapour_mg(
            p,
            volume,
            settings.ambient_c.unwrap_or(20.0),
        ))
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
            early: early.filter(|_| {
                ends.2
                    .is_none_or(|highest| highest <= settings.criteria.ceiling_micron)
            }),
            leak,
            operating_loss,
            sight,
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
    steps.sort_unstable_by(f64::total_cmp);
    steps.get(steps.len() / 10).copied()
}

/// The stretch in which gauge and inflow behave: up to about 10 Torr if the
/// curve goes on rising there, else all of it.
pub(crate) fn usable_part(inside: &[Block]) -> &[Block] {
    let cut = |limit: f64| {
        let mut over = 0;
        inside.iter().position(|b| {
            over = if b.p() > limit { over + 1 } else { 0 };
            over == 2
        })
    };
    let clipped = &inside[..clip_start(inside)];
    let hard = cut(INFLOW_BENDS_MICRON)
        .unwrap_or(usize::MAX)
        .min(clipped.len());
    let Some(soft) = cut(GAUGE_BENDS_MICRON).filter(|i| *i < hard) else {
        return &inside[..hard];
    };
    // a thermal gauge bends a straight rise upwards: one that bends over is real
    let levels_off = late_share(&inside[..hard]) < 0.6;
    if levels_off || soft < 12 {
        &inside[..hard]
    } else {
        &inside[..soft]
    }
}

/// Slope of the last quarter over the steepest quarter.
fn late_share(blocks: &[Block]) -> f64 {
    let (Some(first), Some(last)) = (blocks.first(), blocks.last()) else {
        return 1.0;
    };
    let (t0, span) = (first.t(), last.t() - first.t());
    let at = |f: f64| {
        let i = blocks
            .partition_point(|b| b.t() < t0 + f * span)
            .min(blocks.len() - 1);
        blocks[i].p()
    };
    let p = [at(0.0), at(0.25), at(0.5), at(0.75), at(1.0)];
    let slopes: Vec<f64> = p.windows(2).map(|w| w[1] - w[0]).collect();
    let steepest = slopes.iter().copied().fold(0.0, f64::max);
    if steepest > 0.0 {
        slopes[3] / steepest
    } else {
        1.0
    }
}

/// Where the gauge stands still at its top after a steep rise: index of the first
/// clipped block, or the length.
fn clip_start(blocks: &[Block]) -> usize {
    let n = blocks.len();
    let Some(top) = blocks.last().map(|b| b.high) else {
        return n;
    };
    let stuck = blocks
        .iter()
        .rev()
        .take_while(|b| b.low >= top && b.high <= top)
        .count();
    if stuck < 5 || stuck == n || top < GAUGE_BENDS_MICRON {
        return n;
    }
    let before = n - stuck;
    let climbing = before >= 5 && {
        let a = &blocks[before.saturating_sub(6)..before];
        a[a.len() - 1].p() - a[0].p() > 0.02 * top
    };
    if climbing { before } else { n }
}

/// End of equalisation: six time constants of the fast exponential, if there is
/// one; else a few readings.
fn settled_at(blocks: &[Block], isolation: Isolation) -> f64 {
    let at = isolation.at_s;
    let Some(last) = blocks.last() else { return at };
    let span = last.t() - at;
    let few = (3.0 * span / blocks.len().max(1) as f64).max(3.0);
    let shortest = at + few.min(0.2 * span.max(0.0));
    if isolation.basis == IsolationBasis::FromStart {
        return shortest;
    }
    let look = (0.5 * span).min(180.0);
    let early: Vec<&Block> = blocks.iter().take_while(|b| b.t() <= at + look).collect();
    if early.len() < 10 {
        return shortest;
    }
    let Some((tau, height, sd)) = fast_term(&early, at) else {
        return shortest;
    };
    if height.abs() < 4.0 * sd {
        return shortest;
    }
    let times = (height.abs() / sd).ln().clamp(3.0, 7.0);
    (at + tau * times + few)
        .min(at + 0.3 * span)
        .min(at + 150.0)
        .max(shortest)
}

/// Best fast exponential beside a line and a slow exponential: time constant,
/// height, noise.
fn fast_term(early: &[&Block], at: f64) -> Option<(f64, f64, f64)> {
    let y: Vec<f64> = early.iter().map(|b| b.p()).collect();
    let t: Vec<f64> = early.iter().map(|b| (b.t() - at).max(0.0)).collect();
    let span = t[t.len() - 1].max(1.0);
    let decay = |tau: f64| t.iter().map(|t| (-t / tau).exp()).collect::<Vec<f64>>();
    let mut best: Option<(f64, f64, f64)> = None;
    for slow in [30.0, 70.0, 160.0] {
        for tau in [1.0, 2.0, 3.5, 6.0, 10.0] {
            if tau > 0.15 * span || tau > 0.25 * slow {
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
    (0.02 * level)
        .max(3.0 * noise.reading_micron)
        .max(noise.step_micron.unwrap_or(0.0))
        .max(2.0)
}

/// What the fit needs to know about the readings behind `bins` bins.
fn context(blocks: &[Block], bins: usize, noise: GaugeNoise) -> FitContext {
    let readings: f64 = blocks.iter().map(|b| f64::from(b.n)).sum();
    FitContext {
        reading_micron: noise.reading_micron,
        readings_per_bin: readings / bins.max(1) as f64,
    }
}

/// Equal-time bins, corrected to one temperature by the gas law where a temperature
/// was recorded.
fn hold_bins(settled: &[Block], steps: Steps) -> Vec<HoldBin> {
    let (Some(first), Some(last)) = (settled.first(), settled.last()) else {
        return Vec::new();
    };
    let width = (last.t() - first.t()) / BINS as f64;
    let reference_c = first.temperature_c();
    let mut out: Vec<HoldBin> = Vec::with_capacity(BINS + 1);
    let mut bin = Sums::default();
    let mut edge = first.t() + width;
    for b in settled {
        if b.t() > edge {
            out.extend(bin.take(steps));
            while b.t() > edge && width > 0.0 {
                edge += width;
            }
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
        self.t += w * (b.t() - start_s);
        self.p += w * b.p() * to_reference;
        self.n += w;
    }

    fn take(&mut self, steps: Steps) -> Option<HoldBin> {
        let done = std::mem::take(self);
        (done.n > 0.0).then(|| HoldBin {
            t: done.t / done.n,
            p: done.p / done.n,
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
        let mut values: Vec<f64> = blocks.iter().map(Block::p).collect();
        let m = median(&mut values);
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
