//! Gauges beside the judged one: thinner, dashed, each named where it runs.

use wording::say;

use super::canvas::Canvas;
use crate::{Companion, Sheet};
use layout::{
    Trace,
    labels::SIZE,
    picture::{Dash, Ink, Shape, Stroke, Text},
    plot::{Plot, Series},
    strokes,
    text::fit,
};

/// More would hide the judged one; the others are in the run folder.
const MOST: usize = 3;
/// So many get their last reading beside the plot.
const MOST_LAST: usize = 2;
/// FreeSpace for words beside the plot, px.
const GUTTER_WORDS: f64 = 116.0;

/// How each is dashed; the words at the line say which it is.
const DASHES: [Dash; MOST] = [Dash::Short, Dash::Dotted, Dash::Mixed];

/// Those that are drawn.
pub(super) fn drawn<'a>(sheet: &Sheet<'a>) -> impl Iterator<Item = &'a Companion<'a>> {
    sheet.beside.iter().take(MOST)
}

/// Their measured lines, in the same order.
pub(super) fn series(sheet: &Sheet<'_>, times: (f64, f64), columns: u32) -> Vec<Series> {
    let line = |c: &Companion<'_>| Series {
        pieces: strokes::pieces(c.trace, &[], times, columns),
        ink: Ink::Black,
        width: 0.9,
    };
    drawn(sheet).map(line).collect()
}

/// The lines themselves.
pub(super) fn draw(canvas: &mut Canvas<'_>) {
    let plot = canvas.plot;
    for (series, dash) in plot.beside.iter().zip(DASHES) {
        for piece in &series.pieces {
            canvas.shapes.push(Shape::Path {
                points: piece.iter().map(|point| placed(plot, *point)).collect(),
                stroke: Stroke::new(series.ink, series.width, dash),
            });
        }
    }
}

fn placed(plot: &Plot, (t, p): (f64, f64)) -> (f64, f64) {
    (plot.x(plot.time.inside(t)), plot.y(plot.value.inside(p)))
}

/// Where along a line its name is tried, and how far from it.
const PLACES: [(f64, f64); 6] = [
    (0.5, 50.0),
    (0.3, 50.0),
    (0.7, 50.0),
    (0.15, 60.0),
    (0.85, 60.0),
    (0.5, 400.0),
];

/// A name at each line: where nothing runs through the words, else where there is
/// room for it at all.
pub(super) fn label(canvas: &mut Canvas<'_>, sheet: &Sheet<'_>) {
    let plot = canvas.plot;
    let voice = &sheet.voice();
    for (series, companion) in plot.beside.iter().zip(drawn(sheet)) {
        let points: Vec<(f64, f64)> = series.pieces.iter().flatten().copied().collect();
        let place = wording::place_words(voice, companion.place);
        let words = say!(voice, "curve-dashed", place = place);
        let near = |share| {
            let at = at_share(plot, &points, share)?;
            Some((at, Text::new(at.0 + 8.0, at.1 + 16.0, SIZE, words.clone())))
        };
        let room = &mut canvas.room;
        let clear = PLACES.into_iter().find_map(|(share, reach)| {
            let (at, text) = near(share)?;
            room.settle_clear(&text, reach, reach).map(|t| (at, t))
        });
        let found = clear.or_else(|| {
            PLACES.into_iter().find_map(|(share, reach)| {
                let (at, text) = near(share)?;
                room.settle(text, reach, reach).map(|t| (at, t))
            })
        });
        if let Some((at, text)) = found {
            canvas.leader(at, &text);
            canvas.texts.push(text);
        }
    }
}

/// The point of a line at a share of the way across it.
fn at_share(plot: &Plot, points: &[(f64, f64)], share: f64) -> Option<(f64, f64)> {
    let (first, last) = (points.first()?.0, points.last()?.0);
    let wanted = first + share * (last - first);
    let at = points.partition_point(|(t, _)| *t < wanted);
    points.get(at).map(|point| placed(plot, *point))
}

/// Last measurement of each and its words, for those that end measured.
pub(super) fn last_readings(sheet: &Sheet<'_>) -> Vec<(f64, String)> {
    let voice = &sheet.voice();
    let last = |c: &Companion<'_>| {
        let bin = Some(c.trace)
            .filter(|t| Trace::ends_measured(t))
            .and_then(|t| t.bins().last())?;
        let words = fit(
            &wording::place_words(voice, c.place),
            GUTTER_WORDS,
            SIZE,
            false,
        );
        Some((bin.last_micron, words))
    };
    drawn(sheet).filter_map(last).take(MOST_LAST).collect()
}
