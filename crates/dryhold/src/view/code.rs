//! The address of the page of this recording, with a code for a camera.

use ratatui::{
    buffer::Buffer,
    layout::Rect,
    style::{Color, Style},
};

use super::{text, theme::Theme};

/// Where the page is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct PageCode {
    /// Its address.
    pub(crate) address: String,
    /// The address for those who may look on only, where the first one lets stamp marks.
    pub(crate) look_on: Option<String>,
    /// The code in half blocks for dark signs on light; empty where none is needed.
    pub(crate) on_light: String,
    /// The same for light signs on dark, where there is no colour.
    pub(crate) on_dark: String,
}

/// Draws address and code; says how large the window has to be where the code finds no
/// room, for half a code is none.
pub(super) fn draw(code: &PageCode, theme: Theme, area: Rect, buffer: &mut Buffer) {
    let width = usize::from(area.width);
    let (signs, style) = match theme.colour {
        // black on white, whatever the terminal's own colours are
        true => (
            &code.on_light,
            Style::new().fg(Color::Indexed(16)).bg(Color::Indexed(231)),
        ),
        false => (&code.on_dark, Style::new()),
    };
    let address: Vec<char> = code.address.chars().collect();
    let mut lines = vec![(
        "Any key leads back. The page is at".to_owned(),
        Style::new(),
    )];
    let parts = address.chunks(width.max(1));
    lines.extend(parts.map(|part| (part.iter().collect(), theme.strong())));
    let columns = signs.lines().map(text::width).max().unwrap_or(0);
    let rows = lines.len() + signs.lines().count();
    if theme.ascii && !signs.is_empty() {
        let cannot = "This terminal has no signs to draw its code for the camera.";
        lines.push((cannot.to_owned(), theme.faint()));
    } else if columns <= width && rows <= usize::from(area.height) {
        lines.extend(signs.lines().map(|line| (line.to_owned(), style)));
    } else {
        let needs = format!("Its code for the camera takes {columns} × {rows}.");
        lines.push((needs, theme.faint()));
    }
    if let Some(look_on) = &code.look_on {
        lines.push((
            "To look on only, without stamping marks:".to_owned(),
            Style::new(),
        ));
        let look_on: Vec<char> = look_on.chars().collect();
        let parts = look_on.chunks(width.max(1));
        lines.extend(parts.map(|part| (part.iter().collect(), Style::new())));
    }
    for (y, (line, style)) in (area.y..area.bottom()).zip(lines) {
        text::put(buffer, area.x, y, area.width, &line, style);
    }
}
