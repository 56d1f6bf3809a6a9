//! How long the pump ran in a run.

use vacuum::{Mark, MarkKind};

/// How long the pump ran, s: from the first row of the record, or from where the valve to the
/// pump was opened first, to where the pump was stopped, or to the last row; where it was
/// opened again after that, from there on. `span_s` are the times of the first and the last
/// row; `marks` are those that count, in order.
///
/// ```
/// use rig_history::pumped_s;
/// use vacuum::{Mark, MarkKind};
///
/// let mark = |elapsed_s, kind| Mark { elapsed_s, kind, note: String::new() };
/// let marks = [
///     mark(30.0, MarkKind::ValveOpened),
///     mark(900.0, MarkKind::PumpSideShut),
///     mark(910.0, MarkKind::PumpStopped),
/// ];
/// assert_eq!(pumped_s((0.0, 1_800.0), &marks), 880.0);
/// assert_eq!(pumped_s((0.0, 1_800.0), &[]), 1_800.0);
/// ```
#[must_use]
pub fn pumped_s(span_s: (f64, f64), marks: &[Mark]) -> f64 {
    let (mut total, mut on_since) = (0.0, Some(span_s.0));
    let mut seen = false;
    for mark in marks {
        match mark.kind {
            // before it the record was waiting for the pump
            MarkKind::ValveOpened if !seen => {
                on_since = Some(mark.elapsed_s);
                seen = true;
            }
            MarkKind::ValveOpened => on_since = on_since.or(Some(mark.elapsed_s)),
            MarkKind::PumpStopped => {
                seen = true;
                total += on_since.take().map_or(0.0, |on| mark.elapsed_s - on);
            }
            MarkKind::PumpSideShut => seen = true,
            _ => {}
        }
    }
    let rest = on_since.map_or(0.0, |on| span_s.1 - on);
    (total + rest.max(0.0)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pump_that_is_stopped_and_used_again_counts_twice() {
        use MarkKind::{PumpSideShut, PumpStopped, ValveOpened};
        let marks: Vec<Mark> = [
            (10.0, ValveOpened),
            (100.0, PumpSideShut),
            (110.0, PumpStopped),
            (300.0, ValveOpened),
            (350.0, ValveOpened),
            (400.0, PumpSideShut),
        ]
        .map(|(elapsed_s, kind)| Mark {
            elapsed_s,
            kind,
            note: String::new(),
        })
        .into();
        assert_eq!(pumped_s((0.0, 500.0), &marks), 100.0 + 200.0);
        assert_eq!(pumped_s((0.0, 500.0), &marks[2..3]), 110.0);
        // opened after it was running for a while: no earlier mark says that it was not
        assert_eq!(pumped_s((0.0, 500.0), &marks[3..4]), 200.0);
    }
}
