//! A curve in few numbers: to be drawn small, and to be compared with others.

use serde::{Deserialize, Serialize};
use vacuum::{Entry, Sensed};

/// Bins of a curve.
pub(crate) const BINS: usize = 256;

/// Readings that are kept apart while a record is read; of longer records neighbours are put
/// together, 64 to a bin at least.
const MOST_POINTS: usize = 64 * BINS;

/// Least pressure that has a logarithm here, micron.
const LEAST_MICRON: f64 = 1e-3;

/// Parts of a thousandth in which the rest is kept.
const REST_PARTS: f64 = 200.0;

/// The readings of a record in 256 bins of equal length from its first reading to its
/// last.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CurveInBins {
    /// From the first reading to the last, s.
    pub span_s: f64,
    /// Pressures that were read in it.
    #[serde(default)]
    pub readings: u64,
    /// Mean of log10 of the pressure in micron in each bin, in thousandths (3000 is 1,000
    /// micron); a bin without a reading takes the straight line between its neighbours.
    pub log_micron: Vec<i16>,
    /// What rounding to thousandths took off each, in two-hundredths of a thousandth, −100 to
    /// 100: the noise of a gauge is smaller than a thousandth, and tells copies from records
    /// that are only alike.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rest: Vec<i8>,
}

impl CurveInBins {
    /// log10 of the pressure in micron of every bin.
    #[must_use]
    pub fn logs(&self) -> Vec<f64> {
        let rest = self.rest.iter().copied().chain(std::iter::repeat(0));
        let both = self.log_micron.iter().zip(rest);
        both.map(|(log, rest)| (f64::from(*log) + f64::from(rest) / REST_PARTS) / 1e3)
            .collect()
    }
}

/// Makes the curve of a record while its entries go by, in bounded memory.
#[derive(Debug, Default)]
pub(crate) struct CurveMaker {
    points: Vec<Point>,
    /// Readings that go into one point.
    together: u32,
    open: Option<Point>,
    readings: u64,
}

/// Some readings together.
#[derive(Debug, Clone, Copy)]
struct Point {
    first_s: f64,
    last_s: f64,
    sum: f64,
    count: u32,
}

impl Point {
    fn with(self, other: Self) -> Self {
        Self {
            first_s: self.first_s,
            last_s: other.last_s,
            sum: self.sum + other.sum,
            count: self.count + other.count,
        }
    }
}

impl CurveMaker {
    /// Takes the next entry; anything but a measured pressure passes.
    pub(crate) fn take(&mut self, entry: &Entry) {
        let Entry::Reading(reading) = entry else {
            return;
        };
        let Sensed::Measured(pressure) = reading.sensed else {
            return;
        };
        let at_s = reading.elapsed_s;
        if !at_s.is_finite() {
            return;
        }
        let new = Point {
            first_s: at_s,
            last_s: at_s,
            sum: pressure.micron().max(LEAST_MICRON).log10(),
            count: 1,
        };
        self.readings += 1;
        let open = self.open.map_or(new, |open| open.with(new));
        if open.count < self.together.max(1) {
            self.open = Some(open);
            return;
        }
        self.open = None;
        self.points.push(open);
        if self.points.len() >= MOST_POINTS {
            let pairs = self.points.chunks(2);
            let paired = pairs.filter_map(|two| two.iter().copied().reduce(Point::with));
            self.points = paired.collect();
            self.together = 2 * self.together.max(1);
        }
    }

    /// The curve; `None` of fewer than two readings, or of readings at one moment.
    pub(crate) fn finish(mut self) -> Option<CurveInBins> {
        self.points.extend(self.open);
        let from_s = self.points.first()?.first_s;
        let span_s = self.points.last()?.last_s - from_s;
        if span_s <= 0.0 || span_s.is_nan() {
            return None;
        }
        let mut sums = vec![(0.0, 0_u32); BINS];
        for point in &self.points {
            let middle_s = f64::midpoint(point.first_s, point.last_s) - from_s;
            // a share of the span, 0 to 1
            let bin = (middle_s / span_s * BINS as f64) as usize;
            if let Some((sum, count)) = sums.get_mut(bin.min(BINS - 1)) {
                *sum += point.sum;
                *count += point.count;
            }
        }
        let means: Vec<Option<f64>> = sums
            .iter()
            .map(|(sum, count)| (*count > 0).then(|| sum / f64::from(*count)))
            .collect();
        let (mut log_micron, mut rest) = (Vec::with_capacity(BINS), Vec::with_capacity(BINS));
        for mean in without_holes(&means) {
            let thousandths = 1e3 * mean;
            let whole = thousandths.round().clamp(-30_000.0, 30_000.0);
            log_micron.push(whole as i16);
            rest.push((REST_PARTS * (thousandths - whole)).round() as i8);
        }
        Some(CurveInBins {
            span_s,
            readings: self.readings,
            log_micron,
            rest,
        })
    }
}

/// Straight lines over what is missing; the first and last bin have readings.
fn without_holes(means: &[Option<f64>]) -> Vec<f64> {
    let mut whole: Vec<f64> = Vec::with_capacity(means.len());
    for (at, mean) in means.iter().enumerate() {
        let value = mean.unwrap_or_else(|| {
            let before = whole.last().copied().unwrap_or_default();
            let mut rest = means.iter().skip(at).enumerate();
            let next = rest.find_map(|(away, mean)| mean.map(|mean| (away, mean)));
            next.map_or(before, |(away, next)| {
                before + (next - before) / (away + 1) as f64
            })
        });
        whole.push(value);
    }
    whole
}

#[cfg(test)]
mod tests {
    use vacuum::{Pressure, Reading};

    use super::*;

    fn curve(points: impl IntoIterator<Item = (f64, f64)>) -> Option<CurveInBins> {
        let mut maker = CurveMaker::default();
        for (at_s, micron) in points {
            let pressure = Pressure::from_micron(micron).expect("a pressure");
            maker.take(&Entry::Reading(Reading::measured(at_s, pressure)));
        }
        maker.finish()
    }

    /// Falls by ten in 1,000 s, with steps of its own.
    fn micron(at_s: f64) -> f64 {
        10_f64.powf(4.0 - at_s / 1e3) * (1.0 + 1e-3 * (at_s * 0.7).sin())
    }

    #[test]
    fn a_curve_does_not_care_when_the_record_began_and_hardly_how_often_it_was_read() {
        let at = |from: f64, every: f64, n: u32| {
            curve((0..n).map(move |i| {
                let s = f64::from(i) * every;
                (from + s, micron(s))
            }))
            .expect("a curve")
        };
        let whole = at(0.0, 0.5, 4_001);
        assert_eq!(whole.log_micron.len(), BINS);
        assert!((whole.span_s - 2_000.0).abs() < 1e-9);
        assert_eq!(whole.log_micron[0], 3_996);
        let late = at(250.0, 0.5, 4_001);
        assert_eq!(late.log_micron, whole.log_micron);
        let thinned = at(0.0, 2.5, 801);
        let far = whole
            .logs()
            .into_iter()
            .zip(thinned.logs())
            .map(|(a, b)| (a - b).abs());
        assert!(far.fold(0.0, f64::max) < 2e-3);
        // so many that neighbours are put together
        let long = at(0.0, 0.02, 100_001);
        let far = whole
            .logs()
            .into_iter()
            .zip(long.logs())
            .map(|(a, b)| (a - b).abs());
        assert!(far.fold(0.0, f64::max) < 1e-3);
    }

    #[test]
    fn holes_are_bridged_and_nothing_makes_no_curve() {
        let two = curve([(0.0, 1_000.0), (100.0, 100.0)]).expect("a curve");
        assert_eq!(
            (two.log_micron[0], two.log_micron[BINS - 1]),
            (3_000, 2_000)
        );
        assert!(two.log_micron.windows(2).all(|w| w[1] <= w[0]));
        assert_eq!(curve([]), None);
        assert_eq!(curve([(5.0, 100.0), (5.0, 90.0)]), None);
        let zero = curve([(0.0, 0.0), (1.0, 1.0)]).expect("a curve");
        assert_eq!(zero.log_micron[0], -3_000);
    }
}
