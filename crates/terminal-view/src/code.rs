//! The address of the page of this recording, with a code for a camera.

use ratatui::{
    buffer::Buffer,
    layout::Rect,
    style::{Color, Style},
};

use wording::{Voice, say};

use crate::{text, theme::Theme};

/// Where the page is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PageCode {
    /// Its address.
    pub address: String,
    /// The address for those who may look on only, where the first one lets stamp marks.
    pub look_on: Option<String>,
    /// The fingerprint of its certificate, where it is encrypted.
    pub fingerprint: Option<String>,
    /// The code in half blocks for dark signs on light; empty where none is needed.
    pub on_light: String,
    /// The same for light signs on dark, where there is no colour.
    pub on_dark: String,
}

/// Between the code and what stands beside it, columns.
const GAP: usize = 2;

/// What to compare before the page is trusted, in narrow lines. Eight pairs to a line are
/// easily compared, and find room beside the code.
fn to_compare(voice: &Voice, fingerprint: &str) -> Vec<String> {
    /// Columns of eight pairs with their colons, and one more.
    const NARROW: usize = 24;
    let words = text::wrapped(&say!(voice, "screen-compare"), NARROW);
    let pairs: Vec<&str> = fingerprint.split(':').collect();
    let fingerprint = pairs.chunks(8).map(|eight| eight.join(":"));
    words.into_iter().chain(fingerprint).collect()
}

/// Draws address, code, and beside it what to compare; says how large the window has to
/// be where the code finds no room, for half a code is none.
pub(crate) fn draw(code: &PageCode, voice: &Voice, theme: Theme, area: Rect, buffer: &mut Buffer) {
    let width = usize::from(area.width);
    let (signs, style) = match theme.colour {
        // black on white, whatever the terminal's own colours are
        true => (
            &code.on_light,
            Style::new().fg(Color::Indexed(16)).bg(Color::Indexed(231)),
        ),
        false => (&code.on_dark, Style::new()),
    };
    let plain = Style::new();
    let in_parts = |text: &str, style: Style| {
        let all: Vec<char> = text.chars().collect();
        let parts = all.chunks(width.max(1));
        parts.map(|part| (part.iter().collect(), style)).collect()
    };
    let mut lines: Vec<(String, Style)> = vec![(say!(voice, "screen-page-at"), plain)];
    lines.extend::<Vec<_>>(in_parts(&code.address, theme.strong()));
    let compare = code.fingerprint.as_deref().map(|f| to_compare(voice, f));
    let compare = compare.unwrap_or_default();
    let columns = signs.lines().map(text::width).max().unwrap_or(0);
    let rows = lines.len() + signs.lines().count();
    let fits = columns <= width && rows <= usize::from(area.height);
    let shown = fits && columns > 0 && !theme.ascii;
    let narrow = compare.iter().map(|line| text::width(line)).max();
    let beside = shown && narrow.is_some_and(|most| columns + GAP + most <= width);
    if beside {
        let at = u16::try_from(columns + GAP).unwrap_or(u16::MAX);
        let from = area.y + u16::try_from(lines.len()).unwrap_or(u16::MAX);
        for (y, line) in (from..area.bottom()).zip(&compare) {
            text::put(buffer, area.x + at, y, area.width - at, line, plain);
        }
    } else {
        lines.extend(compare.into_iter().map(|line| (line, plain)));
    }
    if theme.ascii && !signs.is_empty() {
        lines.push((say!(voice, "screen-no-signs"), theme.faint()));
    } else if lines.len() + signs.lines().count() <= usize::from(area.height) && fits {
        lines.extend(signs.lines().map(|line| (line.to_owned(), style)));
    } else {
        let needs = say!(
            voice,
            "screen-code-size",
            columns = columns.to_string(),
            rows = rows.to_string(),
        );
        lines.push((needs, theme.faint()));
    }
    if let Some(look_on) = &code.look_on {
        lines.push((say!(voice, "screen-look-on"), plain));
        lines.extend::<Vec<_>>(in_parts(look_on, plain));
    }
    for (y, (line, style)) in (area.y..area.bottom()).zip(lines) {
        text::put(buffer, area.x, y, area.width, &line, style);
    }
}
