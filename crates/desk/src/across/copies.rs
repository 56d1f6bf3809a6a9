//! The same readings under another job: exact, shifted in time, thinned or resampled, or
//! multiplied by a factor. A curve in bins over its own span does not change with the first
//! two, and a factor is an offset of its logarithm.

use super::{
    buckets::candidates,
    is_same_record,
    likeness::{Likeness, Shape},
    named,
};
use crate::{
    curve::BINS,
    flag::{Flag, FlagCode},
    row::Row,
};

/// Parts of a curve that candidates are found by.
const PARTS: usize = 32;
/// A curve has to move by so much to be told from others, decades (mean distance from its
/// mean).
const LEAST_RANGE: f64 = 0.05;
/// Candidates whose curves lie further apart are not the same readings, decades.
const FARTHEST: f64 = 0.03;
/// Noise that is the same to so many standard errors …
const SAME_NOISE_SIGMA: f64 = 5.0;
/// … and is correlated by so much is the same noise.
const SAME_NOISE: f64 = 0.35;
/// Curves nearer than this all along are the same without noise, decades.
const SAME_CURVE: f64 = 0.000_6;
/// Spans that differ by more are not of the same readings thinned or shifted.
const SPAN_SHARE: f64 = 0.01;
/// Others that are named in a flag.
const MOST_NAMED: usize = 5;

pub(super) fn find(rows: &[Row]) -> Vec<(usize, Flag)> {
    let mut shapes: Vec<Option<Shape>> = Vec::with_capacity(rows.len());
    let mut coarse = Vec::new();
    for (place, row) in rows.iter().enumerate() {
        let logs = row.curve.as_ref().map(crate::curve::CurveInBins::logs);
        let shape = logs.filter(|logs| logs.len() == BINS).map(Shape::of);
        let curve = shape.as_ref().map(|shape| shape.coarse(PARTS));
        let moves = |curve: &Vec<f64>| {
            curve.iter().map(|x| x.abs()).sum::<f64>() / PARTS as f64 >= LEAST_RANGE
        };
        match curve.filter(moves) {
            Some(curve) => {
                coarse.push((place, curve));
                shapes.push(shape);
            }
            None => shapes.push(None),
        }
    }
    let mut with: Vec<Vec<(usize, Likeness)>> = vec![Vec::new(); rows.len()];
    for (a, b) in candidates(&coarse) {
        let (Some(one), Some(other)) = (rows.get(a), rows.get(b)) else {
            continue;
        };
        let (Some(Some(of_a)), Some(Some(of_b))) = (shapes.get(a), shapes.get(b)) else {
            continue;
        };
        if is_same_record(one, other) || !same_span(one, other) {
            continue;
        }
        let like = of_a.like(of_b);
        if !is_copy(&like) {
            continue;
        }
        for (this, that) in [(a, b), (b, a)] {
            if let Some(others) = with.get_mut(this) {
                others.push((that, like));
            }
        }
    }
    let flagged = with.into_iter().enumerate().filter(|(_, w)| !w.is_empty());
    flagged
        .filter_map(|(place, others)| Some((place, flag(rows, rows.get(place)?, &others))))
        .collect()
}

fn same_span(a: &Row, b: &Row) -> bool {
    let span = |row: &Row| row.curve.as_ref().map(|curve| curve.span_s);
    span(a)
        .zip(span(b))
        .is_some_and(|(a, b)| (a - b).abs() <= SPAN_SHARE * a.max(b))
}

fn is_copy(like: &Likeness) -> bool {
    like.apart <= SAME_CURVE
        || (like.apart <= FARTHEST
            && like.noise >= SAME_NOISE
            && like.noise_sigma >= SAME_NOISE_SIGMA)
}

fn flag(rows: &[Row], row: &Row, others: &[(usize, Likeness)]) -> Flag {
    let named_others: Vec<String> = others
        .iter()
        .take(MOST_NAMED)
        .filter_map(|(other, like)| {
            let factor = 10_f64.powf(like.offset.abs());
            let scaled = match factor {
                f if f > 1.003 => format!(", multiplied by {f:.3}"),
                _ => String::new(),
            };
            Some(format!("{}{scaled}", named(rows.get(*other)?)))
        })
        .collect();
    let more = match others.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    Flag {
        code: FlagCode::CurveCopied,
        words: format!(
            "The readings of this record ({}) stand in {}{more} too: two systems never give the \
             same noise.",
            named(row),
            named_others.join(", ")
        ),
        with: others
            .iter()
            .filter_map(|(other, _)| Some(rows.get(*other)?.path.clone()))
            .collect(),
    }
}
