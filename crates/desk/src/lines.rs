//! The table for a terminal.

use console::harmless;

use crate::{
    cut::cut,
    flag::FlagCode,
    row::{Row, SealState},
};

/// Longest job number that is shown whole, characters.
const LONGEST_JOB: usize = 24;
/// Columns of a line but for job, flags and path, with what is between them.
const OTHERS: usize = 10 + 2 + 2 + 10 + 2 + 13 + 2 + 6 + 2 + 9;
/// Least room for a path.
const LEAST_PATH: usize = 20;
/// Before what gets a line of its own.
const INDENT: &str = "    ";

/// Colours of a terminal (ECMA-48, select graphic rendition); what they mark is in words too.
#[derive(Debug, Clone, Copy)]
enum Colour {
    Red,
    Green,
    Yellow,
    Plain,
}

impl Colour {
    fn paint(self, text: &str, colours: bool) -> String {
        let code = match self {
            Self::Red => 31,
            Self::Green => 32,
            Self::Yellow => 33,
            Self::Plain => return text.to_owned(),
        };
        match colours && !text.trim().is_empty() {
            true => format!("\u{1b}[{code}m{text}\u{1b}[0m"),
            false => text.to_owned(),
        }
    }
}

/// The table in at most `columns` (60 at least), a line a row, harmless for a terminal but for the colours.
/// Paths come last and keep their ends; where there is no room for flags and path together, the
/// two get lines of their own.
#[must_use]
pub fn table_lines(rows: &[Row], columns: usize, colours: bool) -> Vec<String> {
    if rows.is_empty() {
        return Vec::new();
    }
    let job = |row: &Row| {
        row.job
            .as_deref()
            .map_or("—".into(), |j| harmless(j).into_owned())
    };
    let widest = |of: &dyn Fn(&Row) -> String, least: usize| {
        let widths = rows.iter().map(|row| of(row).chars().count());
        widths.max().unwrap_or(0).max(least)
    };
    let jobs = widest(&job, 3)
        .min(LONGEST_JOB)
        .min(columns.saturating_sub(OTHERS).max(3));
    let used = OTHERS + jobs + 2;
    let look = widest(&looked_at, 7).min(columns / 3).max(7);
    let in_one = columns >= used + look + 2 + LEAST_PATH;
    let head = format!(
        "{:<10}  {:<jobs$}  {:<10}  {:>13}  {:>6}  {:<9}",
        "started", "job", "verdict", "lowest micron", "hold", "seal"
    );
    let mut lines = vec![match in_one {
        true => format!("{head}  {:<look$}  record", "look at"),
        false => head.trim_end().to_owned(),
    }];
    for row in rows {
        let started = row.started.as_deref().and_then(|s| s.get(..10));
        let (verdict, colour) = verdict(row);
        let lowest = row.lowest_micron.map_or("—".into(), |p| format!("{p:.0}"));
        let hold = row.hold_min.map_or("—".into(), |m| format!("{m:.0} min"));
        let seal_colour = match row.seal {
            SealState::Good => Colour::Green,
            SealState::Broken => Colour::Red,
            SealState::OtherKey | SealState::None => Colour::Yellow,
        };
        let first = format!(
            "{:<10}  {:<jobs$}  {}  {lowest:>13}  {hold:>6}  {}",
            harmless(started.unwrap_or("—")),
            cut(&job(row), jobs),
            colour.paint(&format!("{verdict:<10}"), colours),
            seal_colour.paint(&format!("{:<9}", row.seal.word()), colours),
        );
        let path = harmless(&row.path);
        if in_one {
            let flags = format!("{:<look$}", cut(&looked_at(row), look));
            let flags = flag_colour(row).paint(&flags, colours);
            let path = end_of(&path, columns - used - look - 2);
            lines.push(format!("{first}  {flags}  {path}"));
            lines.extend(against(row, columns));
            continue;
        }
        let room = columns.saturating_sub(INDENT.len()).max(LEAST_PATH);
        let flags = cut(&looked_at(row), room);
        lines.push(first);
        lines.extend(against(row, columns));
        lines.push(format!("{INDENT}{}", end_of(&path, room)));
        lines.push(format!(
            "{INDENT}{}",
            flag_colour(row).paint(&flags, colours)
        ));
    }
    lines
}

/// "12 records: 8 pass, 2 fail, 1 not proven, 1 unreadable; 3 to look at: 2 seal_broken, …".
#[must_use]
pub fn closing_line(rows: &[Row], shown: usize) -> String {
    let count = |of: &dyn Fn(&Row) -> bool| rows.iter().filter(|row| of(row)).count();
    let verdict = |word: &'static str| count(&|row| row.verdict.as_deref() == Some(word));
    let mut parts = vec![
        (verdict("pass"), "pass"),
        (verdict("fail"), "fail"),
        (verdict("not_proven"), "not proven"),
        (count(&|row| row.unreadable.is_some()), "unreadable"),
    ];
    parts.retain(|(count, _)| *count > 0);
    let verdicts: Vec<String> = parts
        .iter()
        .map(|(n, word)| format!("{n} {word}"))
        .collect();
    let flags: Vec<String> = FlagCode::ALL
        .into_iter()
        .map(|code| (count(&|row| row.flags.iter().any(|f| f.code == code)), code))
        .filter(|(count, _)| *count > 0)
        .map(|(count, code)| format!("{count} {}", code.word().replace('_', " ")))
        .collect();
    let records = match rows.len() {
        1 => "1 record".to_owned(),
        n => format!("{n} records"),
    };
    let mut line = match verdicts.is_empty() {
        true => records,
        false => format!("{records}: {}", verdicts.join(", ")),
    };
    if !flags.is_empty() {
        line.push_str("; to look at: ");
        line.push_str(&flags.join(", "));
    }
    if shown < rows.len() {
        line.push_str(&format!("; {shown} shown"));
    }
    line + "."
}

/// What stands against a pass: nobody reads the word without it.
fn reservation(row: &Row) -> Option<&str> {
    let passes = row.verdict.as_deref() == Some("pass") && row.unreadable.is_none();
    let headline = row.headline.as_deref().filter(|_| passes)?;
    Some(headline).filter(|headline| *headline != "PASS")
}

/// The same as a line of its own.
fn against(row: &Row, columns: usize) -> Option<String> {
    let words = harmless(reservation(row)?);
    let room = columns.saturating_sub(INDENT.len()).max(LEAST_PATH);
    Some(format!("{INDENT}{}", cut(&words, room)))
}

fn verdict(row: &Row) -> (String, Colour) {
    match (row.verdict.as_deref(), &row.unreadable) {
        (_, Some(_)) => ("unreadable".into(), Colour::Red),
        (Some("pass"), _) if reservation(row).is_some() => ("pass".into(), Colour::Yellow),
        (Some("pass"), _) => ("pass".into(), Colour::Green),
        (Some("fail"), _) => ("fail".into(), Colour::Red),
        (Some(other), _) => (other.replace('_', " "), Colour::Yellow),
        (None, _) => ("—".into(), Colour::Plain),
    }
}

/// The codes of its flags, or why it was not read.
fn looked_at(row: &Row) -> String {
    let codes = row
        .flags
        .iter()
        .map(|flag| flag.code.word().replace('_', " "));
    let all: Vec<String> = codes.collect();
    match (&row.unreadable, all.is_empty()) {
        (Some(why), _) => harmless(why).into_owned(),
        (None, true) => "—".into(),
        (None, false) => all.join(", "),
    }
}

fn flag_colour(row: &Row) -> Colour {
    let grave = [FlagCode::SealBroken, FlagCode::CurveCopied];
    match row.flags.first() {
        Some(flag) if grave.contains(&flag.code) => Colour::Red,
        Some(_) => Colour::Yellow,
        None => Colour::Plain,
    }
}

/// The end of a path, which tells records apart.
fn end_of(path: &str, most: usize) -> String {
    let length = path.chars().count();
    match length <= most {
        true => path.to_owned(),
        false => std::iter::once('…')
            .chain(path.chars().skip(length + 1 - most.max(1)))
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::row::RowKind;

    fn rows() -> Vec<Row> {
        let mut broken = Row {
            job: Some("INVENTED-0042\u{1b}[2J".into()),
            started: Some("2026-03-14T09:15:00+00:00".into()),
            verdict: Some("pass".into()),
            lowest_micron: Some(182.4),
            hold_min: Some(14.6),
            seal: SealState::Broken,
            ..Row::new(
                "claims/november/20260314T091500Z-INVENTED-0042".into(),
                RowKind::Run,
            )
        };
        broken.flag(FlagCode::SealBroken, "changed");
        broken.flag(FlagCode::Invented, "invented");
        let unreadable = Row {
            unreadable: Some("it is empty".into()),
            ..Row::new("claims/x.csv".into(), RowKind::Table)
        };
        vec![broken, unreadable]
    }

    #[test]
    fn a_table_fits_and_colours_only_colour() {
        for columns in [64, 80, 100, 120, 200, 10_000] {
            let plain = table_lines(&rows(), columns, false);
            let widest = plain.iter().map(|l| l.chars().count()).max();
            assert!(widest <= Some(columns), "{columns}: {plain:#?}");
            assert!(!plain.concat().contains('\u{1b}'), "{plain:#?}");
            let mut painted = table_lines(&rows(), columns, true).join("\n");
            for code in ["\u{1b}[31m", "\u{1b}[32m", "\u{1b}[33m", "\u{1b}[0m"] {
                painted = painted.replace(code, "");
            }
            assert_eq!(painted, plain.join("\n"));
        }
        let wide = table_lines(&rows(), 10_000, false);
        assert!(wide[1].contains("seal broken, invented"), "{wide:#?}");
        assert!(
            wide[2].contains("unreadable") && wide[2].contains("it is empty"),
            "{wide:#?}"
        );
        assert_eq!(table_lines(&[], 80, false), [""; 0]);
    }

    #[test]
    fn nobody_reads_pass_without_what_stands_against_it() {
        let said = |headline: &str| {
            let row = Row {
                verdict: Some("pass".into()),
                headline: Some(headline.into()),
                ..Row::new("claims/one".into(), RowKind::Run)
            };
            [70, 200].map(|columns| table_lines(std::slice::from_ref(&row), columns, false))
        };
        let leaking = "PASS by the rule; a leak is indicated: 0.24 to 8.8 micron/min";
        for lines in said(leaking) {
            assert_eq!(lines[2].trim(), leaking, "{lines:#?}");
        }
        for lines in said("PASS") {
            assert!(!lines.concat().contains("PASS"), "{lines:#?}");
        }
    }

    #[test]
    fn the_last_line_counts() {
        assert_eq!(
            closing_line(&rows(), 1),
            "2 records: 1 pass, 1 unreadable; to look at: 1 seal broken, 1 invented; 1 shown."
        );
    }
}
