//! What some criteria ask for besides target, hold and ceiling, and what was measured.

use vacuum::{AccessSides, FurtherCriteria};

use crate::verdict::Reason;

/// Share of a limit that rounding may take: figures are read in units of their own
/// (derived: a million times the rounding of a double).
const ROUNDING: f64 = 1e-9;

/// One further criterion with what was measured against it; `None` where the record does
/// not show it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum FurtherCriterion {
    /// How long the pump stayed on the system after the target was reached and kept.
    PumpOn {
        /// Least, min.
        least_min: f64,
        /// Until the earliest instant at which it can have been valved off, s.
        on_s: Option<f64>,
    },
    /// How much the pressure rose in the hold, from after equalisation to its highest.
    Rise {
        /// Most, micron.
        most_micron: f64,
        /// Measured, micron; below zero where it fell.
        rose_micron: Option<f64>,
    },
    /// How much the pressure moved at the end of the hold.
    Steady {
        /// Over the last so many minutes.
        last_min: f64,
        /// Most, micron.
        within_micron: f64,
        /// Highest less lowest level in that time, micron.
        moved_micron: Option<f64>,
    },
    /// Whether the hold stayed below the band in which it is to be repeated.
    BelowRepeat {
        /// Where the band begins, micron.
        above_micron: f64,
        /// Highest in the hold, micron.
        highest_micron: Option<f64>,
    },
    /// Rounds before the judged one that reached what they had to, in order.
    EarlierRounds {
        /// How many were asked for.
        asked: usize,
        /// How many did.
        met: usize,
    },
    /// Evacuated from both sides.
    BothSides {
        /// What the job says.
        sides: Option<AccessSides>,
    },
    /// A room warm enough.
    Ambient {
        /// It has to be warmer than this, °C.
        above_c: f64,
        /// What the job says, °C.
        ambient_c: Option<f64>,
    },
}

impl FurtherCriterion {
    /// Everything that is asked for, with nothing measured yet.
    #[must_use]
    pub fn asked(criteria: &FurtherCriteria) -> Vec<Self> {
        let mut all = Vec::new();
        all.extend(criteria.pump_on_min.map(|least_min| Self::PumpOn {
            least_min,
            on_s: None,
        }));
        all.extend(criteria.greatest_rise_micron.map(|most_micron| Self::Rise {
            most_micron,
            rose_micron: None,
        }));
        all.extend(criteria.steady.map(|steady| Self::Steady {
            last_min: steady.last_min,
            within_micron: steady.within_micron,
            moved_micron: None,
        }));
        all.extend(
            criteria
                .repeat_above_micron
                .map(|above_micron| Self::BelowRepeat {
                    above_micron,
                    highest_micron: None,
                }),
        );
        let asked = criteria.earlier_rounds.len();
        all.extend((asked > 0).then_some(Self::EarlierRounds { asked, met: 0 }));
        all.extend(
            criteria
                .both_sides
                .then_some(Self::BothSides { sides: None }),
        );
        all.extend(criteria.ambient_above_c.map(|above_c| Self::Ambient {
            above_c,
            ambient_c: None,
        }));
        all
    }

    /// Whether it is met; `None` where the record does not show it.
    #[must_use]
    pub fn is_met(&self) -> Option<bool> {
        let most = |value: Option<f64>, limit: f64| Some(value? <= limit * (1.0 + ROUNDING));
        match *self {
            Self::PumpOn { least_min, on_s } => Some(on_s? >= 60.0 * least_min * (1.0 - ROUNDING)),
            Self::Rise {
                most_micron,
                rose_micron,
            } => most(rose_micron, most_micron),
            Self::Steady {
                within_micron,
                moved_micron,
                ..
            } => most(moved_micron, within_micron),
            Self::BelowRepeat {
                above_micron,
                highest_micron,
            } => most(highest_micron, above_micron),
            Self::EarlierRounds { asked, met } => Some(met >= asked),
            Self::BothSides { sides } => Some(sides? == AccessSides::Both),
            Self::Ambient { above_c, ambient_c } => Some(ambient_c? > above_c),
        }
    }

    /// Why the verdict is no pass where it is not met, or not shown.
    #[must_use]
    pub const fn reason(&self) -> Reason {
        match self {
            Self::PumpOn { .. } => Reason::PumpOnTooShort,
            Self::Rise { .. } => Reason::RoseTooMuch,
            Self::Steady { .. } => Reason::NotSteady,
            Self::BelowRepeat { .. } => Reason::RepeatAsked,
            Self::EarlierRounds { .. } => Reason::RoundsMissing,
            Self::BothSides { .. } => Reason::SidesNotShown,
            Self::Ambient { .. } => Reason::AmbientNotShown,
        }
    }

    /// True where one that is broken speaks against the system and not against the way it
    /// was tested: then the verdict is a fail.
    #[must_use]
    pub const fn fails(&self) -> bool {
        matches!(self, Self::Rise { .. } | Self::Steady { .. })
    }

    /// The word in JSON.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::PumpOn { .. } => "pump_on",
            Self::Rise { .. } => "greatest_rise",
            Self::Steady { .. } => "steady",
            Self::BelowRepeat { .. } => "repeat_above",
            Self::EarlierRounds { .. } => "earlier_rounds",
            Self::BothSides { .. } => "both_sides",
            Self::Ambient { .. } => "ambient",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_is_met_up_to_its_border_and_unknown_is_not_met() {
        use FurtherCriterion as F;
        let pump = |on_s| F::PumpOn {
            least_min: 15.0,
            on_s,
        };
        let rise = |rose_micron| F::Rise {
            most_micron: 100.0,
            rose_micron,
        };
        let steady = |moved_micron| F::Steady {
            last_min: 5.0,
            within_micron: 10.0,
            moved_micron,
        };
        let band = |highest_micron| F::BelowRepeat {
            above_micron: 500.0,
            highest_micron,
        };
        let rounds = |met| F::EarlierRounds { asked: 2, met };
        let sides = |sides| F::BothSides { sides };
        // UFGS 15182 §3.3.3: above 2 °C
        let room = |ambient_c| F::Ambient {
            above_c: 2.0,
            ambient_c,
        };
        for (criterion, wanted) in [
            (pump(Some(900.0)), Some(true)),
            (pump(Some(899.0)), Some(false)),
            (pump(None), None),
            (rise(Some(100.0)), Some(true)),
            (rise(Some(101.0)), Some(false)),
            (rise(Some(-3.0)), Some(true)),
            (rise(None), None),
            (steady(Some(10.0)), Some(true)),
            (steady(Some(10.5)), Some(false)),
            (band(Some(499.0)), Some(true)),
            (band(Some(501.0)), Some(false)),
            (rounds(2), Some(true)),
            (rounds(1), Some(false)),
            (sides(Some(AccessSides::Both)), Some(true)),
            (sides(Some(AccessSides::One)), Some(false)),
            (sides(None), None),
            (room(Some(2.1)), Some(true)),
            (room(Some(2.0)), Some(false)),
            (room(None), None),
        ] {
            assert_eq!(criterion.is_met(), wanted, "{criterion:?}");
        }
    }
}
