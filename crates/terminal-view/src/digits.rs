//! A pressure that can be read at arm's length.

use ratatui::{buffer::Buffer, layout::Rect, style::Style};

/// Rows of a sign.
const ROWS: u16 = 5;

/// The signs, three picture points wide and five high; one bit a point, top row first,
/// the left point highest. A comma is a stroke and a full stop a block, so that 4,957 is
/// not read as 4.957; the blanks that some languages put between thousands are a gap.
const fn points(sign: char) -> Option<([u8; 5], u16)> {
    Some(match sign {
        '0' => ([7, 5, 5, 5, 7], 3),
        '1' => ([2, 6, 2, 2, 7], 3),
        '2' => ([7, 1, 7, 4, 7], 3),
        '3' => ([7, 1, 3, 1, 7], 3),
        '4' => ([5, 5, 7, 1, 1], 3),
        '5' => ([7, 4, 7, 1, 7], 3),
        '6' => ([7, 4, 7, 5, 7], 3),
        '7' => ([7, 1, 1, 2, 2], 3),
        '8' => ([7, 5, 7, 5, 7], 3),
        '9' => ([7, 5, 7, 1, 7], 3),
        '.' => ([0, 0, 0, 0, 4], 1),
        ',' => ([0, 0, 0, 2, 4], 2),
        ':' => ([0, 4, 0, 4, 0], 1),
        '—' => ([0, 0, 7, 0, 0], 3),
        ' ' | '\u{a0}' | '\u{202f}' => ([0, 0, 0, 0, 0], 1),
        letter => return letter_points(letter),
    })
}

/// Capital letters, for a word in the place of a number.
const fn letter_points(letter: char) -> Option<([u8; 5], u16)> {
    Some(match letter {
        'A' => ([2, 5, 7, 5, 5], 3),
        'B' => ([6, 5, 6, 5, 6], 3),
        'C' => ([3, 4, 4, 4, 3], 3),
        'D' => ([6, 5, 5, 5, 6], 3),
        'E' => ([7, 4, 6, 4, 7], 3),
        'F' => ([7, 4, 6, 4, 4], 3),
        'G' => ([3, 4, 5, 5, 3], 3),
        'H' => ([5, 5, 7, 5, 5], 3),
        'I' => ([7, 2, 2, 2, 7], 3),
        'J' => ([1, 1, 1, 5, 2], 3),
        'K' => ([5, 5, 6, 5, 5], 3),
        'L' => ([4, 4, 4, 4, 7], 3),
        // four and five points wide
        'M' => ([17, 27, 21, 17, 17], 5),
        'N' => ([9, 13, 11, 9, 9], 4),
        'Ñ' => ([6, 9, 13, 11, 9], 4),
        'O' => ([2, 5, 5, 5, 2], 3),
        'P' => ([6, 5, 6, 4, 4], 3),
        'Q' => ([2, 5, 5, 6, 3], 3),
        'R' => ([6, 5, 6, 5, 5], 3),
        'S' => ([3, 4, 2, 1, 6], 3),
        'T' => ([7, 2, 2, 2, 2], 3),
        'U' => ([5, 5, 5, 5, 7], 3),
        'Ü' => ([5, 0, 5, 5, 7], 3),
        'V' => ([5, 5, 5, 5, 2], 3),
        'W' => ([17, 17, 21, 27, 17], 5),
        'X' => ([5, 5, 2, 5, 5], 3),
        'Y' => ([5, 5, 2, 2, 2], 3),
        'Z' => ([7, 1, 2, 4, 7], 3),
        'É' => ([1, 7, 6, 4, 7], 3),
        _ => return None,
    })
}

/// Columns and rows of a picture point, and columns between two signs, at a scale: 0 is
/// narrow, one column and one row a point; 1 two columns and one row; 2 four and two.
const fn point(scale: u16) -> (u16, u16, u16) {
    match scale {
        0 => (1, 1, 1),
        scale => (2 * scale, scale, scale),
    }
}

/// Columns and rows of a text at a scale.
pub(crate) fn size(text: &str, scale: u16) -> (u16, u16) {
    let (columns, rows, between) = point(scale);
    let signs = text.chars().filter_map(points);
    let all: u16 = signs.map(|(_, width)| width * columns + between).sum();
    (all.saturating_sub(between), ROWS * rows)
}

/// Draws a text at the upper left of `area`, cut off at its edges.
pub(crate) fn draw(text: &str, scale: u16, style: Style, area: Rect, buffer: &mut Buffer) {
    let area = area.intersection(buffer.area);
    let (columns, high, between) = point(scale);
    let mut left = area.x;
    for sign in text.chars() {
        let Some((rows, width)) = points(sign) else {
            continue;
        };
        let leftmost = 1_u8 << (width.max(3) - 1);
        for y in 0..ROWS * high {
            let row = rows[usize::from(y / high)];
            for x in 0..width * columns {
                let (column, line) = (left + x, area.y + y);
                let lit = row & (leftmost >> (x / columns)) != 0;
                if !lit || column >= area.right() || line >= area.bottom() {
                    continue;
                }
                buffer[(column, line)].set_char('█').set_style(style);
            }
        }
        left = left.saturating_add(width * columns + between);
    }
}

/// True where every sign of a text can be drawn.
pub(crate) fn can_draw(text: &str) -> bool {
    text.chars().all(|sign| points(sign).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(text: &str, scale: u16) -> Vec<String> {
        let (width, height) = size(text, scale);
        let mut buffer = Buffer::empty(Rect::new(0, 0, width, height));
        draw(text, scale, Style::default(), buffer.area, &mut buffer);
        (0..height)
            .map(|y| (0..width).map(|x| buffer[(x, y)].symbol()).collect())
            .collect()
    }

    #[test]
    fn four_and_a_half_looks_like_it() {
        assert_eq!(
            drawn("4.7", 1),
            [
                "██  ██    ██████",
                "██  ██        ██",
                "██████        ██",
                "    ██      ██  ",
                "    ██ ██   ██  ",
            ]
        );
    }

    #[test]
    fn every_digit_is_another_picture() {
        let mut seen = std::collections::BTreeSet::new();
        for sign in "0123456789.,:— ".chars() {
            assert!(seen.insert(drawn(&sign.to_string(), 1)), "{sign}");
        }
        assert_eq!(size("1,234", 2), (2 * (7 * 4 + 5 - 1), 10));
    }

    #[test]
    fn every_letter_is_another_picture() {
        let mut seen = std::collections::BTreeSet::new();
        for sign in "ABCDEFGHIJKLMNÑOPQRSTUÜVWXYZÉ0123456789".chars() {
            assert!(seen.insert(drawn(&sign.to_string(), 0)), "{sign}");
        }
    }

    /// Four thousand and four point nine are told apart at arm's length, in each language.
    #[test]
    fn thousands_are_set_apart_and_no_decimals() {
        assert_eq!(
            drawn("4,1", 1)[2..],
            [
                "██████        ██  ",
                "    ██   ██   ██  ",
                "    ██ ██   ██████"
            ]
        );
        for language in vacuum::Language::ALL {
            let voice = wording::Voice {
                language,
                ..wording::Voice::default()
            };
            let thousands = voice.reading_number(4_957.0);
            assert!(can_draw(&thousands), "{thousands:?}");
            let (apart, together) = (size(&thousands, 1), size("4957", 1));
            assert!(apart.0 >= together.0 + 3, "{thousands:?}");
        }
        assert_ne!(drawn("4,957", 1), drawn("4.957", 1));
    }

    #[test]
    fn too_little_room_cuts_and_does_no_harm() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 3, 2));
        draw(
            "888",
            3,
            Style::default(),
            Rect::new(1, 1, 90, 90),
            &mut buffer,
        );
        assert_eq!(buffer[(2, 1)].symbol(), "█");
    }
}
