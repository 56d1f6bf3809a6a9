//! The curve so far in bounded memory: lowest and highest of each stretch of time.

use report::Trace;
use serde::Serialize;
use vacuum::ReadingState;
use wording::{Voice, say};

/// Most columns; a screen hardly has more.
const MOST: usize = 720;

/// The lowest and highest pressure of a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Column {
    /// First and last measurement, s.
    pub from_s: f64,
    /// See `from_s`.
    pub to_s: f64,
    /// Lowest and highest, micron.
    pub low: f64,
    /// See `low`.
    pub high: f64,
    /// True when no line leads here from the column before: the gauge was away.
    pub broken: bool,
}

/// A stretch without a measurement.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Away {
    /// Why: `over`, `under`, `fault`, `gap`.
    pub state: &'static str,
    /// Start, s.
    pub from_s: f64,
    /// End, s.
    pub to_s: f64,
}

/// The curve so far.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Curve {
    /// Grows when the curve has changed.
    pub version: u64,
    /// From the oldest to the newest, at most 720.
    pub columns: Vec<Column>,
    /// Stretches without a measurement, the last 64.
    pub away: Vec<Away>,
    /// First and last moment of the run, s.
    pub extent_s: (f64, f64),
}

impl Curve {
    /// What of it comes at this moment, s, or later.
    #[must_use]
    pub fn since(&self, at_s: f64) -> Self {
        let columns = self.columns.iter().filter(|c| c.to_s >= at_s).copied();
        Self {
            version: self.version,
            columns: columns.collect(),
            away: self
                .away
                .iter()
                .filter(|a| a.to_s >= at_s)
                .copied()
                .collect(),
            extent_s: (self.extent_s.0.max(at_s), self.extent_s.1.max(at_s)),
        }
    }

    /// The curve of what a trace holds; `version` is the caller's count.
    pub fn of(trace: &Trace, version: u64) -> Self {
        let bins = trace.bins();
        let extent_s = trace.extent_s().unwrap_or((0.0, 0.0));
        let width_s = ((extent_s.1 - extent_s.0) / MOST as f64).max(trace.bin_width_s());
        let mut columns: Vec<Column> = Vec::with_capacity(bins.len().min(MOST));
        for bin in bins {
            let slot = |t: f64| ((t - extent_s.0) / width_s).floor();
            match columns.last_mut() {
                Some(c) if !bin.broken_before && slot(c.from_s) >= slot(bin.first_s) => {
                    c.to_s = bin.last_s;
                    c.low = c.low.min(bin.min_micron);
                    c.high = c.high.max(bin.max_micron);
                }
                _ => columns.push(Column {
                    from_s: bin.first_s,
                    to_s: bin.last_s,
                    low: bin.min_micron,
                    high: bin.max_micron,
                    broken: bin.broken_before,
                }),
            }
        }
        // a gauge that comes and goes breaks the line again and again
        let extra = columns.len().saturating_sub(MOST);
        columns.drain(..extra);
        let spans = trace.spans();
        let away = spans[spans.len().saturating_sub(64)..].iter();
        Self {
            version,
            columns,
            away: away
                .map(|s| Away {
                    state: s.state.word(),
                    from_s: s.start_s,
                    to_s: s.end_s,
                })
                .collect(),
            extent_s,
        }
    }
}

/// Word for a state that is no measurement.
pub fn state_words(voice: &Voice, state: &str) -> String {
    let id = match ReadingState::from_word(state) {
        Some(ReadingState::Over) => "state-over",
        Some(ReadingState::Under) => "state-under",
        Some(ReadingState::Fault) => "state-fault",
        Some(ReadingState::Gap) => "state-gap",
        _ => "state-none",
    };
    say!(voice, id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use vacuum::{Entry, Pressure, Reading};

    fn trace(count: u32, every_s: f64, gap_every: u32) -> Trace {
        let mut trace = Trace::default();
        for i in 0..count {
            let at_s = f64::from(i) * every_s;
            let micron = match i {
                4_321 => 90_000.0,
                _ => 400.0,
            };
            if gap_every > 0 && i % gap_every == 0 {
                trace.push(&Entry::Reading(Reading::gap(at_s)));
            }
            let pressure = Pressure::from_micron(micron).expect("a pressure");
            trace.push(&Entry::Reading(Reading::measured(at_s, pressure)));
        }
        trace
    }

    #[test]
    fn a_day_fits_and_no_peak_is_lost() {
        let curve = Curve::of(&trace(86_400, 1.0, 0), 1);
        assert!(curve.columns.len() <= MOST && curve.columns.len() > MOST / 3);
        let high = curve.columns.iter().map(|c| c.high).fold(0.0, f64::max);
        assert!((high - 90_000.0).abs() < 1e-6);
        let ordered = |w: &[Column]| w[0].to_s <= w[1].from_s;
        assert!(curve.columns.windows(2).all(ordered));
    }

    #[test]
    fn a_gauge_that_comes_and_goes_stays_bounded() {
        let curve = Curve::of(&trace(20_000, 1.0, 5), 1);
        assert!(curve.columns.len() <= MOST);
        assert!(curve.away.len() <= 64);
    }

    #[test]
    fn an_empty_trace_is_an_empty_curve() {
        assert_eq!(Curve::of(&Trace::default(), 0), Curve::default());
    }
}
