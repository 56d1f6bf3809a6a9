//! Rows as JSON lines, and back: parts that were made apart become one table.

use std::io::{self, BufRead, Write};

use serde_json::Value;

use crate::row::Row;

/// Writes an object a line. Where not all was read, a last object says so:
/// `{"partial": "…"}`.
///
/// # Errors
/// Those of the writer.
pub fn write_json_lines(
    mut out: impl Write,
    rows: &[Row],
    partial: Option<&str>,
) -> io::Result<()> {
    for row in rows {
        serde_json::to_writer(&mut out, row)?;
        out.write_all(b"\n")?;
    }
    if let Some(partial) = partial {
        serde_json::to_writer(&mut out, &serde_json::json!({ "partial": partial }))?;
        out.write_all(b"\n")?;
    }
    out.flush()
}

/// Reads rows back, and what was said of missing ones.
///
/// # Errors
/// When a line is none of these, in words with its number.
pub fn read_json_lines(from: impl BufRead) -> Result<(Vec<Row>, Vec<String>), String> {
    let (mut rows, mut partial) = (Vec::new(), Vec::new());
    for (place, line) in from.lines().enumerate() {
        let number = place + 1;
        let line = line.map_err(|e| format!("line {number}: {}", plain_file::io_words(&e)))?;
        if line.trim().is_empty() {
            continue;
        }
        if let Ok(row) = serde_json::from_str::<Row>(&line) {
            rows.push(row);
            continue;
        }
        let other: Value = serde_json::from_str(&line).unwrap_or_default();
        match other["partial"].as_str() {
            Some(words) => partial.push(words.to_owned()),
            None => {
                return Err(format!(
                    "line {number} is no row of this desk: give files that desk --json made"
                ));
            }
        }
    }
    Ok((rows, partial))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::row::RowKind;

    #[test]
    fn rows_come_back_to_the_last_digit() {
        let row = Row {
            lowest_micron: Some(0.1 + 0.2),
            confidence: Some(1.0 / 3.0),
            ..Row::new("a".into(), RowKind::Run)
        };
        let mut out = Vec::new();
        write_json_lines(&mut out, std::slice::from_ref(&row), Some("1 of 2")).expect("written");
        let (back, partial) = read_json_lines(out.as_slice()).expect("read");
        assert_eq!((back, partial), (vec![row], vec!["1 of 2".to_owned()]));
        let error = read_json_lines(b"\n{}\n".as_slice()).expect_err("no row");
        assert!(error.starts_with("line 2 "), "{error}");
    }
}
