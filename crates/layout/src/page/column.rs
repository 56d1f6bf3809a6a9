//! A column that is filled from top to bottom.

use super::{Drawn, Part, Role, Style, TextLine};
use crate::{font, picture::Ink, text::glued};

/// A column on a page; parts are added below each other.
#[derive(Debug, Clone)]
pub(super) struct Column {
    pub(super) page: usize,
    pub(super) x: f64,
    pub(super) width: f64,
    /// Where the next thing begins.
    pub(super) y: f64,
}

/// A wrapped text.
pub(super) struct Wrapped {
    pub(super) lines: Vec<String>,
    /// True when an ellipsis shows that something is missing.
    pub(super) cut: bool,
}

impl Column {
    pub(super) const fn new(page: usize, x: f64, y: f64, width: f64) -> Self {
        Self { page, x, width, y }
    }

    pub(super) const fn right(&self) -> f64 {
        self.x + self.width
    }

    /// A part of the column: `from` and `to` are fractions of its width.
    pub(super) fn within(&self, from: f64, to: f64) -> Self {
        let x = self.x + from * self.width;
        Self::new(self.page, x, self.y, (to - from) * self.width)
    }

    /// Text below what is there, in at most `most` lines; says whether it was cut.
    pub(super) fn text(&mut self, words: &str, style: Style, most: usize) -> (Part, bool) {
        let wrapped = wrap(words, style, self.width, most);
        let mut drawn = Vec::new();
        for words in wrapped.lines {
            drawn.push(Drawn::Line(self.line(self.x, words, style)));
            self.y += style.leading;
        }
        (Part::Leaf(self.page, drawn), wrapped.cut)
    }

    /// A line that begins at `x`, level with the next line of the column.
    pub(super) fn line(&self, x: f64, words: String, style: Style) -> TextLine {
        TextLine {
            x,
            // the letters stand in the middle of their leading
            y: self.y + 0.5 * style.leading + 0.29 * style.size,
            style,
            words,
        }
    }

    /// A heading with a rule below it.
    pub(super) fn heading(&mut self, words: &str) -> [Part; 2] {
        let (leaf, _) = self.text(words, Style::HEADING, 1);
        self.y += 0.8;
        let rule = Drawn::rule(self.x, self.right(), self.y, Ink::Black, 0.7);
        self.y += 1.8;
        let heading = Role::Heading(2, words.to_owned());
        [
            Part::Group(heading, vec![leaf]),
            Part::Ornament(self.page, vec![rule]),
        ]
    }
}

/// Breaks a text into lines no wider than `width` pt; all but the last end in a
/// space, so that whoever copies them gets the words apart.
pub(super) fn wrap(text: &str, style: Style, width: f64, most: usize) -> Wrapped {
    let text = font::face(style.bold).settable(text);
    let space = style.width(" ");
    let mut lines: Vec<String> = Vec::new();
    let (mut line, mut filled) = (String::new(), 0.0);
    for word in glued(&text).iter().flat_map(|w| pieces(w, style, width)) {
        let wide = style.width(&word);
        if line.is_empty() {
            (line, filled) = (word, wide);
        } else if filled + space + wide <= width {
            line.push(' ');
            line.push_str(&word);
            filled += space + wide;
        } else if lines.len() + 1 < most {
            line.push(' ');
            lines.push(std::mem::replace(&mut line, word));
            filled = wide;
        } else {
            lines.push(shortened(&line, style, width));
            return Wrapped { lines, cut: true };
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    Wrapped { lines, cut: false }
}

/// A word, or the pieces of one that is wider than a line.
fn pieces(word: &str, style: Style, width: f64) -> Vec<String> {
    if style.width(word) <= width {
        return vec![word.to_owned()];
    }
    let mut out = vec![String::new()];
    let mut filled = 0.0;
    for c in word.chars() {
        let wide = style.width(c.encode_utf8(&mut [0; 4]));
        if filled + wide > width {
            out.push(String::new());
            filled = 0.0;
        }
        filled += wide;
        if let Some(last) = out.last_mut() {
            last.push(c);
        }
    }
    out
}

/// A line with an ellipsis at its end, which stands for at least a word.
fn shortened(line: &str, style: Style, width: f64) -> String {
    let mut kept = line.trim_end();
    loop {
        let shown = format!("{kept}…");
        if kept.is_empty() || style.width(&shown) <= width {
            return shown;
        }
        let last = kept.char_indices().next_back();
        kept = last.map_or("", |(at, _)| kept[..at].trim_end());
    }
}

/// One line of a text, with an ellipsis when it is cut.
pub(super) fn fitted(text: &str, style: Style, width: f64) -> String {
    let one = wrap(text, style, width, 1);
    one.lines.into_iter().next().unwrap_or_default()
}
