//! What a curve and a sheet are made from.

use findings::Findings;
use rig_history::RigShare;
use vacuum::{AccessSides, GaugeIdentity, Job, Paper, Refrigerant, SheetChoices, SheetField};
use wording::{Voice, one_line, say};

use layout::{Logo, Photo, Trace};

/// Everything a curve or a sheet is made from.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// The readings and marks.
    pub trace: &'a Trace,
    /// What was found in them.
    pub findings: &'a Findings,
    /// The job, when one was given.
    pub job: Option<&'a Job>,
    /// What whoever reviewed gave instead of what the job says: the figures rest on it.
    pub given: GivenAtReview,
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
    /// A photo of the repair, for a page of its own.
    pub photo: Option<&'a Photo>,
    /// Gauges and channels recorded beside the judged one.
    pub beside: &'a [Companion<'a>],
    /// What of the rise is the rig's own, where a blank-off test of it is known.
    pub rig: Option<&'a RigShare>,
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
            given: GivenAtReview::NOTHING,
            choices: None,
            gauge_dialect: None,
            source,
            started_utc: None,
            made_by,
            record_sha256: None,
            logo: None,
            photo: None,
            beside: &[],
            rig: None,
        }
    }

    /// A sheet of readings and findings with all that is known besides.
    #[must_use]
    pub const fn of(trace: &'a Trace, findings: &'a Findings, about: About<'a>) -> Self {
        Self {
            trace,
            findings,
            job: about.job,
            given: about.given,
            choices: about.choices,
            gauge_dialect: about.gauge_dialect,
            source: about.source,
            started_utc: about.started_utc,
            made_by: about.made_by,
            record_sha256: about.record_sha256,
            logo: about.logo,
            photo: about.photo,
            beside: about.beside,
            rig: None,
        }
    }

    /// What the sheet says besides what was measured.
    pub(crate) const fn about(&self) -> About<'a> {
        About {
            job: self.job,
            given: self.given,
            choices: self.choices,
            gauge_dialect: self.gauge_dialect,
            source: self.source,
            started_utc: self.started_utc,
            made_by: self.made_by,
            record_sha256: self.record_sha256,
            logo: self.logo,
            photo: self.photo,
            beside: self.beside,
        }
    }

    /// Language, unit, zone and clock that were chosen.
    pub(crate) fn voice(&self) -> Voice {
        self.about().voice()
    }
}

/// What a sheet says besides what was measured, whatever test it is of.
#[derive(Debug, Clone, Copy)]
pub struct About<'a> {
    /// The job, when one was given.
    pub job: Option<&'a Job>,
    /// What whoever reviewed gave instead of what the job says: the figures rest on it.
    pub given: GivenAtReview,
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
    /// A photo of the repair, for a page of its own.
    pub photo: Option<&'a Photo>,
    /// Gauges and channels recorded beside the judged one.
    pub beside: &'a [Companion<'a>],
}

impl<'a> About<'a> {
    /// A record of which nothing is known but where it is.
    #[must_use]
    pub const fn new(source: &'a str, made_by: &'a str) -> Self {
        Self {
            job: None,
            given: GivenAtReview::NOTHING,
            choices: None,
            gauge_dialect: None,
            source,
            started_utc: None,
            made_by,
            record_sha256: None,
            logo: None,
            photo: None,
            beside: &[],
        }
    }

    /// The job with what was given for the review put into it: what was judged with.
    /// `None` where neither says anything.
    pub(crate) fn job_as_judged(&self) -> Option<Job> {
        let given = &self.given;
        let mut job = match (self.job, *given == GivenAtReview::NOTHING) {
            (Some(job), _) => job.clone(),
            (None, false) => Job::default(),
            (None, true) => return None,
        };
        if let Some(refrigerant) = given.refrigerant {
            job.refrigerant = Some(refrigerant.designation.to_owned());
        }
        job.volume_l = given.volume_l.or(job.volume_l);
        job.ambient_c = given.ambient_c.or(job.ambient_c);
        job.coldest_part_c = given.coldest_part_c.or(job.coldest_part_c);
        job.access_sides = given.access_sides.or(job.access_sides);
        Some(job)
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

/// What was given for a review and differs from what the job says; each `None` where the
/// job's value counts.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GivenAtReview {
    /// Refrigerant.
    pub refrigerant: Option<&'static Refrigerant>,
    /// Internal volume of the system, L.
    pub volume_l: Option<f64>,
    /// Ambient temperature, °C.
    pub ambient_c: Option<f64>,
    /// Temperature of the coldest part during the hold, °C.
    pub coldest_part_c: Option<f64>,
    /// Sides evacuated.
    pub access_sides: Option<AccessSides>,
}

impl GivenAtReview {
    /// The job's values count.
    pub const NOTHING: Self = Self {
        refrigerant: None,
        volume_l: None,
        ambient_c: None,
        coldest_part_c: None,
        access_sides: None,
    };
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

/// Which run this is and who judged it.
pub(crate) fn identity(about: &About<'_>) -> String {
    let voice = &about.voice();
    let mut parts = Vec::new();
    let source = source_name(about.source);
    if let Some(job) = about.job {
        // a run folder's name ends in the job already
        let is_named = !job.id.is_empty() && source.ends_with(&job.id);
        parts.extend((!is_named).then(|| say!(voice, "curve-job", job = one_line(&job.id, 40))));
        parts.extend(job.appliance.as_deref().map(|a| one_line(a, 40)));
    }
    parts.extend(about.started_utc.map(|s| {
        let time = one_line(&voice.time_of_day(s), 40);
        say!(voice, "curve-started", time = time)
    }));
    let program = one_line(about.made_by, 40);
    parts.push(say!(voice, "curve-judged-by", program = program));
    parts.push(one_line(source, 80));
    parts.join("  ·  ")
}

/// True when the sheet must say that its data are invented.
pub(crate) fn is_invented(about: &About<'_>) -> bool {
    about.job.is_some_and(|job| job.invented)
}
