//! Random draws that a seed repeats on every platform.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A seeded source; the same seed and stream give the same draws for ever.
#[derive(Debug, Clone)]
pub(crate) struct Draw(ChaCha8Rng);

impl Draw {
    /// A source for `seed`; `stream` keeps plant, gauge and noise apart.
    pub(crate) fn new(seed: u64, stream: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(stream);
        Self(rng)
    }

    /// Uniform in [0, 1).
    pub(crate) fn unit(&mut self) -> f64 {
        self.0.random::<f64>()
    }

    /// Uniform in [low, high).
    pub(crate) fn range(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Uniform in the logarithm between two positive ends.
    pub(crate) fn log_range(&mut self, low: f64, high: f64) -> f64 {
        self.range(low.ln(), high.ln()).exp()
    }

    /// True with probability `p`.
    pub(crate) fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    /// One of some values, each as likely as the others.
    pub(crate) fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[(self.unit() * of.len() as f64) as usize]
    }

    /// Standard normal (Box and Muller, Ann. Math. Statist. 29 (1958) 610).
    pub(crate) fn normal(&mut self) -> f64 {
        let u = 1.0 - self.unit();
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * self.unit()).cos()
    }
}
