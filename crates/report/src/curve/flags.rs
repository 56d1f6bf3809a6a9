//! Marks and isolations as flags over the plot.

use findings::IsolationBasis as Basis;
use vacuum::MarkKind;
use wording::say;

use crate::{
    Sheet,
    contents::mark_words,
    labels::{Flag, PlacedFlag, ROW, SIZE},
    picture::{Dash, Ink, Shape, Stroke, Text},
    plot::Plot,
    scale::Axis,
};

/// Marks and isolations as flags.
pub(super) fn of(sheet: &Sheet<'_>, time: &Axis, x_of: impl Fn(f64) -> f64) -> Vec<Flag> {
    let voice = &sheet.voice();
    let holds: Vec<_> = sheet
        .findings
        .rounds
        .iter()
        .filter_map(|r| r.hold.as_ref())
        .collect();
    // the mark that isolation was taken from says it already
    let is_isolation = |at_s: f64| {
        holds
            .iter()
            .any(|h| h.basis == Basis::Mark && (h.isolated_at_s - at_s).abs() < 0.5)
    };
    let mut out: Vec<Flag> = Vec::new();
    for (i, hold) in holds.iter().enumerate() {
        let id = match hold.basis {
            // several holds are named, so that each is found in the table
            Basis::Mark if holds.len() > 1 => "mark-pump-side-shut",
            Basis::Mark => "curve-shut-isolated",
            Basis::Given => "curve-isolated-given",
            Basis::Curve => "curve-isolated-curve",
            Basis::FromStart => "curve-isolated-start",
        };
        let words = if holds.len() > 1 {
            let name = say!(voice, "curve-hold-number", number = i + 1);
            say!(voice, "labelled", name = name, text = say!(voice, id))
        } else {
            say!(voice, id)
        };
        out.push(Flag::new(x_of(hold.isolated_at_s), words, true));
    }
    for mark in sheet.trace.marks() {
        let is_named = mark.kind == MarkKind::PumpSideShut && is_isolation(mark.elapsed_s);
        if !time.holds(mark.elapsed_s) || is_named {
            continue;
        }
        out.push(Flag::new(
            x_of(mark.elapsed_s),
            mark_words(sheet, mark, 28),
            false,
        ));
    }
    out
}

/// Poles and words of the flags; isolation lines run through the plot.
pub(super) fn draw(
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
