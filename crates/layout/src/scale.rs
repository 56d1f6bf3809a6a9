//! Axes: range, position and ticks at values a person would choose.

use wording::{Voice, say};

/// How a value axis runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// In equal steps.
    Linear,
    /// In powers of ten.
    Log,
}

/// A range of values along one side of a plot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// How it runs.
    pub kind: Kind,
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
}

impl Axis {
    /// A linear axis; an empty or broken range becomes one unit wide.
    pub fn linear(low: f64, high: f64) -> Self {
        let low = if low.is_finite() { low } else { 0.0 };
        let high = if high.is_finite() && high > low {
            high
        } else {
            low + low.abs().max(1.0)
        };
        Self {
            kind: Kind::Linear,
            low,
            high,
        }
    }

    /// A logarithmic axis of micron over whole 1-2-5 steps of a unit of so many
    /// micron around `low` and `high`, at least one decade and at most nine.
    pub fn log(low: f64, high: f64, unit: f64) -> Self {
        let high = if high.is_finite() && high > 0.0 {
            high.clamp(1.0, 1e8)
        } else {
            1000.0
        };
        let low = if low.is_finite() && low > 0.0 {
            low.clamp(high * 1e-9, high)
        } else {
            high * 1e-3
        };
        let high = step_up(high / unit);
        let mut low = step_down(low / unit);
        if high / low < 10.0 {
            low = step_down(high / 10.0 * 1.000_001);
        }
        Self {
            kind: Kind::Log,
            low: low * unit,
            high: high * unit,
        }
    }

    /// Position of `value` from 0 (low end) to 1 (high end), kept inside.
    pub fn fraction(&self, value: f64) -> f64 {
        let value = self.inside(value);
        match self.kind {
            Kind::Linear => (value - self.low) / (self.high - self.low),
            Kind::Log => (value / self.low).ln() / (self.high / self.low).ln(),
        }
    }

    /// `value` moved to the nearest end when outside.
    pub fn inside(&self, value: f64) -> f64 {
        if value.is_nan() {
            self.low
        } else {
            value.clamp(self.low, self.high)
        }
    }

    /// True when `value` lies on the axis.
    pub fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

fn step_up(value: f64) -> f64 {
    let decade = 10_f64.powf(value.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * decade)
        .find(|step| *step >= value * 0.999_999)
        .unwrap_or(decade * 10.0)
}

fn step_down(value: f64) -> f64 {
    let decade = 10_f64.powf(value.log10().floor());
    [5.0, 2.0, 1.0]
        .into_iter()
        .map(|m| m * decade)
        .find(|step| *step <= value * 1.000_001)
        .unwrap_or(decade)
}

/// A tick: where, what is written there (nothing on fine lines).
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// Where it stands.
    pub value: f64,
    /// What is written there.
    pub label: Option<String>,
}

impl Tick {
    fn new(value: f64, label: Option<String>) -> Self {
        Self { value, label }
    }
}

/// Ticks of a logarithmic axis of micron in the unit of a voice: decades written, 2
/// and 5 written too when there is room, the rest as fine lines on short axes.
pub fn log_ticks(axis: &Axis, voice: &Voice) -> Vec<Tick> {
    let unit = voice.unit_micron();
    let decades = (axis.high / axis.low).log10();
    let first = (axis.low / unit * 1.000_001).log10().floor();
    let mut ticks = Vec::new();
    for d in 0..12_u32 {
        let decade = 10_f64.powf(first + f64::from(d));
        for multiple in 1..10_u32 {
            let shown = decade * f64::from(multiple);
            let value = shown * unit;
            if value < axis.low * 0.999_999 || value > axis.high * 1.000_001 {
                continue;
            }
            let written = match multiple {
                1 => true,
                2 | 5 => decades <= 3.4,
                _ => false,
            };
            let drawn = written || decades <= 5.2;
            if drawn {
                let label = written.then(|| voice.tick(shown));
                ticks.push(Tick::new(axis.inside(value), label));
            }
        }
    }
    // bounds off a decade are worth a label on long axes too
    ticks
}

/// Ticks of a linear axis of micron in the unit of a voice, about `wanted` of them.
pub fn linear_ticks(axis: &Axis, wanted: u32, voice: &Voice) -> Vec<Tick> {
    ticks_in(axis, wanted, voice.unit_micron(), voice)
}

/// Ticks of a linear axis, about `wanted` of them, written in a unit of so many of what the
/// axis runs in.
#[must_use]
pub fn ticks_in(axis: &Axis, wanted: u32, unit: f64, voice: &Voice) -> Vec<Tick> {
    let raw = (axis.high - axis.low) / f64::from(wanted.max(1));
    let step = step_up(raw / unit) * unit;
    multiples(axis, step)
        .map(|value| Tick::new(value, Some(voice.tick(rounded_to(value, step) / unit))))
        .collect()
}

/// The multiple of `step` that `value` is, without what arithmetic left of others.
fn rounded_to(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// A linear range of micron around `low` and `high` that ends on ticks of a unit of
/// so many micron.
pub fn linear_around(low: f64, high: f64, wanted: u32, unit: f64) -> Axis {
    let axis = Axis::linear(low, high);
    let step = step_up((axis.high - axis.low) / f64::from(wanted.max(1)) / unit) * unit;
    Axis::linear(
        (axis.low / step).floor() * step,
        (axis.high / step).ceil() * step,
    )
}

/// Whole multiples of `step` on the axis.
fn multiples(axis: &Axis, step: f64) -> impl Iterator<Item = f64> {
    let first = (axis.low / step - 1e-9).ceil();
    let (low, high) = (axis.low, axis.high);
    (0..200_u32)
        .map(move |i| (first + f64::from(i)) * step)
        .take_while(move |v| *v <= high + step * 1e-9)
        .map(move |v| v.clamp(low, high))
}

/// Ticks of a time axis in seconds, and the unit they are written in, in words.
///
/// Minutes from 100 s to 4 h, hours beyond, seconds below.
pub fn time_ticks(axis: &Axis, wanted: u32, voice: &Voice) -> (Vec<Tick>, String) {
    const SECOND_STEPS: [f64; 10] = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0];
    const MINUTE_STEPS: [f64; 8] = [0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0];
    const HOUR_STEPS: [f64; 8] = [0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0];
    let span = axis.high - axis.low;
    let (unit_s, unit, steps): (f64, _, &[f64]) = if span < 100.0 {
        (1.0, "seconds", &SECOND_STEPS)
    } else if span <= 4.0 * 3600.0 {
        (60.0, "minutes", &MINUTE_STEPS)
    } else {
        (3600.0, "hours", &HOUR_STEPS)
    };
    let raw = span / unit_s / f64::from(wanted.max(1));
    let step = steps
        .iter()
        .copied()
        .find(|s| *s >= raw * 0.999)
        .unwrap_or_else(|| step_up(raw));
    let ticks = multiples(axis, step * unit_s)
        .map(|value| Tick::new(value, Some(voice.plain(value / unit_s, 9))))
        .collect();
    (ticks, say!(voice, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use vacuum::PressureUnit;

    fn written(ticks: &[Tick]) -> Vec<&str> {
        ticks.iter().filter_map(|t| t.label.as_deref()).collect()
    }

    #[test]
    fn log_axes_snap_and_stay_sane() {
        let axis = Axis::log(180.0, 760_000.0, 1.0);
        assert_eq!((axis.low, axis.high), (100.0, 1e6));
        assert_eq!(
            written(&log_ticks(&axis, &Voice::default())),
            ["100", "1,000", "10,000", "100,000", "1,000,000"]
        );
        let narrow = Axis::log(300.0, 400.0, 1.0);
        assert!(narrow.high / narrow.low >= 9.99);
        for (low, high) in [
            (f64::NAN, f64::NAN),
            (0.0, 0.0),
            (-5.0, 1e300),
            (1e-300, 5.0),
            (900.0, 100.0),
        ] {
            for unit in PressureUnit::ALL {
                let voice = Voice {
                    unit,
                    ..Voice::default()
                };
                let axis = Axis::log(low, high, voice.unit_micron());
                assert!(axis.low > 0.0 && axis.high > axis.low && axis.high.is_finite());
                let ticks = log_ticks(&axis, &voice);
                assert!(ticks.len() < 120 && written(&ticks).len() > 1, "{unit:?}");
                assert!((0.0..=1.0).contains(&axis.fraction(f64::NAN)));
            }
        }
    }

    /// 1 Pa = 7.500 617 micron (NIST SP 811, appendix B.8).
    #[test]
    fn axes_end_on_ticks_of_the_unit_chosen() {
        let voice = Voice {
            unit: PressureUnit::Pascal,
            ..Voice::default()
        };
        let axis = Axis::log(180.0, 760_000.0, voice.unit_micron());
        assert!((axis.low / 7.500_617 - 20.0).abs() < 1e-4, "{axis:?}");
        assert!((axis.high / 7.500_617 / 200_000.0 - 1.0).abs() < 1e-6);
        assert_eq!(
            written(&log_ticks(&axis, &voice)),
            ["100", "1,000", "10,000", "100,000"]
        );
        let axis = linear_around(212.0, 263.0, 5, voice.unit_micron());
        assert_eq!(
            written(&linear_ticks(&axis, 5, &voice)),
            ["28", "30", "32", "34", "36"]
        );
        let inches = Voice {
            unit: PressureUnit::InHg,
            ..voice
        };
        let axis = Axis::log(180.0, 2_000.0, inches.unit_micron());
        assert_eq!(
            written(&log_ticks(&axis, &inches)),
            ["0.005", "0.01", "0.02", "0.05", "0.1"]
        );
    }

    #[test]
    fn time_ticks_are_few_and_round() {
        let at = |end: f64| {
            let (ticks, unit) = time_ticks(&Axis::linear(0.0, end), 9, &Voice::default());
            let labels: Vec<String> = ticks.iter().filter_map(|t| t.label.clone()).collect();
            (labels, unit)
        };
        let (labels, unit) = at(600.0);
        assert_eq!(unit, "minutes");
        assert_eq!(labels, ["0", "2", "4", "6", "8", "10"]);
        assert_eq!(at(3600.0).0, ["0", "10", "20", "30", "40", "50", "60"]);
        let (labels, unit) = at(36_000.0);
        assert_eq!(unit, "hours");
        assert_eq!(labels, ["0", "2", "4", "6", "8", "10"]);
        for end in [0.5, 30.0, 100.0, 5000.0, 14_400.0, 2e5, 1e7, 1e12] {
            assert!((2..14).contains(&at(end).0.len()), "{end}");
        }
    }

    #[test]
    fn linear_axes_end_on_ticks() {
        let axis = linear_around(212.0, 263.0, 5, 1.0);
        assert_eq!((axis.low, axis.high), (200.0, 280.0));
        assert_eq!(
            written(&linear_ticks(&axis, 5, &Voice::default())),
            ["200", "220", "240", "260", "280"]
        );
        for high in [3.0, 17.0, 110.0, 999.0, 1070.0, 5400.0] {
            let axis = linear_around(0.0, high, 5, 1.0);
            let last = linear_ticks(&axis, 7, &Voice::default()).pop().unwrap();
            assert!((last.value - axis.high).abs() < 1e-9, "{high}");
        }
    }
}
