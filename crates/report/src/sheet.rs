//! What a curve and a sheet are made from.

use findings::Findings;
use vacuum::{GaugeIdentity, Job, Paper, SheetChoices, SheetField};
use wording::Voice;

use crate::{Logo, Trace};

/// Everything a curve or a sheet is made from.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// The readings and marks.
    pub trace: &'a Trace,
    /// What was found in them.
    pub findings: &'a Findings,
    /// The job, when one was given.
    pub job: Option<&'a Job>,
    /// What was chosen about the sheet, instead of what the job says of it.
    pub choices: Option<&'a SheetChoices>,
    /// The dialect that the gauge's lines were read in, when known.
    pub gauge_dialect: Option<&'a str>,
    /// Where the run came from (run folder or file); its name is printed.
    pub source: &'a str,
    /// When the run started, RFC 3339 in UTC, when known.
    pub started_utc: Option<&'a str>,
    /// Name and version of the judging program, for instance "dryhold 0.1.0".
    pub made_by: &'a str,
    /// Digest of the record as a whole, 64 hexadecimal characters, when it is a
    /// run folder: printed so that paper and record can be held together.
    pub record_sha256: Option<&'a str>,
    /// The shop's logo.
    pub logo: Option<&'a Logo>,
    /// Gauges and channels recorded beside the judged one.
    pub beside: &'a [Companion<'a>],
}

impl<'a> Sheet<'a> {
    /// A sheet of nothing but readings and findings; give the rest with the fields.
    /// `source` is the run folder or file, `made_by` name and version of the judging
    /// program.
    #[must_use]
    pub const fn new(
        trace: &'a Trace,
        findings: &'a Findings,
        source: &'a str,
        made_by: &'a str,
    ) -> Self {
        Self {
            trace,
            findings,
            job: None,
            choices: None,
            gauge_dialect: None,
            source,
            started_utc: None,
            made_by,
            record_sha256: None,
            logo: None,
            beside: &[],
        }
    }

    /// The choices that count; `None` where nothing was chosen.
    fn choices(&self) -> Option<&SheetChoices> {
        self.choices.or(self.job.map(|job| &job.sheet))
    }

    /// Language, unit, zone and clock that were chosen.
    pub(crate) fn voice(&self) -> Voice {
        self.choices().map_or_else(Voice::default, Voice::from)
    }

    /// Paper the sheet is set for.
    pub(crate) fn paper(&self) -> Paper {
        self.choices().and_then(|c| c.paper).unwrap_or_default()
    }

    /// True when `field` is to be printed.
    pub(crate) fn prints(&self, field: SheetField) -> bool {
        self.choices().is_none_or(|choices| choices.prints(field))
    }
}

/// A gauge or channel drawn beside the judged one.
#[derive(Debug, Clone, Copy)]
pub struct Companion<'a> {
    /// Where it sits, in words ("pump side").
    pub place: &'a str,
    /// Which gauge it is.
    pub gauge: &'a GaugeIdentity,
    /// Its readings.
    pub trace: &'a Trace,
}

/// The name of a run folder or file without the folders above it, which mean
/// nothing to whoever gets the sheet.
pub(crate) fn source_name(source: &str) -> &str {
    let trimmed = source.trim_end_matches(['/', '\\']);
    trimmed.rsplit(['/', '\\']).next().unwrap_or(trimmed)
}

/// True when the sheet must say that its data are invented.
pub(crate) fn is_invented(sheet: &Sheet<'_>) -> bool {
    sheet.job.is_some_and(|job| job.invented)
}
