//! What gives gas off inside a closed system, each by its own balance.
//!
//! Amounts are in micron: the pressure that the gas would make in the free volume.
//! None of these is a formula of the judge: they are balances that are integrated in
//! time, in which the pressure acts back on the source.

/// Something that gives vapour off, or takes it up.
#[derive(Debug, Clone)]
pub(crate) enum Source {
    /// A layer (oil, rubber, plastic) through which the dissolved gas diffuses.
    Slab(Slab),
    /// Places on a wall that let go at rates spread over decades.
    Sites(Vec<Site>),
    /// A pool of water or ice that cools itself and may run out.
    Pool(Pool),
    /// A drier or a cold wall that takes vapour up without end.
    Sink {
        /// Share of the vapour taken up in a second.
        per_s: f64,
        /// Vapour below this is left alone, micron.
        rest_micron: f64,
    },
}

/// Diffusion from a layer of unit thickness, open on one face.
#[derive(Debug, Clone)]
pub(crate) struct Slab {
    /// Concentration by depth, micron of vapour pressure in balance with it.
    nodes: Vec<f64>,
    /// Diffusion coefficient over thickness squared, 1/s.
    pub(crate) per_s: f64,
    /// Gas held by the whole layer for each micron of balance, micron.
    pub(crate) capacity: f64,
}

impl Slab {
    /// A layer that held `start_micron` everywhere and was then pumped at for `pumped_s`.
    pub(crate) fn pumped(start_micron: f64, per_s: f64, capacity: f64, pumped_s: f64) -> Self {
        let mut slab = Self {
            nodes: vec![start_micron; 36],
            per_s,
            capacity,
        };
        let mut t = 0.0;
        while t < pumped_s {
            let dt = (0.002 * (t + 1.0)).min(0.02 * pumped_s + 0.1);
            slab.step(0.0, dt);
            t += dt;
        }
        slab
    }

    /// One implicit step against a surface at `p`; returns the gas given off, micron.
    fn step(&mut self, p: f64, dt: f64) -> f64 {
        let n = self.nodes.len();
        let r = self.per_s * dt * (n * n) as f64;
        // tridiagonal: surface in balance with the gas, closed at the back
        let before: f64 = self.nodes.iter().sum();
        let mut c = vec![0.0; n];
        let mut d = vec![0.0; n];
        for i in 0..n {
            let (a, b, e) = match i {
                0 => (0.0, 1.0 + 3.0 * r, -r),
                i if i == n - 1 => (-r, 1.0 + r, 0.0),
                _ => (-r, 1.0 + 2.0 * r, -r),
            };
            let right = self.nodes[i] + if i == 0 { 2.0 * r * p } else { 0.0 };
            let m = b - a * if i > 0 { c[i - 1] } else { 0.0 };
            c[i] = e / m;
            d[i] = (right - a * if i > 0 { d[i - 1] } else { 0.0 }) / m;
        }
        let mut next = 0.0;
        for i in (0..n).rev() {
            next = d[i] - c[i] * next;
            self.nodes[i] = next;
        }
        let after: f64 = self.nodes.iter().sum();
        (before - after) / n as f64 * self.capacity
    }
}

/// Places of one kind on a wall.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Site {
    /// Share that lets go in a second.
    pub(crate) per_s: f64,
    /// Gas still on them, micron.
    pub(crate) held: f64,
    /// Gas on them in balance with one micron of vapour, micron.
    pub(crate) takes_up: f64,
}

/// Water or ice with its own heat balance.
#[derive(Debug, Clone)]
pub(crate) struct Pool {
    /// Vapour left in it, and in it at first, micron.
    pub(crate) left: f64,
    pub(crate) first: f64,
    /// Temperature, °C.
    pub(crate) c: f64,
    /// Temperature of what it lies on, °C.
    pub(crate) wall_c: f64,
    /// Share of the missing vapour that comes in a second.
    pub(crate) per_s: f64,
    /// Kelvin that it cools for every micron given off.
    pub(crate) cools_k: f64,
    /// Share of the difference to the wall that it makes up in a second.
    pub(crate) warms_per_s: f64,
}

/// Saturation pressure of water or ice, micron, by Clausius and Clapeyron from the
/// triple point with constant heats (2.5 and 2.834 MJ/kg): good to some per cent, and
/// not what the judge uses.
pub(crate) fn saturation_micron(c: f64) -> f64 {
    let heat = if c < 0.0 { 2.834e6 } else { 2.5e6 };
    let t = c + 273.15;
    4_588.0 * (heat / 461.5 * (1.0 / 273.16 - 1.0 / t)).exp()
}

impl Pool {
    fn step(&mut self, p: f64, dt: f64) -> f64 {
        if self.left <= 0.0 {
            return 0.0;
        }
        // small steps of its own: it cools while it gives off
        let parts = (dt * self.per_s * 4.0).ceil().clamp(1.0, 50.0);
        let (h, mut given, mut over) = (dt / parts, 0.0, p);
        for _ in 0..parts as usize {
            let missing = saturation_micron(self.c) - over;
            // drops give off by their surface, which shrinks with what is left
            let surface = (self.left / self.first).powf(2.0 / 3.0);
            let out = (missing * -(-self.per_s * surface * h).exp_m1()).min(self.left);
            self.left -= out;
            over += out;
            given += out;
            self.c -= self.cools_k * out;
            self.c += (self.wall_c - self.c) * -(-self.warms_per_s * h).exp_m1();
            self.c = self.c.clamp(-60.0, 50.0);
        }
        given
    }
}

impl Source {
    /// Gas given off within `dt` s under `p` micron of vapour, micron; negative when
    /// taken up. `warmer_k` is how much warmer the room is than at the start.
    pub(crate) fn step(&mut self, p: f64, dt: f64, warmer_k: f64) -> f64 {
        // what is dissolved or held presses 5 % more for each kelvin
        let eased = p * (1.0 - 0.05 * warmer_k);
        match self {
            Self::Slab(slab) => slab.step(eased, dt),
            Self::Sites(sites) => sites
                .iter_mut()
                .map(|s| {
                    let rest = s.takes_up * eased;
                    let out = (s.held - rest) * -(-s.per_s * dt).exp_m1();
                    s.held -= out;
                    out
                })
                .sum(),
            Self::Pool(pool) => pool.step(p, dt),
            Self::Sink { per_s, rest_micron } => {
                -(p - *rest_micron).max(0.0) * -(-*per_s * dt).exp_m1()
            }
        }
    }
}
