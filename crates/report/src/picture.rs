//! The layout model: one plot plus shapes and texts with known boxes, in
//! pixels at scale 1, before any output format.

use crate::{scale::Axis, scale::Kind, text};

/// Inks: few, told apart by lightness as much as by hue, so that a grey print
/// and a colour-blind eye lose nothing; line style and words carry the meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
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
    /// Paper.
    White,
}

impl Ink {
    /// Red, green, blue.
    pub(crate) const fn rgb(self) -> (u8, u8, u8) {
        match self {
            Self::Black => (0x1c, 0x1f, 0x22),
            Self::Grey => (0x5a, 0x60, 0x66),
            Self::Faint => (0xdd, 0xe0, 0xe3),
            Self::Curve => (0x3a, 0x78, 0xae),
            Self::Fit => (0x78, 0x26, 0x00),
            Self::HoldTint => (0xf0, 0xf2, 0xf4),
            Self::SettleTint => (0xe2, 0xe6, 0xea),
            Self::White => (0xff, 0xff, 0xff),
        }
    }

    /// As an SVG colour.
    pub(crate) fn hex(self) -> String {
        let (r, g, b) = self.rgb();
        format!("#{r:02x}{g:02x}{b:02x}")
    }
}

/// How a line is broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Dash {
    Solid,
    Dotted,
    Short,
    Sparse,
    Long,
    Mixed,
}

/// A line style.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stroke {
    pub(crate) ink: Ink,
    pub(crate) width: f64,
    pub(crate) dash: Dash,
}

impl Stroke {
    pub(crate) const fn new(ink: Ink, width: f64, dash: Dash) -> Self {
        Self { ink, width, dash }
    }
}

/// An upright rectangle, y downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rect {
    pub(crate) x0: f64,
    pub(crate) y0: f64,
    pub(crate) x1: f64,
    pub(crate) y1: f64,
}

impl Rect {
    pub(crate) const fn new(x0: f64, y0: f64, x1: f64, y1: f64) -> Self {
        Self { x0, y0, x1, y1 }
    }

    pub(crate) fn width(&self) -> f64 {
        self.x1 - self.x0
    }

    pub(crate) fn height(&self) -> f64 {
        self.y1 - self.y0
    }

    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }

    pub(crate) fn contains(&self, other: &Self) -> bool {
        self.x0 <= other.x0 && self.y0 <= other.y0 && self.x1 >= other.x1 && self.y1 >= other.y1
    }

    pub(crate) fn grown(&self, by: f64) -> Self {
        Self::new(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)
    }
}

/// Which end of a text its x belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// One line of text; x and y are those of the baseline.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Text {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) size: f64,
    pub(crate) bold: bool,
    pub(crate) anchor: Anchor,
    pub(crate) ink: Ink,
    pub(crate) words: String,
}

impl Text {
    /// Regular black text starting at a point.
    pub(crate) fn new(x: f64, y: f64, size: f64, words: impl Into<String>) -> Self {
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

    pub(crate) fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    pub(crate) fn ink(mut self, ink: Ink) -> Self {
        self.ink = ink;
        self
    }

    pub(crate) fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    pub(crate) fn width(&self) -> f64 {
        text::width(&self.words, self.size, self.bold)
    }

    /// The box that the text fills at most (ascender to descender).
    pub(crate) fn bounds(&self) -> Rect {
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
pub(crate) enum Shape {
    /// An open line through points.
    Path {
        points: Vec<(f64, f64)>,
        stroke: Stroke,
    },
    /// A rectangle.
    Block {
        rect: Rect,
        fill: Option<Ink>,
        stroke: Option<Stroke>,
    },
    /// A small open ring.
    Ring { x: f64, y: f64, radius: f64 },
}

impl Shape {
    pub(crate) fn line(from: (f64, f64), to: (f64, f64), stroke: Stroke) -> Self {
        Self::Path {
            points: vec![from, to],
            stroke,
        }
    }
}

/// The measured line, in data coordinates: pieces of (s, micron).
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Series {
    pub(crate) pieces: Vec<Vec<(f64, f64)>>,
    pub(crate) ink: Ink,
    pub(crate) width: f64,
}

/// The plot: frame, axes, grid, shading, measured line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plot {
    pub(crate) frame: Rect,
    pub(crate) time: Axis,
    pub(crate) value: Axis,
    pub(crate) grid_time: Vec<f64>,
    /// Value and whether the line is a written one.
    pub(crate) grid_value: Vec<(f64, bool)>,
    /// From, to, tint.
    pub(crate) shades: Vec<(f64, f64, Ink)>,
    pub(crate) series: Series,
    /// Other gauges, drawn over it in dashes.
    pub(crate) beside: Vec<Series>,
}

impl Plot {
    pub(crate) fn x(&self, seconds: f64) -> f64 {
        self.frame.x0 + self.time.fraction(seconds) * self.frame.width()
    }

    pub(crate) fn y(&self, micron: f64) -> f64 {
        self.frame.y1 - self.value.fraction(micron) * self.frame.height()
    }

    pub(crate) fn is_log(&self) -> bool {
        self.value.kind == Kind::Log
    }
}

/// A finished layout.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Picture {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// What the picture shows, for readers who do not see it.
    pub(crate) title: String,
    pub(crate) description: String,
    pub(crate) plot: Plot,
    pub(crate) shapes: Vec<Shape>,
    pub(crate) texts: Vec<Text>,
}
