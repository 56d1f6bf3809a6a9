//! Stretches in which a scale stands still.

/// Shortest rest, s: less is a moment at which the value happened not to move.
pub(crate) const SHORTEST_S: f64 = 2.0;
/// Fewest readings in one.
const FEWEST: u32 = 4;
/// Longer without a reading, s, ends a rest.
const LONGEST_PAUSE_S: f64 = 5.0;
/// Readings in a second that count as independent, at most.
const INDEPENDENT_PER_S: f64 = 2.0;

/// A stretch in which a scale stood still, with the sums that a mean and a slope need.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rest {
    pub(crate) from_s: f64,
    pub(crate) to_s: f64,
    count: u32,
    /// All values are kept relative to the first, so that nothing is lost in the sums.
    first_g: f64,
    sum: f64,
    sum_squares: f64,
    sum_t: f64,
    sum_tt: f64,
    sum_tg: f64,
    lowest_g: f64,
    highest_g: f64,
    /// Highest value since the rest before it, g.
    pub(crate) came_from_g: f64,
}

impl Rest {
    pub(crate) fn starting(at_s: f64, g: f64, came_from_g: f64) -> Self {
        let mut rest = Self {
            from_s: at_s,
            to_s: at_s,
            count: 0,
            first_g: g,
            sum: 0.0,
            sum_squares: 0.0,
            sum_t: 0.0,
            sum_tt: 0.0,
            sum_tg: 0.0,
            lowest_g: g,
            highest_g: g,
            came_from_g,
        };
        rest.add(at_s, g);
        rest
    }

    fn add(&mut self, at_s: f64, g: f64) {
        let (t, y) = (at_s - self.from_s, g - self.first_g);
        self.to_s = at_s;
        self.count = self.count.saturating_add(1);
        self.sum += y;
        self.sum_squares += y * y;
        self.sum_t += t;
        self.sum_tt += t * t;
        self.sum_tg += t * y;
        self.lowest_g = self.lowest_g.min(g);
        self.highest_g = self.highest_g.max(g);
    }

    /// Takes a value if the scale still stands still with it: within `width_g` of all others.
    pub(crate) fn takes(&mut self, at_s: f64, g: f64, width_g: f64) -> bool {
        let spread = self.highest_g.max(g) - self.lowest_g.min(g);
        let fits = spread <= width_g && at_s - self.to_s <= LONGEST_PAUSE_S;
        if fits {
            self.add(at_s, g);
        }
        fits
    }

    pub(crate) fn is_long_enough(&self) -> bool {
        self.to_s - self.from_s >= SHORTEST_S && self.count >= FEWEST
    }

    pub(crate) fn mean_g(&self) -> f64 {
        self.first_g + self.sum / f64::from(self.count)
    }

    /// Slope, g/s, and its standard error.
    pub(crate) fn slope(&self) -> (f64, f64) {
        let n = f64::from(self.count);
        let stt = self.sum_tt - self.sum_t * self.sum_t / n;
        let sty = self.sum_tg - self.sum_t * self.sum / n;
        if stt <= 0.0 {
            return (0.0, f64::INFINITY);
        }
        let slope = sty / stt;
        let syy = self.sum_squares - self.sum * self.sum / n;
        let left = (syy - slope * sty).max(0.0) / (n - 2.0).max(1.0);
        // readings that follow closely are not independent
        let fewer = (n / self.independent()).sqrt();
        (slope, (left / stt).sqrt() * fewer)
    }

    fn independent(&self) -> f64 {
        let n = f64::from(self.count);
        n.min(1.0 + (self.to_s - self.from_s) * INDEPENDENT_PER_S)
    }

    /// Scatter of single values, standard deviation, g.
    pub(crate) fn scatter_g(&self) -> f64 {
        let n = f64::from(self.count);
        let syy = self.sum_squares - self.sum * self.sum / n;
        (syy.max(0.0) / (n - 1.0).max(1.0)).sqrt()
    }

    /// Variance of the mean, g²: what the values scatter.
    pub(crate) fn mean_variance(&self) -> f64 {
        self.scatter_g().powi(2) / self.independent()
    }
}
