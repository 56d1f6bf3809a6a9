//! Reading a run folder back, also after a kill or a power cut.

use std::{
    fmt,
    fs::File,
    io::{BufRead, BufReader, Read},
    path::{Path, PathBuf},
};

use chrono::{DateTime, Utc};
use vacuum::Entry;

use crate::{
    chain::{ChainCheck, Link},
    error::{AtPath, Problem, RecordError, excerpt},
    header::{BESIDE_PREFIX, JOB_NAME, RunHeader, read_small},
    source::{Summary, Tally},
    storage::is_locked,
    trace::{HEADER_ROW, RowFault, RowParts, TRACE_NAME, row_entry},
};

/// Longest line taken as a row.
const LONGEST_ROW: usize = 1 << 20;

/// What a kill or a power cut left behind the last whole row. It is passed
/// over and never altered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TornTail {
    /// Row where it begins, counted from 1 as an editor counts lines.
    pub row: u64,
    /// Bytes left out.
    pub bytes: u64,
}

impl fmt::Display for TornTail {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "recording was cut off while row {} was being written; its {} bytes are left out, \
             every row before it is whole",
            self.row, self.bytes
        )
    }
}

/// Finds the trace a path means: a run folder's, or the file itself.
pub(crate) fn trace_path(path: &Path) -> Result<PathBuf, RecordError> {
    if !std::fs::metadata(path).reading(path)?.is_dir() {
        return Ok(path.to_owned());
    }
    let trace = path.join(TRACE_NAME);
    if trace.is_file() {
        Ok(trace)
    } else {
        Err(RecordError::new(path, Problem::NotARun))
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

/// Reads the rows of a `trace.csv` one by one in flat memory.
///
/// A torn tail is found by its shape and its link, reported and passed over.
/// The file is never altered. [`Source`](crate::Source) wraps this and foreign
/// CSV alike.
#[derive(Debug)]
pub struct RunReader {
    path: PathBuf,
    reader: BufReader<File>,
    line: Vec<u8>,
    header: Option<RunHeader>,
    /// Link text of the last whole row, or the seed.
    before: Option<Link>,
    check: Option<ChainCheck>,
    row: u64,
    last_s: f64,
    first_utc: Option<DateTime<Utc>>,
    /// First of the rows without a row's shape since the last whole row: a torn
    /// tail if the file ends with them.
    damaged: Option<u64>,
    damaged_bytes: u64,
    tally: Tally,
    torn: Option<TornTail>,
    done: bool,
}

impl RunReader {
    /// Opens a run folder or its `trace.csv`. `check_chain` recomputes every
    /// link while reading.
    ///
    /// # Errors
    /// When it cannot be read, is empty, or its header row is not this
    /// program's.
    pub fn open(path: &Path, check_chain: bool) -> Result<Self, RecordError> {
        let trace = trace_path(path)?;
        let mut reader = BufReader::with_capacity(1 << 16, File::open(&trace).reading(&trace)?);
        let mut line = Vec::new();
        read_line(&mut reader, &mut line).reading(&trace)?;
        if line.is_empty() {
            return Err(RecordError::new(&trace, Problem::Empty));
        }
        if !is_trace_header(&line) {
            return Err(RecordError::new(&trace, Problem::NotARun));
        }
        let mut notes = Vec::new();
        let job_path = trace.with_file_name(JOB_NAME);
        let (header, seed) = match read_small(&job_path) {
            Ok(bytes) => {
                let seed = seed_of(&trace, without_line_end(&line), &bytes);
                let header = RunHeader::from_bytes(&job_path, &bytes)
                    .map_err(|e| notes.push(format!("the job data is left out: {e}")))
                    .ok();
                (header, Some(seed))
            }
            Err(e) => {
                notes.push(format!("the job data is left out: {e}"));
                (None, None)
            }
        };
        Ok(Self {
            path: trace,
            reader,
            line,
            header,
            before: seed,
            check: check_chain.then(|| ChainCheck::new(seed)),
            row: 1,
            last_s: f64::NEG_INFINITY,
            first_utc: None,
            damaged: None,
            damaged_bytes: 0,
            tally: Tally::with_notes(notes),
            torn: None,
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
    /// When the file cannot be read on, a number is not one, time goes
    /// backwards, or the end is reached without one usable row.
    pub fn next_entry(&mut self) -> Result<Option<Entry>, RecordError> {
        while !self.done {
            if !self.read_row()? {
                self.end_of_file();
                self.tally.check_end(&self.path)?;
                break;
            }
            let line = std::mem::take(&mut self.line);
            let entry = match self.take_shape(&line) {
                Some(parts) => self.take_content(&parts),
                None => Ok(None),
            };
            self.line = line;
            if let Some(entry) = entry? {
                return Ok(Some(entry));
            }
        }
        Ok(None)
    }

    /// Reads the next line; false at the end of the file.
    fn read_row(&mut self) -> Result<bool, RecordError> {
        self.line.clear();
        read_line(&mut self.reader, &mut self.line).reading(&self.path)?;
        self.row += 1;
        Ok(!self.line.is_empty())
    }

    /// Takes a line's shape and link; `None` when it is no whole row.
    fn take_shape<'a>(&mut self, line: &'a [u8]) -> Option<RowParts<'a>> {
        let text = line.strip_suffix(b"\n").unwrap_or(line);
        let whole = text.len() < line.len();
        let parts = RowParts::cut(text).filter(|parts| {
            // a last row without its line end is whole only if its link says so
            whole || (parts.link().is_some() && parts.link() == self.link_after(parts))
        });
        let Some(parts) = parts else {
            self.damaged.get_or_insert(self.row);
            self.damaged_bytes += line.len() as u64;
            return None;
        };
        self.settle_damaged();
        if let Some(check) = &mut self.check {
            check.row(self.row, parts.text, parts.link, parts.seq);
        }
        self.before = parts.link();
        self.tally.row();
        if self.first_utc.is_none() {
            self.first_utc = start_from(&parts);
        }
        Some(parts)
    }

    fn link_after(&self, parts: &RowParts<'_>) -> Option<Link> {
        Some(self.before?.next(parts.text))
    }

    /// Damaged rows with whole rows behind them are rejected rows, not a tail.
    fn settle_damaged(&mut self) {
        let Some(first) = self.damaged.take() else {
            return;
        };
        self.damaged_bytes = 0;
        for row in first..self.row {
            self.tally.row();
            self.tally.reject(row, || "the row is damaged".into());
            if let Some(check) = &mut self.check {
                check.damaged(row);
            }
        }
    }

    /// Takes what a row says; `None` when it is rejected.
    fn take_content(&mut self, parts: &RowParts<'_>) -> Result<Option<Entry>, RecordError> {
        let row = self.row;
        let (elapsed_s, entry) = match row_entry(parts) {
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
                newest_first: false,
            };
            return Err(RecordError::new(&self.path, problem));
        }
        self.last_s = elapsed_s;
        self.tally.used();
        Ok(Some(entry))
    }

    /// Walks to the end looking at shapes and links only.
    pub(crate) fn read_links(&mut self) -> Result<(), RecordError> {
        while self.read_row()? {
            let line = std::mem::take(&mut self.line);
            self.take_shape(&line);
            self.line = line;
        }
        self.end_of_file();
        Ok(())
    }

    fn end_of_file(&mut self) {
        self.done = true;
        self.torn = self.damaged.map(|row| TornTail {
            row,
            bytes: self.damaged_bytes,
        });
    }

    /// What was read, once the end is reached.
    #[must_use]
    pub fn summary(&self) -> Summary {
        let mut summary = self.tally.summary();
        summary.torn_tail = self.torn.clone();
        if let Some(torn) = &self.torn {
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
}

/// The link before the first row of this file.
fn seed_of(file: &Path, header_row: &[u8], job_toml: &[u8]) -> Link {
    match file.file_name().and_then(|name| name.to_str()) {
        Some(name) if name.starts_with(BESIDE_PREFIX) => {
            Link::seed_beside(name, header_row, job_toml)
        }
        _ => Link::seed(header_row, job_toml),
    }
}

/// True when a file begins with the header row of a trace.
pub(crate) fn starts_like_a_trace(path: &Path) -> Result<bool, RecordError> {
    let mut line = Vec::new();
    let mut reader = BufReader::with_capacity(256, File::open(path).reading(path)?);
    // one look at its first bytes is enough, whatever the file is
    let head = reader.fill_buf().reading(path)?;
    read_line(&mut &head[..], &mut line).reading(path)?;
    Ok(is_trace_header(&line))
}

/// True when this first line of a file is the header of a trace.
fn is_trace_header(line: &[u8]) -> bool {
    without_line_end(line) == HEADER_ROW
}

fn without_line_end(line: &[u8]) -> &[u8] {
    let line = line.strip_suffix(b"\n").unwrap_or(line);
    line.strip_suffix(b"\r").unwrap_or(line)
}

/// The start that a row's `utc` and `elapsed_s` imply.
fn start_from(parts: &RowParts<'_>) -> Option<DateTime<Utc>> {
    let utc = std::str::from_utf8(parts.utc).ok()?;
    let utc = DateTime::parse_from_rfc3339(utc).ok()?.with_timezone(&Utc);
    let elapsed: f64 = std::str::from_utf8(parts.elapsed).ok()?.parse().ok()?;
    utc.checked_sub_signed(chrono::Duration::milliseconds((elapsed * 1000.0) as i64))
}

/// Reads one line with its end, or as much of it as a row may have.
fn read_line(reader: &mut impl BufRead, line: &mut Vec<u8>) -> std::io::Result<()> {
    let most = LONGEST_ROW as u64;
    reader.by_ref().take(most).read_until(b'\n', line)?;
    Ok(())
}
