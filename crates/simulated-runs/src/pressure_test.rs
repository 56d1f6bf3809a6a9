//! Pressure tests with nitrogen whose leak is known, to measure a judge of them on.

use rehearsal::rng::Rng;
use vacuum::{Entry, Pressure, Reading, ZERO_CELSIUS_K};

/// Between two steps of the balance, and between two readings, s.
const STEP_S: f64 = 2.0;
/// Air around, Pa.
const AIR_PA: f64 = 101_325.0;
/// Molar gas constant, J/(mol·K).
const R: f64 = 8.314_46;

/// What happened in a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PressureStory {
    /// The supply was shut when it was said to be.
    Closed,
    /// The supply stayed open: a regulator holds the pressure.
    SupplyOpen,
    /// The supply was shut later than was said.
    ShutLate,
    /// Something warmed the thermometer and not the gas.
    SunOnThermometer,
}

impl PressureStory {
    /// A word for tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Closed => "closed",
            Self::SupplyOpen => "supply open",
            Self::ShutLate => "shut late",
            Self::SunOnThermometer => "sun on thermometer",
        }
    }
}

/// One test whose leak is known.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureTestCase {
    /// Its seed.
    pub seed: u64,
    /// What happened.
    pub story: PressureStory,
    /// Readings in order, pressures absolute.
    pub entries: Vec<Entry>,
    /// Inner volume, L.
    pub volume_l: f64,
    /// When the supply was said to be shut, s.
    pub said_shut_s: f64,
    /// How long the hold is from there, s.
    pub hold_s: f64,
    /// Whether a thermometer stood beside it.
    pub thermometer: bool,
    /// Whether the gauge counts from the air; its readings were made absolute with the
    /// barometer of the beginning.
    pub counts_from_air: bool,
    /// Step of the gauge, Pa.
    pub gauge_step_pa: f64,
    /// Pressure of the test, Pa.
    pub test_pa: f64,
    /// Temperature of the room at the beginning, °C.
    pub ambient_c: f64,
    /// The true leak: p·V/t at the pressure of the test, Pa·m³/s.
    pub leak_pa_m3_per_s: f64,
    /// A limit to judge against, Pa·m³/s.
    pub allowed_pa_m3_per_s: f64,
}

/// Draws and plays the test of `seed`.
///
/// Up to three parts at temperatures of their own hold the gas; walls follow the room in
/// 5 to 90 min, the gas follows the wall in 15 to 120 s; filling heats both. The room
/// drifts, swings, steps and wanders. Half of the systems leak, through a laminar or a
/// molecular leak. The gauge has noise, steps, a temperature coefficient, and a barometer
/// under it where it counts from the air; three of four tests have a thermometer, which
/// lags, is off, shows steps, and may see the room instead of the wall.
///
/// Everything is a balance integrated in time. Nothing is fitted, and the gas law is a
/// virial one of its own (second coefficient of nitrogen from memory). Even seeds are for
/// tuning, odd ones for reporting only.
#[must_use]
pub fn pressure_test_case(seed: u64) -> PressureTestCase {
    let mut rng = Rng::new(seed, 77);
    // both halves of the seeds have every story
    let story = match seed / 2 % 10 {
        6 => PressureStory::SupplyOpen,
        7 => PressureStory::SupplyOpen,
        8 => PressureStory::ShutLate,
        9 => PressureStory::SunOnThermometer,
        _ => PressureStory::Closed,
    };
    Play::drawn(&mut rng, story).run(&mut rng, seed)
}

/// A system, a room and instruments.
struct Play {
    story: PressureStory,
    volume_m3: f64,
    test_pa: f64,
    before_s: f64,
    hold_s: f64,
    room: Room,
    parts: Vec<Part>,
    leak: f64,
    laminar: bool,
    regulator: f64,
    late_share: f64,
    thermometer: Option<Thermometer>,
    gauge: Gauge,
}

/// A part of the system.
struct Part {
    share: f64,
    wall_s: f64,
    gas_s: f64,
    wall_k: f64,
    gas_k: f64,
}

struct Thermometer {
    part: usize,
    sees_room: f64,
    lag_s: f64,
    off_k: f64,
    step_k: f64,
    noise_k: f64,
    sun_k: f64,
    sun_from: f64,
}

struct Gauge {
    step_pa: f64,
    noise_pa: f64,
    per_k_pa: f64,
    from_air: bool,
    barometer_pa_per_root_h: f64,
}

/// Air temperature of a room over time.
struct Room {
    start_k: f64,
    size_k: f64,
    shape: usize,
    time_s: f64,
    at: f64,
    wander_k: f64,
    wandered: f64,
}

impl Room {
    fn at(&mut self, t: f64, hold_s: f64, rng: &mut Rng) -> f64 {
        self.wandered += rng.normal() * self.wander_k * (STEP_S / 3600.0).sqrt();
        let planned = match self.shape {
            0 => self.size_k * (std::f64::consts::TAU * (t / self.time_s + self.at)).sin(),
            1 => self.size_k * t / 3600.0,
            2 => self.size_k * (((t - self.at * hold_s) / self.time_s).max(0.0)).tanh(),
            _ => 0.0,
        };
        self.start_k + planned + self.wandered
    }
}

/// Compression factor of nitrogen, second virial coefficient from memory.
fn compression(pa: f64, kelvin: f64) -> f64 {
    let from_300 = kelvin - 300.0;
    let b = (-4.6 + 0.175 * from_300 - 0.0008 * from_300 * from_300) * 1e-6;
    1.0 + b * pa / (R * kelvin)
}

impl Play {
    fn drawn(rng: &mut Rng, story: PressureStory) -> Self {
        let volume_m3 = rng.log_range(0.8, 12.0) * 1e-3;
        let test_pa = rng.pick(&[5e5, 11e5, 11e5, 16e5, 25e5, 40e5]) * rng.range(0.9, 1.1);
        let hold_s = rng.log_range(600.0, 14_400.0);
        let start_k = rng.range(8.0, 32.0) + ZERO_CELSIUS_K;
        let sign = if rng.chance(0.5) { -1.0 } else { 1.0 };
        let room = Room {
            start_k,
            size_k: sign * rng.pick(&[0.1, 0.5, 1.5, 3.0]) * rng.range(0.5, 1.5),
            shape: (rng.unit() * 4.0) as usize,
            time_s: rng.log_range(600.0, 14_400.0),
            at: rng.unit(),
            wander_k: rng.range(0.05, 0.3),
            wandered: 0.0,
        };
        let count = 1 + (rng.unit() * 3.0) as usize;
        let apart_k = if rng.chance(0.6) {
            rng.pick(&[0.2, 1.0, 3.0])
        } else {
            0.0
        };
        let filling_k = rng.range(0.0, 25.0);
        let warmed_k = rng.range(0.0, 0.6);
        let mut parts: Vec<Part> = (0..count)
            .map(|_| {
                let wall_k = start_k + apart_k * rng.normal() + warmed_k;
                Part {
                    share: rng.range(0.2, 1.0),
                    wall_s: rng.log_range(300.0, 5_400.0),
                    gas_s: rng.log_range(15.0, 120.0),
                    wall_k,
                    gas_k: wall_k + filling_k,
                }
            })
            .collect();
        let whole: f64 = parts.iter().map(|p| p.share).sum();
        parts.iter_mut().for_each(|p| p.share /= whole);

        let leak = if rng.chance(0.5) {
            rng.log_range(2e-5, 3e-2)
                .min(0.3 * test_pa * volume_m3 / 3600.0)
        } else {
            0.0
        };
        let has = rng.chance(0.75) || story == PressureStory::SunOnThermometer;
        let thermometer = Thermometer {
            part: (rng.unit() * count as f64) as usize,
            sees_room: rng.pick(&[0.0, 0.0, 0.3]),
            lag_s: rng.log_range(10.0, 400.0),
            off_k: 0.5 * rng.normal(),
            step_k: rng.pick(&[0.01, 0.1, 0.1, 0.5]),
            noise_k: rng.range(0.01, 0.1),
            sun_k: match story {
                PressureStory::SunOnThermometer => rng.range(3.0, 9.0),
                _ => 0.0,
            },
            sun_from: rng.range(0.2, 0.7),
        };
        let full_pa = rng.pick(&[16e5_f64, 25e5, 40e5, 60e5]).max(1.05 * test_pa);
        Self {
            story,
            volume_m3,
            test_pa,
            before_s: rng.range(20.0, 200.0),
            hold_s,
            room,
            parts,
            leak,
            laminar: rng.chance(0.5),
            regulator: rng.pick(&[1e-5, 1e-4, 1e-3]),
            late_share: rng.range(0.08, 0.45),
            thermometer: has.then_some(thermometer),
            gauge: Gauge {
                step_pa: rng.pick(&[10.0, 100.0, 1_000.0, 1_000.0, 10_000.0]),
                noise_pa: full_pa * rng.log_range(5e-6, 2e-4),
                per_k_pa: full_pa * 1e-4 * rng.normal(),
                from_air: rng.chance(0.5),
                barometer_pa_per_root_h: rng.range(10.0, 80.0),
            },
        }
    }

    /// Until when the supply stays open, s after it was said to be shut.
    fn open_until_s(&self) -> f64 {
        match self.story {
            PressureStory::SupplyOpen => f64::INFINITY,
            PressureStory::ShutLate => self.late_share * self.hold_s,
            _ => 0.0,
        }
    }

    /// Amount of gas at `pa`, mol.
    fn amount(&self, pa: f64) -> f64 {
        let parts = self.parts.iter();
        parts
            .map(|p| pa * self.volume_m3 * p.share / (compression(pa, p.gas_k) * R * p.gas_k))
            .sum()
    }

    /// The pressure of `mol`, Pa, by bisection.
    fn pressure(&self, mol: f64) -> f64 {
        let (mut low, mut high) = (1e4, 8e6);
        for _ in 0..48 {
            let middle = 0.5 * (low + high);
            if self.amount(middle) < mol {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    fn run(mut self, rng: &mut Rng, seed: u64) -> PressureTestCase {
        let open_until_s = self.open_until_s();
        let (mut mol, mut held, mut barometer) = (None, 1.0, 0.0);
        let mut shown_k: Option<f64> = None;
        let mut entries = Vec::new();
        let ambient_k = self.room.start_k;
        let steps = ((self.before_s + self.hold_s) / STEP_S) as usize;
        for i in 0..steps {
            let t = i as f64 * STEP_S - self.before_s;
            let room = self.room.at(t, self.hold_s, rng);
            for part in &mut self.parts {
                part.wall_k += STEP_S * (room - part.wall_k) / part.wall_s;
                part.gas_k += STEP_S * (part.wall_k - part.gas_k) / part.gas_s;
            }
            held *= 1.0 + self.regulator * rng.normal() * (STEP_S / 3600.0).sqrt();
            let pa = if t < open_until_s {
                let pa = self.test_pa * held;
                mol = Some(self.amount(pa));
                pa
            } else {
                let before = mol.unwrap_or_else(|| self.amount(self.test_pa));
                let pa = self.pressure(before);
                let kelvin: f64 = self.parts.iter().map(|p| p.share * p.gas_k).sum();
                mol = Some(before - STEP_S * self.flow(pa) / (R * kelvin));
                pa
            };
            barometer +=
                self.gauge.barometer_pa_per_root_h * rng.normal() * (STEP_S / 3600.0).sqrt();
            let shown = self.shown(pa, room - ambient_k, barometer, rng);
            let mut reading = Reading::measured(t + self.before_s, shown);
            if let Some(thermometer) = &self.thermometer {
                let part = &self.parts[thermometer.part];
                let sun = if t > thermometer.sun_from * self.hold_s {
                    thermometer.sun_k
                } else {
                    0.0
                };
                let seen = part.wall_k + thermometer.sees_room * (room - part.wall_k) + sun;
                let before = shown_k.unwrap_or(seen);
                let now = before + STEP_S * (seen - before) / thermometer.lag_s;
                shown_k = Some(now);
                let noisy = now + thermometer.off_k + thermometer.noise_k * rng.normal();
                let stepped = (noisy / thermometer.step_k).round() * thermometer.step_k;
                reading.temperature_c = Some(stepped - ZERO_CELSIUS_K);
            }
            entries.push(Entry::Reading(reading));
        }
        PressureTestCase {
            seed,
            story: self.story,
            entries,
            volume_l: self.volume_m3 * 1e3,
            said_shut_s: self.before_s,
            hold_s: self.hold_s,
            thermometer: self.thermometer.is_some(),
            counts_from_air: self.gauge.from_air,
            gauge_step_pa: self.gauge.step_pa,
            test_pa: self.test_pa,
            ambient_c: ambient_k - ZERO_CELSIUS_K,
            leak_pa_m3_per_s: self.leak,
            allowed_pa_m3_per_s: limit(self.test_pa * self.volume_m3, self.hold_s, rng),
        }
    }

    /// What leaks at `pa`, Pa·m³/s.
    fn flow(&self, pa: f64) -> f64 {
        let drive = |p: f64| {
            if self.laminar {
                p * p - AIR_PA * AIR_PA
            } else {
                p - AIR_PA
            }
        };
        self.leak * (drive(pa) / drive(self.test_pa)).max(0.0)
    }

    fn shown(&self, pa: f64, warmer_k: f64, barometer: f64, rng: &mut Rng) -> Pressure {
        let gauge = &self.gauge;
        let air = if gauge.from_air { barometer } else { 0.0 };
        let value = pa - air + gauge.per_k_pa * warmer_k + gauge.noise_pa * rng.normal();
        let stepped = (value / gauge.step_pa).round() * gauge.step_pa;
        Pressure::from_pa(stepped.clamp(0.0, 9e6)).unwrap_or(Pressure::ATMOSPHERE)
    }
}

/// A limit about which a test of this length may decide or not: what 0.1 to 30 K would do.
fn limit(pv: f64, hold_s: f64, rng: &mut Rng) -> f64 {
    let kelvin = 0.1 * 300f64.powf(rng.unit());
    pv * kelvin / 293.0 / hold_s
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_story_is_played_and_seeds_repeat() {
        let stories: std::collections::BTreeSet<&str> = (0..20)
            .map(|seed| pressure_test_case(seed).story.word())
            .collect();
        assert_eq!(stories.len(), 4, "{stories:?}");
        assert_eq!(pressure_test_case(3), pressure_test_case(3));
    }

    /// CoolProp 8.0.0, *computed*: Z of nitrogen is 0.99782 at 11 bar and 22 °C, 0.9968 at
    /// 40 bar and 27 °C. A virial law that stops at the second term is good enough to be the
    /// truth of a simulation that the judge does not know.
    #[test]
    fn its_own_gas_law_is_near_that_of_nitrogen() {
        assert!((compression(11e5, 295.15) - 0.997_82).abs() < 5e-4);
    }
}
