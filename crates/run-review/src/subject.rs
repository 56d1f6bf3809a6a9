//! What a record is about, in few words, for whoever goes through many.

use std::path::Path;

use analyser::Settings;
use run_record::ImportOptions;
use wording::{Voice, headline, one_line};

use crate::{
    error::ReviewError,
    judge::Record,
    other_gauges::{Advice, Draw},
};

/// Longest job number or serial number that is told, characters.
const LONGEST: usize = 40;

/// Which repair a record belongs to, and what it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Subject {
    /// Number of the job, on one line; empty where none was given.
    pub job: String,
    /// Serial number of the appliance, on one line; empty where none was given.
    pub serial: String,
    /// The verdict of this version, as a program reads it: `pass`, `fail`, `not_proven`;
    /// `None` where its rows cannot be read.
    pub verdict: Option<&'static str>,
    /// The verdict with what stands against it, in English.
    pub headline: Option<String>,
}

impl Subject {
    /// Reads the record at `path` and judges it anew against its own criteria: findings
    /// that lie beside it are not asked, for anybody may have put them there.
    ///
    /// # Errors
    /// When it cannot be opened.
    pub fn of(path: &Path) -> Result<Self, ReviewError> {
        let record = Record::open(path, &ImportOptions::default())?;
        let mut settings = Settings::default();
        if let Some(header) = record.header() {
            settings.criteria = header.criteria.clone().unwrap_or_default();
            settings = settings.with_job(&header.job);
        }
        let job = record.header().map(|h| h.job.clone());
        let judged = record.judge(settings, Draw::No, &Advice::default());
        let findings = judged.ok().map(|judged| judged.findings);
        let line = |text: Option<&str>| text.map(|t| one_line(t, LONGEST)).unwrap_or_default();
        Ok(Self {
            job: line(job.as_ref().map(|j| j.id.as_str())),
            serial: line(job.as_ref().and_then(|j| j.serial.as_deref())),
            verdict: findings.as_ref().map(|f| f.verdict.word()),
            headline: findings.map(|f| headline(&Voice::default(), &f)),
        })
    }

    /// "Job INV-7, serial 000 417": what was not given is named as such.
    pub fn words(&self) -> String {
        let job = match self.job.as_str() {
            "" => "No job number".to_owned(),
            job => format!("Job {job}"),
        };
        match self.serial.as_str() {
            "" => format!("{job}, no serial number"),
            serial => format!("{job}, serial {serial}"),
        }
    }
}
