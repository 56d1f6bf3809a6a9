//! A [`Picture`] as SVG: plotters draws the plot in data coordinates, the rest
//! is written over it.

use std::fmt::Write as _;

use plotters::coord::ranged1d::{AsRangedCoord, Ranged};
use plotters::prelude::{
    ChartBuilder, Color as _, DrawingArea, IntoDrawingArea as _, IntoLogRange as _, LineSeries,
    PathElement, RGBColor, Rectangle, SVGBackend, ShapeStyle,
};

use crate::{
    ReportError,
    picture::{Anchor, Dash, Ink, Picture, Plot, Shape, Stroke, Text},
    text::escape,
};

/// The plot is drawn at this multiple of its size, because the SVG backend
/// knows whole pixels only.
const FINE: f64 = 4.0;

/// The font list: common sans faces, all narrower than the widths reckoned with.
const FONTS: &str =
    "Helvetica, Arial, &#39;Liberation Sans&#39;, &#39;DejaVu Sans&#39;, sans-serif";

type Area<'a> = DrawingArea<SVGBackend<'a>, plotters::coord::Shift>;

/// Paints the picture as a self-contained SVG element.
pub(crate) fn svg(picture: &Picture, what: &'static str) -> Result<String, ReportError> {
    let plot = plot_layer(&picture.plot, picture.width, picture.height).map_err(|cause| {
        ReportError::Drawing {
            what,
            cause: cause.to_string(),
        }
    })?;
    let mut out = String::with_capacity(plot.len() + 16_000);
    // writing into a String cannot fail
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" \
         viewBox=\"0 0 {w} {h}\" role=\"img\" font-family=\"{FONTS}\">\n\
         <title>{}</title>\n<desc>{}</desc>\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n\
         <g transform=\"scale({})\" stroke-linejoin=\"round\" stroke-linecap=\"round\">\n{plot}</g>\n",
        escape(&picture.title),
        escape(&picture.description),
        1.0 / FINE,
        w = short(picture.width),
        h = short(picture.height),
    );
    for shape in &picture.shapes {
        write_shape(&mut out, shape);
    }
    for text in &picture.texts {
        write_text(&mut out, text);
    }
    out.push_str("</svg>\n");
    Ok(out)
}

/// What plotters drew, without its outer element.
fn plot_layer(plot: &Plot, width: f64, height: f64) -> Result<String, Box<dyn std::error::Error>> {
    let mut buffer = String::new();
    {
        let size = (fine(width).unsigned_abs(), fine(height).unsigned_abs());
        let root = SVGBackend::with_string(&mut buffer, size).into_drawing_area();
        let f = &plot.frame;
        let area = root.margin(0, 0, 0, 0).shrink(
            (fine(f.x0), fine(f.y0)),
            (fine(f.width()), fine(f.height())),
        );
        if plot.is_log() {
            draw_plot(&area, plot, (plot.value.low..plot.value.high).log_scale())?;
        } else {
            draw_plot(&area, plot, plot.value.low..plot.value.high)?;
        }
        root.present()?;
    }
    let inner = buffer.split_once('>').map_or("", |(_, rest)| rest);
    let inner = inner.trim().strip_suffix("</svg>").unwrap_or(inner);
    Ok(inner.trim_start().to_owned())
}

fn draw_plot<Y>(area: &Area<'_>, plot: &Plot, values: Y) -> Result<(), Box<dyn std::error::Error>>
where
    Y: AsRangedCoord<Value = f64>,
    Y::CoordDescType: Ranged<ValueType = f64>,
{
    let mut chart =
        ChartBuilder::on(area).build_cartesian_2d(plot.time.low..plot.time.high, values)?;
    let (low, high) = (plot.value.low, plot.value.high);
    let (start, end) = (plot.time.low, plot.time.high);
    chart.draw_series(plot.shades.iter().map(|(from, to, ink)| {
        let corners = [
            (plot.time.inside(*from), high),
            (plot.time.inside(*to), low),
        ];
        Rectangle::new(corners, colour(*ink).filled())
    }))?;
    let upright = style(Ink::Faint, 0.7);
    chart.draw_series(
        plot.grid_time
            .iter()
            .map(|t| PathElement::new(vec![(*t, low), (*t, high)], upright)),
    )?;
    chart.draw_series(plot.grid_value.iter().map(|(value, written)| {
        let width = if *written { 0.9 } else { 0.35 };
        PathElement::new(
            vec![(start, *value), (end, *value)],
            style(Ink::Faint, width),
        )
    }))?;
    let line = style(plot.series.ink, plot.series.width);
    for piece in &plot.series.pieces {
        let points = piece
            .iter()
            .map(|(t, p)| (plot.time.inside(*t), plot.value.inside(*p)));
        chart.draw_series(LineSeries::new(points, line))?;
    }
    Ok(())
}

fn colour(ink: Ink) -> RGBColor {
    let (r, g, b) = ink.rgb();
    RGBColor(r, g, b)
}

fn style(ink: Ink, width: f64) -> ShapeStyle {
    colour(ink).stroke_width(fine(width).unsigned_abs().max(1))
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a picture is some thousand pixels wide"
)]
fn fine(pixels: f64) -> i32 {
    (pixels * FINE).round() as i32
}

/// A coordinate with at most two decimals.
fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn write_shape(out: &mut String, shape: &Shape) {
    match shape {
        Shape::Path { points, stroke } => {
            out.push_str("<polyline fill=\"none\" points=\"");
            for (i, (x, y)) in points.iter().enumerate() {
                let gap = if i == 0 { "" } else { " " };
                let _ = write!(out, "{gap}{},{}", short(*x), short(*y));
            }
            out.push('"');
            write_stroke(out, stroke);
            out.push_str("/>\n");
        }
        Shape::Block { rect, fill, stroke } => {
            let _ = write!(
                out,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\"",
                short(rect.x0),
                short(rect.y0),
                short(rect.width()),
                short(rect.height()),
                fill.map_or_else(|| "none".to_owned(), Ink::hex),
            );
            if let Some(stroke) = stroke {
                write_stroke(out, stroke);
            }
            out.push_str("/>\n");
        }
        Shape::Ring { x, y, radius } => {
            let _ = writeln!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"#ffffff\" stroke=\"{}\" \
                 stroke-width=\"1.2\"/>",
                short(*x),
                short(*y),
                short(*radius),
                Ink::Black.hex()
            );
        }
    }
}

fn write_stroke(out: &mut String, stroke: &Stroke) {
    let _ = write!(
        out,
        " stroke=\"{}\" stroke-width=\"{}\"",
        stroke.ink.hex(),
        short(stroke.width)
    );
    let dashes = match stroke.dash {
        Dash::Solid => return,
        Dash::Dotted => "1 3",
        Dash::Short => "5 3",
        Dash::Sparse => "5 6",
        Dash::Long => "12 4",
        Dash::Mixed => "10 3 2 3",
    };
    let _ = write!(out, " stroke-dasharray=\"{dashes}\"");
}

fn write_text(out: &mut String, text: &Text) {
    let anchor = match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let weight = if text.bold {
        " font-weight=\"bold\""
    } else {
        ""
    };
    // a thin halo of paper keeps words readable where a grid line passes
    let halo = if text.ink == Ink::White {
        ""
    } else {
        " stroke=\"#ffffff\" stroke-width=\"2.5\" stroke-linejoin=\"round\" paint-order=\"stroke\""
    };
    let _ = writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{weight} fill=\"{}\"{halo}>{}</text>",
        short(text.x),
        short(text.y),
        short(text.size),
        text.ink.hex(),
        escape(&text.words)
    );
}
