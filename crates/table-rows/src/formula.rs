//! Cells that a spreadsheet would run.

/// True for a text that some spreadsheet would run as the start of a cell. A
/// quotation mark before the sign is taken off there, so it is passed over.
///
/// ```
/// assert!(table_rows::begins_a_formula(" =1+1"));
/// assert!(!table_rows::begins_a_formula("drier renewed"));
/// ```
#[must_use]
pub fn begins_a_formula(text: &str) -> bool {
    let blank =
        |c: char| c.is_whitespace() || c.is_control() || matches!(c, '"' | '\u{feff}' | '\u{200b}');
    let sign = [
        '=', '+', '-', '@', '|', '%', '\'', '＝', '＋', '－', '＠', '｜', '％',
    ];
    text.trim_start_matches(blank).starts_with(sign)
}
