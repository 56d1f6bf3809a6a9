//! The sheet set on paper: one page, a second one only for several rounds or more
//! findings than the first has room for.
//!
//! A small typesetter: one grid, one family in two weights, every line with a
//! known place in points (1/72 in) from the upper left corner. What is set comes
//! from [`Contents`]; what each part is to a reader who does not see stands with
//! it, in reading order. `pdf` only paints.

mod blocks;
mod column;
mod compose;
mod second;

use vacuum::Paper;

use crate::{
    font,
    picture::{Dash, Ink, Picture, Rect},
};

pub(crate) use blocks::{QUIET, modules};
pub(crate) use compose::compose;

/// Margins, pt: sides, top and bottom.
pub(crate) const SIDE: f64 = 34.0;
pub(crate) const ENDS: f64 = 26.0;

/// Width and height of a paper, pt.
pub(crate) const fn size(paper: Paper) -> (f64, f64) {
    match paper {
        Paper::A4 => (210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0),
        Paper::Letter => (612.0, 792.0),
    }
}

/// The set sheet.
#[derive(Debug, Clone)]
pub(crate) struct Typeset {
    /// Width and height of every page, pt.
    pub(crate) size: (f64, f64),
    /// How many pages there are.
    pub(crate) pages: usize,
    /// Everything on them, in reading order.
    pub(crate) parts: Vec<Part>,
}

/// A part of the sheet.
#[derive(Debug, Clone)]
pub(crate) enum Part {
    /// Parts that belong together.
    Group(Role, Vec<Part>),
    /// Something drawn on a page.
    Leaf(usize, Vec<Drawn>),
    /// Something drawn that says nothing: rules, frames.
    Ornament(usize, Vec<Drawn>),
}

/// What a group is to a reader who does not see the page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Role {
    Section,
    /// Level and words.
    Heading(u8, String),
    Paragraph,
    Table,
    Row,
    /// Head of a column, or of a row.
    HeadCell {
        of_column: bool,
    },
    Cell,
    List,
    Item,
    Label,
    Body,
    /// What it shows, in words.
    Figure(String),
}

/// One line of text; x and y are those of the start of the baseline.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TextLine {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) style: Style,
    /// Letters that the face has.
    pub(crate) words: String,
}

impl TextLine {
    /// The box from ascender to descender.
    #[cfg(test)]
    pub(crate) fn bounds(&self) -> Rect {
        let style = self.style;
        let width = style.width(self.words.trim_end());
        let (above, below) = (0.76 * style.size, 0.2 * style.size);
        Rect::new(self.x, self.y - above, self.x + width, self.y + below)
    }
}

/// How text looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Style {
    /// Font size, pt.
    pub(crate) size: f64,
    /// From one baseline to the next, pt.
    pub(crate) leading: f64,
    pub(crate) bold: bool,
    pub(crate) ink: Ink,
}

impl Style {
    pub(crate) const BODY: Self = Self::new(6.9, 8.6);
    pub(crate) const SMALL: Self = Self::new(6.1, 7.5).grey();
    pub(crate) const HEADING: Self = Self::new(7.6, 9.4).bold();
    pub(crate) const SHOP: Self = Self::new(8.4, 10.4).bold();
    pub(crate) const TITLE: Self = Self::new(13.5, 16.0).bold();
    pub(crate) const VERDICT: Self = Self::new(21.0, 24.0).bold();
    pub(crate) const REASON: Self = Self::new(9.2, 11.4).bold();
    pub(crate) const SIGNED: Self = Self::new(8.4, 10.0);

    const fn new(size: f64, leading: f64) -> Self {
        Self {
            size,
            leading,
            bold: false,
            ink: Ink::Black,
        }
    }

    pub(crate) const fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    pub(crate) const fn grey(mut self) -> Self {
        self.ink = Ink::Grey;
        self
    }

    pub(crate) const fn white(mut self) -> Self {
        self.ink = Ink::White;
        self
    }

    /// Width of a settable text, pt.
    pub(crate) fn width(&self, text: &str) -> f64 {
        font::face(self.bold).width(text, self.size)
    }
}

/// Something at its place on a page.
#[derive(Debug, Clone)]
pub(crate) enum Drawn {
    Line(TextLine),
    /// A rectangle; a rule is one without height or width.
    Block {
        rect: Rect,
        fill: Option<Ink>,
        /// Ink, width and breaks of its frame.
        frame: Option<(Ink, f64, Dash)>,
    },
    /// A curve, with its upper left corner here, pt for a pixel of it.
    Curve {
        picture: Box<Picture>,
        x: f64,
        y: f64,
        scale: f64,
    },
    /// Modules of a code, row by row, true where dark, in a square.
    Code {
        dark: Vec<bool>,
        rect: Rect,
    },
    /// Pixels of a logo.
    Logo {
        logo: crate::Logo,
        rect: Rect,
    },
}

impl Drawn {
    pub(crate) fn rule(x0: f64, x1: f64, y: f64, ink: Ink, width: f64) -> Self {
        Self::Block {
            rect: Rect::new(x0, y, x1, y),
            fill: None,
            frame: Some((ink, width, Dash::Solid)),
        }
    }

    fn lower(&mut self, by: f64) {
        match self {
            Self::Line(line) => line.y += by,
            Self::Curve { y, .. } => *y += by,
            Self::Block { rect, .. } | Self::Code { rect, .. } | Self::Logo { rect, .. } => {
                rect.y0 += by;
                rect.y1 += by;
            }
        }
    }
}

impl Part {
    /// Moves a part down the page.
    fn lower(&mut self, by: f64) {
        match self {
            Self::Group(_, parts) => parts.iter_mut().for_each(|p| p.lower(by)),
            Self::Leaf(_, drawn) | Self::Ornament(_, drawn) => {
                drawn.iter_mut().for_each(|d| d.lower(by));
            }
        }
    }

    /// Everything drawn in it, with its page.
    pub(crate) fn visit<'a>(&'a self, see: &mut impl FnMut(usize, &'a Drawn)) {
        match self {
            Self::Group(_, parts) => parts.iter().for_each(|p| p.visit(see)),
            Self::Leaf(page, drawn) | Self::Ornament(page, drawn) => {
                drawn.iter().for_each(|d| see(*page, d));
            }
        }
    }
}

#[cfg(test)]
mod tests;
