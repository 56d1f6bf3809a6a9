//! The question that the hold closes.

use std::path::Path;

use chrono::{DateTime, NaiveDate};
use fault::{HoldSaid, Loss, NeededLeak, Settled, needed_leak, settled};
use findings::{Finding, Findings, LeakAnswer, LeakOrShortCharge, Statement};
use serde::Deserialize;

use crate::{draft::Draft, error::FormError, file};

/// A leak or a short charge: what a fault file leaves for the hold.
#[derive(Debug, Clone, PartialEq)]
pub struct LeakQuestion {
    missing_g: f64,
    months: f64,
    needed: NeededLeak,
}

#[derive(Deserialize)]
struct Range {
    low: f64,
    high: f64,
}

#[derive(Deserialize)]
struct Settle {
    needs_leak_micron_per_min: Option<Range>,
}

/// What of `dryhold.fault/1` is needed.
#[derive(Deserialize)]
struct Wire {
    schema: String,
    missing_g: Option<f64>,
    months: Option<f64>,
    settle: Vec<Settle>,
}

impl LeakQuestion {
    /// Reads the file of an appliance: the answers (TOML), or what `dryhold fault --json`
    /// said of them. `volume_l` is that of the record, for a file without one; `began`
    /// when it began, RFC 3339, for a file that does not say when the charge was weighed.
    ///
    /// # Errors
    /// [`FormError::File`] where it cannot be read, [`FormError::NoQuestion`] where it says
    /// too little.
    pub fn read(
        path: &Path,
        volume_l: Option<f64>,
        began: Option<&str>,
    ) -> Result<Self, FormError> {
        let text = file::bytes(path)?;
        match text.trim_start().starts_with('{') {
            true => Self::of_json(path, &text),
            false => {
                let draft = file::of_text(&text).map_err(|e| file::of_file(path, &e))?;
                let began = began.and_then(|utc| DateTime::parse_from_rfc3339(utc).ok());
                let held_on = began.map(|began| began.date_naive());
                if held_on.is_none()
                    && draft.get("last-service").is_some()
                    && draft.get("months").is_none()
                    && draft.get("seen-on").is_none()
                {
                    let what =
                        "seen_on, the day of these readings (the record does not say its own)";
                    return Err(too_little(path, what));
                }
                Self::of_draft(path, &draft, volume_l, held_on.unwrap_or_default())
            }
        }
    }

    fn of_json(path: &Path, text: &str) -> Result<Self, FormError> {
        let wire: Wire = serde_json::from_str(text).map_err(|e| file::of_file(path, &e))?;
        if wire.schema != "dryhold.fault/1" {
            let why = "it is no dryhold.fault/1: give what `dryhold fault --json` printed";
            return Err(file::of_file(path, &why));
        }
        let range = wire
            .settle
            .into_iter()
            .find_map(|s| s.needs_leak_micron_per_min);
        let range = range.filter(|r| r.low > 0.0 && r.high >= r.low && r.high.is_finite());
        let (Some(range), Some(missing_g), Some(months)) = (range, wire.missing_g, wire.months)
        else {
            return Err(too_little(path, "missing grams, months and volume"));
        };
        Ok(Self {
            missing_g,
            months,
            needed: NeededLeak {
                g_per_year: missing_g / months * 12.0,
                low_micron_per_min: range.low,
                high_micron_per_min: range.high,
            },
        })
    }

    fn of_draft(
        path: &Path,
        draft: &Draft,
        volume_l: Option<f64>,
        held_on: NaiveDate,
    ) -> Result<Self, FormError> {
        let case = draft.finish(held_on).map_err(|e| file::of_file(path, &e))?;
        let volume_l = case.volume_l.or(volume_l);
        let known = [
            (
                case.missing_g,
                "nameplate_g and charge_found_g (or missing_g)",
            ),
            (case.months, "last_service (or months)"),
            (volume_l, "volume_l, or --volume-l"),
        ];
        let absent: Vec<_> = known
            .iter()
            .filter(|(v, _)| v.is_none())
            .map(|(_, n)| *n)
            .collect();
        let [(Some(missing_g), _), (Some(months), _), (Some(volume_l), _)] = known else {
            return Err(too_little(path, &absent.join(", ")));
        };
        let loss = Loss {
            refrigerant: case.signs.refrigerant.refrigerant(),
            missing_g,
            months,
            volume_l,
            operating_pa: None,
        };
        let needed = needed_leak(&loss).map_err(|why| FormError::NoQuestion {
            path: path.display().to_string(),
            why: why.to_string(),
        })?;
        Ok(Self {
            missing_g,
            months,
            needed,
        })
    }

    /// Adds to the findings of an evacuation what its hold says of the question.
    pub fn close(&self, findings: &mut Findings) {
        let hold = findings.judged_hold();
        let said = hold.map_or(
            HoldSaid {
                lasted_min: 0.0,
                limit: None,
                leak: None,
                claims_leak: false,
            },
            |hold| HoldSaid {
                lasted_min: hold.duration_s / 60.0,
                limit: hold.rise.detection_limit_micron_per_min,
                leak: hold.rise.leak_micron_per_min.map(|e| (e.low, e.high)),
                claims_leak: matches!(
                    hold.rise.kind,
                    findings::RiseKind::Leak | findings::RiseKind::LeakAndMoisture
                ),
            },
        );
        let answer = match settled(&self.needed, &said) {
            Settled::LeakRuledOut {
                at_most_micron_per_min,
            } => LeakAnswer::RuledOut {
                at_most_micron_per_min,
            },
            Settled::LeakExplains {
                low_micron_per_min,
                high_micron_per_min,
            } => LeakAnswer::Explains {
                low_micron_per_min,
                high_micron_per_min,
            },
            Settled::LeakTooSmall {
                high_micron_per_min,
            } => LeakAnswer::TooSmall {
                high_micron_per_min,
            },
            Settled::NotSettled {
                limit_micron_per_min,
                hold_min,
            } => LeakAnswer::NotSettled {
                limit_micron_per_min,
                hold_min,
            },
        };
        let question = LeakOrShortCharge {
            missing_g: self.missing_g,
            months: self.months,
            needs_micron_per_min: (
                self.needed.low_micron_per_min,
                self.needed.high_micron_per_min,
            ),
            answer,
        };
        findings.findings.push(Finding {
            at_s: None,
            statement: Statement::LeakOrShortCharge(question),
        });
    }
}

fn too_little(path: &Path, what: &str) -> FormError {
    FormError::NoQuestion {
        path: path.display().to_string(),
        why: format!("the hold can settle nothing without {what}"),
    }
}
