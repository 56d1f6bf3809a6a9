//! Flags over a plot: acts, each with its pole.

use crate::{
    labels::{Flag, PlacedFlag, ROW, SIZE},
    picture::{Dash, Ink, Shape, Stroke, Text},
    plot::Plot,
};

/// Poles and words of the flags; those that are strong run through the plot. `curve_top` says
/// where the curve lies at a place, px.
pub fn draw(
    plot: &Plot,
    flags: &[PlacedFlag],
    curve_top: impl Fn(f64) -> f64,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let f = plot.frame;
    for placed in flags {
        let Flag { x, strong, .. } = placed.flag;
        #[expect(clippy::cast_precision_loss, reason = "at most six rows")]
        let baseline = f.y0 - 9.0 - placed.row as f64 * ROW;
        let beside = placed.text_x > x;
        let pole_top = if beside {
            baseline - 8.0
        } else {
            baseline + 3.5
        };
        let (ink, width) = if strong {
            (Ink::Black, 1.1)
        } else {
            (Ink::Grey, 0.8)
        };
        shapes.push(Shape::line(
            (x, pole_top),
            (x, if strong { f.y1 } else { f.y0 }),
            Stroke::new(ink, width, Dash::Solid),
        ));
        if !strong {
            let y = curve_top(x);
            let dotted = Stroke::new(Ink::Grey, 0.8, Dash::Dotted);
            shapes.push(Shape::line((x, f.y0), (x, y), dotted));
            if y < f.y1 {
                shapes.push(Shape::Ring { x, y, radius: 2.4 });
            }
        }
        let mut text = Text::new(placed.text_x, baseline, SIZE, placed.words.clone());
        text.bold = strong;
        texts.push(text);
    }
}
