//! The files one trace is spread over: `trace.csv`, and `trace.2.csv`,
//! `trace.3.csv` … where recording had to go on in a fresh file.

use std::{
    collections::BTreeMap,
    fmt,
    fs::{self, File},
    io::{self, BufRead, BufReader, Read},
    path::{Path, PathBuf},
};

use plain_file::Links;

use crate::{
    error::{AtPath, RecordError},
    header::BESIDE_PREFIX,
    link::Link,
    trace::{HEADER_ROW, RowParts, SCALE_HEADER_ROW, SCALE_NAME, TRACE_NAME},
};

/// Longest line taken as a row.
const LONGEST_ROW: u64 = 1 << 20;

/// What a kill or a power cut left behind the last whole row. It is passed
/// over and never altered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TornTail {
    /// Name of the file: `trace.csv`, or a part that continues it.
    pub file: String,
    /// Row where it begins, counted from 1 as an editor counts lines.
    pub row: u64,
    /// Bytes left out.
    pub bytes: u64,
}

impl fmt::Display for TornTail {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "recording was cut off while row {} of {} was being written; its {} bytes are left \
             out, every row before it is whole",
            self.row, self.file, self.bytes
        )
    }
}

/// One file of a record: `trace.csv`, or a part that continues it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartRead {
    /// Name of the file.
    pub file: String,
    /// Rows in it that count.
    pub rows: u64,
    /// Whole rows at its end that the next part tells again.
    pub told_again: u64,
    /// What is torn at its end.
    pub torn: Option<TornTail>,
}

impl PartRead {
    pub(crate) fn new(path: &Path) -> Self {
        Self {
            file: file_name(path),
            rows: 0,
            told_again: 0,
            torn: None,
        }
    }
}

/// The name of part `number` of the trace that begins in `first` ("trace.csv").
/// Part 1 is `first` itself.
pub(crate) fn part_name(first: &str, number: u32) -> String {
    match first.strip_suffix(".csv") {
        Some(stem) if number > 1 => format!("{stem}.{number}.csv"),
        _ => first.to_owned(),
    }
}

/// Takes a part's name apart: the first part's name and the number. `None` for a
/// name that is no part of a trace.
pub(crate) fn first_and_number(name: &str) -> Option<(String, u32)> {
    let stem = name.strip_suffix(".csv")?;
    let (stem, number) = match stem.split_once('.') {
        None => (stem, 1),
        Some((stem, digits)) => {
            let plain = digits.bytes().all(|b| b.is_ascii_digit()) && !digits.starts_with('0');
            let number = digits.parse().ok().filter(|n| plain && *n > 1)?;
            (stem, number)
        }
    };
    let first = format!("{stem}.csv");
    (first == TRACE_NAME || first == SCALE_NAME || first.starts_with(BESIDE_PREFIX))
        .then_some((first, number))
}

/// True for `trace.csv`, what is recorded beside it (`scale.csv` too), and parts that
/// continue any of them. A name only nearly so counts too: nothing that a reader of any version
/// may take for rows is left out.
pub(crate) fn is_trace_name(name: &str) -> bool {
    let continues = |middle: &str| middle.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    name == TRACE_NAME
        || name == SCALE_NAME
        || name
            .strip_prefix("trace.")
            .or_else(|| name.strip_prefix("scale."))
            .and_then(|rest| rest.strip_suffix(".csv"))
            .is_some_and(continues)
        || (name.starts_with(BESIDE_PREFIX) && name.ends_with(".csv"))
}

/// Whether a link may stand at this path: for a table that a person named, but not
/// for a file of a run folder.
pub(crate) fn links_to(path: &Path) -> Links {
    let name = path.file_name().and_then(|name| name.to_str());
    match name.is_some_and(is_trace_name) {
        true => Links::Refuse,
        false => Links::Follow,
    }
}

/// A file's name as it stands in messages.
pub(crate) fn file_name(path: &Path) -> String {
    path.file_name()
        .map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

/// The file that the trace of this one begins in: of `trace.2.csv` that is
/// `trace.csv`, if it lies beside it.
pub(crate) fn first_part(path: &Path) -> PathBuf {
    let first = || {
        let (first, _) = first_and_number(path.file_name()?.to_str()?)?;
        Some(path.with_file_name(first)).filter(|p| p.symlink_metadata().is_ok())
    };
    first().unwrap_or_else(|| path.to_owned())
}

/// The parts that continue the trace beginning in `first`, in order, with their
/// numbers.
pub(crate) fn continuations(first: &Path) -> io::Result<BTreeMap<u32, PathBuf>> {
    let mut found = BTreeMap::new();
    let name = first.file_name().and_then(|n| n.to_str());
    let Some((wanted, 1)) = name.and_then(first_and_number) else {
        return Ok(found);
    };
    let folder = match first.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let name = path.file_name().and_then(|n| n.to_str());
        if let Some((_, number)) = name
            .and_then(first_and_number)
            .filter(|(of, number)| *of == wanted && *number > 1)
        {
            found.insert(number, path);
        }
    }
    Ok(found)
}

/// The header row of the file with this name: of a trace or of a scale.
pub(crate) fn header_row_of(file_name: &str) -> &'static [u8] {
    match first_and_number(file_name) {
        Some((first, _)) if first == SCALE_NAME => SCALE_HEADER_ROW,
        _ => HEADER_ROW,
    }
}

/// The link before the first row of this file.
pub(crate) fn seed_of(file: &Path, header_row: &[u8], job_toml: &[u8]) -> Link {
    match file.file_name().and_then(|name| name.to_str()) {
        Some(name) if name.starts_with(BESIDE_PREFIX) || name == SCALE_NAME => {
            Link::seed_beside(name, header_row, job_toml)
        }
        _ => Link::seed(header_row, job_toml),
    }
}

/// One part of a trace that is being read.
#[derive(Debug)]
pub(crate) struct Part {
    pub(crate) path: PathBuf,
    /// Rows from this number on are told anew by a later part.
    pub(crate) until: u64,
}

/// The parts of the trace beginning in `first` and continued in `later`, each with
/// the number its rows count up to.
pub(crate) fn parts_of(
    first: &Path,
    later: impl IntoIterator<Item = PathBuf>,
) -> Result<Vec<Part>, RecordError> {
    let mut parts = vec![Part {
        path: first.to_owned(),
        until: u64::MAX,
    }];
    for path in later {
        let begins = first_seq(&path).reading(&path)?.unwrap_or(u64::MAX);
        for earlier in &mut parts {
            earlier.until = earlier.until.min(begins);
        }
        let until = u64::MAX;
        parts.push(Part { path, until });
    }
    Ok(parts)
}

/// Number of the first whole row of a part.
pub(crate) fn first_seq(path: &Path) -> io::Result<Option<u64>> {
    let mut reader = open_rows(path)?;
    let mut line = Vec::new();
    loop {
        line.clear();
        read_line(&mut reader, &mut line)?;
        if line.is_empty() {
            return Ok(None);
        }
        let row = line.strip_suffix(b"\n").and_then(RowParts::cut);
        if let Some(seq) = row.filter(|row| row.link().is_some()).and_then(|r| r.seq) {
            return Ok(Some(seq));
        }
    }
}

/// Opens a file of a run folder to read rows from.
pub(crate) fn open_rows(path: &Path) -> io::Result<BufReader<File>> {
    let file = plain_file::open(path, Links::Refuse)?;
    Ok(BufReader::with_capacity(1 << 16, file))
}

/// Reads one line with its end, or as much of it as a row may have.
pub(crate) fn read_line(reader: &mut impl BufRead, line: &mut Vec<u8>) -> io::Result<()> {
    reader
        .by_ref()
        .take(LONGEST_ROW)
        .read_until(b'\n', line)
        .map(drop)
}

/// True when this first line of a file is the header of a trace.
pub(crate) fn is_trace_header(line: &[u8]) -> bool {
    without_line_end(line) == HEADER_ROW
}

/// True when this first line is the header that this file has to have.
pub(crate) fn is_header_of(path: &Path, line: &[u8]) -> bool {
    without_line_end(line) == header_row_of(&file_name(path))
}

/// A line without LF or CR LF behind it.
pub(crate) fn without_line_end(line: &[u8]) -> &[u8] {
    let line = line.strip_suffix(b"\n").unwrap_or(line);
    line.strip_suffix(b"\r").unwrap_or(line)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_known_by_their_names() {
        let known = |name: &str| first_and_number(name).map(|(first, n)| part_name(&first, n));
        for name in [
            "trace.csv",
            "trace.2.csv",
            "trace.11.csv",
            "beside-pump-side.csv",
            "beside-x.3.csv",
            "scale.csv",
            "scale.2.csv",
        ] {
            assert_eq!(known(name).as_deref(), Some(name));
        }
        for name in [
            "trace.1.csv",
            "scale.1.csv",
            "scales.csv",
            "trace.02.csv",
            "trace.+2.csv",
            "trace.2.2.csv",
            "trace..csv",
            "trace.2.csv.bak",
            "trace-2.csv",
            "other.csv",
            "trace.99999999999.csv",
        ] {
            assert_eq!(known(name), None, "{name}");
        }
    }
}
