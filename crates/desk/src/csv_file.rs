//! The table as CSV, in cells that no spreadsheet runs.

use std::io::Write;

use table_rows::begins_a_formula;

use crate::{
    columns::{COLUMNS, Cell},
    row::Row,
};

/// Writes rows as CSV (RFC 4180, UTF-8), a header row first. A text that a spreadsheet would
/// run gets a `'` before it; line ends and control characters become blanks. Where not all was
/// read, a last row says so in its first cell.
///
/// # Errors
/// Those of the writer.
pub fn write_csv(out: impl Write, rows: &[Row], partial: Option<&str>) -> std::io::Result<()> {
    let mut csv = csv::Writer::from_writer(out);
    csv.write_record(COLUMNS.iter().map(|column| column.name))?;
    for row in rows {
        csv.write_record(COLUMNS.iter().map(|column| safe(&column.of(row))))?;
    }
    if let Some(partial) = partial {
        let rest = COLUMNS.iter().skip(1).map(|_| String::new());
        csv.write_record([format!("PARTIAL: {partial}")].into_iter().chain(rest))?;
    }
    csv.flush()
}

fn safe(cell: &Cell) -> String {
    let Cell::Text(text) = cell else {
        return cell.shown();
    };
    let harmless = |c: char| if c.is_control() { ' ' } else { c };
    let mut plain: String = String::with_capacity(text.len() + 1);
    if begins_a_formula(text) {
        plain.push('\'');
    }
    for (at, c) in text.char_indices() {
        let rest = text.get(at + c.len_utf8()..).unwrap_or_default();
        // a spreadsheet that takes semicolons for the end of a cell would begin one there
        match c == ';' && begins_a_formula(rest) {
            true => plain.push(','),
            false => plain.push(harmless(c)),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::row::RowKind;

    #[test]
    fn a_spreadsheet_is_given_nothing_to_run() {
        let row = Row {
            job: Some("=cmd|' /C calc'!A0".into()),
            serial: Some("@SUM(1)".into()),
            repair: Some("drier; =1+1\nrenewed, \"new\"".into()),
            ambient_c: Some(-5.0),
            ..Row::new("-x".into(), RowKind::Run)
        };
        let mut out = Vec::new();
        write_csv(&mut out, &[row], Some("1 of 2 read")).expect("written");
        let text = String::from_utf8(out).expect("UTF-8");
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 3, "{text}");
        assert!(lines[0].starts_with("path,kind,job,started"), "{text}");
        assert!(
            lines[1].starts_with("'-x,run,'=cmd|' /C calc'!A0,"),
            "{text}"
        );
        assert!(lines[1].contains(",'@SUM(1),"), "{text}");
        assert!(
            lines[1].contains("\"drier, =1+1 renewed, \"\"new\"\"\""),
            "{text}"
        );
        assert!(lines[1].contains(",-5,"), "{text}");
        assert!(lines[2].starts_with("PARTIAL: 1 of 2 read,"), "{text}");
    }
}
