//! One row of `trace.csv`: how it is written and read back.
//!
//! A row is always one line, so that a torn row is the last line and row
//! numbers are line numbers. Notes are made to fit, reversibly.

use std::io::Write;

use chrono::{DateTime, Datelike, Timelike, Utc};
use table_rows::begins_a_formula;
use vacuum::{Entry, Mark, MarkKind, Pressure, Reading, ReadingState, Sensed};

use crate::link::Link;

/// File name of the trace inside a run folder.
pub(crate) const TRACE_NAME: &str = "trace.csv";

/// The header row, without its line end.
pub(crate) const HEADER_ROW: &[u8] =
    b"seq,elapsed_s,utc,pressure_micron,temperature_c,state,mark,note,link";

/// File name of the rows of a scale inside a run folder.
pub(crate) const SCALE_NAME: &str = "scale.csv";

/// The header row, without its line end.
pub(crate) const SCALE_HEADER_ROW: &[u8] = b"seq,elapsed_s,utc,mass_g,tare_g,state,mark,note,link";

/// Most characters in a note.
pub(crate) const NOTE_LIMIT: usize = 10_000;

/// Writes a row up to, but without, the comma before its link.
pub(crate) fn write_row(
    out: &mut Vec<u8>,
    seq: u64,
    elapsed_ms: u64,
    utc: DateTime<Utc>,
    entry: &Entry,
) {
    write_time(out, seq, elapsed_ms, utc);
    match entry {
        Entry::Reading(reading) => {
            if let Some(p) = reading.pressure().or_else(|| reading.bound()) {
                write_micron(out, p);
            }
            out.push(b',');
            if let Some(t) = reading.temperature_c.filter(|t| t.is_finite()) {
                write_trimmed(out, t, 4);
            }
            out.push(b',');
            out.extend_from_slice(reading.state().word().as_bytes());
            out.extend_from_slice(b",,");
        }
        Entry::Mark(mark) => {
            out.extend_from_slice(b",,,");
            out.extend_from_slice(mark.kind.code().as_bytes());
            out.push(b',');
            encode_note(out, &mark.note);
        }
    }
}

/// The first three cells of a row, each with its comma.
pub(crate) fn write_time(out: &mut Vec<u8>, seq: u64, elapsed_ms: u64, utc: DateTime<Utc>) {
    let (seconds, ms) = (elapsed_ms / 1000, elapsed_ms % 1000);
    // writing into a Vec cannot fail
    let _ = write!(out, "{seq},{seconds}.{ms:03},");
    write_utc(out, utc);
    out.push(b',');
}

/// RFC 3339 with milliseconds, for instance `2026-03-14T09:15:00.250Z`.
fn write_utc(out: &mut Vec<u8>, utc: DateTime<Utc>) {
    let ms = utc.nanosecond().min(999_999_999) / 1_000_000;
    let _ = write!(
        out,
        "{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{ms:03}Z",
        utc.year(),
        utc.month(),
        utc.day(),
        utc.hour(),
        utc.minute(),
        utc.second(),
    );
}

/// Nine significant digits: more than any gauge has, and enough to give back
/// what a gauge said in another unit.
fn write_micron(out: &mut Vec<u8>, pressure: Pressure) {
    let micron = pressure.micron();
    let magnitude = if micron > 0.0 {
        micron.log10().floor()
    } else {
        0.0
    };
    write_trimmed(out, micron, (8.0 - magnitude).clamp(0.0, 15.0) as usize);
}

/// A number without trailing zeros behind the point.
pub(crate) fn write_trimmed(out: &mut Vec<u8>, value: f64, decimals: usize) {
    let _ = write!(out, "{value:.decimals$}");
    if decimals > 0 {
        while out.last() == Some(&b'0') {
            out.pop();
        }
        if out.last() == Some(&b'.') {
            out.pop();
        }
    }
}

/// Writes a note as one CSV cell on one line that no spreadsheet runs.
///
/// 1. `\` becomes `\\`; line ends and control characters become `\n`, `\r`,
///    `\t` or `\xHH`.
/// 2. A note that begins, outer blanks aside, with `=`, `+`, `-`, `@` (also full
///    width), `|`, `%` or `'` gets a `'` before it: spreadsheets show such a cell
///    as text.
/// 3. A semicolon before such a sign becomes `\x3b`: a spreadsheet that takes
///    semicolons for the end of a cell would begin one there.
/// 4. A cell with comma, semicolon, quotation mark or outer space is quoted as
///    RFC 4180 asks.
pub(crate) fn encode_note(out: &mut Vec<u8>, note: &str) {
    let mut cell = String::with_capacity(note.len() + 8);
    if begins_a_formula(note) {
        cell.push('\'');
    }
    for (at, c) in note.char_indices() {
        match c {
            ';' if begins_a_formula(&note[at + 1..]) => cell.push_str("\\x3b"),
            '\\' => cell.push_str("\\\\"),
            '\n' => cell.push_str("\\n"),
            '\r' => cell.push_str("\\r"),
            '\t' => cell.push_str("\\t"),
            c if c.is_ascii_control() => {
                let code = u32::from(c);
                cell.push_str("\\x");
                for digit in [code >> 4, code & 15] {
                    cell.extend(char::from_digit(digit, 16));
                }
            }
            c => cell.push(c),
        }
    }
    let quoted = cell.contains([',', ';', '"']) || cell.starts_with(' ') || cell.ends_with(' ');
    if quoted {
        out.push(b'"');
        out.extend_from_slice(cell.replace('"', "\"\"").as_bytes());
        out.push(b'"');
    } else {
        out.extend_from_slice(cell.as_bytes());
    }
}

/// Reads a note cell back; the exact reverse of [`encode_note`].
pub(crate) fn decode_note(cell: &[u8]) -> String {
    let text = String::from_utf8_lossy(cell);
    let plain = match text.strip_prefix('"').and_then(|t| t.strip_suffix('"')) {
        Some(inside) => inside.replace("\"\"", "\""),
        None => text.into_owned(),
    };
    let body = plain.strip_prefix('\'').unwrap_or(&plain);
    let mut out = String::with_capacity(body.len());
    let mut chars = body.chars();
    while let Some(c) = chars.next() {
        if c != '\\' {
            out.push(c);
            continue;
        }
        match chars.next() {
            Some('n') => out.push('\n'),
            Some('r') => out.push('\r'),
            Some('t') => out.push('\t'),
            Some('x') => {
                let code: String = chars.by_ref().take(2).collect();
                out.extend(u8::from_str_radix(&code, 16).map(char::from));
            }
            other => out.extend(other),
        }
    }
    out
}

/// A row cut into its parts, nothing copied.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RowParts<'a> {
    /// The row up to, but without, the comma before its link.
    pub(crate) text: &'a [u8],
    pub(crate) link: &'a [u8],
    pub(crate) seq: Option<u64>,
    pub(crate) elapsed: &'a [u8],
    pub(crate) utc: &'a [u8],
    pub(crate) pressure: &'a [u8],
    pub(crate) temperature: &'a [u8],
    pub(crate) state: &'a [u8],
    pub(crate) mark: &'a [u8],
    pub(crate) note: &'a [u8],
}

impl<'a> RowParts<'a> {
    /// Cuts a line (without its line end); `None` when it has not the nine
    /// columns, or carries bytes that no text has.
    pub(crate) fn cut(line: &'a [u8]) -> Option<Self> {
        if line.contains(&0) {
            return None;
        }
        // only the note, last but one, may hold a comma
        let mut cells = line.splitn(8, |b| *b == b',');
        let mut next = || cells.next();
        let (seq, elapsed, utc) = (next()?, next()?, next()?);
        let (pressure, temperature, state, mark) = (next()?, next()?, next()?, next()?);
        let rest = next()?;
        let comma = rest.iter().rposition(|b| *b == b',')?;
        let link = &rest[comma + 1..];
        Some(Self {
            text: &line[..line.len() - link.len() - 1],
            link,
            seq: std::str::from_utf8(seq).ok().and_then(|s| s.parse().ok()),
            elapsed,
            utc,
            pressure,
            temperature,
            state,
            mark,
            note: &rest[..comma],
        })
    }

    /// Seconds since the start.
    pub(crate) fn elapsed_s(&self) -> Option<f64> {
        number(self.elapsed)
    }

    /// The wall clock's time.
    pub(crate) fn stamp(&self) -> Option<DateTime<Utc>> {
        let text = std::str::from_utf8(self.utc).ok()?;
        Some(DateTime::parse_from_rfc3339(text).ok()?.with_timezone(&Utc))
    }

    /// The link, if it has the shape of one.
    pub(crate) fn link(&self) -> Option<Link> {
        Link::from_text(self.link)
    }
}

/// Why a row of a trace is not taken.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum RowFault<'a> {
    /// Counted and left out.
    Reject(String),
    /// Text where a number belongs.
    NotANumber(&'static str, &'a [u8]),
}

/// What a row says: a mark if its mark column is filled, else a reading.
pub(crate) fn row_entry<'a>(row: &RowParts<'a>) -> Result<(f64, Entry), RowFault<'a>> {
    let elapsed_s = number(row.elapsed)
        .filter(|t| t.is_finite())
        .ok_or(RowFault::NotANumber("time", row.elapsed))?;
    if !row.mark.is_empty() {
        let word = String::from_utf8_lossy(row.mark);
        let note = decode_note(row.note);
        // a mark of a later version is kept as a note rather than lost
        let (kind, note) = match MarkKind::from_code(&word) {
            Some(kind) => (kind, note),
            None => (MarkKind::Note, format!("{word} {note}").trim().to_owned()),
        };
        return Ok((
            elapsed_s,
            Entry::Mark(Mark {
                elapsed_s,
                kind,
                note,
            }),
        ));
    }
    let state = std::str::from_utf8(row.state)
        .ok()
        .and_then(ReadingState::from_word)
        .ok_or_else(|| {
            let word = table_rows::excerpt(row.state);
            RowFault::Reject(format!("state \"{word}\" is not known"))
        })?;
    let pressure = match row.pressure {
        b"" => None,
        cell => {
            let micron = number(cell).ok_or(RowFault::NotANumber("pressure", cell))?;
            let pressure = Pressure::from_micron(micron)
                .map_err(|_| RowFault::Reject(format!("{micron} micron is not a pressure")))?;
            Some(pressure)
        }
    };
    let temperature_c = match row.temperature {
        b"" => None,
        cell => Some(number(cell).ok_or(RowFault::NotANumber("temperature", cell))?),
    };
    let sensed = match state {
        ReadingState::Ok => Sensed::Measured(
            pressure.ok_or_else(|| RowFault::Reject("the pressure is missing".into()))?,
        ),
        ReadingState::Over => Sensed::Over(pressure),
        ReadingState::Under => Sensed::Under(pressure),
        ReadingState::Fault => Sensed::Fault,
        ReadingState::Gap => Sensed::Gap,
    };
    Ok((
        elapsed_s,
        Entry::Reading(Reading {
            elapsed_s,
            sensed,
            temperature_c: temperature_c.filter(|t| t.is_finite()),
        }),
    ))
}

pub(crate) fn number(cell: &[u8]) -> Option<f64> {
    table_rows::short_number(cell, b'.')
        .or_else(|| std::str::from_utf8(cell).ok()?.trim().parse().ok())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn cell(note: &str) -> String {
        let mut out = Vec::new();
        encode_note(&mut out, note);
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn a_spreadsheet_is_given_nothing_to_run() {
        assert_eq!(cell("=1+1"), "'=1+1");
        assert_eq!(cell("@SUM(A1)"), "'@SUM(A1)");
        assert_eq!(cell("-3 turns on the valve"), "'-3 turns on the valve");
        assert_eq!(cell("\t=1+1"), "'\\t=1+1");
        assert_eq!(cell("\r=1+1"), "'\\r=1+1");
        assert_eq!(cell(" =1+1"), "' =1+1");
        assert_eq!(cell("\"=1+1"), "\"'\"\"=1+1\"");
        assert_eq!(cell("|calc"), "'|calc");
        assert_eq!(cell("＝1+1"), "'＝1+1");
        assert_eq!(cell("hose; =1+1"), "hose\\x3b =1+1");
        assert_eq!(cell("hose; tight"), "\"hose; tight\"");
        assert_eq!(cell("heat, then \"wait\""), "\"heat, then \"\"wait\"\"\"");
        assert_eq!(cell("first\nsecond"), "first\\nsecond");
        assert_eq!(cell(",=1"), "\",=1\"");
    }

    #[test]
    fn pressures_come_back_in_the_unit_they_were_read_in() {
        // 0.667 mbar and 66.5 Pa are not round in micron
        for p in [
            Pressure::from_mbar(0.667).unwrap(),
            Pressure::from_pa(66.5).unwrap(),
            Pressure::from_micron(0.0).unwrap(),
            Pressure::from_micron(0.001_234_567_89).unwrap(),
            Pressure::ATMOSPHERE,
        ] {
            let mut out = Vec::new();
            write_micron(&mut out, p);
            let back = Pressure::from_micron(number(&out).unwrap()).unwrap();
            assert!((back.pa() - p.pa()).abs() <= 1e-8 * p.pa(), "{out:?}");
        }
        let mut out = Vec::new();
        write_micron(&mut out, Pressure::from_micron(500.0).unwrap());
        assert_eq!(out, b"500");
    }

    proptest! {
        #[test]
        fn every_note_comes_back(note in any::<String>()) {
            let text = cell(&note);
            prop_assert!(!text.contains(['\n', '\r', '\0']));
            prop_assert_eq!(decode_note(text.as_bytes()), note);
        }

        /// However a spreadsheet cuts the row, no cell in it can be run.
        #[test]
        fn no_separator_uncovers_a_formula(note in "[a=+@|'\";, \t\r\n＝-]{0,12}") {
            let text = cell(&note);
            prop_assert_eq!(decode_note(text.as_bytes()), note);
            for piece in text.split([';', '\t', '\n', '\r']).chain([text.trim_matches('"')]) {
                let start = piece.trim_start_matches([' ', '"']);
                prop_assert!(!start.starts_with(['=', '+', '-', '@', '|', '＝']), "{text}");
            }
        }

        #[test]
        fn any_line_is_cut_or_refused(line in any::<Vec<u8>>()) {
            if let Some(parts) = RowParts::cut(&line) {
                let _ = row_entry(&parts);
            }
        }
    }
}
