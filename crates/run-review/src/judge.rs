//! Reads a record from start to end, once, and judges it.

use std::path::{Path, PathBuf};

use analyser::{Analyser, Findings, LeftOut, Settings};
use report::{GivenAtReview, Sheet, Trace};
use rig_history::RigShare;
use run_record::{ImportOptions, RunHeader, Source, Summary};
use vacuum::{Entry, Job, Refrigerant, Zone};
use wording::Voice;

use crate::{
    calibration,
    error::ReviewError,
    moment::{self, Moment, Placed},
    on_disk::OnDisk,
    origin::{Chosen, Origin},
    other_gauges::{self, Advice, Draw, OtherGauge},
    weighed,
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
    /// What of the leak is the rig's own, where a blank-off test of it is known.
    pub rig: Option<RigShare>,
    /// Where it came from.
    pub origin: Origin,
    /// How it was read.
    pub summary: Summary,
    /// Times of its first and last row, s; `None` without rows.
    pub span_s: Option<(f64, f64)>,
    /// When the system was shut off, as it was given, s of the record.
    pub isolated_at_s: Option<f64>,
}

/// A record that is open: what it says of itself is read, its rows are not.
pub struct Record<'w> {
    source: Source,
    path: PathBuf,
    import: ImportOptions,
    on_disk: OnDisk,
    watch: Option<&'w mut dyn FnMut(&Entry)>,
}

/// What is read of a record, the path as given, and what keeps an unpacked record on disk.
pub(crate) struct Entries<'w> {
    pub(crate) source: Source,
    pub(crate) path: PathBuf,
    pub(crate) on_disk: OnDisk,
    watch: Option<&'w mut dyn FnMut(&Entry)>,
}

impl Entries<'_> {
    /// Reads to the end, every entry shown to `take` and to whoever watches. Times of the
    /// first and the last one, s; `None` where there is none.
    pub(crate) fn each(
        &mut self,
        mut take: impl FnMut(&Entry),
    ) -> Result<Option<(f64, f64)>, ReviewError> {
        let mut span: Option<(f64, f64)> = None;
        loop {
            let entry = self.source.next_entry();
            let Some(entry) = entry.map_err(|e| self.on_disk.named(e))? else {
                return Ok(span);
            };
            let at_s = entry.elapsed_s();
            span = Some(span.map_or((at_s, at_s), |(from, to)| (from, to.max(at_s))));
            if let Some(watch) = &mut self.watch {
                watch(&entry);
            }
            take(&entry);
        }
    }
}

/// The rows that never became a reading.
pub(crate) fn left_out(summary: &Summary) -> LeftOut {
    let listed = (summary.rejected_rows.iter()).map(|r| (r.row, r.reason.clone()));
    LeftOut {
        rows: summary.rejected,
        listed: listed.collect(),
    }
}

impl<'w> Record<'w> {
    /// Opens the run folder, zip archive of one, trace file or table at `path`.
    ///
    /// # Errors
    /// When it cannot be read, or does not say what its columns mean.
    pub fn open(path: &Path, import: &ImportOptions) -> Result<Self, ReviewError> {
        Self::open_on_disk(&OnDisk::of(path)?, import)
    }

    /// The same of a record that is unpacked already, where it had to be.
    ///
    /// # Errors
    /// As [`Record::open`].
    pub fn open_on_disk(on_disk: &OnDisk, import: &ImportOptions) -> Result<Self, ReviewError> {
        let source = Source::open(on_disk.path(), import).map_err(|e| on_disk.named(e))?;
        Ok(Self {
            source,
            path: on_disk.shown().to_owned(),
            import: import.clone(),
            on_disk: on_disk.clone(),
            watch: None,
        })
    }

    /// Whoever else is to see every entry while it is judged, so that it is read once.
    #[must_use]
    pub fn watched_by(mut self, watch: &'w mut dyn FnMut(&Entry)) -> Self {
        self.watch = Some(watch);
        self
    }

    /// Where a moment that somebody typed lies in the record. Times of day are those of the
    /// file, or of `zone` where the record has instants.
    ///
    /// # Errors
    /// When the record cannot be read, or does not say at what time of day it was made.
    pub fn place(&self, moment: &Moment, zone: Zone) -> Result<Placed, ReviewError> {
        // a look at the first row takes it: another reader does it
        let mut source = Source::open(self.on_disk.path(), &self.import)?;
        moment::place(moment, &mut source, zone).map_err(|why| ReviewError::NotPlaced {
            path: self.path.clone(),
            why,
        })
    }

    /// What is read of it.
    pub(crate) fn into_entries(self) -> Entries<'w> {
        Entries {
            source: self.source,
            path: self.path,
            on_disk: self.on_disk,
            watch: self.watch,
        }
    }

    /// The path as given.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
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
        let header = self.header().cloned();
        let mut entries = self.into_entries();
        let isolated_at_s = settings.isolated_at_s;
        let used = GivenAtReview {
            refrigerant: settings.refrigerant,
            volume_l: settings.volume_l,
            ambient_c: settings.ambient_c,
            coldest_part_c: settings.coldest_part_c,
            access_sides: settings.access_sides,
        };
        let given = given_at_review(used, header.as_ref().map(|h| &h.job));
        let mut analyser = Analyser::new(settings);
        let mut trace = Trace::default();
        let mut marks = Vec::new();
        let span = entries.each(|entry| {
            analyser.push(entry);
            if let Entry::Mark(mark) = entry {
                marks.push(mark.clone());
            }
            if draw == Draw::Yes {
                trace.push(entry);
            }
        })?;
        let Entries {
            source,
            path,
            on_disk,
            ..
        } = entries;
        let path = path.as_path();
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
        if let Some(header) = &header {
            let (charge, note) = weighed::charge(source.path(), header, &marks, findings.verdict);
            findings.charge = charge.map(Box::new);
            all_notes.extend(note);
        }
        // rows that never became a reading count too
        findings.data.rows = findings.data.rows.max(summary.rows);
        findings.data.rejected += summary.rejected;
        findings.data.left_out = left_out(&summary);
        findings.data.notes = all_notes;
        findings
            .findings
            .extend(header.iter().flat_map(calibration::overdue));
        Ok(Judged {
            findings,
            trace,
            beside,
            rig: None,
            origin: Origin::of(&source, path, (on_disk, draw), given),
            summary,
            span_s: span,
            isolated_at_s,
        })
    }
}

/// What was judged with and the job does not say, or says otherwise.
pub(crate) fn given_at_review(used: GivenAtReview, job: Option<&Job>) -> GivenAtReview {
    let nothing = Job::default();
    let job = job.unwrap_or(&nothing);
    let typed = job.refrigerant.as_deref().and_then(Refrigerant::named);
    let is_new = |r: &&Refrigerant| typed.is_none_or(|t| t.designation != r.designation);
    fn new<T: PartialEq + Copy>(used: Option<T>, of_job: Option<T>) -> Option<T> {
        used.filter(|_| used != of_job)
    }
    GivenAtReview {
        refrigerant: used.refrigerant.filter(is_new),
        volume_l: new(used.volume_l, job.volume_l),
        ambient_c: new(used.ambient_c, job.ambient_c),
        coldest_part_c: new(used.coldest_part_c, job.coldest_part_c),
        access_sides: new(used.access_sides, job.access_sides),
    }
}

/// An isolation, or a shut supply, that lies outside of the record is a mistake: judged from
/// it, a hold would be another one than was meant, or none.
pub(crate) fn check_inside(
    path: &Path,
    at_s: f64,
    span: Option<(f64, f64)>,
) -> Result<(), ReviewError> {
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
    /// The other gauges, as they are drawn.
    pub fn companions(&self) -> Vec<report::Companion<'_>> {
        self.beside.iter().map(OtherGauge::drawn).collect()
    }

    /// The review as a technician reads it. What the reader says of a record stays in
    /// English, named in the language of the review.
    pub fn lines(&self, voice: &Voice) -> Vec<String> {
        let mut lines = vec![format!("{}:", self.origin.source)];
        let mut add = |line: &str| lines.push(format!("  {line}"));
        for note in &self.findings.data.notes {
            add(&wording::note_line(voice, note));
        }
        for line in wording::summary_lines(voice, &self.findings) {
            add(&line);
        }
        for line in self
            .rig
            .iter()
            .flat_map(|rig| wording::rig_share_lines(voice, rig))
        {
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

    /// The review as JSON, one line.
    #[must_use]
    pub fn json(&self) -> String {
        report::findings_json_with_rig(&self.findings, &self.origin.source, self.rig.as_ref())
    }

    /// The sheet of this record, with what was chosen about it and these beside it.
    pub fn sheet<'a>(
        &'a self,
        chosen: Chosen<'a>,
        beside: &'a [report::Companion<'a>],
        made_by: &'a str,
    ) -> Sheet<'a> {
        Sheet {
            rig: self.rig.as_ref(),
            ..Sheet::of(
                &self.trace,
                &self.findings,
                self.origin.about(chosen, beside, made_by),
            )
        }
    }
}
