//! What of a rise in the hold of a system is the rig's own.

use findings::Estimate;
use vacuum::TestKind;

use crate::facts::{Note, NoteKind, Run, same_name};

/// What the hoses themselves leak into the hold of a system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigShare {
    /// When the blank-off test was, s since 1970-01-01 UTC.
    pub tested_s: f64,
    /// The leak that the hold shows, micron/min.
    pub of_micron_per_min: Estimate,
    /// What of it the rig makes, micron/min. Where a volume is not known, `low` is 0 and
    /// `value` and `high` are the most that it can be.
    pub rig_micron_per_min: Estimate,
    /// Whether both volumes are known.
    pub volumes_known: bool,
    /// True where the hold shows no more than the rig alone makes.
    pub explains_all: bool,
}

impl RigShare {
    /// What is left for the system, micron/min, with both uncertainties (independent errors
    /// add in squares: JCGM 100:2008 §5.1); each 0 or more.
    ///
    /// ```
    /// use findings::Estimate;
    /// use rig_history::RigShare;
    ///
    /// let share = RigShare {
    ///     tested_s: 0.0,
    ///     of_micron_per_min: Estimate { value: 3.1, low: 2.8, high: 3.4 },
    ///     rig_micron_per_min: Estimate { value: 0.4, low: 0.0, high: 0.8 },
    ///     volumes_known: true,
    ///     explains_all: false,
    /// };
    /// let left = share.left_micron_per_min();
    /// assert!((left.value - 2.7).abs() < 1e-12 && (left.low - 2.2).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn left_micron_per_min(&self) -> Estimate {
        let (of, rig) = (self.of_micron_per_min, self.rig_micron_per_min);
        if !self.volumes_known {
            // the rig may make nothing of it, or the most that it can
            return Estimate {
                value: (of.value - 0.5 * rig.high).max(0.0),
                low: (of.low - rig.high).max(0.0),
                high: of.high,
            };
        }
        let value = of.value - rig.value;
        let below = (of.value - of.low).hypot(rig.high - rig.value);
        let above = (of.high - of.value).hypot(rig.value - rig.low);
        Estimate {
            value: value.max(0.0),
            low: (value - below).max(0.0),
            high: (value + above).max(0.0),
        }
    }
}

/// The share of this hose set in the leak that a hold shows, by its newest blank-off test
/// before `began_s` and since its last repair. In the rig alone the leak Q makes a rise of
/// Q/V_rig, in the system Q/(V_rig + V_system). `None` without such a test.
#[must_use]
pub fn share(
    runs: &[Run],
    notes: &[Note],
    hose: &str,
    began_s: f64,
    (leak, system_l): (Estimate, Option<f64>),
) -> Option<RigShare> {
    let repaired_s = notes
        .iter()
        .filter(|n| n.kind == NoteKind::Repair && n.at_s < began_s && same_name(&n.name, hose))
        .map(|n| n.at_s)
        .fold(f64::NEG_INFINITY, f64::max);
    let tested = runs
        .iter()
        .filter(|r| r.kind == TestKind::BlankOff && Run::has(r.hose.as_ref(), hose))
        .filter(|r| r.began_s < began_s && r.began_s >= repaired_s)
        .filter(|r| r.leak_micron_per_min.is_some())
        .max_by(|a, b| a.began_s.total_cmp(&b.began_s))?;
    let alone = tested.leak_micron_per_min?;
    let volumes = tested.volume_l.zip(system_l);
    let rig = match volumes {
        Some((rig_l, system_l)) => alone.scaled(rig_l / (rig_l + system_l)),
        None => Estimate {
            low: 0.0,
            value: alone.high,
            high: alone.high,
        },
    };
    Some(RigShare {
        tested_s: tested.began_s,
        of_micron_per_min: leak,
        rig_micron_per_min: rig,
        volumes_known: volumes.is_some(),
        explains_all: volumes.is_some() && leak.value <= rig.high,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn estimate(value: f64, half: f64) -> Estimate {
        Estimate {
            value,
            low: value - half,
            high: value + half,
        }
    }

    fn test(began_s: f64, leak: f64, volume_l: Option<f64>) -> Run {
        Run {
            kind: TestKind::BlankOff,
            hose: Some("H".into()),
            leak_micron_per_min: Some(estimate(leak, 0.1 * leak)),
            volume_l,
            ..Run::began(began_s)
        }
    }

    /// The same flow into 0.2 L and into 0.2 L + 2.8 L: 6 micron/min become 0.4.
    #[test]
    fn the_same_flow_makes_less_of_a_rise_in_more_volume() {
        let runs = [test(1.0, 60.0, Some(0.2)), test(2.0, 6.0, Some(0.2))];
        let found = share(&runs, &[], "h", 9.0, (estimate(3.1, 0.3), Some(2.8)));
        let found = found.expect("a test before the hold");
        assert!((found.rig_micron_per_min.value - 0.4).abs() < 1e-12);
        assert!((found.left_micron_per_min().value - 2.7).abs() < 1e-12);
        assert!(!found.explains_all);
        let small = share(&runs, &[], "h", 9.0, (estimate(0.42, 0.2), Some(2.8)));
        assert!(small.is_some_and(|s| s.explains_all));
    }

    #[test]
    fn without_volumes_only_the_most_is_known() {
        let runs = [test(1.0, 6.0, None)];
        let found = share(&runs, &[], "H", 9.0, (estimate(3.1, 0.3), Some(2.8)));
        let found = found.expect("a test before the hold");
        assert!(!found.volumes_known && !found.explains_all);
        assert!((found.rig_micron_per_min.high - 6.6).abs() < 1e-12);
        assert_eq!(found.left_micron_per_min().low, 0.0);
    }

    #[test]
    fn a_test_before_a_repair_or_after_the_hold_does_not_count() {
        let runs = [test(1.0, 6.0, Some(0.2))];
        let leak = (estimate(3.1, 0.3), Some(2.8));
        assert_eq!(share(&runs, &[], "H", 0.5, leak), None);
        let repair = [Note::of(2.0, "H", NoteKind::Repair, "gasket")];
        assert_eq!(share(&runs, &repair, "H", 9.0, leak), None);
    }
}
