//! What some texts ask for besides target, hold and ceiling.

use super::error::{CriteriaError, above_zero};

/// What is asked for besides target, hold and ceiling. Each is `None`, empty or false where
/// nobody asks for it; one that is asked for and cannot be seen in the record is not met.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FurtherCriteria {
    /// The pump stays on the system at least so long after the target was reached and
    /// kept, minutes, above 0.
    pub pump_on_min: Option<f64>,
    /// Most that the pressure may rise in the hold, counted from the pressure after
    /// equalisation, micron, above 0.
    pub greatest_rise_micron: Option<f64>,
    /// The end of the hold is steady.
    pub steady: Option<Steady>,
    /// A hold that goes above this pressure and stays below the ceiling neither passes nor
    /// fails: evacuation and hold are to be repeated. Micron, above 0 and below the ceiling.
    pub repeat_above_micron: Option<f64>,
    /// What the rounds before the judged one have to reach, in their order; nine at most.
    pub earlier_rounds: Vec<RoundCriteria>,
    /// The system is evacuated from both sides, as the job says.
    pub both_sides: bool,
    /// The room is warmer than this, °C, −60 to 60, as the job says.
    pub ambient_above_c: Option<f64>,
}

/// A steady end of a hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steady {
    /// Over the last so many minutes, above 0 and not longer than the hold.
    pub last_min: f64,
    /// The pressure moves within so many micron, above 0; less than the gauge's noise and
    /// steps cannot be shown.
    pub within_micron: f64,
}

/// What a round before the judged one has to reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundCriteria {
    /// Pull-down target, micron, above 0.
    pub target_micron: f64,
    /// Shortest hold, minutes, above 0; `None` where none is asked for.
    pub hold_min: Option<f64>,
    /// Pressure that its hold must not exceed, micron, at least its target.
    pub ceiling_micron: Option<f64>,
}

/// Most rounds that may be asked for before the judged one.
const MOST_ROUNDS: usize = 9;

/// Temperatures that an ambient may be asked to exceed, °C.
const AMBIENT_C: std::ops::RangeInclusive<f64> = -60.0..=60.0;

impl FurtherCriteria {
    /// True where nothing is asked for besides.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// Checks every number, of a hold of so many minutes under such a ceiling.
    pub(super) fn check(&self, hold_min: f64, ceiling_micron: f64) -> Result<(), CriteriaError> {
        let error = |what, value, wanted| {
            Err(CriteriaError {
                what,
                value,
                wanted,
            })
        };
        if let Some(value) = self.pump_on_min {
            above_zero("a time with the pump on (minutes)", value)?;
        }
        if let Some(value) = self.greatest_rise_micron {
            above_zero("a greatest rise (micron)", value)?;
        }
        if let Some(steady) = self.steady {
            above_zero("a steady time (minutes)", steady.last_min)?;
            above_zero("a steady range (micron)", steady.within_micron)?;
            if steady.last_min > hold_min {
                let wanted = "it must not be longer than the hold";
                return error("a steady time (minutes)", steady.last_min, wanted);
            }
        }
        if let Some(value) = self.repeat_above_micron {
            above_zero("a limit above which to repeat (micron)", value)?;
            if value >= ceiling_micron {
                let wanted = "it must lie below the ceiling";
                return error("a limit above which to repeat (micron)", value, wanted);
            }
        }
        if let Some(value) = self.ambient_above_c
            && !AMBIENT_C.contains(&value)
        {
            return error("an ambient (°C)", value, "it must lie between -60 and 60");
        }
        if self.earlier_rounds.len() > MOST_ROUNDS {
            #[expect(clippy::cast_precision_loss, reason = "a handful of rounds")]
            let count = self.earlier_rounds.len() as f64;
            return error("a number of earlier rounds", count, "nine are the most");
        }
        self.earlier_rounds
            .iter()
            .try_for_each(RoundCriteria::check)
    }
}

impl RoundCriteria {
    /// A round that has to reach a target, and nothing else.
    #[must_use]
    pub const fn to(target_micron: f64) -> Self {
        Self {
            target_micron,
            hold_min: None,
            ceiling_micron: None,
        }
    }

    fn check(&self) -> Result<(), CriteriaError> {
        above_zero(
            "the target of an earlier round (micron)",
            self.target_micron,
        )?;
        if let Some(value) = self.hold_min {
            above_zero("the hold of an earlier round (minutes)", value)?;
        }
        if let Some(value) = self.ceiling_micron {
            let what = "the ceiling of an earlier round (micron)";
            above_zero(what, value)?;
            if value < self.target_micron {
                let wanted = "it must not lie below the target";
                return Err(CriteriaError {
                    what,
                    value,
                    wanted,
                });
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Criteria;

    #[test]
    fn refuses_what_cannot_be_judged() {
        let nothing = FurtherCriteria::default;
        let steady = |last_min, within_micron| FurtherCriteria {
            steady: Some(Steady {
                last_min,
                within_micron,
            }),
            ..nothing()
        };
        let round = |round| FurtherCriteria {
            earlier_rounds: vec![round],
            ..nothing()
        };
        let repeat = |at| FurtherCriteria {
            repeat_above_micron: Some(at),
            ..nothing()
        };
        let rounds = |count| FurtherCriteria {
            earlier_rounds: vec![RoundCriteria::to(1_500.0); count],
            ..nothing()
        };
        // common practice: a hold of 10 minutes, a ceiling of 500 micron
        let fine = [steady(10.0, 5.0), repeat(499.0), rounds(9), nothing()];
        for further in fine {
            let criteria = Criteria {
                further,
                ..Criteria::common_practice()
            };
            assert!(criteria.clone().checked().is_ok(), "{criteria:?}");
        }
        let wrong = [
            (steady(10.1, 5.0), "a steady time"),
            (steady(5.0, 0.0), "a steady range"),
            (repeat(500.0), "a limit above which to repeat"),
            (repeat(f64::NAN), "a limit above which to repeat"),
            (rounds(10), "a number of earlier rounds (10)"),
            (round(RoundCriteria::to(0.0)), "the target of an earlier"),
            (
                round(RoundCriteria {
                    ceiling_micron: Some(299.0),
                    ..RoundCriteria::to(300.0)
                }),
                "the ceiling of an earlier round",
            ),
            (
                FurtherCriteria {
                    ambient_above_c: Some(300.0),
                    ..nothing()
                },
                "an ambient",
            ),
            (
                FurtherCriteria {
                    pump_on_min: Some(-1.0),
                    ..nothing()
                },
                "a time with the pump on",
            ),
            (
                FurtherCriteria {
                    greatest_rise_micron: Some(f64::INFINITY),
                    ..nothing()
                },
                "a greatest rise",
            ),
        ];
        for (further, part) in wrong {
            let criteria = Criteria {
                further,
                ..Criteria::common_practice()
            };
            let part = part.replace(" (10)", " of 10");
            let said = criteria.checked().expect_err(&part).to_string();
            assert!(said.starts_with(&part), "{said}");
        }
    }
}
