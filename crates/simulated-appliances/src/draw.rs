//! Random draws that a seed repeats on every platform.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A seeded source; the same seed gives the same draws for ever.
#[derive(Debug, Clone)]
pub(crate) struct Draw(ChaCha8Rng);

impl Draw {
    pub(crate) fn new(seed: u64, stream: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(stream);
        Self(rng)
    }

    fn unit(&mut self) -> f64 {
        self.0.random::<f64>()
    }

    /// Uniform in [low, high).
    pub(crate) fn range(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// True with probability `p`.
    pub(crate) fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    /// One of some values, each as likely as the others.
    pub(crate) fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[(self.unit() * of.len() as f64) as usize]
    }

    /// Normal with mean 0 and standard deviation `sd` (Box and Muller, Ann. Math. Statist.
    /// 29 (1958) 610).
    pub(crate) fn normal(&mut self, sd: f64) -> f64 {
        let u = 1.0 - self.unit();
        sd * (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * self.unit()).cos()
    }
}
