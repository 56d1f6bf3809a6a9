//! A [`Picture`] as SVG.

use std::fmt::Write as _;

use crate::{
    picture::{Anchor, Dash, Ink, Picture, Shape, Stroke, Text},
    text::escape,
};

/// The font list: common sans faces, all narrower than the widths reckoned with.
const FONTS: &str =
    "Helvetica, Arial, &#39;Liberation Sans&#39;, &#39;DejaVu Sans&#39;, sans-serif";

/// Writes the picture as a self-contained SVG element.
pub fn write(picture: &Picture) -> String {
    let mut out = String::with_capacity(64_000);
    // writing into a String cannot fail
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" \
         viewBox=\"0 0 {w} {h}\" role=\"img\" font-family=\"{FONTS}\">\n\
         <title>{}</title>\n<desc>{}</desc>\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n\
         <g stroke-linejoin=\"round\" stroke-linecap=\"round\">\n",
        escape(&picture.title),
        escape(&picture.description),
        w = short(picture.width),
        h = short(picture.height),
    );
    for shape in &picture.shapes {
        write_shape(&mut out, shape);
    }
    out.push_str("</g>\n");
    for text in &picture.texts {
        write_text(&mut out, text);
    }
    out.push_str("</svg>\n");
    out
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
            write_points(out, points);
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
        Shape::Area { points, fill } => {
            out.push_str("<polygon points=\"");
            write_points(out, points);
            let _ = writeln!(out, "\" fill=\"{}\"/>", fill.hex());
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

fn write_points(out: &mut String, points: &[(f64, f64)]) {
    for (i, (x, y)) in points.iter().enumerate() {
        let gap = if i == 0 { "" } else { " " };
        let _ = write!(out, "{gap}{},{}", short(*x), short(*y));
    }
}

fn write_stroke(out: &mut String, stroke: &Stroke) {
    let _ = write!(
        out,
        " stroke=\"{}\" stroke-width=\"{}\"",
        stroke.ink.hex(),
        short(stroke.width)
    );
    if stroke.dash != Dash::Solid {
        let lengths: Vec<String> = stroke.dash.lengths().iter().map(f32::to_string).collect();
        let lengths = lengths.join(" ");
        let _ = write!(
            out,
            " stroke-linecap=\"butt\" stroke-dasharray=\"{lengths}\""
        );
    }
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
