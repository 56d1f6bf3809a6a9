//! A plot in data coordinates, and how it becomes shapes: once, for every output.
//!
//! The library `plotters` maps seconds and micron to places on the picture. It draws on a
//! `Recorder`, which keeps what is drawn as [`Shape`]s.

use std::convert::Infallible;

use plotters::coord::ranged1d::{AsRangedCoord, Ranged};
use plotters::prelude::{
    ChartBuilder, Color as _, DrawingArea, DrawingBackend, IntoDrawingArea as _, IntoLogRange as _,
    LineSeries, PathElement, RGBColor, Rectangle, ShapeStyle,
};
use plotters_backend::{BackendColor, BackendCoord, BackendStyle, DrawingErrorKind};

use crate::{
    ReportError,
    picture::{Dash, Ink, Rect, Shape, Stroke},
    scale::{Axis, Kind},
};

/// The measured line, in data coordinates: pieces of (s, micron).
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Points (s, value) of each piece.
    pub pieces: Vec<Vec<(f64, f64)>>,
    /// Its ink.
    pub ink: Ink,
    /// Its width, px.
    pub width: f64,
}

/// The plot: frame, axes, grid, shading, measured line.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// Where it lies on the picture.
    pub frame: Rect,
    /// Axis of time, s.
    pub time: Axis,
    /// Axis of what is measured.
    pub value: Axis,
    /// Where the upright lines of the grid stand.
    pub grid_time: Vec<f64>,
    /// Value and whether the line is a written one.
    pub grid_value: Vec<(f64, bool)>,
    /// From, to, tint.
    pub shades: Vec<(f64, f64, Ink)>,
    /// The measured line.
    pub series: Series,
    /// Other gauges, drawn over it in dashes.
    pub beside: Vec<Series>,
}

impl Plot {
    /// Place of a time, px.
    pub fn x(&self, seconds: f64) -> f64 {
        self.frame.x0 + self.time.fraction(seconds) * self.frame.width()
    }

    /// Place of a pressure, px.
    pub fn y(&self, micron: f64) -> f64 {
        self.frame.y1 - self.value.fraction(micron) * self.frame.height()
    }

    /// Shading, grid and measured line as shapes, the lowest first. `what` is the picture
    /// that is said to have failed if the library fails.
    pub fn shapes(&self, what: &'static str) -> Result<Vec<Shape>, ReportError> {
        let mut shapes = Vec::new();
        self.record(&mut shapes)
            .map_err(|cause| ReportError::Drawing {
                what,
                cause: cause.to_string(),
            })?;
        Ok(shapes)
    }

    fn record(&self, shapes: &mut Vec<Shape>) -> Result<(), Box<dyn std::error::Error>> {
        let f = &self.frame;
        let size = (fine(f.x1).unsigned_abs(), fine(f.y1).unsigned_abs());
        let root = Recorder { size, shapes }.into_drawing_area();
        let corner = (fine(f.x0), fine(f.y0));
        let area = root.shrink(corner, (fine(f.width()), fine(f.height())));
        let (low, high) = (self.value.low, self.value.high);
        match self.value.kind {
            Kind::Log => self.draw(&area, (low..high).log_scale()),
            Kind::Linear => self.draw(&area, low..high),
        }
    }

    fn draw<Y>(&self, area: &Area<'_>, values: Y) -> Result<(), Box<dyn std::error::Error>>
    where
        Y: AsRangedCoord<Value = f64>,
        Y::CoordDescType: Ranged<ValueType = f64>,
    {
        let (low, high) = (self.value.low, self.value.high);
        let (start, end) = (self.time.low, self.time.high);
        let mut chart = ChartBuilder::on(area).build_cartesian_2d(start..end, values)?;
        chart.draw_series(self.shades.iter().map(|(from, to, ink)| {
            let corners = [
                (self.time.inside(*from), high),
                (self.time.inside(*to), low),
            ];
            Rectangle::new(corners, colour(*ink).filled())
        }))?;
        let upright = style(Ink::Faint, 0.7);
        chart.draw_series(
            self.grid_time
                .iter()
                .map(|t| PathElement::new(vec![(*t, low), (*t, high)], upright)),
        )?;
        chart.draw_series(self.grid_value.iter().map(|(value, written)| {
            let width = if *written { 0.9 } else { 0.35 };
            let ends = vec![(start, *value), (end, *value)];
            PathElement::new(ends, style(Ink::Faint, width))
        }))?;
        let line = style(self.series.ink, self.series.width);
        for piece in &self.series.pieces {
            let points = piece
                .iter()
                .map(|(t, p)| (self.time.inside(*t), self.value.inside(*p)));
            chart.draw_series(LineSeries::new(points, line))?;
        }
        Ok(())
    }
}

/// The library knows whole numbers only: hundredths of a pixel are finer than any printer.
const FINE: f64 = 100.0;

#[expect(
    clippy::cast_possible_truncation,
    reason = "a picture is some thousand pixels wide"
)]
fn fine(pixels: f64) -> i32 {
    (pixels * FINE).round() as i32
}

fn colour(ink: Ink) -> RGBColor {
    let (r, g, b) = ink.rgb();
    RGBColor(r, g, b)
}

fn style(ink: Ink, width: f64) -> ShapeStyle {
    ShapeStyle {
        color: colour(ink).to_rgba(),
        filled: false,
        stroke_width: fine(width).unsigned_abs(),
    }
}

/// What the library draws on.
struct Recorder<'a> {
    /// In hundredths of a pixel.
    size: (u32, u32),
    shapes: &'a mut Vec<Shape>,
}

type Area<'a> = DrawingArea<Recorder<'a>, plotters::coord::Shift>;

type Recorded = Result<(), DrawingErrorKind<Infallible>>;

fn pixels((x, y): BackendCoord) -> (f64, f64) {
    (f64::from(x) / FINE, f64::from(y) / FINE)
}

/// The ink of a colour that [`colour`] or [`style`] gave.
fn ink(colour: BackendColor) -> Ink {
    let same = |ink: &Ink| ink.rgb() == colour.rgb;
    Ink::ALL.into_iter().find(same).unwrap_or(Ink::Black)
}

impl DrawingBackend for Recorder<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Recorded {
        Ok(())
    }

    fn present(&mut self) -> Recorded {
        Ok(())
    }

    fn draw_pixel(&mut self, at: BackendCoord, colour: BackendColor) -> Recorded {
        let ((x0, y0), (x1, y1)) = (pixels(at), pixels((at.0 + 1, at.1 + 1)));
        self.shapes.push(Shape::Block {
            rect: Rect::new(x0, y0, x1, y1),
            fill: Some(ink(colour)),
            stroke: None,
        });
        Ok(())
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        one: BackendCoord,
        other: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Recorded {
        let ((ax, ay), (bx, by)) = (pixels(one), pixels(other));
        let stroke = Stroke::new(
            ink(style.color()),
            f64::from(style.stroke_width()) / FINE,
            Dash::Solid,
        );
        self.shapes.push(Shape::Block {
            rect: Rect::new(ax.min(bx), ay.min(by), ax.max(bx), ay.max(by)),
            fill: fill.then_some(stroke.ink),
            stroke: (!fill).then_some(stroke),
        });
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Recorded {
        let mut points: Vec<(f64, f64)> = path.into_iter().map(pixels).collect();
        // a piece of one reading is a dot
        if let [point] = points[..] {
            points.push(point);
        }
        self.shapes.push(Shape::Path {
            points,
            stroke: Stroke::new(
                ink(style.color()),
                f64::from(style.stroke_width()) / FINE,
                Dash::Solid,
            ),
        });
        Ok(())
    }
}
