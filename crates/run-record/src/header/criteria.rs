//! The table `[criteria]` of `job.toml`.

use std::path::Path;

use serde::{Deserialize, Serialize};
use vacuum::{Criteria, FurtherCriteria, RoundCriteria, Steady};

use super::text::{Text, Unknown, text};
use crate::error::{Problem, RecordError};

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct WireCriteria {
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    target_micron: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hold_min: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ceiling_micron: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pump_on_min: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    greatest_rise_micron: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    steady_last_min: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    steady_within_micron: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    repeat_above_micron: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    both_sides: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ambient_above_c: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    earlier_rounds: Option<Vec<WireRound>>,
    #[serde(flatten, skip_serializing)]
    pub(super) unknown: Unknown,
}

/// A round before the judged one.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WireRound {
    target_micron: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    hold_min: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ceiling_micron: Option<f64>,
}

impl WireCriteria {
    /// A shipped profile by name, or numbers over the common practice. What is asked for
    /// besides comes from the profile too, but where target, hold and ceiling all stand in
    /// the file: then nothing is added, for so did files before there was anything to add.
    pub(super) fn into_criteria(self, path: &Path) -> Result<Criteria, RecordError> {
        let numbers = [self.target_micron, self.hold_min, self.ceiling_micron];
        let further = self.further(path)?;
        let name = text(self.name);
        let own_numbers = numbers.iter().any(Option::is_some) || further.is_some();
        let is_whole = numbers.iter().all(Option::is_some);
        let shipped = name.as_deref().and_then(Criteria::named);
        let shipped_name = shipped.as_ref().map(|p| p.name.clone());
        let base = match (shipped, own_numbers, &name) {
            (Some(profile), ..) => profile,
            (None, false, Some(n)) => {
                return Err(RecordError::new(
                    path,
                    Problem::JobValue {
                        key: "criteria.name",
                        value: format!("\"{n}\""),
                        wanted: "give a shipped profile (common practice, facilities one hour, \
                                 both sides three times, two thousand twice, rig half hour) or \
                                 target_micron, hold_min and ceiling_micron",
                    },
                ));
            }
            (None, ..) => Criteria::common_practice(),
        };
        let target_micron = self.target_micron.unwrap_or(base.target_micron);
        let further = match (further, is_whole) {
            (Some(further), _) => further,
            (None, true) => FurtherCriteria::default(),
            (None, false) => base.further.clone(),
        };
        let changed = own_numbers
            && (
                self.target_micron.unwrap_or(base.target_micron),
                self.hold_min.unwrap_or(base.hold_min),
                self.ceiling_micron.unwrap_or(base.ceiling_micron),
                &further,
            ) != (
                base.target_micron,
                base.hold_min,
                base.ceiling_micron,
                &base.further,
            );
        let own = |given: Option<String>, kept: String, otherwise: &str| {
            given.unwrap_or_else(|| if changed { otherwise.into() } else { kept })
        };
        // as the profile is called today, whatever its case and former name
        let name = match shipped_name {
            Some(today) if !changed => Some(today),
            _ => name,
        };
        Criteria {
            name: own(name, base.name, "job file"),
            source: Criteria::source_today(own(
                text(self.source),
                base.source,
                "as given in the job file",
            )),
            target_micron,
            hold_min: self.hold_min.unwrap_or(base.hold_min),
            ceiling_micron: self
                .ceiling_micron
                .unwrap_or(base.ceiling_micron.max(target_micron)),
            further,
        }
        .checked()
        .map_err(|e| {
            RecordError::new(
                path,
                Problem::Toml {
                    row: None,
                    message: format!("[criteria]: {e}"),
                },
            )
        })
    }

    /// What is asked for besides; `None` where the file says nothing of it.
    fn further(&self, path: &Path) -> Result<Option<FurtherCriteria>, RecordError> {
        let steady = match (self.steady_last_min, self.steady_within_micron) {
            (Some(last_min), Some(within_micron)) => Some(Steady {
                last_min,
                within_micron,
            }),
            (None, None) => None,
            _ => {
                let message = "[criteria]: steady_last_min and steady_within_micron belong \
                               together; give both or neither";
                return Err(RecordError::new(
                    path,
                    Problem::Toml {
                        row: None,
                        message: message.into(),
                    },
                ));
            }
        };
        let rounds = self.earlier_rounds.iter().flatten();
        let further = FurtherCriteria {
            pump_on_min: self.pump_on_min,
            greatest_rise_micron: self.greatest_rise_micron,
            steady,
            repeat_above_micron: self.repeat_above_micron,
            earlier_rounds: rounds.map(RoundCriteria::from).collect(),
            both_sides: self.both_sides.unwrap_or(false),
            ambient_above_c: self.ambient_above_c,
        };
        let said = self.both_sides.is_some() || self.earlier_rounds.is_some();
        Ok((said || !further.is_nothing()).then_some(further))
    }
}

impl From<&WireRound> for RoundCriteria {
    fn from(round: &WireRound) -> Self {
        Self {
            target_micron: round.target_micron,
            hold_min: round.hold_min,
            ceiling_micron: round.ceiling_micron,
        }
    }
}

impl From<&RoundCriteria> for WireRound {
    fn from(round: &RoundCriteria) -> Self {
        Self {
            target_micron: round.target_micron,
            hold_min: round.hold_min,
            ceiling_micron: round.ceiling_micron,
        }
    }
}

impl From<&Criteria> for WireCriteria {
    fn from(criteria: &Criteria) -> Self {
        let further = &criteria.further;
        let rounds = &further.earlier_rounds;
        Self {
            name: Some(Text(criteria.name.clone())),
            source: Some(Text(criteria.source.clone())),
            target_micron: Some(criteria.target_micron),
            hold_min: Some(criteria.hold_min),
            ceiling_micron: Some(criteria.ceiling_micron),
            pump_on_min: further.pump_on_min,
            greatest_rise_micron: further.greatest_rise_micron,
            steady_last_min: further.steady.map(|s| s.last_min),
            steady_within_micron: further.steady.map(|s| s.within_micron),
            repeat_above_micron: further.repeat_above_micron,
            both_sides: further.both_sides.then_some(true),
            ambient_above_c: further.ambient_above_c,
            earlier_rounds: (!rounds.is_empty())
                .then(|| rounds.iter().map(WireRound::from).collect()),
            unknown: Unknown::new(),
        }
    }
}
