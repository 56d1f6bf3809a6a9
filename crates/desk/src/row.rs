//! What is said of one record.

use serde::{Deserialize, Serialize};

use crate::{curve::CurveInBins, flag::Flag};

/// What kind of thing was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RowKind {
    /// A run folder.
    Run,
    /// A run folder in a zip archive.
    Packed,
    /// A foreign table.
    Table,
}

/// What the seal says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SealState {
    /// By a trusted key, and everything is as it was sealed. Where no key is given, by any.
    #[serde(rename = "good")]
    Good,
    /// As it was sealed, by a key that is not trusted.
    #[serde(rename = "other key")]
    OtherKey,
    /// Something is not as it was sealed.
    #[serde(rename = "broken")]
    Broken,
    /// There is none.
    #[serde(rename = "none")]
    None,
}

/// What the shop's own findings.json says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Said {
    /// Program and version that made it.
    pub made_by: String,
    /// Its verdict.
    pub verdict: String,
    /// The criteria it was judged by, as one line.
    pub criteria: String,
}

/// One round of an evacuation: a pull-down and the hold after it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Round {
    /// Lowest pressure of the pull-down, micron.
    pub lowest_micron: Option<f64>,
    /// Length of the hold, min.
    pub hold_min: Option<f64>,
    /// Highest pressure in the hold, micron.
    pub highest_in_hold_micron: Option<f64>,
    /// Verdict of the hold: "pass", "fail" or "not_proven".
    pub verdict: Option<String>,
}

/// What is said of one record. Absent knowledge is absent.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// Where it lies, as it was found.
    pub path: String,
    /// What it is.
    pub kind: RowKind,
    /// Why it could not be read; then most else is absent.
    pub unreadable: Option<String>,
    /// Number of the job.
    pub job: Option<String>,
    /// When it began, RFC 3339, UTC.
    pub started: Option<String>,
    /// "evacuation", "pressure-decay" or "blank-off".
    pub test: Option<String>,
    /// "pass", "fail" or "not_proven", judged by this version.
    pub verdict: Option<String>,
    /// The verdict with what stands against it.
    pub headline: Option<String>,
    /// Why it does not pass, as codes.
    pub reasons: Vec<String>,
    /// What the rise comes from: "leak", "moisture", … or "unclear".
    pub cause: Option<String>,
    /// Confidence in the cause, 0 to 1.
    pub confidence: Option<f64>,
    /// Rise by a leak in the last hold, micron/min.
    pub leak_micron_per_min: Option<f64>,
    /// Smallest leak that the last hold could show, micron/min.
    pub detection_limit_micron_per_min: Option<f64>,
    /// Lowest pressure of the last pull-down, micron.
    pub lowest_micron: Option<f64>,
    /// Highest pressure of the last hold, micron.
    pub highest_in_hold_micron: Option<f64>,
    /// Length of the last hold, min.
    pub hold_min: Option<f64>,
    /// Who says when the system was shut off: "mark", "file", "argument", "curve", …
    pub isolated_by: Option<String>,
    /// The criteria it was judged by, as one line.
    pub criteria: Option<String>,
    /// Kind of appliance.
    pub appliance: Option<String>,
    /// Serial number of the appliance, as typed.
    pub serial: Option<String>,
    /// Refrigerant, as typed.
    pub refrigerant: Option<String>,
    /// Internal volume, L.
    pub volume_l: Option<f64>,
    /// Ambient temperature, °C.
    pub ambient_c: Option<f64>,
    /// What was repaired, as typed.
    pub repair: Option<String>,
    /// Who did it. Personal data.
    pub technician: Option<String>,
    /// Whose it is. Personal data.
    pub customer: Option<String>,
    /// Gauge and its serial number, as typed.
    pub gauge: Option<String>,
    /// When its calibration is due, as typed.
    pub calibration_due: Option<String>,
    /// The seal.
    pub seal: SealState,
    /// Name of the shop whose key sealed it, where that key is among the trusted ones.
    pub shop: Option<String>,
    /// SHA-256 of the record as a whole, of a table of its bytes: the same record under two
    /// paths has the same. 64 hexadecimal characters.
    #[serde(default)]
    pub record_sha256: Option<String>,
    /// The first thing that is not as it was recorded or sealed.
    pub changed: Option<String>,
    /// What the shop's findings say.
    pub said: Option<Said>,
    /// Rounds of an evacuation.
    pub rounds: Vec<Round>,
    /// The curve in few numbers.
    pub curve: Option<CurveInBins>,
    /// What to look at, the gravest first.
    pub flags: Vec<Flag>,
}

impl Row {
    /// A row of which nothing is known but where it lies and what it seems to be.
    #[must_use]
    pub fn new(path: String, kind: RowKind) -> Self {
        Self {
            path,
            kind,
            unreadable: None,
            job: None,
            started: None,
            test: None,
            verdict: None,
            headline: None,
            reasons: Vec::new(),
            cause: None,
            confidence: None,
            leak_micron_per_min: None,
            detection_limit_micron_per_min: None,
            lowest_micron: None,
            highest_in_hold_micron: None,
            hold_min: None,
            isolated_by: None,
            criteria: None,
            appliance: None,
            serial: None,
            refrigerant: None,
            volume_l: None,
            ambient_c: None,
            repair: None,
            technician: None,
            customer: None,
            gauge: None,
            calibration_due: None,
            seal: SealState::None,
            shop: None,
            record_sha256: None,
            changed: None,
            said: None,
            rounds: Vec::new(),
            curve: None,
            flags: Vec::new(),
        }
    }

    /// Technician and customer leave the row; flags name neither.
    pub fn drop_personal_data(&mut self) {
        self.technician = None;
        self.customer = None;
    }

    /// Adds something to look at.
    pub(crate) fn flag(&mut self, code: crate::flag::FlagCode, words: impl Into<String>) {
        self.flags.push(Flag {
            code,
            words: words.into(),
            with: Vec::new(),
        });
    }
}

impl RowKind {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Run => "run",
            Self::Packed => "packed",
            Self::Table => "table",
        }
    }
}

impl SealState {
    /// The words in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::OtherKey => "other key",
            Self::Broken => "broken",
            Self::None => "none",
        }
    }
}
