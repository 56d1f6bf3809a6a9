//! Finds the instant the pump was valved off, when nobody stamped it.
//!
//! While the pump works the pressure falls, or stands still, or comes back down
//! after every disturbance. Once isolated it rises and stays risen. Candidates
//! are the low points from which the pressure never gives back half of its rise.
//!
//! A hold rises at once, straight or bending over. So a rise that shows at time
//! t₁ and has grown fourfold at t₂ began no earlier than about t₁ − (t₂ − t₁)/3:
//! that bounds the search. Inside these bounds [`change_point`](statistics::change_point) gives the probability of
//! every instant. The search is repeated from higher levels: a rise that steepens
//! later began there, and what came before was a drift under a running pump.
//!
//! A record that begins at its lowest and only rises began isolated, unless the
//! evidence for a pull-down before the rise is strong.

mod baseline;
mod points;
mod pump_stop_rise;
mod responses;

use findings::{IsolationBasis, TimeRange};
use run_memory::{Block, LogBin, gauge_noise, log_bins, log_bins_of_points, noise_of, turns};
use statistics::{
    change_point::{NEEDED, Point},
    robust::median_of,
    turning_points::Turn,
};

use crate::evacuation::isolation::{
    baseline::Baseline,
    points::{clean, typical_interval},
    pump_stop_rise::valve_shut_late,
};

/// Smoothing widths tried, s, finest first (common practice, no source).
const WIDTHS_S: [f64; 4] = [4.0, 15.0, 60.0, 240.0];
/// Share of a rise that may be given back for it still to be a hold (common practice, no
/// source).
const RETRACE: f64 = 0.5;
/// Smallest turn in ln p that counts (common practice, no source).
const SMALLEST_TURN: f64 = 0.02;
/// Smallest rise in ln p that counts (common practice, no source).
const SMALLEST_RISE: f64 = 0.012;
/// Rise in ln p that a running pump may show by drifting (common practice, no source).
const DRIFT: f64 = 0.06;
/// A rise this long that is then pumped away again was a hold of its own, s (common
/// practice, no source).
const SHORTEST_ROUND_S: f64 = 150.0;

/// Noise and rise of ln p that part two rounds, and the share of that rise that is pumped
/// away again (common practice, no source).
const ROUND_NOISES: f64 = 5.0;
const ROUND_TURN: f64 = 0.1;
const ROUND_RISE: f64 = 0.2;
const ROUND_BACK: f64 = 0.7;
/// Times between readings from which no median of three is taken, s (common practice, no
/// source).
const SELDOM_S: f64 = 4.0;
/// The noise that matters is that of what lies below this, in ln p above the lowest; turns
/// exceed so many times that noise, and steps (common practice, no source).
const STEEP: f64 = 0.7;
const TURN_NOISES: f64 = 6.0;
const TURN_STEPS: f64 = 1.2;
/// Pressures over the lowest at which the step of the gauge is taken; steps that a rise
/// exceeds (common practice, no source).
const NEAR_LOWEST: f64 = 1.5;
const RISE_STEPS: f64 = 2.5;
/// A small rise needs this many times the evidence, and an instant that is known to so many
/// readings, or s (common practice, no source).
const SMALL_RISE_EVIDENCE: f64 = 2.5;
const SMALL_RISE_READINGS: f64 = 15.0;
const SMALL_RISE_S: f64 = 30.0;
/// A record begins at its lowest when it begins within so many turns of it, at most, in ln
/// p (common practice, no source).
const BEGINS_TURNS: f64 = 3.0;
const BEGINS_AT_MOST: f64 = 0.3;
/// A pull-down shorter than this, s, at the beginning of such a record needs the first, a
/// longer one the second of these, times the evidence (common practice, no source).
const SHORT_BEFORE_S: f64 = 90.0;
const BEFORE_EVIDENCE: (f64, f64) = (8.0, 2.0);

/// What a window found in the curve is widened by, to the early and to the late side,
/// s: a gauge answers late rather than early. Set on tuning runs so that the windows
/// hold the truth as often as they say.
const ANSWERS_S: (f64, f64) = (1.0, 0.5);

/// An isolation and where its hold ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Isolation {
    /// When, s.
    pub(crate) at_s: f64,
    /// End of the hold, s.
    pub(crate) end_s: f64,
    /// How it is known.
    pub(crate) basis: IsolationBasis,
    /// Where it lies with 95 % probability.
    pub(crate) window: TimeRange,
    /// When the pump was stopped, s, if that was before its valve was shut and
    /// the curve shows it.
    pub(crate) stopped_open_s: Option<f64>,
}

impl Isolation {
    /// An isolation whose instant is certain.
    pub(crate) fn certain(at_s: f64, end_s: f64, basis: IsolationBasis) -> Self {
        Self {
            at_s,
            end_s,
            basis,
            window: TimeRange::at(at_s),
            stopped_open_s: None,
        }
    }
}

/// Finds the holds in one stretch of record without breaks.
pub(crate) fn find(blocks: &[Block]) -> Vec<Isolation> {
    let mut found = Vec::new();
    let mut from = 0;
    // holds that were pumped down again, each closed by its own fall
    while let Some(top) = next_repull(&blocks[from..]) {
        found.extend(find_one(&blocks[from..from + top]));
        from += top.max(1);
    }
    found.extend(find_one(&blocks[from..]));
    found
}

/// The first long rise that is pumped away again, for a while at least: index of
/// its top.
fn next_repull(blocks: &[Block]) -> Option<usize> {
    let smooth = log_bins(blocks, WIDTHS_S[1], 3);
    let h = (ROUND_NOISES * noise_of(&smooth)).max(ROUND_TURN);
    let turns = turns(&smooth, h);
    let index_at = |t: f64| blocks.partition_point(|b| b.t() < t);
    for w in turns.windows(3) {
        if w[0].high || w[0].i == 0 {
            continue;
        }
        let (low, high) = (smooth[w[0].i], smooth[w[1].i]);
        let around = |i: usize, reach: usize| {
            let part = &smooth[i.saturating_sub(reach)..(i + reach + 1).min(smooth.len())];
            median_of(part.iter().map(|b| b.y))
        };
        let rise = around(w[1].i, 1) - low.y;
        let back = around(w[1].i, 1) - around(w[2].i, 2);
        let long = high.t - low.t >= SHORTEST_ROUND_S && w[2].i + 2 < smooth.len();
        if long && rise > ROUND_RISE && back > ROUND_BACK * rise {
            return Some(index_at(high.t));
        }
    }
    None
}

fn find_one(blocks: &[Block]) -> Option<Isolation> {
    let end_s = blocks.last()?.last_s;
    let (step_micron, step) = step_at_bottom(blocks);
    let points = clean(blocks);
    let interval_s = typical_interval(&points);
    // medians of three, unless that is half a minute
    let fewest = if interval_s > SELDOM_S { 1 } else { 3 };
    for width in WIDTHS_S {
        let smooth = log_bins_of_points(&points, width, fewest);
        if smooth.len() < 6 {
            break;
        }
        // the noise that matters is that near the bottom and after it
        let bottom = smooth.iter().map(|b| b.y).fold(f64::INFINITY, f64::min);
        let steep = smooth
            .iter()
            .rposition(|b| b.y > bottom + STEEP && b.t < lowest_s(&smooth));
        let low_part = &smooth[steep.map_or(0, |i| i + 1)..];
        let h = (TURN_NOISES * noise_of(low_part))
            .max(SMALLEST_TURN)
            .max(TURN_STEPS * step);
        let turns = turns(&smooth, h);
        if let Some(found) = lasting_low(&smooth, &turns, h)
            .and_then(|low| locate(blocks, &points, &smooth, low, (h, step_micron)))
        {
            return Some(found.into_isolation(&points, interval_s, end_s));
        }
    }
    None
}

impl FoundIsolation {
    /// Takes a pump that was stopped with its valve open into account: then the
    /// system was valved off only at the break of the rise.
    fn into_isolation(self, points: &[Point], interval_s: f64, end_s: f64) -> Isolation {
        let plain = Isolation {
            at_s: self.at_s,
            end_s,
            basis: self.basis,
            window: self.window,
            stopped_open_s: None,
        };
        if self.basis != IsolationBasis::Curve {
            return plain;
        }
        let plain = Isolation {
            window: widened(self.window, self.at_s, interval_s),
            ..plain
        };
        match valve_shut_late(points, self.at_s, interval_s) {
            Some((at_s, window)) => Isolation {
                at_s,
                window: widened(window, at_s, interval_s),
                stopped_open_s: Some(self.at_s),
                ..plain
            },
            None => plain,
        }
    }
}

/// The window as it is said: wider by half a reading and by what a valve and a gauge
/// take to answer, and a reading to each side at least, for what happens between two
/// readings nobody sees.
fn widened(window: TimeRange, at_s: f64, interval_s: f64) -> TimeRange {
    let half = 0.5 * interval_s;
    TimeRange {
        low_s: (window.low_s - half - ANSWERS_S.0).min(at_s - interval_s),
        high_s: (window.high_s + half + ANSWERS_S.1).max(at_s + interval_s),
    }
}

/// Time of the lowest bin, s.
fn lowest_s(smooth: &[LogBin]) -> f64 {
    smooth
        .iter()
        .min_by(|a, b| a.y.total_cmp(&b.y))
        .map_or(0.0, |b| b.t)
}

/// The gauge's step near the lowest pressure, in micron and in ln p; zero when it
/// shows none.
fn step_at_bottom(blocks: &[Block]) -> (f64, f64) {
    let bottom = blocks.iter().map(Block::p).fold(f64::INFINITY, f64::min);
    let low = blocks.iter().filter(|b| b.p() < NEAR_LOWEST * bottom);
    let step = gauge_noise(low).step_micron.unwrap_or(0.0);
    (step, (step / bottom.max(1e-3)).ln_1p())
}

/// The first low point from which the rise is never given back by more than half
/// and the `h` that noise makes.
fn lasting_low(smooth: &[LogBin], turns: &[Turn], h: f64) -> Option<usize> {
    turns.iter().filter(|t| !t.high).map(|t| t.i).find(|&i| {
        let low = smooth[i].y;
        let mut top = low;
        smooth[i..].iter().all(|bin| {
            top = top.max(bin.y);
            top - bin.y <= RETRACE * (top - low) + h
        }) && top > low
    })
}

/// Locates the break inside the bottom of the curve, on ever finer scales.
fn locate(
    blocks: &[Block],
    points: &[Point],
    smooth: &[LogBin],
    low: usize,
    (h, step_micron): (f64, f64),
) -> Option<FoundIsolation> {
    let start_s = blocks.first()?.first_s;
    let bottom = smooth[low].y;
    let top = smooth[low..].iter().map(|b| b.y).fold(bottom, f64::max);
    let step = (step_micron / bottom.exp()).ln_1p();
    if top - bottom < (RISE_STEPS * step).max(SMALLEST_RISE) {
        return None;
    }
    let rise_micron = (top - bottom).exp_m1() * bottom.exp();
    let found = Baseline::new(points, smooth, (bottom.exp(), rise_micron), step_micron)
        .locate(smooth[low].t);
    // pumps drift by a few per cent too: so small a rise needs a sharp break
    let interval_s = typical_interval(points);
    let sure_s = (SMALL_RISE_READINGS * interval_s).max(SMALL_RISE_S);
    let found = found.filter(|f| {
        if top - bottom < DRIFT {
            f.evidence >= SMALL_RISE_EVIDENCE * NEEDED && f.uncertainty_s() < sure_s
        } else {
            f.evidence >= NEEDED
        }
    });
    // a record that begins at its lowest and only rises began isolated
    let near = (BEGINS_TURNS * h).min(BEGINS_AT_MOST);
    let began_low = blocks.first()?.p().max(1e-3).ln() < bottom + near
        && smooth[..=low].iter().all(|b| b.y < bottom + near);
    if let Some(found) = found
        && !(began_low && found.over_begun_before < before_needed(found.at_s - start_s))
    {
        return Some(FoundIsolation {
            at_s: found.at_s,
            basis: IsolationBasis::Curve,
            window: TimeRange {
                low_s: found.window_s.0,
                high_s: found.window_s.1,
            },
        });
    }
    began_low.then_some(FoundIsolation {
        at_s: start_s,
        basis: IsolationBasis::FromStart,
        window: TimeRange::at(start_s),
    })
}

/// An isolation found in one stretch.
#[derive(Debug, Clone, Copy)]
struct FoundIsolation {
    at_s: f64,
    basis: IsolationBasis,
    window: TimeRange,
}

/// Evidence needed to believe in a pull-down of `length_s` before a record that
/// begins at its lowest.
fn before_needed(length_s: f64) -> f64 {
    if length_s < SHORT_BEFORE_S {
        BEFORE_EVIDENCE.0 * NEEDED
    } else {
        BEFORE_EVIDENCE.1 * NEEDED
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_is_said_wider_than_the_curve_alone_shows_it() {
        let found = TimeRange {
            low_s: 9.0,
            high_s: 12.0,
        };
        let findings = widened(found, 10.0, 1.0);
        assert_eq!((findings.low_s, findings.high_s), (7.5, 13.0));
        // one reading a minute: nobody sees what happens between two
        let findings = widened(found, 10.0, 60.0);
        assert_eq!((findings.low_s, findings.high_s), (-50.0, 70.0));
    }
}
