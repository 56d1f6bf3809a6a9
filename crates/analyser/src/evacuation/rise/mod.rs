//! How the pressure moved in a hold: every explanation, with its weight.
//!
//! A rise is a sum of parts: stores that give gas off, each with a time constant; a part
//! that grows with √t, as from a layer of oil; a straight part, which is the leak; and
//! depletion, gas that is taken up meanwhile. Sums with a straight part are compared with
//! sums without ([`weighing`]). How often such a comparison is right was measured on
//! simulated holds, and that is the probability that is reported ([`calibration`]).
//!
//! The method and its numbers: [`method::rise`](crate::method::rise).

mod bin;
mod calibration;
mod columns;
mod explanation;
mod few_stores;
mod noise;
mod weighing;

pub(crate) use bin::{FitContext, HoldBin};
pub(crate) use explanation::Explanation;
pub(crate) use few_stores::RiseModel;

use findings::EVIDENCE;
use statistics::{
    linear::{Cholesky, MAX_TERMS},
    non_negative::ln_sum_exp,
    normal::cdf,
    robust::median_of,
    truncated_normal::TruncatedNormal,
};

use columns::{Columns, LINE, Nuisance};
use explanation::FitBasis;
use few_stores::SparseModel;
use weighing::{Scales, Setup, WeighedModel};

/// Drift of an unrecorded room, one standard deviation, in 800 s; grows as √t (common
/// practice, no source).
const ROOM_K: f64 = 0.2;
const ROOM_S: f64 = 800.0;
/// The same where a temperature was recorded: what the thermometer does not see (common
/// practice, no source).
const SEEN: f64 = 0.25;
/// Gas freed from oil and walls by warming, as a share of the vapour per kelvin: about
/// 5 % for a heat of desorption of 40 kJ/mol (Clausius–Clapeyron; common practice).
const FREED_PER_K: f64 = 0.05;
/// The same as a share of the level, with the sign unknown, where warming was recorded
/// (common practice, no source).
const WARMING_SHARE_PER_K: f64 = 0.03;
/// Standard deviation of each smooth bend of third and fourth degree, as a share of the
/// rise: no gauge is straight to a part in a thousand (common practice, no source).
const BEND_SHARE: f64 = 0.002;
/// Noise over what was assumed: weight of the assumption, in bins, and its size (tuned on
/// even seeds: how often a statement is right).
const ASSUMED_BINS: f64 = 6.0;
const ASSUMED_SCALE: f64 = 1.05;
/// Terms that the best sum uses, about (tuned on even seeds).
const FITTED_TERMS: f64 = 6.0;
/// Odds, in nats, from which sums of few stores speak against a straight part, and the
/// most that is then said for one: a single store slower than the hold may do alone what
/// many stores do not (tuned on slow stores of 5.6 hold lengths; even seeds hardly change).
const DISSENT: f64 = 0.5;
const MOST_IN_DISSENT: f64 = 0.8;
/// Time constants, in lengths of the fit, of the stores beside which a leak must show to
/// count as detectable (common practice, no source).
const BESIDE: [f64; 2] = [0.25, 0.8];
/// Prior probability of a store much slower than the hold beside a leak (common practice,
/// no source). It decides the lower end of the interval.
const SLOW_BESIDE_A_LEAK: f64 = 0.15;
/// Prior odds of depletion where the size of a leak is asked, over those where its presence
/// is (tuned on even seeds: coverage and width of the interval).
const DEPLETION_BESIDE_A_LEAK: f64 = 0.3;
/// Fewest bins that are fitted (common practice, no source).
const FEWEST_BINS: usize = 8;

/// The scale of the rise in standard deviations of a bin, at least (common practice, no
/// source).
const LEAST_RISE_SDS: f64 = 4.0;
/// Smallest straight part that is looked for: standard deviations, and share of the rise
/// (common practice, no source).
const LEAST_STRAIGHT: (f64, f64) = (2.0, 0.02);
/// Least noise over what was assumed (common practice, no source).
const LEAST_SCALE: f64 = 0.8;
/// Warming that counts, K (common practice, no source).
const WARMED_K: f64 = 0.05;
/// Temperature of a room, K (20 °C).
const ROOM_TEMPERATURE_K: f64 = 293.0;

/// The weighed sums of one hold.
#[derive(Debug, Clone)]
pub(crate) struct RiseFit {
    /// Length of the fit, s.
    pub(crate) span_s: f64,
    /// Sums, heaviest first.
    pub(crate) explanations: Vec<Explanation>,
    /// Noise of one bin, micron at the typical level.
    pub(crate) bin_micron: f64,
    /// Lag-1 correlation between bins.
    pub(crate) correlation: f64,
    /// Time between bins, s.
    pub(crate) bin_s: f64,
    /// Standard deviation of the straight part alone, micron over the fit.
    pub(crate) straight_sd: f64,
    /// The same beside stores as large as those that were found.
    pub(crate) straight_sd_beside: f64,
    /// Mean pressure, micron.
    pub(crate) level: f64,
    /// Scale of the rise, micron.
    pub(crate) rise_micron: f64,
    /// Figures from which the probability of a leak was made.
    pub(crate) evidence: [f64; EVIDENCE],
    /// Probability that there is a straight part, as measured.
    pub(crate) leak_probability: f64,
    scales: Scales,
}

/// Weighs what a hold may be. `even` are bins of equal length after equalisation, from
/// which noise and the scale of the rise are taken, `bins` those of growing length that
/// are fitted. `None` with fewer than eight of either.
pub(crate) fn fit(even: &[HoldBin], bins: &[HoldBin], context: FitContext) -> Option<RiseFit> {
    let n = even.len();
    if n < FEWEST_BINS || bins.len() < FEWEST_BINS {
        return None;
    }
    let span_s = bins[bins.len() - 1].t - bins[0].t;
    if span_s <= 0.0 {
        return None;
    }
    let level = even.iter().map(|b| b.p).sum::<f64>() / n as f64;
    let noise = noise::of_bins(even, level, context)?;
    let rise_micron = observed_range(even).max(LEAST_RISE_SDS * noise.bin_micron);
    let jumps = bins.iter().take(6).map(|b| (b.p - even[0].p).abs());
    let jump_micron = jumps.fold(rise_micron, f64::max);
    let nuisance = nuisances(bins, span_s, (rise_micron, jump_micron), level);
    let columns = Columns::new(bins, &noise, &nuisance, context.settling_s)?;
    let straight_sd = 1.0 / columns.gram[LINE][LINE].sqrt();
    let mut scales = Scales {
        rise_micron,
        jump_micron,
        least_straight_micron: least_straight(straight_sd, rise_micron),
        noise: ASSUMED_SCALE,
    };
    let everything = Setup::everything(true);
    let rough = scales.weigh(everything, &columns)?;
    scales.noise = noise_scale(Scales::misfit(&rough, &columns), columns.n);
    let straight_sd = straight_sd * scales.noise;
    scales.least_straight_micron = least_straight(straight_sd, rise_micron);
    let with = scales.all(Setup::everything(true), &columns);
    let without = scales.all(Setup::everything(false), &columns);
    let beside_a_leak = Setup::beside_a_leak(&columns, span_s);
    let beside = scales.all(beside_a_leak, &columns);
    if with.is_empty() || without.is_empty() {
        return None;
    }
    let few = few_stores::all(&columns, &scales, columns::STORES, false);
    let few_beside = few_stores::all(&columns, &scales, beside_a_leak.stores, true);
    let basis = FitBasis {
        columns: &columns,
        scales: &scales,
        span_s,
        settled_t: context.settled_t.clamp(0.0, 0.5 * span_s),
    };
    let mut explanations = together(&depletion_rarer(&beside), &few_beside, &basis);
    for e in &mut explanations {
        e.weight *= 1.0 - SLOW_BESIDE_A_LEAK;
    }
    // a store slower than the hold may stand beside a leak too: then the leak is smaller
    for mut e in together(&depletion_rarer(&with), &[], &basis) {
        e.weight *= SLOW_BESIDE_A_LEAK;
        explanations.push(e);
    }
    explanations.extend(together(&without, &few, &basis));
    let mut fit = RiseFit {
        span_s,
        explanations,
        bin_micron: noise.bin_micron,
        correlation: noise.correlation,
        bin_s: (even[n - 1].t - even[0].t) / (n - 1) as f64,
        straight_sd,
        straight_sd_beside: straight_sd,
        level,
        rise_micron,
        evidence: [0.0; EVIDENCE],
        leak_probability: 0.5,
        scales,
    };
    let sparse = [&few_beside, &few].map(|list| ln_sum_exp(list.iter().map(|s| s.weight)));
    fit.evidence = fit.figures(&with, &without, sparse);
    fit.leak_probability = calibration::probability(&fit.evidence);
    if sparse[1] - sparse[0] > DISSENT {
        fit.leak_probability = fit.leak_probability.min(MOST_IN_DISSENT);
    }
    let dry = fit.explanations.iter().filter(|e| !e.has_line);
    let given_off: f64 = dry.map(|e| e.weight * e.certain_rise()).sum();
    fit.straight_sd_beside = sd_beside(&columns, &fit.scales, span_s, given_off).max(straight_sd);
    for e in &mut fit.explanations {
        e.weight *= if e.has_line {
            fit.leak_probability
        } else {
            1.0 - fit.leak_probability
        };
    }
    fit.explanations
        .sort_by(|a, b| b.weight.total_cmp(&a.weight));
    Some(fit)
}

/// Standard deviation of the straight part beside two stores within the hold that may
/// give off as much as was given off, micron over the fit.
fn sd_beside(columns: &Columns, scales: &Scales, span_s: f64, given_off_micron: f64) -> f64 {
    let at = |tau: f64| {
        columns
            .taus
            .partition_point(|t| *t < tau)
            .min(columns::FINE - 1)
    };
    let places = BESIDE.map(|share| at(share * span_s));
    let scale = 1.0 / (scales.noise * scales.noise);
    let mut m = [[0.0; MAX_TERMS]; MAX_TERMS];
    let mut with_line = [0.0; MAX_TERMS];
    for (i, a) in places.iter().enumerate() {
        for (j, b) in places.iter().enumerate() {
            m[i][j] = scale * columns.gram[*a][*b];
        }
        m[i][i] += 1.0 / given_off_micron.max(1e-9).powi(2);
        with_line[i] = scale * columns.gram[*a][LINE];
    }
    let alone = scale * columns.gram[LINE][LINE];
    let taken = Cholesky::new(&m, places.len()).map_or(0.0, |f| {
        let solved = f.solve(&with_line);
        solved.iter().zip(&with_line).map(|(a, b)| a * b).sum()
    });
    1.0 / (alone - taken).max(1e-9 * alone).sqrt()
}

/// The same sums, as the size of a leak is asked of them.
fn depletion_rarer(sums: &[WeighedModel]) -> Vec<WeighedModel> {
    let rarer = |w: &WeighedModel| WeighedModel {
        weight: w.weight
            + w.setup
                .depletion
                .map_or(0.0, |_| DEPLETION_BESIDE_A_LEAK.ln()),
        ..*w
    };
    sums.iter().map(rarer).collect()
}

/// Sums with every store and sums of a few, as likely as each other beforehand.
fn together(every: &[WeighedModel], few: &[SparseModel], basis: &FitBasis<'_>) -> Vec<Explanation> {
    let weights = every
        .iter()
        .map(|w| w.weight)
        .chain(few.iter().map(|s| s.weight));
    let all = ln_sum_exp(weights);
    let of_every = |w: &WeighedModel| {
        let list: Vec<usize> = w.setup.columns().collect();
        Explanation::new((w.weight - all).exp(), &list, &w.posterior, basis)
    };
    let of_few =
        |s: &SparseModel| Explanation::new((s.weight - all).exp(), &s.list, &s.posterior, basis);
    every
        .iter()
        .map(of_every)
        .chain(few.iter().map(of_few))
        .collect()
}

/// Smallest straight part that is looked for, micron over the fit: about the smallest
/// that this hold can show.
fn least_straight(straight_sd: f64, rise_micron: f64) -> f64 {
    (LEAST_STRAIGHT.0 * straight_sd).max(LEAST_STRAIGHT.1 * rise_micron)
}

/// Noise over what was assumed, from what the best sum leaves.
fn noise_scale(misfit: f64, bins: usize) -> f64 {
    let free = (bins as f64 - FITTED_TERMS).max(1.0);
    let assumed = ASSUMED_BINS * ASSUMED_SCALE * ASSUMED_SCALE;
    ((misfit + assumed) / (free + ASSUMED_BINS))
        .sqrt()
        .max(LEAST_SCALE)
}

fn nuisances(
    bins: &[HoldBin],
    span_s: f64,
    (rise_micron, jump_micron): (f64, f64),
    level: f64,
) -> Nuisance {
    let recorded = bins.iter().all(|b| b.warming_k.is_some());
    let moved = |b: &HoldBin| b.warming_k.is_some_and(|k| k.abs() > WARMED_K);
    let drift_k = ROOM_K * (span_s / ROOM_S).sqrt() * if recorded { SEEN } else { 1.0 };
    let per_k = level / ROOM_TEMPERATURE_K + FREED_PER_K * rise_micron;
    Nuisance {
        settling_micron: jump_micron,
        room_micron: (drift_k * per_k, drift_k * per_k),
        smooth_bend_micron: BEND_SHARE * rise_micron,
        warming_micron_per_k: if recorded && bins.iter().any(moved) {
            WARMING_SHARE_PER_K * level
        } else {
            0.0
        },
    }
}

fn observed_range(bins: &[HoldBin]) -> f64 {
    // medians of short stretches: one burst is not the range
    let k = (bins.len() / 16).max(1);
    let mut low = f64::INFINITY;
    let mut high = f64::NEG_INFINITY;
    for chunk in bins.chunks(k) {
        let m = median_of(chunk.iter().map(|b| b.p));
        low = low.min(m);
        high = high.max(m);
    }
    high - low
}

impl RiseFit {
    /// The figures from which the probability of a leak is made, in the order of
    /// [`method::rise`](crate::method::rise), section 7. Each is limited to the range in
    /// which it says something.
    fn figures(
        &self,
        with: &[WeighedModel],
        without: &[WeighedModel],
        few: [f64; 2],
    ) -> [f64; EVIDENCE] {
        let plain = with[0].ln_evidence - without[0].ln_evidence;
        let sparse = few[0] - few[1];
        // what depletion adds to either
        let eased =
            |list: &[WeighedModel]| ln_sum_exp(list.iter().map(|w| w.weight)) - list[0].weight;
        let at = |q: f64| self.straight_quantile(q).unwrap_or(0.0) / self.rise_micron;
        let ln = |x: f64| x.max(1e-6).ln();
        let middle = at(0.5);
        [
            plain.clamp(-6.0, 8.0),
            (plain / 1.5).tanh(),
            (plain - 2.0).clamp(0.0, 8.0),
            sparse.clamp(-6.0, 8.0),
            (sparse / 1.5).tanh(),
            // how much better few terms are than many
            (few[1] - without[0].ln_evidence).clamp(-6.0, 6.0),
            eased(with).clamp(0.0, 4.0),
            eased(without).clamp(0.0, 4.0),
            ln(middle).clamp(-4.0, 0.7),
            ln((at(0.975) - at(0.025)) / middle.max(1e-6)).clamp(-3.0, 1.5),
            ln(self.straight_sd / self.rise_micron).clamp(-7.0, 0.0),
            ln(self.span_s / 600.0).clamp(-2.5, 2.0),
            ln(self.scales.noise).clamp(-0.3, 1.5),
            ln(self.rise_micron / self.level).clamp(-5.0, 1.0),
            ln(self.rise_micron / 30.0).clamp(-4.0, 5.0),
        ]
    }

    /// One and two stores that the rise looks like, beside a straight part or alone;
    /// heaviest first.
    pub(crate) fn models(&self, line: bool) -> Vec<RiseModel> {
        let few = self.explanations.iter();
        let few = few.filter(|e| e.has_line == line && (1..=2).contains(&e.stores.len()));
        let total: f64 = few.clone().map(|e| e.weight).sum();
        few.map(|e| RiseModel {
            weight: e.weight / total,
            stores: e.stores.clone(),
            start_micron: e.start_micron,
        })
        .collect()
    }

    /// Step of the grid of time constants, in ln τ.
    pub(crate) fn ln_tau_step(&self) -> f64 {
        columns::ln_step(self.span_s)
    }

    /// Probability that `what` of an explanation, taken as normal, lies above `limit`.
    pub(crate) fn probability_above(
        &self,
        limit: f64,
        what: impl Fn(&Explanation) -> (f64, f64),
    ) -> f64 {
        self.explanations
            .iter()
            .map(|e| {
                let (mean, sd) = what(e);
                let above = if sd > 0.0 {
                    cdf((mean - limit) / sd)
                } else {
                    f64::from(u8::from(mean > limit))
                };
                e.weight * above
            })
            .sum()
    }

    /// Probability, given a straight part, that vapour makes more than `share` of the
    /// rise since equalisation.
    pub(crate) fn vapour_beside_leak_above(&self, share: f64) -> f64 {
        let (mut above, mut all) = (0.0, 0.0);
        for e in self.explanations.iter().filter(|e| e.has_line) {
            all += e.weight;
            above += e.weight * e.straight_below((1.0 - share) * e.total.0);
        }
        if all > 0.0 { above / all } else { 0.5 }
    }

    /// Quantile `q` of the straight part over the fit where there is one, micron;
    /// `None` when no explanation has one.
    pub(crate) fn straight_quantile(&self, q: f64) -> Option<f64> {
        let parts: Vec<(f64, &TruncatedNormal)> = self
            .explanations
            .iter()
            .flat_map(|e| e.straight_parts.iter().map(|(s, cut)| (e.weight * s, cut)))
            .collect();
        // a part below a ten-thousandth of the weight does not move these quantiles
        let least = 1e-4 * parts.iter().map(|(w, _)| w).sum::<f64>();
        let parts: Vec<(f64, &TruncatedNormal)> =
            parts.into_iter().filter(|(w, _)| *w > least).collect();
        let total: f64 = parts.iter().map(|(w, _)| w).sum();
        if total <= 0.0 {
            return None;
        }
        let ends = parts.iter().map(|(_, c)| c.centre.max(0.0) + 8.0 * c.sd);
        let (mut low, mut high) = (0.0, ends.fold(0.0, f64::max));
        for _ in 0..30 {
            let middle = 0.5 * (low + high);
            let below: f64 = parts.iter().map(|(w, c)| w * c.below(middle)).sum();
            if below < q * total {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(0.5 * (low + high))
    }
}
