//! A finished picture: shapes and texts with known boxes, in pixels at scale 1. Whatever
//! paints it, as SVG or on paper, knows these and nothing of what they show.

use crate::font;

/// Inks: few, told apart by lightness as much as by hue, so that a grey print
/// and a colour-blind eye lose nothing; line style and words carry the meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Words and frames.
    Black,
    /// Secondary words, leaders.
    Grey,
    /// Grid.
    Faint,
    /// The measured curve.
    Curve,
    /// The fitted rise.
    Fit,
    /// Shading of a hold.
    HoldTint,
    /// Shading of equalisation.
    SettleTint,
    /// Shading of what may be, around a fitted line.
    BandTint,
    /// Paper.
    White,
}

impl Ink {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::Black,
        Self::Grey,
        Self::Faint,
        Self::Curve,
        Self::Fit,
        Self::HoldTint,
        Self::SettleTint,
        Self::BandTint,
        Self::White,
    ];

    /// Red, green, blue.
    pub const fn rgb(self) -> (u8, u8, u8) {
        match self {
            Self::Black => (0x1c, 0x1f, 0x22),
            Self::Grey => (0x5a, 0x60, 0x66),
            Self::Faint => (0xdd, 0xe0, 0xe3),
            Self::Curve => (0x3a, 0x78, 0xae),
            Self::Fit => (0x78, 0x26, 0x00),
            Self::HoldTint => (0xf0, 0xf2, 0xf4),
            Self::SettleTint => (0xe2, 0xe6, 0xea),
            Self::BandTint => (0xf2, 0xdc, 0xca),
            Self::White => (0xff, 0xff, 0xff),
        }
    }

    /// As an SVG colour.
    pub fn hex(self) -> String {
        let (r, g, b) = self.rgb();
        format!("#{r:02x}{g:02x}{b:02x}")
    }
}

/// How a line is broken. The ends of a solid line are round, those of dashes are cut
/// straight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dash {
    /// Not broken.
    Solid,
    /// Dots.
    Dotted,
    /// Short dashes.
    Short,
    /// Short dashes far apart.
    Sparse,
    /// Long dashes.
    Long,
    /// Long and short by turns.
    Mixed,
}

impl Dash {
    /// Lengths of dashes and gaps by turns, px; empty for a solid line.
    pub const fn lengths(self) -> &'static [f32] {
        match self {
            Self::Solid => &[],
            Self::Dotted => &[1.0, 3.0],
            Self::Short => &[5.0, 3.0],
            Self::Sparse => &[5.0, 6.0],
            Self::Long => &[12.0, 4.0],
            Self::Mixed => &[10.0, 3.0, 2.0, 3.0],
        }
    }
}

/// A line style.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Its ink.
    pub ink: Ink,
    /// Its width, px.
    pub width: f64,
    /// How it is broken.
    pub dash: Dash,
}

impl Stroke {
    /// A line style; `width` is in px.
    pub const fn new(ink: Ink, width: f64, dash: Dash) -> Self {
        Self { ink, width, dash }
    }
}

/// An upright rectangle, y downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left.
    pub x0: f64,
    /// Top.
    pub y0: f64,
    /// Right.
    pub x1: f64,
    /// Bottom.
    pub y1: f64,
}

impl Rect {
    /// A rectangle from its upper left to its lower right corner.
    pub const fn new(x0: f64, y0: f64, x1: f64, y1: f64) -> Self {
        Self { x0, y0, x1, y1 }
    }

    /// How wide it is, px.
    pub fn width(&self) -> f64 {
        self.x1 - self.x0
    }

    /// How high it is.
    pub fn height(&self) -> f64 {
        self.y1 - self.y0
    }

    /// True when they have more than an edge in common.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }

    /// True when `other` lies inside, edges included.
    pub fn contains(&self, other: &Self) -> bool {
        self.x0 <= other.x0 && self.y0 <= other.y0 && self.x1 >= other.x1 && self.y1 >= other.y1
    }

    /// Moved to the right and down.
    pub fn moved(&self, dx: f64, dy: f64) -> Self {
        Self::new(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)
    }

    /// Larger by so much on every side.
    pub fn grown(&self, by: f64) -> Self {
        Self::new(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)
    }
}

/// Which end of a text its x belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// One line of text; x and y are those of the baseline.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Its place, px from the left.
    pub x: f64,
    /// Its baseline, px from the top.
    pub y: f64,
    /// Font size, px.
    pub size: f64,
    /// The heavier of the two weights.
    pub bold: bool,
    /// Which end of it its x belongs to.
    pub anchor: Anchor,
    /// Its ink.
    pub ink: Ink,
    /// What it says.
    pub words: String,
}

impl Text {
    /// Regular black text starting at a point.
    pub fn new(x: f64, y: f64, size: f64, words: impl Into<String>) -> Self {
        Self {
            x,
            y,
            size,
            bold: false,
            anchor: Anchor::Start,
            ink: Ink::Black,
            words: words.into(),
        }
    }

    /// The same, heavier.
    pub fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// The same in another ink.
    pub fn ink(mut self, ink: Ink) -> Self {
        self.ink = ink;
        self
    }

    /// The same with another end of it at its x.
    pub fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// How wide it is, px.
    pub fn width(&self) -> f64 {
        font::width_on_screen(&self.words, self.size, self.bold)
    }

    /// The box that the text fills at most (ascender to descender).
    pub fn bounds(&self) -> Rect {
        let width = self.width();
        let x0 = match self.anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x - 0.5 * width,
            Anchor::End => self.x - width,
        };
        Rect::new(
            x0,
            self.y - 0.80 * self.size,
            x0 + width,
            self.y + 0.24 * self.size,
        )
    }
}

/// Geometry in pixels.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// An open line through two points or more.
    Path {
        /// Where it runs.
        points: Vec<(f64, f64)>,
        /// How the line looks.
        stroke: Stroke,
    },
    /// A rectangle.
    Block {
        /// Where it lies.
        rect: Rect,
        /// What it is filled with.
        fill: Option<Ink>,
        /// Its frame.
        stroke: Option<Stroke>,
    },
    /// A small open ring.
    /// A small open ring.
    Ring {
        /// Its middle, px from the left.
        x: f64,
        /// Its middle, px from the top.
        y: f64,
        /// Its radius, px.
        radius: f64,
    },
    /// A filled area without a frame.
    Area {
        /// Its corners, in order.
        points: Vec<(f64, f64)>,
        /// What it is filled with.
        fill: Ink,
    },
}

impl Shape {
    /// A straight line.
    pub fn line(from: (f64, f64), to: (f64, f64), stroke: Stroke) -> Self {
        Self::Path {
            points: vec![from, to],
            stroke,
        }
    }
}

/// A finished layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Its width, px.
    pub width: f64,
    /// How high it is, px.
    pub height: f64,
    /// What the picture shows, for readers who do not see it.
    pub title: String,
    /// The same in a sentence.
    pub description: String,
    /// From the lowest to the one on top; texts lie over all of them.
    pub shapes: Vec<Shape>,
    /// Words, over all shapes.
    pub texts: Vec<Text>,
}
