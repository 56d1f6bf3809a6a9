//! A small seeded random source.
//!
//! xoshiro256++ seeded through SplitMix64 (Blackman and Vigna, 2019): fixed in
//! this file so that a seed means the same run on every platform and after every
//! update of a dependency.

/// Seeded random source.
#[derive(Debug, Clone)]
pub struct Rng {
    state: [u64; 4],
}

impl Rng {
    /// A source that depends on `seed` and on `stream`, so that gauge noise and
    /// plant draws never share numbers.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut x = seed ^ stream.wrapping_mul(0xd6e8_feb8_6659_fd93);
        let mut split = || {
            x = x.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = x;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            z ^ (z >> 31)
        };
        Self {
            state: [split(), split(), split(), split()],
        }
    }

    fn next(&mut self) -> u64 {
        let s = &mut self.state;
        let out = s[0].wrapping_add(s[3]).rotate_left(23).wrapping_add(s[0]);
        let t = s[1] << 17;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= t;
        s[3] = s[3].rotate_left(45);
        out
    }

    /// A seed for another source.
    pub fn next_seed(&mut self) -> u64 {
        self.next()
    }

    /// Uniform in [0, 1).
    pub fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 * (1.0 / (1u64 << 53) as f64)
    }

    /// Uniform in [low, high).
    pub fn range(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Uniform in the logarithm, in [low, high); both above 0.
    pub fn log_range(&mut self, low: f64, high: f64) -> f64 {
        self.range(low.ln(), high.ln()).exp()
    }

    /// True with probability `p`.
    pub fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    /// One of the items.
    pub fn pick<T: Copy>(&mut self, items: &[T]) -> T {
        let index = (self.unit() * items.len() as f64) as usize;
        items[index.min(items.len() - 1)]
    }

    /// Standard normal (Box–Muller).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.unit()).cos()
    }
}

/// A first-order autoregressive noise of unit variance, exact for any time step
/// (Ornstein–Uhlenbeck process).
#[derive(Debug, Clone)]
pub struct Wander {
    value: f64,
    time_s: f64,
}

impl Wander {
    /// Noise that forgets itself over `time_s`.
    pub fn new(time_s: f64, rng: &mut Rng) -> Self {
        Self {
            value: rng.normal(),
            time_s,
        }
    }

    /// The time over which it forgets, s.
    pub fn time_s(&self) -> f64 {
        self.time_s
    }

    /// The value after `dt_s`.
    pub fn step(&mut self, dt_s: f64, rng: &mut Rng) -> f64 {
        let keep = (-dt_s / self.time_s).exp();
        self.value = self.value * keep + (1.0 - keep * keep).sqrt() * rng.normal();
        self.value
    }
}
