//! Where the table begins in a foreign CSV, and what separates its cells.

use vacuum::UnitWord;

use super::{
    cells::{Decimal, parse_number},
    columns::{Columns, PressureColumn, TimeColumn, as_pressure, as_time, understand},
    cut::{name_of, names_of, split},
    error::{ImportProblem, Missing, RequiredColumn, listed},
    headerless::ColumnsByContent,
    names::unit_of,
    options::{ImportOptions, TimeUnit},
    stamp,
};

const DELIMITERS: [u8; 5] = [b',', b';', b'\t', b'|', b' '];

/// Most lines looked at before a header must have come.
const PREAMBLE: usize = 200;

/// What was found at the top of the file.
#[derive(Debug)]
pub(crate) struct Layout {
    pub(crate) delimiter: u8,
    pub(crate) names: Vec<String>,
    /// Bytes from the start of the text to the first row of data.
    pub(crate) body_at: usize,
    /// Its row, counted from 1.
    pub(crate) body_row: u64,
    pub(crate) columns: Columns,
    pub(crate) time: TimeColumn,
    pub(crate) pressure: PressureColumn,
    /// How it was found, for a person to confirm.
    pub(crate) notes: Vec<String>,
}

impl Layout {
    /// True where a comma or a blank in a number would end its cell.
    pub(crate) fn splits_numbers(&self) -> bool {
        matches!(self.delimiter, b',' | b' ')
    }

    /// Where blanks keep cells apart, a stamp with blanks in it takes two or
    /// three cells under one name ("2026-03-14 9:15:00 AM").
    pub(crate) fn join_stamp_parts(&mut self, body: &[u8]) {
        if self.delimiter != b' ' || self.time.date.is_some() {
            return;
        }
        let Some(line) = body
            .split(|b| *b == b'\n')
            .find(|l| !l.trim_ascii().is_empty())
        else {
            return;
        };
        let cells = split(line, b' ');
        let extra = cells.len().saturating_sub(self.names.len());
        let at = self.time.index;
        let Some(parts) = cells.get(at..=at + extra) else {
            return;
        };
        let whole = stamp::parse(&parts.join(&b' '));
        if !(1..=3).contains(&extra) || whole.and_then(|s| s.clock).is_none() {
            return;
        }
        self.time.parts = 1 + extra;
        self.columns.shift(at, extra);
        if self.pressure.index > at {
            self.pressure.index += extra;
        }
        for _ in 0..extra {
            self.names.insert(at + 1, String::new());
        }
    }
}

/// One line of the head.
#[derive(Debug, Clone, Copy)]
struct Line<'a> {
    text: &'a [u8],
    /// Byte behind its end.
    end: usize,
    /// Its row, counted from 1.
    row: u64,
}

/// Cuts the head into lines, blank ones left out.
fn lines(head: &[u8]) -> Vec<Line<'_>> {
    let mut out = Vec::new();
    let mut at = 0;
    for (i, text) in head.split(|b| *b == b'\n').enumerate() {
        at += text.len() + 1;
        if !text.trim_ascii().is_empty() {
            out.push(Line {
                text,
                end: at.min(head.len()),
                row: i as u64 + 1,
            });
        }
        if out.len() == PREAMBLE + 2 {
            break;
        }
    }
    out
}

/// True for a number or a stamp.
fn is_value(cell: &[u8]) -> bool {
    parse_number(cell, Decimal::Point).is_some()
        || parse_number(cell, Decimal::Comma).is_some()
        || stamp::parse(cell).is_some()
}

/// The column a person means: by name, by name whatever the case, by number.
fn column_named(names: &[String], wanted: &str) -> Option<usize> {
    let wanted = wanted.trim();
    let by = |same: &dyn Fn(&str) -> bool| names.iter().position(|n| same(n));
    by(&|n| n == wanted)
        .or_else(|| by(&|n| n.to_lowercase() == wanted.to_lowercase()))
        .or_else(|| {
            let n: usize = wanted.parse().ok()?;
            (1..=names.len()).contains(&n).then(|| n - 1)
        })
}

/// Finds the table in the head of a file.
pub(crate) fn find(head: &[u8], options: &ImportOptions) -> Result<Layout, Unsettled> {
    let lines = lines(head);
    if lines.is_empty() {
        return Err(Unsettled::Problem(ImportProblem::Empty));
    }
    let found = by_names(&lines, options)
        .or_else(|| by_values(&lines))
        .or_else(|| by_shape(&lines))
        .ok_or(Unsettled::Problem(ImportProblem::NoTable))?;
    found.settle(&lines, options)
}

/// Why no table was found, or what a person has to say of it.
#[derive(Debug)]
pub(crate) enum Unsettled {
    /// There is none.
    Problem(ImportProblem),
    /// Columns are missing.
    Missing {
        problems: Vec<Missing>,
        /// The table as far as it is known, where its pressure column is.
        layout: Option<Box<Layout>>,
    },
}

/// A header candidate: which line, cut how. `None` for a table without header.
struct Found {
    header: Option<usize>,
    /// First line of data.
    body: usize,
    delimiter: u8,
    names: Vec<String>,
}

impl Found {
    fn header_at(index: usize, delimiter: u8, cells: &[Vec<u8>]) -> Self {
        Self {
            header: Some(index),
            body: index + 1,
            delimiter,
            names: cells.iter().map(|c| name_of(c)).collect(),
        }
    }

    /// Decides the columns, or says what a person has to decide.
    fn settle(mut self, lines: &[Line<'_>], options: &ImportOptions) -> Result<Layout, Unsettled> {
        self.merge_unit_row(lines);
        let names = self.names;
        let columns = understand(&names);
        let seen = || listed(names.iter().map(String::as_str));
        let chosen = |wanted: &Option<String>, column| match wanted {
            Some(name) => match column_named(&names, name) {
                Some(index) => Ok(Some(index)),
                None => Err(Missing::NamedColumn {
                    name: name.clone(),
                    column,
                    seen: seen(),
                }),
            },
            None => Ok(None),
        };
        let missing = |column| Missing::Column {
            column,
            seen: seen(),
        };
        let seen_alone = match self.header {
            None => {
                let rows = lines.iter().skip(self.body);
                let cut = rows.map(|line| split(line.text, self.delimiter));
                ColumnsByContent::of(cut.filter(|cells| cells.len() == names.len()))
            }
            Some(_) => ColumnsByContent::default(),
        };
        let named_time = options.time_column.as_ref();
        let named_time = named_time.and_then(|wanted| column_named(&names, wanted));
        let mut problems = Vec::new();
        let pressure = match chosen(&options.pressure_column, RequiredColumn::Pressure) {
            Ok(Some(index)) => Some(as_pressure(index, &names[index])),
            Ok(None) => match columns.pressures.as_slice() {
                [one] => Some(one.clone()),
                [] => seen_alone
                    .pressure(named_time)
                    .map(|index| as_pressure(index, &names[index]))
                    .or_else(|| {
                        problems.push(missing(RequiredColumn::Pressure));
                        None
                    }),
                several => {
                    let seen = listed(several.iter().map(|c| names[c.index].as_str()));
                    problems.push(Missing::WhichPressure { seen });
                    None
                }
            },
            Err(named) => {
                problems.push(named);
                None
            }
        };
        let time = match chosen(&options.time_column, RequiredColumn::Time) {
            Ok(Some(index)) => Some(as_time(index, &names[index])),
            Ok(None) => columns
                .time
                .clone()
                .or_else(|| seen_alone.time().map(|index| as_time(index, &names[index])))
                .or_else(|| {
                    problems.push(missing(RequiredColumn::Time));
                    None
                }),
            Err(named) => {
                problems.push(named);
                None
            }
        };
        let mut notes = Vec::new();
        if let (None, Some(time), Some(pressure)) = (self.header, &time, &pressure)
            && problems.is_empty()
        {
            notes.push(format!(
                "the table names no columns: {} read as time, {} as pressure",
                names[time.index], names[pressure.index]
            ));
        }
        let before = self.body.checked_sub(1).and_then(|i| lines.get(i));
        let (body_at, body_row) = before.map_or((0, 1), |l| (l.end, l.row + 1));
        let complete = problems.is_empty();
        // what is missing beside it is looked at all the same: all is said at once
        let nowhere = usize::MAX / 2;
        let pressure_known = pressure.is_some();
        let layout = Layout {
            delimiter: self.delimiter,
            body_at,
            body_row,
            time: time.unwrap_or_else(|| as_time(nowhere, "")),
            pressure: pressure.unwrap_or_else(|| as_pressure(nowhere, "")),
            columns,
            names,
            notes,
        };
        match complete {
            true => Ok(layout),
            false => Err(Unsettled::Missing {
                layout: pressure_known.then(|| Box::new(layout)),
                problems,
            }),
        }
    }

    /// A row of units below the names belongs to them.
    fn merge_unit_row(&mut self, lines: &[Line<'_>]) {
        let (Some(_), Some(line)) = (self.header, lines.get(self.body)) else {
            return;
        };
        let cells = split(line.text, self.delimiter);
        let units: Vec<String> = cells.iter().map(|c| name_of(c)).collect();
        let bare = |u: &str| {
            u.trim_matches(|c| matches!(c, '(' | ')' | '[' | ']'))
                .trim()
                .to_owned()
        };
        let is_unit = |u: &str| unit_of(u) != UnitWord::Unknown || TimeUnit::from_name(u).is_some();
        let values = cells.iter().any(|c| is_value(c));
        if values || units.len() > self.names.len() || !units.iter().any(|u| is_unit(&bare(u))) {
            return;
        }
        for (name, unit) in self.names.iter_mut().zip(&units) {
            let unit = bare(unit);
            if !unit.is_empty() && !name.contains(['(', '[']) {
                *name = format!("{name} ({unit})");
            }
        }
        self.body += 1;
    }
}

/// A line whose names tell both columns; best where the next line is cut alike.
fn by_names(lines: &[Line<'_>], options: &ImportOptions) -> Option<Found> {
    let mut fallback: Option<Found> = None;
    for (i, line) in lines.iter().take(PREAMBLE).enumerate() {
        let mut best: Option<(usize, Found)> = None;
        for delimiter in DELIMITERS {
            let cells = split(line.text, delimiter);
            if cells.len() < 2 {
                continue;
            }
            let found = Found::header_at(i, delimiter, &cells);
            if !tells_both(&found.names, options) {
                continue;
            }
            let Some(next) = lines.get(i + 1) else {
                fallback.get_or_insert(found);
                continue;
            };
            let next = names_of(next.text, delimiter);
            let off = next.len().abs_diff(cells.len());
            // a trailing delimiter makes a cell more; and a sentence above the
            // table may name time and pressure too
            if off > 1 || next.len() < 2 || tells_both(&next, options) {
                fallback.get_or_insert(found);
            } else if best.as_ref().is_none_or(|(least, _)| off < *least) {
                best = Some((off, found));
            }
        }
        if let Some((_, found)) = best {
            return Some(found);
        }
    }
    fallback
}

fn tells_both(names: &[String], options: &ImportOptions) -> bool {
    // numbers name no column here: every line has a second cell
    let has =
        |wanted: &str| wanted.parse::<usize>().is_err() && column_named(names, wanted).is_some();
    let columns = understand(names);
    let time = match &options.time_column {
        Some(wanted) => has(wanted),
        None => columns.time.is_some(),
    };
    let pressure = match &options.pressure_column {
        Some(wanted) => has(wanted),
        None => !columns.pressures.is_empty(),
    };
    time && pressure
}

/// The first line that is mostly values; the line above it names the columns
/// when it is cut alike.
fn by_values(lines: &[Line<'_>]) -> Option<Found> {
    let share = |cells: &[Vec<u8>]| {
        let values = cells.iter().filter(|c| is_value(c)).count();
        if cells.len() >= 2 && values >= 2 {
            values as f64 / cells.len() as f64
        } else {
            0.0
        }
    };
    for (i, line) in lines.iter().enumerate() {
        let mut best: Option<(f64, u8, usize)> = None;
        for delimiter in DELIMITERS {
            let cells = split(line.text, delimiter);
            let s = share(&cells);
            if s > best.map_or(0.0, |b| b.0) {
                best = Some((s, delimiter, cells.len()));
            }
        }
        let Some((_, delimiter, width)) = best else {
            continue;
        };
        let above = i
            .checked_sub(1)
            .map(|j| (j, split(lines[j].text, delimiter)));
        return Some(match above {
            Some((j, cells)) if cells.len().abs_diff(width) <= 1 => {
                Found::header_at(j, delimiter, &cells)
            }
            _ => Found {
                header: None,
                body: i,
                delimiter,
                names: (1..=width).map(|n| format!("column {n}")).collect(),
            },
        });
    }
    None
}

/// The first line with two cells, to say which columns were seen.
fn by_shape(lines: &[Line<'_>]) -> Option<Found> {
    lines.iter().enumerate().find_map(|(i, line)| {
        let (delimiter, cells) = DELIMITERS[..4]
            .iter()
            .map(|d| (*d, split(line.text, *d)))
            .max_by_key(|(_, cells)| cells.len())?;
        (cells.len() >= 2).then(|| Found::header_at(i, delimiter, &cells))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Layout {
        find(text.as_bytes(), &ImportOptions::default()).unwrap()
    }

    #[test]
    fn delimiters_and_preambles() {
        for (text, delimiter, body_row) in [
            ("t,p (mbar)\n1,2\n", b',', 2),
            ("t;p (mbar)\n0,5;2,5\n", b';', 2),
            ("t\tp (mbar)\n1\t2\n", b'\t', 2),
            ("t|p (mbar)\n1|2\n", b'|', 2),
            ("t p_mbar\n1 2\n", b' ', 2),
            (
                "Invented logger\nTest: pressure, time 10:33\n\nt,p (mbar)\n1,2\n",
                b',',
                5,
            ),
            ("Time, s;Pressure, mbar\n0;20,5\n", b';', 2),
            ("time,pressure\ns,mbar\n1,2\n", b',', 3),
        ] {
            let layout = found(text);
            assert_eq!(
                (layout.delimiter, layout.body_row),
                (delimiter, body_row),
                "{text}"
            );
            assert!(
                matches!(layout.pressure.unit, UnitWord::Absolute(_)),
                "{text}"
            );
            assert!(text.as_bytes()[layout.body_at].is_ascii_digit(), "{text}");
        }
    }

    #[test]
    fn what_is_missing_is_said() {
        let problem =
            |text: &str| match find(text.as_bytes(), &ImportOptions::default()).unwrap_err() {
                Unsettled::Problem(problem) => problem.to_string(),
                Unsettled::Missing { problems, .. } => {
                    let all: Vec<String> = problems.iter().map(Missing::to_string).collect();
                    all.join("; ")
                }
            };
        assert!(problem("t,foo\n1,2\n").contains("columns seen: \"t\", \"foo\""));
        assert!(problem("foo,p_pa\n1,2\n").contains("no time column"));
        assert!(problem("1,2\n3,4\n").contains("\"column 1\", \"column 2\""));
        let both = problem("foo,baz\nx,y\n");
        assert!(
            both.contains("no time") && both.contains("no pressure"),
            "{both}"
        );
        assert!(problem("t,p_pa,p_mbar\n1,2,3\n").contains("several columns"));
        assert!(problem("just a sentence\n").contains("no table"));
    }
}
