//! What the things over the measured line are drawn into.

use wording::Voice;

use layout::{
    labels::FreeSpace,
    picture::{Dash, Ink, Shape, Stroke, Text},
    plot::Plot,
};

/// The sinks of a layout and the room left in its plot.
pub(super) struct Canvas<'a> {
    pub(super) voice: Voice,
    pub(super) plot: &'a Plot,
    pub(super) room: FreeSpace,
    pub(super) shapes: &'a mut Vec<Shape>,
    pub(super) texts: &'a mut Vec<Text>,
}

impl Canvas<'_> {
    /// A thin line from a thing to its label, when they stand apart.
    pub(super) fn leader(&mut self, from: (f64, f64), text: &Text) {
        let b = text.bounds();
        let to = (
            from.0.clamp(b.x0, b.x1),
            if from.1 > b.y1 { b.y1 } else { b.y0 },
        );
        let apart = (to.0 - from.0).hypot(to.1 - from.1);
        if apart > 14.0 {
            let dotted = Stroke::new(Ink::Grey, 0.8, Dash::Dotted);
            self.shapes.push(Shape::line(from, to, dotted));
        }
    }
}
