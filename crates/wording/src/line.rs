//! Text that somebody typed, on one line of its own.

/// Space that does not break, and the narrow one between thousands.
pub const NO_BREAK: [char; 2] = ['\u{A0}', '\u{202F}'];

/// One line of plain text: control and direction characters removed, white
/// space folded (spaces that do not break stay), at most `max_chars` characters (an
/// ellipsis shows the cut).
#[must_use]
pub fn one_line(text: &str, max_chars: usize) -> String {
    let mut out = String::new();
    let mut count = 0;
    let visible = text.chars().map(|c| match c {
        c if NO_BREAK.contains(&c) => c,
        c if c.is_whitespace() => ' ',
        c => c,
    });
    for c in visible.filter(|c| is_printable(*c)) {
        if c == ' ' && (out.is_empty() || out.ends_with(' ')) {
            continue;
        }
        if count == max_chars {
            cut_at_word(&mut out);
            return out;
        }
        out.push(c);
        count += 1;
    }
    out.truncate(out.trim_end().len());
    out
}

/// Ends a line that was cut: behind its last whole word when that is near, so
/// that no number is left half.
fn cut_at_word(line: &mut String) {
    const NEAR: usize = 24;
    match line.rfind(' ') {
        Some(at) if line.len() - at <= NEAR => line.truncate(at + 1),
        _ => {
            line.pop();
        }
    }
    line.push('…');
}

/// Characters that XML 1.0 forbids, and those that reorder or hide text.
#[must_use]
pub fn is_printable(c: char) -> bool {
    let reorders = matches!(c,
        '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}');
    // stacked combining marks would paint over the neighbouring lines
    let stacks = matches!(c,
        '\u{0300}'..='\u{036F}' | '\u{0483}'..='\u{0489}' | '\u{1AB0}'..='\u{1AFF}'
        | '\u{1DC0}'..='\u{1DFF}' | '\u{20D0}'..='\u{20FF}' | '\u{FE20}'..='\u{FE2F}');
    !(c.is_control() || reorders || stacks || matches!(c, '\u{FFFE}' | '\u{FFFF}'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_line_folds_cuts_and_cleans() {
        assert_eq!(one_line("  a\n\tb\u{202E}\u{7}  c ", 80), "a b c");
        assert_eq!(one_line("abcdef", 3), "ab…");
        assert_eq!(one_line("abc", 3), "abc");
        assert_eq!(one_line("below 4,588 micron", 10), "below …");
        assert_eq!(
            one_line("1\u{202F}234,5 \u{A0}%", 80),
            "1\u{202F}234,5 \u{A0}%"
        );
        assert_eq!(one_line("Z\u{0321}\u{0335}o", 9), "Zo");
    }
}
