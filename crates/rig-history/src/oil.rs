//! How long a pump has run on its oil.

use crate::facts::{Note, NoteKind, Run, same_name};

/// How long a pump has run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OilHours {
    /// Hours of pumping since, 0 or more.
    pub hours: f64,
    /// When the oil was changed, s since 1970-01-01 UTC; `None` where nobody noted it: then
    /// the hours are those of all records.
    pub since_s: Option<f64>,
    /// Runs that count.
    pub runs: usize,
    /// Runs since then that do not show how long the pump ran.
    pub unknown: usize,
}

/// How long `pump` ran on the oil that was in it at `until_s`, by the runs that began before.
/// A run that began before the oil was changed does not count for the new oil.
#[must_use]
pub fn oil_hours(runs: &[Run], notes: &[Note], pump: &str, until_s: f64) -> OilHours {
    let since_s = changed_s(notes, pump, until_s);
    let of_oil = runs.iter().filter(|run| {
        Run::has(run.pump.as_ref(), pump)
            && run.began_s < until_s
            && since_s.is_none_or(|since| run.began_s >= since)
    });
    let mut found = OilHours {
        hours: 0.0,
        since_s,
        runs: 0,
        unknown: 0,
    };
    for run in of_oil {
        match run.pumped_h {
            Some(hours) => {
                found.hours += hours;
                found.runs += 1;
            }
            None => found.unknown += 1,
        }
    }
    found
}

/// When the oil of a pump was changed last before `until_s`.
pub(crate) fn changed_s(notes: &[Note], pump: &str, until_s: f64) -> Option<f64> {
    let changes = notes.iter().filter(|note| {
        note.kind == NoteKind::OilChange && same_name(&note.name, pump) && note.at_s < until_s
    });
    changes.map(|note| note.at_s).reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(began_s: f64, pump: &str, pumped_h: Option<f64>) -> Run {
        Run {
            pump: Some(pump.into()),
            pumped_h,
            ..Run::began(began_s)
        }
    }

    #[test]
    fn only_the_hours_of_this_pump_on_this_oil_count() {
        let runs = [
            run(10.0, "A", Some(3.0)),
            run(20.0, "B", Some(5.0)),
            run(30.0, "a", Some(0.25)),
            run(40.0, "A", None),
            run(50.0, "A", Some(1.0)),
        ];
        let notes = [
            Note::of(5.0, "A", NoteKind::OilChange, ""),
            Note::of(25.0, "A", NoteKind::OilChange, ""),
            Note::of(35.0, "A", NoteKind::Repair, ""),
            Note::of(45.0, "B", NoteKind::OilChange, ""),
        ];
        let now = oil_hours(&runs, &notes, "A", f64::INFINITY);
        assert_eq!((now.hours, now.runs, now.unknown), (1.25, 2, 1));
        assert_eq!(now.since_s, Some(25.0));
        // as it was in the middle
        let then = oil_hours(&runs, &notes, "A", 22.0);
        assert_eq!((then.hours, then.since_s), (3.0, Some(5.0)));
        let never = oil_hours(&runs, &[], "A", f64::INFINITY);
        assert_eq!((never.hours, never.since_s), (4.25, None));
    }
}
