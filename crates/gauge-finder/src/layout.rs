//! Columns of numbers in lines of text that no dialect knows.
//!
//! A line is cut at separators into fields. Fields at the same place of all lines are
//! compared: a number with the same words around it is a column, what never changes is
//! fixed text, and anything else may be anything.

use std::collections::BTreeMap;

use crate::{
    fields::{Around, Field, around, fields, separators},
    shown::whole_lines,
};

/// Lines looked at, the last ones.
const MOST_LINES: usize = 200;
/// Lines of one shape it takes before columns are believed.
const ENOUGH_LINES: usize = 3;
/// Most fields of a line.
const MOST_FIELDS: usize = 64;

/// How lines are built.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Layout {
    parts: Vec<Part>,
    /// Columns of numbers, in order.
    pub(crate) columns: Vec<Column>,
    decimal_comma: bool,
    /// Share of the lines that are built so, 0 to 1.
    pub(crate) share: f64,
}

/// A column of numbers.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Column {
    /// The text right in front of it, for a person to know it by.
    pub(crate) label: String,
    /// The text right behind it.
    pub(crate) behind: String,
    /// The numbers as they were sent, oldest first.
    pub(crate) texts: Vec<String>,
    /// The same as numbers.
    pub(crate) values: Vec<f64>,
}

#[derive(Debug, Clone, PartialEq)]
enum Part {
    /// Always the same bytes.
    Fixed(Vec<u8>),
    /// One or more blanks.
    Blanks,
    /// A column of numbers, by its place among them.
    Number(usize),
    /// Whatever stands there.
    Any,
}

/// How the numbers of a column behave.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Behaviour {
    /// They are all the same.
    Constant,
    /// Each is larger than the one before by the same.
    CountsUp,
    /// Anything else.
    Moves,
}

impl Column {
    pub(crate) fn behaviour(&self) -> Behaviour {
        let steps: Vec<f64> = self.values.windows(2).map(|w| w[1] - w[0]).collect();
        let first = steps.first().copied().unwrap_or(0.0);
        let alike = |a: f64, b: f64| (a - b).abs() <= 1e-6 * a.abs().max(b.abs());
        if steps.iter().all(|s| *s == 0.0) {
            Behaviour::Constant
        } else if first > 0.0 && steps.iter().all(|s| alike(*s, first)) {
            Behaviour::CountsUp
        } else {
            Behaviour::Moves
        }
    }

    /// The newest number.
    pub(crate) fn last(&self) -> Option<f64> {
        self.values.last().copied()
    }
}

impl Layout {
    /// The layout of most of the lines heard; `None` if they have none in common, or no
    /// number.
    pub(crate) fn of(heard: &[u8]) -> Option<Self> {
        let lines = whole_lines(heard);
        let lines = lines
            .get(lines.len().saturating_sub(MOST_LINES)..)
            .unwrap_or_default();
        let decimal_comma = has_decimal_comma(lines);
        let cut: Vec<Vec<Field<'_>>> = lines.iter().map(|l| fields(l, decimal_comma)).collect();
        let mut shapes: BTreeMap<Vec<Vec<u8>>, usize> = BTreeMap::new();
        for line in &cut {
            *shapes.entry(separators(line)).or_default() += 1;
        }
        let (shape, count) = shapes.into_iter().max_by_key(|(_, count)| *count)?;
        if count < ENOUGH_LINES || shape.len() > MOST_FIELDS {
            return None;
        }
        let alike: Vec<&Vec<Field<'_>>> = cut
            .iter()
            .filter(|line| separators(line) == shape)
            .collect();
        let mut layout = Self {
            parts: Vec::new(),
            columns: Vec::new(),
            decimal_comma,
            share: count as f64 / lines.len() as f64,
        };
        for (at, separator) in shape.iter().enumerate() {
            let texts: Vec<&[u8]> = alike
                .iter()
                .filter_map(|line| line.get(at).map(|f| f.text))
                .collect();
            layout.add_field(&texts);
            layout.add_separator(separator);
        }
        layout.name_columns();
        (!layout.columns.is_empty()).then_some(layout)
    }

    fn add_field(&mut self, texts: &[&[u8]]) {
        let Some(first) = texts.first() else { return };
        let numbers: Option<Vec<Around<'_>>> = texts
            .iter()
            .map(|text| around(text, self.decimal_comma))
            .collect();
        let same = |numbers: &[Around<'_>]| {
            let (before, behind) = (numbers[0].before, numbers[0].behind);
            numbers
                .iter()
                .all(|n| n.before == before && n.behind == behind)
        };
        if let Some(numbers) = numbers.filter(|n| same(n)) {
            self.add_fixed(numbers[0].before);
            self.parts.push(Part::Number(self.columns.len()));
            self.add_fixed(numbers[0].behind);
            self.columns.push(Column {
                label: String::new(),
                behind: String::new(),
                texts: numbers.iter().map(|n| n.text.clone()).collect(),
                values: numbers.iter().map(|n| n.value).collect(),
            });
        } else if texts.iter().all(|text| text == first) && !first.iter().any(u8::is_ascii_digit) {
            // what has figures, such as a date, is another one tomorrow
            self.add_fixed(first);
        } else {
            self.parts.push(Part::Any);
        }
    }

    fn add_separator(&mut self, separator: &[u8]) {
        let blank = |b: &u8| matches!(b, b' ' | b'\t');
        for piece in separator.chunk_by(|a, b| blank(a) == blank(b)) {
            match piece.iter().all(blank) {
                true => self.parts.push(Part::Blanks),
                false => self.add_fixed(piece),
            }
        }
    }

    fn add_fixed(&mut self, bytes: &[u8]) {
        match self.parts.last_mut() {
            _ if bytes.is_empty() => {}
            Some(Part::Fixed(before)) => before.extend_from_slice(bytes),
            _ => self.parts.push(Part::Fixed(bytes.to_owned())),
        }
    }

    fn name_columns(&mut self) {
        let word = |part: Option<&Part>| match part {
            Some(Part::Fixed(bytes)) => bytes.escape_ascii().to_string(),
            _ => String::new(),
        };
        for (at, part) in self.parts.iter().enumerate() {
            let Part::Number(column) = part else { continue };
            let near = |step: usize, back: bool| {
                let place = if back {
                    at.checked_sub(step)
                } else {
                    at.checked_add(step)
                };
                place.and_then(|p| self.parts.get(p))
            };
            let beyond = |back| match near(1, back) {
                Some(Part::Blanks) => word(near(2, back)),
                other => word(other),
            };
            if let Some(column) = self.columns.get_mut(*column) {
                column.label = beyond(true);
                column.behind = beyond(false);
            }
        }
    }

    /// The column that is most likely the pressure, by its place from 0.
    pub(crate) fn likely_pressure(&self) -> usize {
        let merit = |column: &Column| {
            let label = column.label.to_lowercase();
            let named = ["p", "vac"].iter().any(|w| {
                label
                    .trim_start_matches(|c: char| !c.is_alphanumeric())
                    .starts_with(w)
            });
            let in_air = column
                .last()
                .is_some_and(|x| !vacuum::air::units_of_open_air(x).is_empty());
            let moves = column.behaviour() == Behaviour::Moves;
            let counts = column.behaviour() == Behaviour::CountsUp;
            16 * u8::from(!counts) + 8 * u8::from(named) + 2 * u8::from(in_air) + u8::from(moves)
        };
        let best = (0..self.columns.len())
            .rev()
            .max_by_key(|at| self.columns.get(*at).map(merit));
        best.unwrap_or(0)
    }

    /// The pattern of a dialect that reads column `pressure`, counted from 0.
    pub(crate) fn pattern(&self, pressure: usize) -> String {
        let decimal = if self.decimal_comma { "," } else { r"\." };
        let mut pattern = String::from("^");
        for (at, part) in self.parts.iter().enumerate() {
            match part {
                Part::Fixed(bytes) => pattern.extend(bytes.iter().map(|b| literal(*b))),
                Part::Blanks => pattern.push_str(r"[ \t]+"),
                Part::Number(column) if *column == pressure => {
                    pattern += &format!(
                        r"(?<value>[<>]?[-+]?[0-9]+(?:{decimal}[0-9]*)?(?:[eE][-+]?[0-9]+)?|[A-Za-z-]+)"
                    );
                }
                Part::Number(_) | Part::Any => pattern += &up_to(self.parts.get(at + 1)),
            }
        }
        pattern.push('$');
        pattern
    }

    /// How decimals are written, as a dialect has it.
    pub(crate) const fn decimal(&self) -> &'static str {
        if self.decimal_comma { "comma" } else { "point" }
    }
}

/// Anything up to what follows.
fn up_to(next: Option<&Part>) -> String {
    match next {
        Some(Part::Fixed(bytes)) => match bytes.first() {
            Some(first) => format!("[^{}]*", literal(*first)),
            None => ".*".into(),
        },
        Some(Part::Blanks) => r"[^ \t]*".into(),
        _ => ".*".into(),
    }
}

/// A byte in a pattern that stands for itself, in a literal string of TOML.
fn literal(byte: u8) -> String {
    match byte {
        b'\'' | 0..=31 | 127.. => format!(r"\x{byte:02X}"),
        b if b.is_ascii_alphanumeric() || b == b' ' => char::from(b).to_string(),
        b => format!(r"\{}", char::from(b)),
    }
}

/// True if a comma between digits is the sign of decimals: where something else separates
/// the fields, or where nothing else is in the line.
fn has_decimal_comma(lines: &[&[u8]]) -> bool {
    let inside = |line: &&[u8]| {
        let digits = |w: &[u8]| w[0].is_ascii_digit() && w[1] == b',' && w[2].is_ascii_digit();
        line.windows(3).any(digits)
    };
    let pointed = |line: &&[u8]| {
        line.windows(2)
            .any(|w| w[0] == b'.' && w[1].is_ascii_digit())
    };
    let other = |line: &&[u8]| line.iter().any(|b| matches!(b, b';' | b'\t' | b'|' | b' '));
    let alone = |line: &&[u8]| {
        let commas = line.iter().filter(|b| **b == b',').count();
        commas == 1
            && line
                .iter()
                .all(|b| b.is_ascii_digit() || b",+-".contains(b))
    };
    let most = |test: &dyn Fn(&&[u8]) -> bool| {
        2 * lines.iter().filter(|line| test(line)).count() > lines.len()
    };
    most(&inside) && !most(&pointed) && (most(&other) || most(&alone))
}

#[cfg(test)]
mod tests {
    use sensor_reader::{Decoded, Decoder, Dialect};

    use super::*;

    fn lines(line: impl Fn(usize) -> String) -> Vec<u8> {
        let text: String = (0..8).map(|i| line(i) + "\r\n").collect();
        format!("cut\r\n{text}").into_bytes()
    }

    /// Pressures that the proposed pattern reads from the same bytes.
    fn read(heard: &[u8], layout: &Layout, column: usize) -> Vec<f64> {
        let toml = format!(
            "name = 'x'\n[line]\npattern = '''{}'''\n[value]\nunit = 'mbar'\ndecimal = '{}'\n",
            layout.pattern(column),
            layout.decimal()
        );
        let dialect = Dialect::from_toml(&toml, "x").expect(&toml);
        let mut out = Vec::new();
        Decoder::new(&dialect).push(heard, &mut out);
        let samples = out.iter().filter_map(Decoded::sample);
        samples
            .filter_map(|s| s.pressure().map(|p| (p.mbar() * 1e6).round() / 1e6))
            .collect()
    }

    #[test]
    fn columns_of_many_shapes_are_found_and_read() {
        for (what, heard, labels, pressure, first) in [
            (
                "labels",
                lines(|i| format!("PV={}.2;T=21.4;N={}", 1013 - i, 117 + i)),
                &["PV=", ";T=", ";N="][..],
                0,
                1013.2,
            ),
            (
                "labels without a sign",
                lines(|i| format!("P{}.25T21.4", 900 - i)),
                &[][..],
                0,
                0.0,
            ),
            (
                "commas, a checksum behind a star",
                lines(|i| format!("$VAC,{},{}.5,21.0*{:02X}", i, 800 - i, 0x9C + i)),
                &["$VAC,", ",", ","],
                1,
                800.5,
            ),
            (
                "blanks of any number",
                lines(|i| format!("{:>6} {:>8.3}  ok", i, 0.95 - 0.01 * i as f64)),
                &["", ""],
                1,
                0.95,
            ),
            (
                "decimal commas",
                lines(|i| format!("0,{} ; 21,{i}", 950 - i)),
                &["", ";"],
                0,
                0.95,
            ),
            (
                "nothing but a decimal comma",
                lines(|i| format!("0,{}", 950 - i)),
                &[""],
                0,
                0.95,
            ),
            (
                "powers of ten and a unit that may mean two things",
                lines(|i| format!("{}.5E-1psi", 140 + i)),
                &[""],
                0,
                14.05,
            ),
            (
                "a clock in front",
                lines(|i| format!("2026-03-14 09:15:{:02} {} ok", i, 990 - i * i)),
                &["", ":", ":", ""],
                3,
                990.0,
            ),
            (
                "a sign of a quote and a byte that is no text",
                lines(|i| format!("'p' {} \u{b5}", 500 - i * i)),
                &["\\'p\\'"],
                0,
                500.0,
            ),
        ] {
            let Some(layout) = Layout::of(&heard) else {
                assert!(labels.is_empty(), "{what}: no layout");
                continue;
            };
            let found: Vec<&str> = layout.columns.iter().map(|c| c.label.as_str()).collect();
            assert_eq!(found, labels, "{what}: {layout:?}");
            assert_eq!(layout.likely_pressure(), pressure, "{what}: {layout:?}");
            let values = read(&heard, &layout, pressure);
            assert_eq!(values.len(), 8, "{what}: {}", layout.pattern(pressure));
            assert_eq!(values[0], first, "{what}");
        }
    }

    #[test]
    fn what_has_no_numbers_in_common_has_no_layout() {
        assert_eq!(Layout::of(b""), None);
        assert_eq!(
            Layout::of(&lines(|i| format!("status {}", "x".repeat(i)))),
            None
        );
        assert_eq!(
            Layout::of(b"x\r\n1\r\n2\r\n"),
            None,
            "two lines are too few"
        );
    }

    #[test]
    fn a_clock_and_a_constant_are_told_from_what_moves() {
        let layout =
            Layout::of(&lines(|i| format!("{};5;{}", 10 * i, 1000 - i * i))).expect("columns");
        let behaviours: Vec<Behaviour> = layout.columns.iter().map(Column::behaviour).collect();
        assert_eq!(
            behaviours,
            [Behaviour::CountsUp, Behaviour::Constant, Behaviour::Moves]
        );
    }
}
