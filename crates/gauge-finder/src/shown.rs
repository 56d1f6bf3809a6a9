//! What was heard, as lines that a person can read.

/// Bytes in a row of hexadecimal digits.
const ROW_BYTES: usize = 16;
/// Longest line shown, characters.
const LONGEST: usize = 100;
/// Share of bytes that must be text for lines to be shown.
const TEXT_SHARE: f64 = 0.7;

/// The last lines of `heard`, at most so many: text escaped as in Rust (`\r\n`, `\xB5`),
/// bytes that are mostly no text in hexadecimal digits.
pub(crate) fn heard_lines(heard: &[u8], most: usize) -> Vec<String> {
    let text = heard.iter().filter(|b| is_text(**b)).count() as f64;
    if text < TEXT_SHARE * heard.len() as f64 {
        let from = heard.len().saturating_sub(ROW_BYTES * most);
        let rows = heard.get(from..).unwrap_or_default().chunks(ROW_BYTES);
        return rows.map(hex).collect();
    }
    let lines = raw_lines(heard);
    let from = lines.len().saturating_sub(most);
    let last = lines.into_iter().skip(from);
    last.map(|line| cut(&line.escape_ascii().to_string()))
        .collect()
}

fn hex(row: &[u8]) -> String {
    let pairs: Vec<String> = row.iter().map(|b| format!("{b:02X}")).collect();
    pairs.join(" ")
}

fn cut(line: &str) -> String {
    match line.char_indices().nth(LONGEST) {
        Some((at, _)) => format!("{} …", line.get(..at).unwrap_or_default()),
        None => line.to_owned(),
    }
}

const fn is_text(byte: u8) -> bool {
    matches!(byte, b' '..=b'~' | b'\t' | b'\r' | b'\n')
}

const fn ends_line(byte: u8) -> bool {
    matches!(byte, b'\r' | b'\n')
}

/// Lines with the bytes that end them; the first and the last may be cut.
fn raw_lines(heard: &[u8]) -> Vec<&[u8]> {
    let mut lines = Vec::new();
    let mut start = 0;
    for (at, byte) in heard.iter().enumerate() {
        let next = heard.get(at + 1).copied().unwrap_or(0);
        if ends_line(*byte) && !ends_line(next) {
            lines.push(heard.get(start..=at).unwrap_or_default());
            start = at + 1;
        }
    }
    let rest = heard.get(start..).unwrap_or_default();
    if !rest.is_empty() {
        lines.push(rest);
    }
    lines
}

/// Lines that are whole, without their ends and the blanks around them; blank ones are
/// left out.
pub(crate) fn whole_lines(heard: &[u8]) -> Vec<&[u8]> {
    let first = heard.iter().position(|b| ends_line(*b));
    let last = heard.iter().rposition(|b| ends_line(*b));
    let (Some(first), Some(last)) = (first, last) else {
        return Vec::new();
    };
    let inside = heard.get(first..=last).unwrap_or_default();
    let lines = inside.split(|b| ends_line(*b)).map(<[u8]>::trim_ascii);
    lines.filter(|line| !line.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_escaped_and_bytes_are_hexadecimal() {
        let heard = b"3.2;x\r\nPV=1013.2;T=21\r\n\r\nPV=10\xb5\x1b[2J";
        assert_eq!(
            heard_lines(heard, 2),
            [r"PV=1013.2;T=21\r\n\r\n", r"PV=10\xb5\x1b[2J"]
        );
        assert_eq!(heard_lines(&[0xA5, 0x5A, 0, 1, 200], 4), ["A5 5A 00 01 C8"]);
        assert_eq!(heard_lines(&[0xFF; 100], 2).len(), 2);
        assert_eq!(heard_lines(b"", 3), [""; 0]);
        let long = heard_lines(&b"x".repeat(1_000), 3);
        assert!(long[0].ends_with(" …") && long[0].len() < 120, "{long:?}");
    }

    #[test]
    fn the_cut_lines_at_both_ends_do_not_count() {
        let heard = b"13.2\r\n 512.3 \r\n\r\n511\n50";
        assert_eq!(whole_lines(heard), [&b"512.3"[..], b"511"]);
        assert!(whole_lines(b"no end").is_empty());
    }
}
