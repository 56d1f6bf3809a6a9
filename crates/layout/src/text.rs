//! Text of pictures and of the page for the screen: wrapping, shortening, escaping.

use wording::{NO_BREAK, is_printable};

use crate::font::width_on_screen;

/// Shortens `text` until it fits `max_px`.
pub fn fit(text: &str, max_px: f64, size_px: f64, bold: bool) -> String {
    if width_on_screen(text, size_px, bold) <= max_px {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        while kept.last().is_some_and(|c| *c == ' ') {
            kept.pop();
        }
        let mut shorter: String = kept.iter().collect();
        shorter.push('…');
        if width_on_screen(&shorter, size_px, bold) <= max_px {
            return shorter;
        }
    }
    String::new()
}

/// Breaks `text` into at most `max_lines` lines of at most `max_px`; what does
/// not fit ends in an ellipsis.
pub fn wrap(text: &str, max_px: f64, size_px: f64, bold: bool, max_lines: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let words = glued(text);
    let mut words = words.iter();
    while let Some(word) = words.next() {
        let longer = if line.is_empty() {
            word.clone()
        } else {
            format!("{line} {word}")
        };
        if width_on_screen(&longer, size_px, bold) <= max_px {
            line = longer;
            continue;
        }
        if lines.len() + 1 >= max_lines {
            let rest: String = words.map(|w| format!(" {w}")).collect();
            lines.push(fit(&format!("{longer}{rest}"), max_px, size_px, bold));
            return lines;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = fit(word, max_px, size_px, bold);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Where a line may be broken.
fn breaks(c: char) -> bool {
    c.is_whitespace() && !NO_BREAK.contains(&c)
}

/// True when `word` is the unit of the number that `before` ends in.
fn is_unit_of(before: &str, word: &str) -> bool {
    const UNITS: [&str; 7] = ["micron", "Pa", "mbar", "inHg", "min", "s", "h"];
    let letters: String = word.chars().take_while(char::is_ascii_alphabetic).collect();
    before.ends_with(|c: char| c.is_ascii_digit()) && UNITS.contains(&letters.as_str())
}

/// Words of `text`; a power of ten ("2.2 × 10⁻⁶") counts as one, and so do a number
/// and its unit.
pub fn glued(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(breaks).filter(|w| !w.is_empty()) {
        match words.last_mut() {
            Some(last) if word == "×" || last.ends_with('×') || is_unit_of(last, word) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Like [`wrap`], with lines of about equal length: no last line of one word.
pub fn wrap_evenly(
    text: &str,
    max_px: f64,
    size_px: f64,
    bold: bool,
    max_lines: usize,
) -> Vec<String> {
    let widest = wrap(text, max_px, size_px, bold, max_lines);
    (12..20_u32)
        .map(|twentieths| max_px * f64::from(twentieths) / 20.0)
        .map(|narrower| wrap(text, narrower, size_px, bold, max_lines))
        .find(|lines| {
            lines.len() == widest.len()
                && lines.last() != widest.last()
                && !lines.iter().any(|l| l.contains('…'))
        })
        .unwrap_or(widest)
}

/// Escapes text for element content and double-quoted attributes of XML and
/// HTML; what XML cannot carry is left out.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(' '),
            c if is_printable(c) => out.push(c),
            _ => {}
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fit_and_wrap_keep_to_the_width() {
        let text = "the pressure went above the ceiling during the hold";
        for max in [30.0, 80.0, 150.0, 1000.0] {
            assert!(width_on_screen(&fit(text, max, 12.0, true), 12.0, true) <= max);
            for lines in 1..4 {
                let wrapped = wrap(text, max, 12.0, false, lines);
                assert!(wrapped.len() <= lines);
                assert!(
                    wrapped
                        .iter()
                        .all(|l| width_on_screen(l, 12.0, false) <= max)
                );
            }
        }
        assert_eq!(wrap("a b", 1000.0, 12.0, false, 2), ["a b"]);
        assert_eq!(
            wrap("a 2 × 10⁻⁶ u", 58.0, 12.0, false, 4),
            ["a", "2 × 10⁻⁶", "u"]
        );
    }

    #[test]
    fn escape_leaves_no_markup() {
        assert_eq!(
            escape("<a href=\"x\" b='y'>&\u{0}"),
            "&lt;a href=&quot;x&quot; b=&#39;y&#39;&gt;&amp;"
        );
    }
}
