//! When the target was reached: what averaging would lose.

/// Stretches remembered one by one (derived: one in every minute and a half of a day).
const MOST: usize = 1_024;

/// Readings, and the time that they span, s, from which they are the pressure and no burst
/// (common practice, no source; a second less what clocks are off).
const FEWEST_READINGS: u64 = 2;
const SHORTEST_S: f64 = 0.95;

/// A stretch of readings at or below the target.
#[derive(Debug, Clone, Copy, PartialEq)]
struct AtTarget {
    /// Its first reading, s.
    start_s: f64,
    /// Its last reading so far, s.
    end_s: f64,
    readings: u64,
}

impl AtTarget {
    /// One reading may be a burst: two that span a second, or any two where the
    /// gauge speaks less often, are the pressure.
    fn counts(&self) -> bool {
        self.readings >= FEWEST_READINGS && self.end_s - self.start_s > SHORTEST_S
    }
}

/// Collects the stretches at or below the target, reading by reading.
///
/// ```
/// use run_memory::TargetStretches;
///
/// let mut stretches = TargetStretches::default();
/// for (t, micron) in [(0.0, 900.0), (1.0, 480.0), (2.0, 700.0), (3.0, 490.0), (4.0, 470.0)] {
///     stretches.push(t, micron, 500.0);
/// }
/// // one reading may be a burst, two are the pressure
/// assert_eq!(stretches.reached_between(0.0, 10.0), Some(3.0));
/// ```
#[derive(Debug, Clone, Default)]
pub struct TargetStretches {
    done: Vec<AtTarget>,
    open: Option<AtTarget>,
}

impl TargetStretches {
    /// Takes the next measurement: `micron` at `t` s.
    pub fn push(&mut self, t: f64, micron: f64, target_micron: f64) {
        if micron <= target_micron {
            let fresh = AtTarget {
                start_s: t,
                end_s: t,
                readings: 0,
            };
            let open = self.open.get_or_insert(fresh);
            open.end_s = t;
            open.readings += 1;
        } else if let Some(closed) = self.open.take().filter(AtTarget::counts)
            && self.done.len() < MOST
        {
            self.done.push(closed);
        }
    }

    /// When the target was first reached between two times, s; `None` if it was not.
    #[must_use]
    pub fn reached_between(&self, from_s: f64, to_s: f64) -> Option<f64> {
        self.done
            .iter()
            .chain(self.open.as_ref().filter(|o| o.counts()))
            .find(|a| a.end_s >= from_s && a.start_s <= to_s)
            .map(|a| a.start_s.max(from_s))
    }
}
