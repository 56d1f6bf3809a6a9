//! Reads a record from start to end, once, and judges it.

use std::path::{Path, PathBuf};

use analyser::{Analyser, Findings, LeftOut, Settings};
use report::{Logo, Sheet, Trace};
use run_record::{ImportOptions, RunHeader, Source, Summary};
use vacuum::SheetChoices;
use wording::Voice;

use crate::{
    error::ReviewError,
    other_gauges::{self, Advice, Draw, OtherGauge},
};

/// How long after the start of a record its first row may come, s.
const FIRST_ROW_S: f64 = 60.0;

/// A record with what was found in it.
pub struct Judged {
    /// What was found.
    pub findings: Findings,
    /// Its points for drawing; empty where they were not wanted.
    pub trace: Trace,
    /// Other gauges that were recorded beside it.
    pub beside: Vec<OtherGauge>,
    /// What the run says of itself; `None` for a foreign table.
    pub header: Option<RunHeader>,
    /// When it began, RFC 3339 in UTC, where it says so.
    pub started_utc: Option<String>,
    /// How it was read.
    pub summary: Summary,
    /// The path as given.
    pub source: String,
    /// True for a run folder or a trace of ours.
    pub is_run: bool,
    /// The file that was read.
    file: PathBuf,
    /// Digest of the record as a whole, of a run folder to be drawn.
    record_sha256: Option<String>,
}

/// A record that is open: what it says of itself is read, its rows are not.
pub struct Record {
    source: Source,
    path: PathBuf,
}

impl Record {
    /// Opens the run folder, trace file or table at `path`.
    ///
    /// # Errors
    /// When it cannot be read, or does not say what its columns mean.
    pub fn open(path: &Path, import: &ImportOptions) -> Result<Self, ReviewError> {
        Ok(Self {
            source: Source::open(path, import)?,
            path: path.to_owned(),
        })
    }

    /// What a run says of itself: its job, criteria and gauges; `None` for a foreign table.
    pub fn header(&self) -> Option<&RunHeader> {
        self.source.header()
    }

    /// Reads and judges it in one pass, with the rows of other gauges beside it.
    ///
    /// # Errors
    /// When a row cannot be read, or the isolation in `settings` lies outside of it.
    pub fn judge(
        self,
        settings: Settings,
        draw: Draw,
        advice: &Advice,
    ) -> Result<Judged, ReviewError> {
        let Self { mut source, path } = self;
        let path = path.as_path();
        let header = source.header().cloned();
        let isolated_at_s = settings.isolated_at_s;
        let mut analyser = Analyser::new(settings);
        let mut trace = Trace::default();
        let mut span: Option<(f64, f64)> = None;
        while let Some(entry) = source.next_entry()? {
            let at_s = entry.elapsed_s();
            span = Some(span.map_or((at_s, at_s), |(from, to)| (from, to.max(at_s))));
            analyser.push(&entry);
            if draw == Draw::Yes {
                trace.push(&entry);
            }
        }
        if let Some(at_s) = isolated_at_s {
            check_inside(path, at_s, span)?;
        }
        let summary = source.summary();
        analyser.set_record_unit(summary.unit);
        let (mut beside, notes) = match &header {
            Some(header) => other_gauges::read(source.path(), header, &analyser, draw, advice),
            None => Default::default(),
        };
        let mut all_notes = (advice.notes)(&summary);
        all_notes.extend(notes);
        let compared: Vec<_> = beside
            .iter_mut()
            .filter_map(|c| c.compared.take())
            .collect();
        let mut findings = analyser.findings_with(&compared);
        // rows that never became a reading count too
        findings.data.rows = findings.data.rows.max(summary.rows);
        findings.data.rejected += summary.rejected;
        let listed = (summary.rejected_rows.iter()).map(|r| (r.row, r.reason.clone()));
        findings.data.left_out = LeftOut {
            rows: summary.rejected,
            listed: listed.collect(),
        };
        findings.data.notes = all_notes;
        Ok(Judged {
            findings,
            trace,
            beside,
            header,
            started_utc: source.started_utc().map(|t| t.to_rfc3339()),
            summary,
            source: path.display().to_string(),
            is_run: source.is_run(),
            file: source.path().to_owned(),
            // a trace outside a run folder has none
            record_sha256: (draw == Draw::Yes && source.is_run())
                .then(|| run_record::record_digest(path).ok())
                .flatten(),
        })
    }
}

/// An isolation that lies outside of the record is a mistake: judged from it, a hold
/// would be another one than was meant, or none.
fn check_inside(path: &Path, at_s: f64, span: Option<(f64, f64)>) -> Result<(), ReviewError> {
    let Some((from_s, to_s)) = span else {
        return Ok(());
    };
    // seconds of a record count from its start, and its first row may come a little later
    if (from_s - FIRST_ROW_S..=to_s).contains(&at_s) {
        return Ok(());
    }
    Err(ReviewError::IsolatedOutside {
        path: path.to_owned(),
        at_s,
        from_s,
        to_s,
    })
}

impl Judged {
    /// The run folder that was read; `None` for a foreign table.
    pub fn folder(&self) -> Option<PathBuf> {
        let trace = self.is_run.then_some(self.file.as_path())?;
        trace.parent().map(Path::to_owned)
    }

    /// The other gauges, as they are drawn.
    pub fn companions(&self) -> Vec<report::Companion<'_>> {
        self.beside.iter().map(OtherGauge::drawn).collect()
    }

    /// The review as a technician reads it. What the reader says of a record stays in
    /// English, named in the language of the review.
    pub fn lines(&self, voice: &Voice) -> Vec<String> {
        let mut lines = vec![format!("{}:", self.source)];
        let mut add = |line: &str| lines.push(format!("  {line}"));
        for note in &self.findings.data.notes {
            add(&wording::note_line(voice, note));
        }
        for line in wording::summary_lines(voice, &self.findings) {
            add(&line);
        }
        if let Some(torn) = &self.summary.torn_tail {
            add(&wording::record_note(voice, &torn.to_string()));
        }
        for line in wording::left_out_lines(voice, &self.findings) {
            add(&wording::left_out_note(voice, &line));
        }
        lines
    }

    /// The sheet of this record, with what was chosen about it and these beside it.
    pub fn sheet<'a>(
        &'a self,
        (choices, logo): (&'a SheetChoices, Option<&'a Logo>),
        beside: &'a [report::Companion<'a>],
        made_by: &'a str,
    ) -> Sheet<'a> {
        Sheet {
            trace: &self.trace,
            findings: &self.findings,
            job: self.header.as_ref().map(|h| &h.job),
            choices: Some(choices),
            gauge_dialect: self.header.as_ref().and_then(|h| h.dialect.as_deref()),
            source: &self.source,
            started_utc: self.started_utc.as_deref(),
            made_by,
            record_sha256: self.record_sha256.as_deref(),
            logo,
            beside,
        }
    }
}
