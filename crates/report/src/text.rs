//! Text without a font: conservative widths, wrapping, shortening, escaping.

use wording::{NO_BREAK, is_printable};

/// Advance widths of the printable ASCII characters, thousandths of the font
/// size: for each character the wider of DejaVu Sans 2.37 and Liberation Sans
/// 2.1 (read from their `hmtx` tables), so that either font fits.
const REGULAR: [u16; 95] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, 637, 637, 637,
    637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 557, 1016, 685, 687, 723, 771, 667,
    611, 778, 752, 295, 500, 667, 558, 863, 749, 788, 667, 788, 723, 667, 611, 732, 685, 989, 686,
    667, 686, 391, 337, 391, 838, 557, 500, 613, 635, 550, 635, 616, 353, 635, 634, 278, 278, 580,
    278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838,
];

/// The same for the bold faces.
const BOLD: [u16; 95] = [
    349, 457, 521, 838, 696, 1002, 873, 307, 458, 458, 523, 838, 380, 416, 380, 366, 696, 696, 696,
    696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 611, 1000, 774, 763, 734, 831, 684,
    684, 821, 837, 373, 557, 775, 638, 996, 837, 851, 733, 851, 771, 721, 683, 813, 774, 1104, 771,
    725, 726, 458, 366, 458, 838, 557, 500, 675, 716, 593, 716, 679, 436, 716, 712, 343, 343, 666,
    343, 1042, 712, 688, 716, 716, 494, 596, 479, 712, 652, 924, 646, 652, 583, 712, 366, 712, 838,
];

/// The same for U+00A0 to U+00FF, where the letters of western Europe are.
const LATIN: [u16; 96] = [
    318, 401, 637, 637, 637, 637, 337, 557, 500, 1000, 472, 612, 838, 361, 1000, 553, 500, 838,
    401, 401, 500, 637, 637, 318, 500, 401, 472, 612, 970, 970, 970, 611, 685, 685, 685, 685, 685,
    685, 1000, 723, 667, 667, 667, 667, 295, 295, 295, 295, 775, 749, 788, 788, 788, 788, 788, 838,
    788, 732, 732, 732, 732, 667, 667, 630, 613, 613, 613, 613, 613, 613, 982, 550, 616, 616, 616,
    616, 278, 278, 278, 278, 612, 634, 612, 612, 612, 612, 612, 838, 612, 634, 634, 634, 634, 592,
    635, 592,
];

/// The same for the bold faces.
const LATIN_BOLD: [u16; 96] = [
    349, 457, 696, 696, 637, 696, 366, 557, 500, 1000, 564, 646, 838, 416, 1000, 553, 500, 838,
    438, 438, 500, 736, 637, 380, 500, 438, 564, 646, 1036, 1036, 1036, 611, 774, 774, 774, 774,
    774, 774, 1085, 734, 684, 684, 684, 684, 373, 373, 373, 373, 838, 837, 851, 851, 851, 851, 851,
    838, 851, 813, 813, 813, 813, 725, 738, 720, 675, 675, 675, 675, 675, 675, 1048, 593, 679, 679,
    679, 679, 343, 343, 343, 343, 688, 712, 688, 688, 688, 688, 688, 838, 688, 712, 712, 712, 712,
    652, 716, 652,
];

/// Width of `text`, px, at font size `size_px`: never less than the real one
/// for Latin text, a safe guess for other scripts.
pub(crate) fn width(text: &str, size_px: f64, bold: bool) -> f64 {
    let (ascii, latin) = if bold {
        (&BOLD, &LATIN_BOLD)
    } else {
        (&REGULAR, &LATIN)
    };
    let thousandths: u32 = text
        .chars()
        .map(|c| u32::from(advance(c, ascii, latin)))
        .sum();
    f64::from(thousandths) / 1000.0 * size_px
}

fn advance(c: char, table: &[u16; 95], latin: &[u16; 96]) -> u16 {
    let code = u32::from(c);
    let in_latin = code.checked_sub(0xA0).and_then(|i| usize::try_from(i).ok());
    if let Some(known) = code
        .checked_sub(32)
        .and_then(|i| table.get(usize::try_from(i).ok()?))
    {
        return *known;
    }
    match c {
        '·' | '²' | '³' | '⁰' | '¹' => 440,
        '⁴'..='⁹' => 440,
        '⁻' | '°' | '–' => 560,
        'µ' | 'μ' => 740,
        '±' | '×' | '≤' | '≥' | '−' => 838,
        '\u{202F}' => 340,
        '’' => 380,
        '“' | '”' | '„' => 660,
        'Œ' | 'œ' => 1170,
        'Ā'..='ɏ' => 850,
        _ if in_latin.is_some_and(|i| i < latin.len()) => {
            in_latin.and_then(|i| latin.get(i)).copied().unwrap_or(1000)
        }
        _ if code < 0x2E80 => 1000,
        // ideographs and symbols beyond: at most square, with some air
        _ => 1200,
    }
}

/// Shortens `text` until it fits `max_px`.
pub(crate) fn fit(text: &str, max_px: f64, size_px: f64, bold: bool) -> String {
    if width(text, size_px, bold) <= max_px {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        while kept.last().is_some_and(|c| *c == ' ') {
            kept.pop();
        }
        let mut shorter: String = kept.iter().collect();
        shorter.push('…');
        if width(&shorter, size_px, bold) <= max_px {
            return shorter;
        }
    }
    String::new()
}

/// Breaks `text` into at most `max_lines` lines of at most `max_px`; what does
/// not fit ends in an ellipsis.
pub(crate) fn wrap(
    text: &str,
    max_px: f64,
    size_px: f64,
    bold: bool,
    max_lines: usize,
) -> Vec<String> {
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
        if width(&longer, size_px, bold) <= max_px {
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
pub(crate) fn glued(text: &str) -> Vec<String> {
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
pub(crate) fn wrap_evenly(
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
pub(crate) fn escape(text: &str) -> String {
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
    fn widths_never_fall_below_two_real_fonts() {
        // (text, DejaVu Sans, Liberation Sans) widths at size 1000, measured
        // with fontTools 4 from the fonts' hmtx tables
        let measured = [
            ("pump-side valve shut", 10_793.0, 9_449.3),
            ("1,000,000", 5_089.4, 4_448.8),
            ("Öl schäumt", 5_700.2, 5_057.2),
            ("évacué à 1 234 °C", 9_246.1, 8_238.8),
        ];
        for (text, dejavu, liberation) in measured {
            let ours = width(text, 1000.0, false);
            assert!(ours >= dejavu && ours >= liberation, "{text}: {ours}");
            assert!(ours < 1.15 * dejavu, "{text}: {ours} is wasteful");
        }
    }

    #[test]
    fn fit_and_wrap_keep_to_the_width() {
        let text = "the pressure went above the ceiling during the hold";
        for max in [30.0, 80.0, 150.0, 1000.0] {
            assert!(width(&fit(text, max, 12.0, true), 12.0, true) <= max);
            for lines in 1..4 {
                let wrapped = wrap(text, max, 12.0, false, lines);
                assert!(wrapped.len() <= lines);
                assert!(wrapped.iter().all(|l| width(l, 12.0, false) <= max));
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
