//! Reads a record from start to end, once, and judges it.

use std::path::{Path, PathBuf};

use analyser::{Analyser, Findings, LeftOut};
use report::{Logo, Sheet, Trace};
use run_record::{ImportOptions, RunHeader, Source, Summary};
use vacuum::SheetChoices;

use crate::{
    arguments::JudgingArguments,
    companions::{self, Companion},
    option_advice,
    outcome::Failure,
};

/// Name and version printed on everything this program judges.
pub(crate) const MADE_BY: &str = concat!("dryhold ", env!("CARGO_PKG_VERSION"));

/// How long after the start of a record its first row may come, s.
const FIRST_ROW_S: f64 = 60.0;

/// A record with what was found in it.
pub(crate) struct Judged {
    pub(crate) findings: Findings,
    pub(crate) trace: Trace,
    pub(crate) beside: Vec<Companion>,
    pub(crate) header: Option<RunHeader>,
    pub(crate) started_utc: Option<String>,
    pub(crate) summary: Summary,
    /// The path as given.
    pub(crate) source: String,
    pub(crate) is_run: bool,
    /// The file that was read.
    file: PathBuf,
    /// Digest of the record as a whole, of a run folder to be drawn.
    record_sha256: Option<String>,
}

/// Whether the points for drawing are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Draw {
    Yes,
    No,
}

/// Reads and judges the record at `path` in one pass.
pub(crate) fn judge(
    path: &Path,
    import: &ImportOptions,
    judging: &JudgingArguments,
    draw: Draw,
) -> Result<Judged, Failure> {
    let mut source = Source::open(path, import)?;
    let header = source.header().cloned();
    let settings = judging.settings(
        header.as_ref().map(|h| &h.job),
        header.as_ref().and_then(|h| h.criteria.as_ref()),
    )?;
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
        Some(header) => companions::read(source.path(), header, &analyser, draw),
        None => Default::default(),
    };
    let mut all_notes = option_advice::notes(&summary);
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

/// An isolation that lies outside of the record is a mistake: judged from it, a hold
/// would be another one than was meant, or none.
fn check_inside(path: &Path, at_s: f64, span: Option<(f64, f64)>) -> Result<(), Failure> {
    let Some((from_s, to_s)) = span else {
        return Ok(());
    };
    // seconds of a record count from its start, and its first row may come a little later
    if (from_s - FIRST_ROW_S..=to_s).contains(&at_s) {
        return Ok(());
    }
    Err(Failure::usage(format!(
        "{}: --isolated-at {at_s} lies outside of the record, which runs from {from_s:.0} s to \
         {to_s:.0} s: give the time at which the pump-side valve was shut in seconds of the \
         record",
        path.display()
    )))
}

impl Judged {
    /// The run folder that was read; `None` for a foreign table.
    pub(crate) fn folder(&self) -> Option<PathBuf> {
        let trace = self.is_run.then_some(self.file.as_path())?;
        trace.parent().map(Path::to_owned)
    }

    /// The other gauges, as they are drawn.
    pub(crate) fn companions(&self) -> Vec<report::Companion<'_>> {
        self.beside.iter().map(Companion::drawn).collect()
    }

    /// The sheet of this record, with what was chosen about it and these beside it.
    pub(crate) fn sheet<'a>(
        &'a self,
        (choices, logo): (&'a SheetChoices, Option<&'a Logo>),
        beside: &'a [report::Companion<'a>],
    ) -> Sheet<'a> {
        Sheet {
            trace: &self.trace,
            findings: &self.findings,
            job: self.header.as_ref().map(|h| &h.job),
            choices: Some(choices),
            gauge_dialect: self.header.as_ref().and_then(|h| h.dialect.as_deref()),
            source: &self.source,
            started_utc: self.started_utc.as_deref(),
            made_by: MADE_BY,
            record_sha256: self.record_sha256.as_deref(),
            logo,
            beside,
        }
    }
}
