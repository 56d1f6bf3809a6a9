//! Reading a run folder back, also after a kill or a power cut.

use std::{
    fs::File,
    io::{BufReader, Seek},
    path::{Path, PathBuf},
};

use chrono::{DateTime, Utc};
use plain_file::Links;
use table_rows::{Tally, excerpt};
use vacuum::Entry;

use crate::{
    chain::{BreakKind, ChainCheck},
    clock_steps::ClockSteps,
    error::{AtPath, Problem, RecordError},
    header::{JOB_NAME, RunHeader, read_small},
    link::Link,
    parts::{
        Part, PartRead, TornTail, continuations, file_name, first_part, is_header_of, open_rows,
        parts_of, read_line, seed_of,
    },
    storage::is_locked,
    summary::Summary,
    superseded::Superseded,
    trace::{RowFault, RowParts, TRACE_NAME, row_entry},
};

/// Whole rows behind a hole of zeros are taken for what a power cut left of rows
/// not yet synced only if they span no more than this, s …
const CUT_SPAN_S: f64 = 10.0;
/// … and no more than this, bytes.
const CUT_SPAN_BYTES: u64 = 256 << 10;

/// Finds the trace a path means: a run folder's, or the file itself. Of a part
/// that continues a trace, the trace.
pub(crate) fn trace_path(path: &Path) -> Result<PathBuf, RecordError> {
    if !std::fs::metadata(path).reading(path)?.is_dir() {
        return Ok(first_part(path));
    }
    let trace = path.join(TRACE_NAME);
    // what is there and no plain file is named when it is opened
    match trace.symlink_metadata() {
        Ok(_) => Ok(trace),
        Err(_) => Err(RecordError::new(path, Problem::NotARun)),
    }
}

/// True when a program is recording into this run folder at this moment.
///
/// # Errors
/// When the folder has no trace or it cannot be opened.
pub fn is_being_recorded(path: &Path) -> Result<bool, RecordError> {
    let trace = trace_path(path)?;
    is_locked(&trace).reading(&trace)
}

/// Reads the rows of a trace one by one in flat memory, over all the files it is
/// spread over: `trace.csv` and, where recording had to go on in a fresh file,
/// `trace.2.csv` and so on. Part 1 counts up to the row before the first one of
/// part 2, and so on.
///
/// A torn tail is found by its shape and its link, reported and passed over.
/// No file is ever altered. [`Source`](crate::Source) wraps this and foreign
/// CSV alike.
#[derive(Debug)]
pub struct RunReader {
    /// The part being read.
    path: PathBuf,
    /// Rows of it from this number on are told again by a later part.
    until: u64,
    waiting: std::vec::IntoIter<Part>,
    parts: Vec<PartRead>,
    superseded: Superseded,
    reader: BufReader<File>,
    line: Vec<u8>,
    header: Option<RunHeader>,
    /// Link text of the last whole row, or the seed.
    before: Option<Link>,
    /// Text of the last whole row.
    last: Vec<u8>,
    check: Option<ChainCheck>,
    row: u64,
    last_s: f64,
    first_utc: Option<DateTime<Utc>>,
    damaged: Option<Damaged>,
    tally: Tally,
    clock_steps: ClockSteps,
    notes: Vec<String>,
    done: bool,
}

/// Rows without a row's shape since the last whole row: a torn tail if the file
/// ends with them.
#[derive(Debug, Default)]
struct Damaged {
    row: u64,
    bytes: u64,
    /// A hole of zeros, as a power cut leaves where a block was not written.
    zeros: bool,
}

impl RunReader {
    /// Opens a run folder or its `trace.csv`. `check_chain` recomputes every
    /// link while reading.
    ///
    /// # Errors
    /// When it cannot be read, is empty, its header row is not this program's,
    /// or a newer version recorded it.
    pub fn open(path: &Path, check_chain: bool) -> Result<Self, RecordError> {
        let trace = trace_path(path)?;
        let later = continuations(&trace).reading(&trace)?.into_values();
        Self::open_parts(&trace, later, check_chain)
    }

    /// As [`RunReader::open`], of a trace that begins in the file `trace` and goes on
    /// in these others, whatever else lies beside them.
    ///
    /// # Errors
    /// As [`RunReader::open`].
    pub(crate) fn open_parts(
        trace: &Path,
        later: impl IntoIterator<Item = PathBuf>,
        check_chain: bool,
    ) -> Result<Self, RecordError> {
        let trace = trace.to_owned();
        let mut waiting = parts_of(&trace, later)?.into_iter();
        let until = waiting.next().map_or(u64::MAX, |first| first.until);
        let mut reader = open_rows(&trace).reading(&trace)?;
        let mut line = Vec::new();
        read_line(&mut reader, &mut line).reading(&trace)?;
        if line.is_empty() {
            return Err(RecordError::new(&trace, Problem::Empty));
        }
        if !is_header_of(&trace, &line) {
            return Err(RecordError::new(&trace, Problem::NotARun));
        }
        let mut notes = Vec::new();
        let job_path = trace.with_file_name(JOB_NAME);
        let (header, seed) = match read_small(&job_path, Links::Refuse) {
            Ok(bytes) => {
                // a carriage return that an editor put there is a change
                let header_row = line.strip_suffix(b"\n").unwrap_or(&line);
                let seed = seed_of(&trace, header_row, &bytes);
                match RunHeader::from_bytes(&job_path, &bytes) {
                    Ok(header) => (Some(header), Some(seed)),
                    Err(e) if e.is_newer() => return Err(e),
                    Err(e) => {
                        notes.push(format!("the job data is left out: {e}"));
                        (None, Some(seed))
                    }
                }
            }
            Err(e) => {
                notes.push(format!("the job data is left out: {e}"));
                (None, None)
            }
        };
        Ok(Self {
            parts: vec![PartRead::new(&trace)],
            path: trace,
            until,
            waiting,
            superseded: Superseded::default(),
            reader,
            line,
            header,
            before: seed,
            last: Vec::new(),
            check: check_chain.then(|| ChainCheck::new(seed)),
            row: 1,
            last_s: f64::NEG_INFINITY,
            first_utc: None,
            damaged: None,
            tally: Tally::default(),
            clock_steps: ClockSteps::default(),
            notes,
            done: false,
        })
    }

    /// What `job.toml` says, when it could be read.
    #[must_use]
    pub fn header(&self) -> Option<&RunHeader> {
        self.header.as_ref()
    }

    /// When the run began: from `job.toml`, else from the first row read.
    #[must_use]
    pub fn started_utc(&self) -> Option<DateTime<Utc>> {
        self.header
            .as_ref()
            .and_then(|h| h.started)
            .or(self.first_utc)
    }

    /// The next reading or mark, or `None` at the end.
    ///
    /// # Errors
    /// When a file cannot be read on, a number is not one, time goes
    /// backwards, or the end is reached without one usable row.
    pub fn next_entry(&mut self) -> Result<Option<Entry>, RecordError> {
        self.next_as(row_entry)
    }

    /// The next row as `meaning` reads it.
    pub(crate) fn next_as<T>(
        &mut self,
        meaning: for<'r> fn(&RowParts<'r>) -> Result<(f64, T), RowFault<'r>>,
    ) -> Result<Option<T>, RecordError> {
        while !self.done {
            if !self.read_row()? {
                let ended = self.tally.check_end();
                ended.map_err(|e| RecordError::new(&self.path, e.into()))?;
                break;
            }
            let line = std::mem::take(&mut self.line);
            let entry = match self.take_shape(&line) {
                Ok(Some(parts)) => self.take_content(&parts, meaning),
                Ok(None) => Ok(None),
                Err(e) => Err(e),
            };
            self.line = line;
            if let Some(entry) = entry? {
                return Ok(Some(entry));
            }
        }
        Ok(None)
    }

    /// Reads the next line; false at the end of the last file.
    fn read_row(&mut self) -> Result<bool, RecordError> {
        loop {
            self.line.clear();
            read_line(&mut self.reader, &mut self.line).reading(&self.path)?;
            self.row += 1;
            if !self.line.is_empty() {
                return Ok(true);
            }
            self.end_part();
            if !self.next_part()? {
                self.done = true;
                return Ok(false);
            }
        }
    }

    /// Opens the part that continues this one.
    fn next_part(&mut self) -> Result<bool, RecordError> {
        let Some(part) = self.waiting.next() else {
            return Ok(false);
        };
        self.reader = open_rows(&part.path).reading(&part.path)?;
        self.line.clear();
        read_line(&mut self.reader, &mut self.line).reading(&part.path)?;
        self.parts.push(PartRead::new(&part.path));
        self.path = part.path;
        self.until = part.until;
        self.row = 1;
        self.superseded.next_part();
        if !is_header_of(&self.path, &self.line) {
            self.breaks(BreakKind::Header);
        }
        Ok(true)
    }

    /// Takes a line's shape and link; `None` when it is no whole row, or one
    /// that a later part tells again.
    fn take_shape<'a>(&mut self, line: &'a [u8]) -> Result<Option<RowParts<'a>>, RecordError> {
        let text = line.strip_suffix(b"\n").unwrap_or(line);
        let whole = text.len() < line.len();
        let parts = RowParts::cut(text).filter(|parts| {
            // a last row without its line end is whole only if its link says so
            whole || (parts.link().is_some() && parts.link() == self.link_after(parts))
        });
        let Some(parts) = parts else {
            let damaged = self.damaged.get_or_insert_default();
            if damaged.bytes == 0 {
                damaged.row = self.row;
            }
            damaged.bytes += line.len() as u64;
            damaged.zeros |= line.contains(&0);
            return Ok(None);
        };
        if self.superseded.is_inside() || parts.seq.is_some_and(|n| n >= self.until) {
            self.take_superseded(&parts);
            return Ok(None);
        }
        if self.damaged.is_some() && self.is_cut_here(line)? {
            return Ok(None);
        }
        self.settle_damaged();
        if let Some(check) = &mut self.check {
            check.row(&self.path, self.row, &parts);
        }
        if !self.superseded.agrees(&parts) {
            self.breaks(BreakKind::Differs);
        }
        self.before = parts.link();
        self.last.clear();
        self.last.extend_from_slice(line);
        self.tally.row();
        self.part().rows += 1;
        if self.first_utc.is_none() {
            self.first_utc = start_from(&parts);
        }
        Ok(Some(parts))
    }

    fn link_after(&self, parts: &RowParts<'_>) -> Option<Link> {
        Some(self.before?.next(parts.text))
    }

    fn part(&mut self) -> &mut PartRead {
        // there is one from `open` on
        let last = self.parts.len() - 1;
        &mut self.parts[last]
    }

    fn breaks(&mut self, kind: BreakKind) {
        if let Some(check) = &mut self.check {
            check.breaks(&self.path, self.row, kind);
        }
    }

    fn take_superseded(&mut self, parts: &RowParts<'_>) {
        if self.damaged.is_some() {
            // what follows a hole has nothing to follow from
            self.superseded.damaged();
        }
        self.part().told_again += 1;
        if let Some(kind) = self.superseded.row(self.before, parts) {
            self.breaks(kind);
        }
    }

    /// Damaged rows with whole rows behind them are rejected rows, not a tail.
    fn settle_damaged(&mut self) {
        let Some(damaged) = self.damaged.take() else {
            return;
        };
        let continuation = self.parts.len() > 1;
        for row in damaged.row..self.row {
            self.tally.row();
            let path = &self.path;
            self.tally.reject(row, || match continuation {
                true => format!("the row is damaged (in {})", file_name(path)),
                false => "the row is damaged".into(),
            });
            if let Some(check) = &mut self.check {
                check.damaged(path, row);
            }
        }
    }

    /// True when the rows from a hole of zeros on are the last ones recorded:
    /// a power cut may keep later rows of its last second and lose earlier ones.
    /// Then all of them belong to the torn tail, and the end is reached.
    fn is_cut_here(&mut self, line: &[u8]) -> Result<bool, RecordError> {
        let last_part = self.until == u64::MAX && self.waiting.len() == 0;
        let Some(damaged) = self.damaged.as_mut().filter(|d| d.zeros && last_part) else {
            return Ok(false);
        };
        let here = self.reader.stream_position().reading(&self.path)?;
        let end = self.reader.get_ref().metadata().reading(&self.path)?.len();
        let span = line.len() as u64 + end.saturating_sub(here);
        if span > CUT_SPAN_BYTES {
            return Ok(false);
        }
        let elapsed = |line: &[u8]| RowParts::cut(line.strip_suffix(b"\n")?)?.elapsed_s();
        let first_s = elapsed(line);
        let mut last_s = first_s;
        let mut next = Vec::new();
        loop {
            next.clear();
            read_line(&mut self.reader, &mut next).reading(&self.path)?;
            if next.is_empty() {
                break;
            }
            last_s = elapsed(&next).or(last_s);
        }
        if first_s.zip(last_s).is_none_or(|(a, b)| b - a <= CUT_SPAN_S) {
            damaged.bytes += span;
            return Ok(true);
        }
        let back = std::io::SeekFrom::Start(here);
        self.reader.seek(back).reading(&self.path)?;
        Ok(false)
    }

    /// Takes what a row says; `None` when it is rejected.
    fn take_content<T>(
        &mut self,
        parts: &RowParts<'_>,
        meaning: for<'r> fn(&RowParts<'r>) -> Result<(f64, T), RowFault<'r>>,
    ) -> Result<Option<T>, RecordError> {
        let row = self.row;
        let (elapsed_s, entry) = match meaning(parts) {
            Ok(found) => found,
            Err(RowFault::Reject(reason)) => {
                self.tally.reject(row, || reason);
                return Ok(None);
            }
            Err(RowFault::NotANumber(what, cell)) => {
                let text = excerpt(cell);
                let problem = Problem::NotANumber { row, what, text };
                return Err(RecordError::new(&self.path, problem));
            }
        };
        if elapsed_s < self.last_s {
            let problem = Problem::Backwards {
                row,
                before_s: self.last_s,
                after_s: elapsed_s,
            };
            return Err(RecordError::new(&self.path, problem));
        }
        self.last_s = elapsed_s;
        self.clock_steps.row(row, elapsed_s, parts.utc);
        self.tally.used();
        Ok(Some(entry))
    }

    /// Walks to the end looking at shapes and links only.
    pub(crate) fn read_links(&mut self) -> Result<(), RecordError> {
        while self.read_row()? {
            let line = std::mem::take(&mut self.line);
            self.take_shape(&line)?;
            self.line = line;
        }
        Ok(())
    }

    /// Rows without a row's shape at the end of a part are its torn tail.
    fn end_part(&mut self) {
        let damaged = self.damaged.take();
        let part = self.part();
        part.torn = damaged.map(|damaged| TornTail {
            file: part.file.clone(),
            row: damaged.row,
            bytes: damaged.bytes,
        });
    }

    /// The files read so far, the one being read included.
    #[must_use]
    pub fn parts(&self) -> &[PartRead] {
        &self.parts
    }

    /// What was read, once the end is reached.
    #[must_use]
    pub fn summary(&self) -> Summary {
        let mut summary = Summary::of_run(&self.tally, self.notes.clone());
        if self.parts.len() > 1 {
            let files: Vec<&str> = self.parts.iter().map(|p| p.file.as_str()).collect();
            let files = files.join(", ");
            summary.notes.push(format!(
                "the record is spread over {files}, read as one: recording had to go on in a \
                 fresh file"
            ));
        }
        summary.clock_steps = self.clock_steps.found();
        // an older part may be torn: the next one tells those rows again
        summary.torn_tail = self.parts.last().and_then(|part| part.torn.clone());
        if let Some(torn) = &summary.torn_tail {
            summary.notes.push(torn.to_string());
        }
        if let Some(check) = &self.check {
            let status = check.status();
            if !status.is_intact() {
                summary.notes.push(status.to_string());
            }
            summary.chain = status;
        }
        summary
    }

    /// Link of the last whole row read; the seed before the first. A seal keeps
    /// it, a resumed run continues from it.
    #[must_use]
    pub fn last_link(&self) -> Option<Link> {
        self.before
    }

    /// The last whole row read; `None` before the first.
    pub(crate) fn last_row(&self) -> Option<RowParts<'_>> {
        RowParts::cut(self.last.strip_suffix(b"\n").unwrap_or(&self.last))
    }
}

/// The start that a row's `utc` and `elapsed_s` imply.
fn start_from(parts: &RowParts<'_>) -> Option<DateTime<Utc>> {
    let ms = (parts.elapsed_s()? * 1000.0) as i64;
    parts
        .stamp()?
        .checked_sub_signed(chrono::Duration::milliseconds(ms))
}
