//! The table `[criteria]` of `job.toml`.

use std::path::Path;

use serde::{Deserialize, Serialize};
use vacuum::Criteria;

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
    #[serde(flatten, skip_serializing)]
    pub(super) unknown: Unknown,
}

impl WireCriteria {
    /// A shipped profile by name, or numbers over the common practice.
    pub(super) fn into_criteria(self, path: &Path) -> Result<Criteria, RecordError> {
        let name = text(self.name);
        let own_numbers = self.target_micron.is_some()
            || self.hold_min.is_some()
            || self.ceiling_micron.is_some();
        let shipped = name.as_ref().and_then(|n| {
            Criteria::profiles()
                .into_iter()
                .find(|p| p.name.eq_ignore_ascii_case(n.trim()))
        });
        let base = match (shipped, own_numbers, &name) {
            (Some(profile), ..) => profile,
            (None, false, Some(n)) => {
                return Err(RecordError::new(
                    path,
                    Problem::JobValue {
                        key: "criteria.name",
                        value: format!("\"{n}\""),
                        wanted: "give a shipped profile (common practice, facilities one hour, \
                                 half hour) or target_micron, hold_min and ceiling_micron",
                    },
                ));
            }
            (None, ..) => Criteria::common_practice(),
        };
        let target_micron = self.target_micron.unwrap_or(base.target_micron);
        let changed = own_numbers
            && (
                self.target_micron.unwrap_or(base.target_micron),
                self.hold_min.unwrap_or(base.hold_min),
                self.ceiling_micron.unwrap_or(base.ceiling_micron),
            ) != (base.target_micron, base.hold_min, base.ceiling_micron);
        let own = |given: Option<String>, kept: String, otherwise: &str| {
            given.unwrap_or_else(|| if changed { otherwise.into() } else { kept })
        };
        Criteria {
            name: own(name, base.name, "job file"),
            source: own(text(self.source), base.source, "as given in the job file"),
            target_micron,
            hold_min: self.hold_min.unwrap_or(base.hold_min),
            ceiling_micron: self
                .ceiling_micron
                .unwrap_or(base.ceiling_micron.max(target_micron)),
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
}

impl From<&Criteria> for WireCriteria {
    fn from(criteria: &Criteria) -> Self {
        Self {
            name: Some(Text(criteria.name.clone())),
            source: Some(Text(criteria.source.clone())),
            target_micron: Some(criteria.target_micron),
            hold_min: Some(criteria.hold_min),
            ceiling_micron: Some(criteria.ceiling_micron),
            unknown: Unknown::new(),
        }
    }
}
