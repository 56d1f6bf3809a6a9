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
/// A curve that moves by less is not compared, decades (root of the sum of squares of its
/// parts, its mean taken off).
const LEAST_RANGE: f64 = 0.003;
/// Curves that move by less are made so large before candidates are looked for: what tells
/// them apart is small.
const USUAL_RANGE: f64 = 0.75;
/// Noise that is the same to so many standard errors over three levels is the same noise.
/// Chosen on tuning seeds of `scorecard desk`: hardly a pair of innocent records reaches it.
const SAME_NOISE: f64 = 11.8;
/// Curves nearer than this all along are the same without noise, decades …
const SAME_CURVE: f64 = 0.001;
/// … and so are those that are nearer than this in half of the bins …
const SAME_HALF: f64 = 5e-5;
/// … and than this in nine tenths of them.
const SAME_MOST: f64 = 0.003;
/// A curve that hardly moves is the same only where it is equal to so much, or its noise is,
/// decades.
const EQUAL: f64 = 2e-5;
/// Others that are named in a flag.
const MOST_NAMED: usize = 5;

pub(super) fn find(rows: &[Row]) -> Vec<(usize, Flag)> {
    let mut shapes: Vec<Option<Shape>> = Vec::with_capacity(rows.len());
    let mut coarse = Vec::new();
    let mut moves = Vec::with_capacity(rows.len());
    for (place, row) in rows.iter().enumerate() {
        let curve = row.curve.as_ref();
        let shape = curve.filter(|c| c.log_micron.len() == BINS && c.span_s > 0.0);
        let shape = shape.map(Shape::of);
        let curve = shape.as_ref().map(|shape| shape.coarse(PARTS));
        if let Some(mut curve) = curve {
            let range = curve.iter().map(|x| x * x).sum::<f64>().sqrt();
            if range < LEAST_RANGE {
                shapes.push(None);
                moves.push(false);
                continue;
            }
            let larger = (USUAL_RANGE / range).max(1.0);
            curve.iter_mut().for_each(|x| *x *= larger);
            coarse.push((place, curve));
            moves.push(range >= USUAL_RANGE);
        } else {
            moves.push(false);
        }
        shapes.push(shape);
    }
    let mut with: Vec<Vec<(usize, Likeness)>> = vec![Vec::new(); rows.len()];
    for (a, b) in candidates(&coarse) {
        let (Some(one), Some(other)) = (rows.get(a), rows.get(b)) else {
            continue;
        };
        let (Some(Some(of_a)), Some(Some(of_b))) = (shapes.get(a), shapes.get(b)) else {
            continue;
        };
        if is_same_record(one, other) || !of_a.is_as_long_as(of_b) {
            continue;
        }
        let like = of_a.like(of_b);
        let moves = moves.get(a).copied().unwrap_or(false);
        if !is_copy(&like, moves) {
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

fn is_copy(like: &Likeness, moves: bool) -> bool {
    let same_curve = match moves {
        true => like.most <= SAME_CURVE || (like.half <= SAME_HALF && like.most <= SAME_MOST),
        false => like.most <= EQUAL,
    };
    same_curve || like.noise >= SAME_NOISE
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

#[cfg(test)]
mod tests {
    use simulated_runs::{alike_case, bench_case};
    use vacuum::{Entry, Pressure, Reading};

    use super::*;
    use crate::{curve::CurveMaker, row::RowKind};

    /// Seconds and micron of what was measured.
    type Readings = Vec<(f64, f64)>;

    fn readings(entries: &[Entry]) -> Readings {
        let measured = |entry: &Entry| match entry {
            Entry::Reading(r) => Some((r.elapsed_s, r.pressure()?.micron())),
            Entry::Mark(_) => None,
        };
        entries.iter().filter_map(measured).collect()
    }

    fn row(job: &str, readings: &Readings) -> Row {
        let mut maker = CurveMaker::default();
        for (at_s, micron) in readings {
            let pressure = Pressure::from_micron(*micron).expect("a pressure");
            maker.take(&Entry::Reading(Reading::measured(*at_s, pressure)));
        }
        Row {
            job: Some(job.into()),
            curve: maker.finish(),
            ..Row::new(job.into(), RowKind::Run)
        }
    }

    /// Whether the second is told to be a copy of the first.
    fn is_told(original: &Readings, other: &Readings) -> bool {
        let rows = [row("one", original), row("two", other)];
        let found = find(&rows);
        assert!(found.len() != 1, "told on both sides or not at all");
        !found.is_empty()
    }

    #[test]
    fn what_is_made_of_another_record_is_told_and_what_is_only_alike_is_not() {
        // seeds of plain runs with a reading every second or two
        let (mut checked, mut thinned, mut multiplied) = (0, 0, 0);
        for seed in (0..60).step_by(2) {
            let original = readings(&bench_case(seed).entries);
            if !(800..6_000).contains(&original.len()) {
                continue;
            }
            checked += 1;
            let later = original.iter().map(|(s, p)| (s + 413.0, *p)).collect();
            let half = original.iter().copied().skip(1).step_by(2).collect();
            let scaled = original
                .iter()
                .map(|(s, p)| (*s, (1.17 * p).round()))
                .collect();
            assert!(is_told(&original, &original), "{seed}: exact");
            assert!(is_told(&original, &later), "{seed}: shifted");
            thinned += u32::from(is_told(&original, &half));
            multiplied += u32::from(is_told(&original, &scaled));
            for again in 1..4 {
                let alike = readings(&alike_case(seed, again).entries);
                assert!(!is_told(&original, &alike), "{seed} alike {again}");
            }
        }
        assert!(checked >= 10, "{checked}");
        // the bar of the desk, over what coarse gauges hide
        assert!(10 * thinned >= 8 * checked, "{thinned} of {checked}");
        assert!(10 * multiplied >= 9 * checked, "{multiplied} of {checked}");
    }
}
