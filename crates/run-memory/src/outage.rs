//! Stretches without a usable measurement, and the sampling interval.

use vacuum::ReadingState;

/// Most outages remembered one by one; later ones are merged into the last (derived: one a
/// minute for a day and a half).
const MAX_OUTAGES: usize = 2_048;

/// Shortest time without a row that is noted as a gap: in s, and in times between
/// measurements (common practice, no source).
const GAP_S: f64 = 3.0;
const GAP_INTERVALS: f64 = 3.0;
/// Shortest outage that matters, likewise (common practice, no source).
const LASTING_S: f64 = 10.0;
const LASTING_INTERVALS: f64 = 5.0;

/// A stretch in which the gauge gave no measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outage {
    /// Why; `Gap` also stands for plain missing time.
    pub state: ReadingState,
    /// Last measurement before (or first sign of trouble), s.
    pub start_s: f64,
    /// First row in it; without any the same as `start_s`, s.
    pub first_row_s: f64,
    /// First measurement after, s; the last row seen while it goes on.
    pub end_s: f64,
    /// Rows in it.
    pub rows: u64,
    /// Bound, micron, of over- or under-range rows.
    pub bound_micron: Option<f64>,
    /// True while no measurement has followed.
    pub open: bool,
}

/// Collects outages and the typical time between readings.
///
/// ```
/// use run_memory::Outages;
///
/// let mut outages = Outages::default();
/// for s in (0..60).chain(120..180) {
///     outages.measured(f64::from(s));
/// }
/// assert_eq!(outages.interval_s().map(f64::round), Some(1.0));
/// let gap = outages.lasting().next().expect("a minute is missing");
/// assert_eq!((gap.start_s, gap.end_s), (59.0, 120.0));
/// ```
#[derive(Debug, Clone, Default)]
pub struct Outages {
    list: Vec<Outage>,
    last_ok_s: Option<f64>,
    intervals: Intervals,
}

impl Outages {
    /// A measurement came, at `t` s.
    pub fn measured(&mut self, t: f64) {
        if let Some(open) = self.list.last_mut().filter(|o| o.open) {
            open.end_s = t;
            open.open = false;
        } else if let Some(last) = self.last_ok_s {
            let step = t - last;
            let typical = self.intervals.median_s().unwrap_or(step);
            if step > GAP_S && step > GAP_INTERVALS * typical {
                self.add(Outage {
                    state: ReadingState::Gap,
                    start_s: last,
                    first_row_s: last,
                    end_s: t,
                    rows: 0,
                    bound_micron: None,
                    open: false,
                });
            }
            self.intervals.push(step);
        }
        self.last_ok_s = Some(t);
    }

    /// Something other than a measurement came, at `t` s; `bound_micron` where it bounds the
    /// pressure.
    pub fn unusable(&mut self, t: f64, state: ReadingState, bound_micron: Option<f64>) {
        if let Some(open) = self.list.last_mut().filter(|o| o.open && o.state == state) {
            open.end_s = t;
            open.rows += 1;
            open.bound_micron = open.bound_micron.or(bound_micron);
            return;
        }
        let start_s = match self.list.last_mut().filter(|o| o.open) {
            Some(other) => {
                other.open = false;
                other.end_s = t;
                t
            }
            None => self.last_ok_s.unwrap_or(t),
        };
        self.add(Outage {
            state,
            start_s,
            first_row_s: t,
            end_s: t,
            rows: 1,
            bound_micron,
            open: true,
        });
    }

    fn add(&mut self, outage: Outage) {
        if self.list.len() < MAX_OUTAGES {
            self.list.push(outage);
        } else if let Some(last) = self.list.last_mut() {
            last.end_s = outage.end_s;
            last.rows += outage.rows;
            last.open = outage.open;
        }
    }

    /// Every outage in order.
    #[must_use]
    pub fn all(&self) -> &[Outage] {
        &self.list
    }

    /// Typical time between measurements, s: the mean of the histogram bucket that
    /// holds the median.
    #[must_use]
    pub fn interval_s(&self) -> Option<f64> {
        self.intervals.median_s()
    }

    /// Outages long enough to matter: longer than 10 s and five intervals.
    pub fn lasting(&self) -> impl Iterator<Item = &Outage> {
        let shortest = self.shortest_gap_s();
        self.list
            .iter()
            .filter(move |o| o.end_s - o.start_s > shortest)
    }

    /// What counts as missing time, s: longer than 10 s and five times the time between
    /// measurements.
    #[must_use]
    pub fn shortest_gap_s(&self) -> f64 {
        LASTING_S.max(LASTING_INTERVALS * self.interval_s().unwrap_or(0.0))
    }
}

/// Histogram of time steps on a logarithmic scale: a median in constant memory.
#[derive(Debug, Clone)]
struct Intervals {
    counts: Vec<u32>,
    /// Sum of the steps in each bucket, s.
    sums: Vec<f64>,
    total: u32,
}

impl Default for Intervals {
    fn default() -> Self {
        Self {
            counts: vec![0; Self::BUCKETS],
            sums: vec![0.0; Self::BUCKETS],
            total: 0,
        }
    }
}

impl Intervals {
    /// Eight decades from 0.1 ms to a few hours, 12 % wide each (derived).
    const BUCKETS: usize = 160;
    const PER_DECADE: f64 = 20.0;
    const LOWEST_DECADE: f64 = -4.0;

    fn push(&mut self, step_s: f64) {
        let bucket = (step_s.max(1e-4).log10() - Self::LOWEST_DECADE) * Self::PER_DECADE;
        let bucket = (bucket as usize).min(Self::BUCKETS - 1);
        if self.counts[bucket] < u32::MAX {
            self.counts[bucket] += 1;
            self.sums[bucket] += step_s;
        }
        self.total = self.total.saturating_add(1);
    }

    fn median_s(&self) -> Option<f64> {
        let mut seen = 0_u32;
        for (n, sum) in self.counts.iter().zip(&self.sums) {
            seen += n;
            if *n > 0 && seen * 2 >= self.total {
                return Some(sum / f64::from(*n));
            }
        }
        None
    }
}
