//! The smallest step of a scale, from the values that it shows.

/// More different values than this are not looked at: the step is known long before.
const MOST: usize = 4_096;

/// Below this two values are the same, g: a record keeps micrograms.
const SAME_G: f64 = 5e-6;

/// What is left over of a distance is nothing below this share of the step: values that were
/// converted from another unit are rounded.
const NOTHING: f64 = 0.02;

/// Values seen, in order, and the largest step that all distances between neighbours are
/// multiples of. A flow that passes many steps between two values shows it all the same.
#[derive(Debug, Clone, Default)]
pub(crate) struct Steps {
    seen: Vec<f64>,
    step_g: Option<f64>,
}

impl Steps {
    pub(crate) fn push(&mut self, g: f64) {
        if self.seen.len() >= MOST {
            return;
        }
        let at = self.seen.partition_point(|seen| *seen < g);
        let near = |other: Option<&f64>| other.map_or(f64::INFINITY, |o| (o - g).abs());
        let apart =
            near(self.seen.get(at)).min(near(at.checked_sub(1).and_then(|i| self.seen.get(i))));
        if apart < SAME_G {
            return;
        }
        self.seen.insert(at, g);
        if apart.is_finite() {
            self.step_g = Some(self.step_g.map_or(apart, |step| common_step(step, apart)));
        }
    }

    /// In g; `None` while only one value was seen.
    pub(crate) fn step_g(&self) -> Option<f64> {
        self.step_g
    }
}

/// The largest step that both are multiples of (Euclid's algorithm, with nearest remainders).
fn common_step(one: f64, other: f64) -> f64 {
    let (mut larger, mut step) = (one.max(other), one.min(other));
    loop {
        let left = (larger - (larger / step).round() * step).abs();
        if left < SAME_G.max(NOTHING * step) {
            return step;
        }
        (larger, step) = (step, left);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step_of(values: impl IntoIterator<Item = f64>) -> f64 {
        let mut steps = Steps::default();
        values.into_iter().for_each(|g| steps.push(g));
        steps.step_g().expect("values")
    }

    #[test]
    fn the_step_is_what_all_distances_are_multiples_of() {
        assert_eq!(Steps::default().step_g(), None);
        let step = step_of([10.0, 10.0, 12.0, 10.5, 10.000_001, 14.0, 10.3]);
        assert!((step - 0.1).abs() < 1e-4, "{step}");
        let two = step_of([10.0, 12.0, 16.0, 10.0, 14.0]);
        assert!((two - 2.0).abs() < 1e-9, "{two}");
    }

    #[test]
    fn a_fast_flow_and_converted_units_show_the_step_too() {
        // 11.6 g/s, ten values a second, steps of 0.1 g
        let fast = (0..50).map(|n| ((4812.6 - 1.164 * f64::from(n)) * 10.0).round() / 10.0);
        assert!((step_of(fast) - 0.1).abs() < 1e-4);
        // steps of 0.005 oz, as micrograms of a record
        let ounce_g = vacuum::MassUnit::Ounce.in_g();
        let oz = (0..400).map(|n| (f64::from(n * n % 997) * 0.005 * ounce_g * 1e6).round() / 1e6);
        let step = step_of(oz);
        assert!((step - 0.005 * ounce_g).abs() < 1e-5, "{step}");
    }
}
