//! What is usual for a rig, and how its floor moves.

use findings::{Estimate, FloorGrew, RigHistory};
use statistics::robust::median_of;
use vacuum::TestKind;

use crate::{
    facts::{Note, NoteKind, Run, same_name},
    oil::{changed_s, oil_hours},
    theil_sen::{Line, theil_sen},
};

/// Fewest earlier tests from which limits are made.
const FEWEST: usize = 3;
/// Fewest tests, the newest included, from which a trend is read (common practice, no
/// source).
const FEWEST_OF_TREND: usize = 4;
/// 97.5 % points of Student's t for 2 to 5 degrees of freedom, that is for 4 to 7 tests
/// (from memory). From eight tests on the ranks of the slopes have an interval of their own;
/// fewer of them must all go one way to say anything.
const STUDENT_FROM_FOUR: [f64; 4] = [4.303, 3.182, 2.776, 2.571];
/// The same of the normal distribution.
const NORMAL: f64 = 1.96;
/// A limit lies so many standard deviations above the median (W. A. Shewhart, *Economic
/// Control of Quality of Manufactured Product*, 1931, from memory).
const DEVIATIONS: f64 = 3.0;
/// Median deviation times this is a standard deviation, of normal values.
const FROM_MEDIAN_DEVIATION: f64 = 1.482_6;
/// Least standard deviation of ln floor, and of ln rise, from test to test: gauges are no
/// better (common practice, no source).
const LEAST_FLOOR: f64 = 0.08;
const LEAST_RISE: f64 = 0.25;
/// A floor that grew by less than this is left alone (common practice, no source).
const GREW: f64 = 1.2;

/// What earlier blank-off tests of this pump with this hose set were like, for a test that
/// begins at `now_s` (s since 1970-01-01 UTC) and has this floor, micron. Where it is not
/// known which pump, or which hose set, those tests count whose names are not known either.
///
/// The limits are those of all earlier tests since the last repair of a part; the trend is that since the oil was
/// changed, over hours of pumping, the test itself included.
#[must_use]
pub fn history(
    runs: &[Run],
    notes: &[Note],
    (pump, hose): (Option<&str>, Option<&str>),
    now_s: f64,
    floor_micron: Option<f64>,
) -> RigHistory {
    let is_it = |have: Option<&String>, wanted: Option<&str>| match (have, wanted) {
        (Some(have), Some(wanted)) => same_name(have, wanted),
        (None, None) => true,
        _ => false,
    };
    let repaired_s = notes
        .iter()
        .filter(|n| n.kind == NoteKind::Repair && n.at_s < now_s)
        .filter(|n| {
            [pump, hose]
                .into_iter()
                .flatten()
                .any(|p| same_name(p, &n.name))
        })
        .map(|n| n.at_s)
        .fold(f64::NEG_INFINITY, f64::max);
    let earlier: Vec<&Run> = runs
        .iter()
        .filter(|r| r.kind == TestKind::BlankOff)
        .filter(|r| r.began_s < now_s && r.began_s >= repaired_s)
        .filter(|r| is_it(r.pump.as_ref(), pump) && is_it(r.hose.as_ref(), hose))
        .filter(|r| r.floor_micron.is_some())
        .collect();
    let floors = |r: &&Run| r.floor_micron.map(|f| f.value);
    let rises = |r: &&Run| r.rise_micron_per_min.map(|f| f.value);
    let floors: Vec<f64> = earlier.iter().filter_map(floors).collect();
    let rises: Vec<f64> = earlier.iter().filter_map(rises).collect();
    let trend = Trend::of(runs, notes, &earlier, pump, (now_s, floor_micron));
    RigHistory {
        runs: floors.len(),
        median_floor_micron: middle(&floors),
        highest_usual_floor_micron: highest_usual(&floors, LEAST_FLOOR),
        median_rise_micron_per_min: middle(&rises),
        highest_usual_rise_micron_per_min: highest_usual(&rises, LEAST_RISE),
        floor_trend_micron_per_10h: trend.map(|t| t.micron_per_10h),
        floor_grew: trend.and_then(|t| t.grew),
    }
}

fn middle(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| median_of(values.iter().copied()))
}

/// Median and median deviation of the logarithms, as a limit for the next value. `None` for
/// too few. Values at or below 0 are taken as a tenth of the median.
fn highest_usual(values: &[f64], least: f64) -> Option<f64> {
    let median = middle(values).filter(|m| *m > 0.0 && values.len() >= FEWEST)?;
    let logs: Vec<f64> = values.iter().map(|v| v.max(0.1 * median).ln()).collect();
    let level = median_of(logs.iter().copied());
    let deviation = median_of(logs.iter().map(|l| (l - level).abs()));
    let sd = (FROM_MEDIAN_DEVIATION * deviation).max(least);
    // the level of n values is known to a part of that only
    let n = values.len() as f64;
    Some((level + DEVIATIONS * sd * (1.0 + 1.0 / n).sqrt()).exp())
}

#[derive(Clone, Copy)]
struct Trend {
    micron_per_10h: Estimate,
    grew: Option<FloorGrew>,
}

impl Trend {
    fn of(
        runs: &[Run],
        notes: &[Note],
        earlier: &[&Run],
        pump: Option<&str>,
        (now_s, floor_micron): (f64, Option<f64>),
    ) -> Option<Self> {
        let pump = pump?;
        let since_s = changed_s(notes, pump, now_s).unwrap_or(f64::NEG_INFINITY);
        let hours = |at_s: f64| oil_hours(runs, notes, pump, at_s).hours;
        let mut points: Vec<(f64, f64)> = earlier
            .iter()
            .filter(|r| r.began_s >= since_s)
            .filter_map(|r| Some((hours(r.began_s), r.floor_micron?.value)))
            .collect();
        points.extend(floor_micron.map(|floor| (hours(now_s), floor)));
        if points.len() < FEWEST_OF_TREND {
            return None;
        }
        let line = theil_sen(&points)?;
        let (value, low, high) = interval(&line, &points);
        let ends = points
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |e, p| {
                (e.0.min(p.0), e.1.max(p.0))
            });
        let at = |h: f64| line.at_zero + value * h;
        let factor = at(ends.1) / at(ends.0);
        let grew = (low > 0.0 && at(ends.0) > 0.0 && factor >= GREW).then_some(FloorGrew {
            factor,
            hours: ends.1 - ends.0,
        });
        Some(Self {
            micron_per_10h: Estimate { value, low, high }.scaled(10.0),
            grew,
        })
    }
}

/// Slope and its 95 % interval. Few tests have that of scatter around the line: the least
/// that is known of floors, or what is seen, whichever is wider.
fn interval(line: &Line, points: &[(f64, f64)]) -> (f64, f64, f64) {
    let Some(student) = STUDENT_FROM_FOUR.get(points.len() - FEWEST_OF_TREND) else {
        return line.slope;
    };
    let n = points.len() as f64;
    let middle_h = points.iter().map(|p| p.0).sum::<f64>() / n;
    let spread = points
        .iter()
        .map(|p| (p.0 - middle_h).powi(2))
        .sum::<f64>()
        .sqrt();
    let level = median_of(points.iter().map(|p| p.1));
    let off = points
        .iter()
        .map(|p| (p.1 - line.at_zero - line.slope.0 * p.0).abs());
    let seen = student * FROM_MEDIAN_DEVIATION * median_of(off);
    let half = seen.max(NORMAL * LEAST_FLOOR * level.max(0.0)) / spread;
    let value = line.slope.0;
    (value, value - half, value + half)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn test(began_s: f64, floor: f64, pumped_h: f64) -> Run {
        Run {
            kind: TestKind::BlankOff,
            pump: Some("P".into()),
            hose: Some("H".into()),
            pumped_h: Some(pumped_h),
            floor_micron: Some(Estimate {
                value: floor,
                low: 0.97 * floor,
                high: 1.03 * floor,
            }),
            ..Run::began(began_s)
        }
    }

    const RIG: (Option<&str>, Option<&str>) = (Some("P"), Some("H"));

    #[test]
    fn a_floor_that_doubles_over_five_tests_is_found() {
        // 3 h of pumping between tests, some of it on systems
        let floors = [40.0, 47.0, 56.0, 67.0];
        let mut runs: Vec<Run> = Vec::new();
        for (i, floor) in floors.into_iter().enumerate() {
            runs.push(test(i as f64 * 100.0, floor, 0.5));
            runs.push(Run {
                pump: Some("P".into()),
                pumped_h: Some(2.5),
                ..Run::began(i as f64 * 100.0 + 50.0)
            });
        }
        let found = history(&runs, &[], RIG, 400.0, Some(80.0));
        assert_eq!((found.runs, found.median_floor_micron), (4, Some(51.5)));
        let trend = found.floor_trend_micron_per_10h.expect("five tests");
        assert!(
            trend.low > 0.0 && (trend.value - 33.3).abs() < 2.0,
            "{trend:?}"
        );
        let grew = found.floor_grew.expect("it doubled");
        assert!(
            (grew.factor - 2.0).abs() < 0.15 && grew.hours == 12.0,
            "{grew:?}"
        );
        // fresh oil: the trend begins anew
        let changed = [Note::of(250.0, "P", NoteKind::OilChange, "")];
        let fresh = history(&runs, &changed, RIG, 400.0, Some(41.0));
        assert_eq!(fresh.floor_trend_micron_per_10h, None);
        assert_eq!(fresh.runs, 4);
    }

    #[test]
    fn a_floor_that_stays_has_no_trend_and_a_limit_above_it() {
        let floors = [41.0, 39.0, 40.0, 42.0, 40.5, 39.5];
        let runs: Vec<Run> = floors
            .into_iter()
            .enumerate()
            .map(|(i, floor)| test(i as f64, floor, 1.0))
            .collect();
        let found = history(&runs, &[], RIG, 10.0, Some(40.2));
        let trend = found.floor_trend_micron_per_10h.expect("seven tests");
        assert!(trend.low < 0.0 && trend.high > 0.0, "{trend:?}");
        assert_eq!(found.floor_grew, None);
        let limit = found.highest_usual_floor_micron.expect("six tests");
        assert!((48.0..60.0).contains(&limit), "{limit}");
    }

    #[test]
    fn tests_of_other_parts_and_before_a_repair_do_not_count() {
        let mut runs = vec![test(1.0, 40.0, 1.0), test(2.0, 41.0, 1.0)];
        runs.push(Run {
            hose: Some("other".into()),
            ..test(3.0, 300.0, 1.0)
        });
        assert_eq!(history(&runs, &[], RIG, 9.0, None).runs, 2);
        let repair = [Note::of(1.5, "H", NoteKind::Repair, "gasket")];
        assert_eq!(history(&runs, &repair, RIG, 9.0, None).runs, 1);
    }

    #[test]
    fn one_odd_test_hardly_moves_the_limit() {
        let floors = [40.0, 41.0, 39.0, 40.0, 400.0];
        let runs: Vec<Run> = floors
            .into_iter()
            .enumerate()
            .map(|(i, floor)| test(i as f64, floor, 1.0))
            .collect();
        let limit = history(&runs, &[], RIG, 10.0, None)
            .highest_usual_floor_micron
            .expect("five tests");
        assert!(limit < 60.0, "{limit}");
    }
}
