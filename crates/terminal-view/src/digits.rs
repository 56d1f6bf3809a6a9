//! A pressure that can be read at arm's length.

use ratatui::{buffer::Buffer, layout::Rect, style::Style};

/// Rows of a sign.
const ROWS: u16 = 5;

/// The signs, three picture points wide and five high; one bit a point, top row first,
/// the left point highest.
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
        ',' => ([0, 0, 0, 4, 4], 1),
        '—' => ([0, 0, 7, 0, 0], 3),
        ' ' => ([0, 0, 0, 0, 0], 1),
        _ => return None,
    })
}

/// Columns and rows of a text at a scale (1: two columns and one row a point).
pub(crate) fn size(text: &str, scale: u16) -> (u16, u16) {
    let widths = text.chars().filter_map(points).map(|(_, width)| width);
    let points: u16 = widths.map(|w| 2 * w + 1).sum();
    (points.saturating_sub(1) * scale, ROWS * scale)
}

/// Draws a text at the upper left of `area`, cut off at its edges.
pub(crate) fn draw(text: &str, scale: u16, style: Style, area: Rect, buffer: &mut Buffer) {
    let area = area.intersection(buffer.area);
    let mut left = area.x;
    for sign in text.chars() {
        let Some((rows, width)) = points(sign) else {
            continue;
        };
        for y in 0..ROWS * scale {
            let row = rows[usize::from(y / scale)];
            for x in 0..2 * width * scale {
                let point = x / (2 * scale);
                let (column, line) = (left + x, area.y + y);
                if row & (4 >> point) == 0 || column >= area.right() || line >= area.bottom() {
                    continue;
                }
                buffer[(column, line)].set_char('█').set_style(style);
            }
        }
        left = left.saturating_add((2 * width + 1) * scale);
    }
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
        for sign in "0123456789.,— ".chars() {
            assert!(seen.insert(drawn(&sign.to_string(), 1)), "{sign}");
        }
        assert_eq!(size("1,234", 2), (2 * (7 * 4 + 3 - 1), 10));
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
