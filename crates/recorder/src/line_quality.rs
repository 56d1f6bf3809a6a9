//! How well the gauge's lines arrive: what was unreadable, lost on the way, sent
//! twice; in words for the screen and for the end of a run.

use std::time::{Duration, Instant};

use sensor_reader::SequenceBreak;

/// Losses are told one by one up to so many; then once in [`SELDOM`].
const TOLD_AT_ONCE: u32 = 3;
const SELDOM: Duration = Duration::from_secs(60);
/// A gauge that has had no new value for this long is told of.
const BUSY_FOR: Duration = Duration::from_secs(5);

/// Counts of one run.
#[derive(Debug, Default)]
pub struct LineQuality {
    /// Lines that were not understood.
    pub unreadable: u64,
    /// Lines the gauge counted and that did not arrive whole.
    pub missing: u64,
    /// Lines that came with the same count again.
    pub repeated: u64,
    /// How often the gauge was restarted.
    pub restarts: u64,
    /// Lines saying that there is no new value yet.
    pub busy: u64,
    /// Lines missing and not yet told, and how often they were told.
    untold: u64,
    told: u32,
    told_at: Option<Instant>,
    /// Since when the gauge is busy, and whether that was told.
    busy_since: Option<(Instant, bool)>,
}

impl LineQuality {
    /// Counts a break in the gauge's own numbering; gives what to say now.
    pub fn broken(&mut self, at: Instant, broken: SequenceBreak) -> Option<String> {
        match broken {
            SequenceBreak::Missing { lines } => {
                self.missing += u64::from(lines);
                self.untold += u64::from(lines);
                let seldom = self
                    .told_at
                    .is_some_and(|told| at.saturating_duration_since(told) < SELDOM);
                if self.told >= TOLD_AT_ONCE && seldom {
                    return None;
                }
                self.told += 1;
                self.told_at = Some(at);
                Some(format!(
                    "the gauge's count shows {} lost on the way; check cable, plugs and speed",
                    lines_of(std::mem::take(&mut self.untold))
                ))
            }
            SequenceBreak::Restarted => {
                self.restarts += 1;
                Some("the gauge was restarted: its count began anew; check its supply".into())
            }
            SequenceBreak::Repeated => {
                self.repeated += 1;
                None
            }
            _ => None,
        }
    }

    /// Counts a busy line; true when the gauge has been busy for so long that it
    /// should be told and the record owes a gap.
    pub fn busy(&mut self, at: Instant) -> Option<Instant> {
        self.busy += 1;
        let (since, told) = self.busy_since.get_or_insert((at, false));
        let long = at.saturating_duration_since(*since) >= BUSY_FOR;
        if *told || !long {
            return None;
        }
        *told = true;
        Some(*since)
    }

    /// A reading came.
    pub fn reading(&mut self) {
        self.busy_since = None;
    }

    /// For the closing line, behind the number of readings; empty if all is well.
    pub fn closing(&self) -> String {
        let mut text = String::new();
        if self.unreadable > 0 {
            text += &match self.unreadable {
                1 => ", 1 unreadable line left out".to_owned(),
                n => format!(", {n} unreadable lines left out"),
            };
        }
        if self.missing > 0 {
            text += &format!(
                ", {} lost on the way by the gauge's own count (unreadable ones included)",
                lines_of(self.missing)
            );
        }
        if self.repeated > 0 {
            text += &match self.repeated {
                1 => ", 1 line came twice".to_owned(),
                n => format!(", {n} lines came twice"),
            };
        }
        if self.restarts > 0 {
            text += &match self.restarts {
                1 => ", the gauge was restarted once".to_owned(),
                n => format!(", the gauge was restarted {n} times"),
            };
        }
        text
    }
}

fn lines_of(count: u64) -> String {
    if count == 1 {
        "1 line".into()
    } else {
        format!("{count} lines")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn losses_are_told_a_few_times_and_then_seldom_and_none_is_forgotten() {
        let mut quality = LineQuality::default();
        let start = Instant::now();
        let second = |n| start + Duration::from_secs(n);
        let lost = |lines| SequenceBreak::Missing { lines };
        let said: Vec<String> = (0..200)
            .filter_map(|n| quality.broken(second(n), lost(2)))
            .collect();
        assert_eq!(said.len(), 3 + 3, "{said:#?}");
        assert!(said[0].contains("shows 2 lines lost"), "{}", said[0]);
        assert!(said[3].contains("shows 120 lines lost"), "{}", said[3]);
        assert_eq!(quality.missing, 400);
        assert!(quality.closing().contains("400 lines lost on the way"));
    }

    #[test]
    fn a_gauge_busy_for_long_is_told_once() {
        let mut quality = LineQuality::default();
        let start = Instant::now();
        let told: Vec<u64> = (0..30)
            .filter(|n| quality.busy(start + Duration::from_secs(*n)).is_some())
            .collect();
        assert_eq!(told, [5]);
        quality.reading();
        assert_eq!(quality.busy(start + Duration::from_secs(40)), None);
        assert_eq!(
            quality.busy(start + Duration::from_secs(46)),
            Some(start + Duration::from_secs(40))
        );
        assert_eq!(quality.closing(), "", "busy lines are no fault");
    }

    #[test]
    fn the_closing_line_counts_in_words() {
        let mut quality = LineQuality {
            unreadable: 1,
            ..LineQuality::default()
        };
        let now = Instant::now();
        assert!(quality.broken(now, SequenceBreak::Repeated).is_none());
        assert!(quality.broken(now, SequenceBreak::Restarted).is_some());
        assert!(
            quality
                .broken(now, SequenceBreak::Missing { lines: 1 })
                .is_some()
        );
        assert_eq!(
            quality.closing(),
            ", 1 unreadable line left out, 1 line lost on the way by the gauge's own count \
             (unreadable ones included), 1 line came twice, the gauge was restarted once"
        );
    }
}
