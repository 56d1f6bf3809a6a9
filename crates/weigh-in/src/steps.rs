//! The smallest step of a scale, from the values that it shows.

/// More different values than this are not looked at: the step is known long before.
const MOST: usize = 4_096;

/// Below this two values are the same, g: a record keeps micrograms.
const SAME_G: f64 = 5e-6;

/// Values seen, in order, and the smallest distance between two.
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
            self.step_g = Some(self.step_g.map_or(apart, |step| step.min(apart)));
        }
    }

    /// In g; `None` while only one value was seen.
    pub(crate) fn step_g(&self) -> Option<f64> {
        self.step_g
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_step_is_the_smallest_distance() {
        let mut steps = Steps::default();
        assert_eq!(steps.step_g(), None);
        for g in [10.0, 10.0, 12.0, 10.5, 10.000_001, 14.0, 10.3] {
            steps.push(g);
        }
        assert!((steps.step_g().expect("values") - 0.2).abs() < 1e-9);
    }
}
