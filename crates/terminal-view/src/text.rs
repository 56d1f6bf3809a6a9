//! Putting words on a screen: wrapped, shortened, placed.

use ratatui::{buffer::Buffer, style::Style, text::Span};
use wording::Voice;

/// Columns a text takes.
pub(crate) fn width(text: &str) -> usize {
    Span::raw(text).width()
}

/// `text` in at most `most` columns, its cut shown: between two words, unless the first
/// alone is too long.
pub(crate) fn shortened(text: &str, most: usize) -> String {
    if width(text) <= most {
        return text.to_owned();
    }
    let mut short = String::new();
    let mut whole = None;
    for sign in text.chars() {
        if sign == ' ' {
            whole = Some(short.len());
        }
        if width(&short) + width(sign.encode_utf8(&mut [0; 4])) + 1 > most {
            break;
        }
        short.push(sign);
    }
    if let Some(end) = whole {
        short.truncate(end);
        let end = short.trim_end_matches([' ', ',', '·', ';', ':']).len();
        short.truncate(end);
        if width(&short) + 2 <= most {
            short.push(' ');
        }
    }
    if most > 0 {
        short.push('…');
    }
    short
}

/// `text` in lines of at most `most` columns, broken at blanks.
pub(crate) fn wrapped(text: &str, most: usize) -> Vec<String> {
    let most = most.max(1);
    let mut lines: Vec<String> = Vec::new();
    for word in text.split([' ', '\n', '\t']).filter(|w| !w.is_empty()) {
        match lines.last_mut() {
            Some(line) if width(line) + 1 + width(word) <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    // blanks that do not break have done their work
    let whole = |line: String| shortened(&line.replace('\u{a0}', " "), most);
    lines.into_iter().map(whole).collect()
}

/// Lines with their looks.
pub(crate) type Lines = Vec<(String, Style)>;

/// Adds a text, wrapped.
pub(crate) fn add(lines: &mut Lines, what: &str, width: usize, style: Style) {
    lines.extend(wrapped(what, width).into_iter().map(|l| (l, style)));
}

/// Parts one after another with a dot between, as many as fit; those in front matter
/// most.
pub(crate) fn joined(parts: &[String], most: usize) -> String {
    let mut line = String::new();
    for part in parts.iter().filter(|p| !p.is_empty()) {
        let sep = if line.is_empty() { "" } else { " · " };
        if width(&line) + width(sep) + width(part) > most {
            if line.is_empty() {
                return shortened(part, most);
            }
            continue;
        }
        line.push_str(sep);
        line.push_str(part);
    }
    line
}

/// Parts one after another with a dot between, all of them, in as many lines as they take.
pub(crate) fn flowed(parts: &[String], most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for part in parts.iter().filter(|p| !p.is_empty()) {
        match lines.last_mut() {
            Some(line) if width(line) + 3 + width(part) <= most => {
                line.push_str(" · ");
                line.push_str(part);
            }
            _ => lines.extend(wrapped(part, most)),
        }
    }
    lines
}

/// Puts a text at a place, never beyond `most` columns or the buffer.
pub(crate) fn put(buffer: &mut Buffer, x: u16, y: u16, most: u16, text: &str, style: Style) {
    let area = buffer.area;
    if x >= area.right() || y >= area.bottom() || x < area.x || y < area.y {
        return;
    }
    let most = most.min(area.right() - x);
    buffer.set_stringn(x, y, text, usize::from(most), style);
}

/// Bytes as people say them.
pub(crate) fn bytes(voice: &Voice, count: u64) -> String {
    const KILO: f64 = 1_000.0;
    let count = count as f64;
    match count {
        c if c < KILO * KILO => format!("{:.0} kB", c / KILO),
        c if c < KILO.powi(3) => format!("{:.0} MB", c / KILO.powi(2)),
        c if c < 10.0 * KILO.powi(3) => format!("{} GB", voice.decimals(c / KILO.powi(3), 1)),
        c if c < KILO.powi(4) => format!("{:.0} GB", c / KILO.powi(3)),
        c => format!("{} TB", voice.decimals(c / KILO.powi(4), 1)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_broken_at_blanks_and_never_too_wide() {
        let text = "Shut the pump-side valve first, then stop the pump.";
        for most in 1..60 {
            let lines = wrapped(text, most);
            assert!(lines.iter().all(|l| width(l) <= most), "{most}: {lines:?}");
        }
        assert_eq!(wrapped(text, 26).join(" "), text);
        assert_eq!(wrapped("", 9), [""; 0]);
        assert_eq!(shortened("漢字漢字", 5), "漢字…");
        // no word is broken where another stands before it
        let hold = "180 micron · rising 32/min · hold, 7 min left";
        assert_eq!(shortened(hold, 31), "180 micron · rising 32/min …");
        assert_eq!(shortened(hold, 36), "180 micron · rising 32/min · hold …");
        for most in 12..60 {
            let short = shortened(hold, most);
            let kept = short.trim_end_matches(['…', ' ']);
            let rest = &hold[kept.len()..];
            assert!(rest.is_empty() || rest.starts_with([' ', ',']), "{short}");
        }
    }

    #[test]
    fn what_does_not_fit_is_left_out_from_behind() {
        let parts = [
            "468 micron".to_owned(),
            String::new(),
            "falling 95/min".into(),
        ];
        assert_eq!(joined(&parts, 80), "468 micron · falling 95/min");
        assert_eq!(joined(&parts, 20), "468 micron");
        assert_eq!(joined(&parts, 5), "468 …");
    }

    #[test]
    fn what_does_not_fit_on_a_line_goes_to_the_next() {
        let parts = ["HOLD 0:20 of 10:00", "", "9 min left", "round 2"].map(String::from);
        assert_eq!(
            flowed(&parts, 80),
            ["HOLD 0:20 of 10:00 · 9 min left · round 2"]
        );
        assert_eq!(
            flowed(&parts, 32),
            ["HOLD 0:20 of 10:00 · 9 min left", "round 2"]
        );
        assert_eq!(flowed(&parts, 12)[..2], ["HOLD 0:20 of", "10:00"]);
    }

    #[test]
    fn times_and_sizes_in_plain_words() {
        let english = Voice::default();
        assert_eq!(bytes(&english, 72_000_000_000), "72 GB");
        assert_eq!(bytes(&english, 1_500_000_000), "1.5 GB");
        let german = Voice {
            language: vacuum::Language::German,
            ..english
        };
        assert_eq!(bytes(&german, 1_500_000_000), "1,5 GB");
    }
}
