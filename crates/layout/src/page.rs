//! The sheet set on paper: one page, and more only for several rounds, for more findings
//! than the first has room for, for what belongs to a claim, and for a photo.
//!
//! A small typesetter: one grid, one family in two weights, every line with a
//! known place in points (1/72 in) from the upper left corner. What is set comes
//! from [`Contents`](crate::contents::Contents); what each part is to a reader who does not see stands with
//! it, in reading order. `pdf` only paints.

mod blocks;
mod column;
mod compose;
mod notice;
mod second;
mod set;

use vacuum::Paper;

use crate::{
    font,
    picture::{Dash, Ink, Picture, Rect},
};

pub use blocks::{QUIET, modules};
pub use compose::compose;
pub use notice::{Notice, notice};
pub use set::set;

/// Margins, pt: sides, top and bottom.
pub const SIDE: f64 = 34.0;
/// Margins at the top and the bottom, pt.
pub const ENDS: f64 = 26.0;

/// Width and height of a paper, pt.
pub const fn size(paper: Paper) -> (f64, f64) {
    match paper {
        Paper::A4 => (210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0),
        Paper::Letter => (612.0, 792.0),
    }
}

/// The set sheet.
#[derive(Debug, Clone)]
pub struct Typeset {
    /// Width and height of every page, pt.
    pub size: (f64, f64),
    /// How many pages there are.
    pub pages: usize,
    /// Everything on them, in reading order.
    pub parts: Vec<Part>,
}

/// A part of the sheet.
#[derive(Debug, Clone)]
pub enum Part {
    /// Parts that belong together.
    Group(Role, Vec<Part>),
    /// Something drawn on a page.
    Leaf(usize, Vec<Drawn>),
    /// Something drawn that says nothing: rules, frames.
    Ornament(usize, Vec<Drawn>),
}

/// What a group is to a reader who does not see the page.
#[derive(Debug, Clone, PartialEq)]
pub enum Role {
    /// A section of the page.
    Section,
    /// Level and words.
    Heading(u8, String),
    /// A paragraph.
    Paragraph,
    /// A table; holds rows.
    Table,
    /// A row of a table.
    Row,
    /// Head of a column, or of a row.
    HeadCell {
        /// True for the head of a column, false for that of a row.
        of_column: bool,
    },
    /// A cell of a table.
    Cell,
    /// A list; holds items.
    List,
    /// An item of a list.
    Item,
    /// The name of an item.
    Label,
    /// What is said of an item.
    Body,
    /// What it shows, in words.
    Figure(String),
}

/// One line of text; x and y are those of the start of the baseline.
#[derive(Debug, Clone, PartialEq)]
pub struct TextLine {
    /// Left end, pt.
    pub x: f64,
    /// Baseline, pt from the top.
    pub y: f64,
    /// How it looks.
    pub style: Style,
    /// Letters that the face has.
    pub words: String,
}

impl TextLine {
    /// The box from ascender to descender.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let style = self.style;
        let width = style.width(self.words.trim_end());
        let (above, below) = (0.76 * style.size, 0.2 * style.size);
        Rect::new(self.x, self.y - above, self.x + width, self.y + below)
    }
}

/// How text looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// Font size, pt.
    pub size: f64,
    /// From one baseline to the next, pt.
    pub leading: f64,
    /// The heavier of the two weights.
    pub bold: bool,
    /// Its ink.
    pub ink: Ink,
}

impl Style {
    /// Lists, tables, sentences.
    pub const BODY: Self = Self::new(6.9, 8.6);
    /// Foot and captions.
    pub const SMALL: Self = Self::new(6.1, 7.5).grey();
    /// Heads of sections.
    pub const HEADING: Self = Self::new(7.6, 9.4).bold();
    /// The shop's name.
    pub const SHOP: Self = Self::new(8.4, 10.4).bold();
    /// Heading of the page.
    pub const TITLE: Self = Self::new(13.5, 16.0).bold();
    /// The verdict.
    pub const VERDICT: Self = Self::new(21.0, 24.0).bold();
    /// Its reason.
    pub const REASON: Self = Self::new(9.2, 11.4).bold();
    /// Lists on a wall.
    pub const WALL: Self = Self::new(9.4, 12.4);
    /// What is known on a line to sign on.
    pub const SIGNED: Self = Self::new(8.4, 10.0);

    const fn new(size: f64, leading: f64) -> Self {
        Self {
            size,
            leading,
            bold: false,
            ink: Ink::Black,
        }
    }

    /// The same, heavier.
    pub const fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// The same in grey.
    pub const fn grey(mut self) -> Self {
        self.ink = Ink::Grey;
        self
    }

    /// The same in the colour of the paper.
    pub const fn white(mut self) -> Self {
        self.ink = Ink::White;
        self
    }

    /// Width of a settable text, pt.
    pub fn width(&self, text: &str) -> f64 {
        font::face(self.bold).width(text, self.size)
    }
}

/// Something at its place on a page.
#[derive(Debug, Clone)]
pub enum Drawn {
    /// A line of text.
    Line(TextLine),
    /// A rectangle; a rule is one without height or width.
    Block {
        /// Its place, pt.
        rect: Rect,
        /// What it is filled with.
        fill: Option<Ink>,
        /// Ink, width and breaks of its frame.
        frame: Option<(Ink, f64, Dash)>,
    },
    /// A curve, with its upper left corner here, pt for a pixel of it.
    Curve {
        /// What is drawn.
        picture: Box<Picture>,
        /// Left, pt.
        x: f64,
        /// Top, pt.
        y: f64,
        /// pt for a pixel of it.
        scale: f64,
    },
    /// Modules of a code, row by row, true where dark, in a square.
    Code {
        /// Its modules, true where dark.
        dark: Vec<bool>,
        /// Its place, pt.
        rect: Rect,
    },
    /// Pixels of a logo.
    Logo {
        /// Its pixels.
        logo: crate::Logo,
        /// Its place, pt.
        rect: Rect,
    },
    /// A photo.
    Photo {
        /// Its pixels.
        photo: crate::Photo,
        /// Its place, pt.
        rect: Rect,
    },
}

impl Drawn {
    /// A rule from `x0` to `x1` at the height `y`, pt.
    pub fn rule(x0: f64, x1: f64, y: f64, ink: Ink, width: f64) -> Self {
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
            Self::Block { rect, .. }
            | Self::Code { rect, .. }
            | Self::Logo { rect, .. }
            | Self::Photo { rect, .. } => {
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

    /// Moves a part so many pages on.
    fn turn(&mut self, by: usize) {
        match self {
            Self::Group(_, parts) => parts.iter_mut().for_each(|p| p.turn(by)),
            Self::Leaf(page, _) | Self::Ornament(page, _) => *page += by,
        }
    }

    /// Everything drawn in it, with its page.
    pub fn visit<'a>(&'a self, see: &mut impl FnMut(usize, &'a Drawn)) {
        match self {
            Self::Group(_, parts) => parts.iter().for_each(|p| p.visit(see)),
            Self::Leaf(page, drawn) | Self::Ornament(page, drawn) => {
                drawn.iter().for_each(|d| see(*page, d));
            }
        }
    }
}
