//! A cell as it can be shown.

/// A cell as it can be shown inside a message: one line, at most 40 characters.
/// Bytes that are no UTF-8 and control characters are shown as U+FFFD.
///
/// ```
/// assert_eq!(table_rows::excerpt(b"  over\trange "), "over\u{fffd}range");
/// ```
#[must_use]
pub fn excerpt(cell: &[u8]) -> String {
    let text = String::from_utf8_lossy(&cell[..cell.len().min(400)]);
    let mut out = String::new();
    for (i, c) in text.trim().chars().enumerate() {
        if i == 40 {
            out.push('…');
            break;
        }
        out.push(if c.is_control() { '\u{fffd}' } else { c });
    }
    out
}
