//! Blank-off tests whose floor is known, to measure a judge of them on.

use rehearsal::rng::Rng;
use vacuum::{Entry, Mark, MarkKind, Pressure, Reading, Sensed};

/// Step of the balance, s.
const STEP_S: f64 = 0.1;
/// Air around, micron.
const AIR_MICRON: f64 = 760_000.0;
/// Where water boils in a room, micron (about 20 °C).
const WATER_MICRON: f64 = 17_500.0;
/// How long the true floor is pumped for after the end of the pull-down, s.
const LATER_S: f64 = 1_200.0;

/// What a rig is like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RigStory {
    /// In order.
    Good,
    /// The oil is tired: the pump ends high, and its end drifts.
    TiredOil,
    /// A hose leaks.
    LeakingHose,
    /// There is water in a hose.
    WetHose,
    /// In order, and valved off before it got down.
    CutShort,
}

impl RigStory {
    /// A word for tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::TiredOil => "tired oil",
            Self::LeakingHose => "leaking hose",
            Self::WetHose => "wet hose",
            Self::CutShort => "cut short",
        }
    }
}

/// One test whose truth is known.
#[derive(Debug, Clone, PartialEq)]
pub struct BlankOffCase {
    /// Its seed.
    pub seed: u64,
    /// What the rig is like.
    pub story: RigStory,
    /// Readings and marks in order.
    pub entries: Vec<Entry>,
    /// When the valve was shut, s.
    pub shut_at_s: f64,
    /// The pressure after another 20 minutes of pumping, micron: the oil does not get worse and
    /// water does not run out meanwhile.
    pub floor_micron: f64,
    /// The pressure when the valve was shut, micron.
    pub end_micron: f64,
    /// The highest pressure after that, micron.
    pub highest_micron: f64,
    /// Step of the gauge near the floor, micron.
    pub step_micron: f64,
    /// What leaks in, as a rise of the isolated rig, micron/min.
    pub leak_micron_per_min: f64,
    /// Length of the hold, s.
    pub hold_s: f64,
}

/// Draws and plays the test of `seed`.
///
/// Pump with a speed, an end that drifts with the warmth of its oil and with what it has
/// swallowed; a hose whose conductance falls with pressure until the flow is molecular;
/// walls with six kinds of sites that give gas off and take it back, at rates spread over
/// four decades; a leak; water that boils in a dead end; a gauge with lag, correlated
/// noise, steps and a top. A balance of amounts, integrated in time: nothing is fitted, and
/// no part of it is an exponential by construction. Even seeds are for tuning, odd ones for
/// reporting only.
#[must_use]
pub fn blank_off_case(seed: u64) -> BlankOffCase {
    let mut rng = Rng::new(seed, 91);
    // both halves of the seeds have every story
    let story = match seed / 2 % 10 {
        0..=3 => RigStory::Good,
        4 | 5 => RigStory::TiredOil,
        6 | 7 => RigStory::LeakingHose,
        8 => RigStory::WetHose,
        _ => RigStory::CutShort,
    };
    let rig = Rig::drawn(&mut rng, story);
    let gauge = Gauge::drawn(&mut rng);
    play(rig, &gauge, &mut rng, seed, story)
}

/// A test of a rig in order whose pump ends at this pressure, micron above 0; all else is
/// drawn. For histories of one rig whose oil gets tired.
#[must_use]
pub fn blank_off_ending_at(seed: u64, end_micron: f64) -> BlankOffCase {
    let mut rng = Rng::new(seed, 92);
    let mut rig = Rig::drawn(&mut rng, RigStory::Good);
    rig.end.0 = end_micron;
    rig.oil_gas.0 = 0.5 * end_micron;
    rig.pumped_s = 1_200.0;
    rig.hold_s = 1_860.0;
    let gauge = Gauge {
        step: Step::Micron(0.1),
        ..Gauge::drawn(&mut rng)
    };
    play(rig, &gauge, &mut rng, seed, RigStory::Good)
}

/// A kind of site on the walls.
#[derive(Clone, Copy)]
struct Site {
    /// What it holds, micron·L.
    held: f64,
    /// How fast it lets go, 1/s.
    rate: f64,
    /// What it holds in balance with a micron, L.
    takes: f64,
}

/// Pump, hoses and what is in them.
#[derive(Clone)]
struct Rig {
    volume_l: f64,
    speed_l_per_s: f64,
    /// Conductance of the hose at no pressure, L/s, and pressure at which it is twice that.
    hose: (f64, f64),
    /// Where the pump ends, micron; how much of it comes with warmth, and what it gains in an
    /// hour, as shares.
    end: (f64, f64, f64),
    warms_s: f64,
    /// Gas that boils out of the oil: raises the end by so much at the beginning, micron, and
    /// halves in about so many seconds at first, ever slower later.
    oil_gas: (f64, f64),
    leak: f64,
    sites: [Site; 6],
    /// Water, micron·L, and how it boils, L/s.
    water: (f64, f64),
    pumped_s: f64,
    hold_s: f64,
    micron: f64,
    time_s: f64,
    /// Held back from drifting from this time on, s.
    frozen_s: f64,
}

impl Rig {
    fn drawn(rng: &mut Rng, story: RigStory) -> Self {
        let volume_l = rng.log_range(0.08, 0.6);
        let speed_l_per_s = rng.log_range(0.5, 2.5);
        let hose = (rng.log_range(0.03, 1.0), rng.log_range(60.0, 500.0));
        let low = Self::effective(speed_l_per_s, hose, 50.0);
        let end = match story {
            RigStory::TiredOil => (rng.log_range(120.0, 1_500.0), 0.1, 0.15),
            _ => (rng.log_range(12.0, 120.0), 0.1, 0.06),
        };
        let end = (
            end.0,
            end.1 * rng.range(-1.0, 1.0),
            end.2 * rng.range(-0.5, 1.0),
        );
        let per_min = match story {
            RigStory::LeakingHose => rng.log_range(8.0, 400.0),
            _ if rng.chance(0.5) => rng.log_range(0.02, 1.5),
            _ => 0.0,
        };
        // after ten minutes all sites together would raise the isolated rig by so much
        let per_s = rng.log_range(0.3, 30.0) / 60.0;
        let mut sites = [Site {
            held: 0.0,
            rate: 0.0,
            takes: 0.0,
        }; 6];
        for site in &mut sites {
            let rate = 1.0 / rng.log_range(4.0, 40_000.0);
            // as much in each decade of time: together they fall as 1/t, as metals and
            // rubber are found to do
            *site = Site {
                held: rng.range(0.1, 1.0) * per_s * 600.0 * volume_l,
                rate,
                takes: rng.log_range(1e-4, 1e-2) * volume_l,
            };
        }
        let water = match story {
            RigStory::WetHose => {
                let holds_at = rng.log_range(30.0, 3_000.0);
                let boils = holds_at * low / WATER_MICRON;
                (rng.log_range(2e3, 2e6), boils)
            }
            _ => (0.0, 0.0),
        };
        let fall_s = volume_l / low;
        Self {
            volume_l,
            speed_l_per_s,
            hose,
            end,
            warms_s: rng.log_range(120.0, 1_500.0),
            oil_gas: (end.0 * rng.log_range(0.1, 4.0), rng.log_range(10.0, 200.0)),
            leak: per_min / 60.0 * volume_l,
            sites,
            water,
            pumped_s: match story {
                RigStory::CutShort => fall_s * rng.range(6.0, 10.0),
                _ => (fall_s * 25.0).max(rng.log_range(240.0, 1_800.0)),
            }
            .clamp(30.0, 2_700.0),
            hold_s: rng.pick(&[600.0, 1_200.0, 1_860.0, 1_860.0, 2_400.0]),
            micron: AIR_MICRON,
            time_s: 0.0,
            frozen_s: f64::INFINITY,
        }
    }

    fn effective(speed: f64, hose: (f64, f64), micron: f64) -> f64 {
        let hose = hose.0 * (1.0 + micron / hose.1);
        speed * hose / (speed + hose)
    }

    /// Where the pump ends now, micron.
    fn pump_end(&self) -> f64 {
        let t = self.time_s.min(self.frozen_s);
        let warm = self.end.1 * (1.0 - 1.0 / (1.0 + self.time_s / self.warms_s).powi(2));
        let oil_gas = self.oil_gas.0 / (1.0 + self.time_s / self.oil_gas.1).powf(1.5);
        self.end.0 * (1.0 + warm) * (1.0 + self.end.2 * t / 3_600.0) + oil_gas
    }

    /// One step; the pump is on or shut off.
    fn step(&mut self, pumping: bool) {
        let mut comes = self.leak * (1.0 - self.micron / AIR_MICRON);
        for site in &mut self.sites {
            let flow = site.rate * (site.held - site.takes * self.micron);
            site.held -= flow * STEP_S;
            comes += flow;
        }
        if self.water.0 > 0.0 {
            let boils = self.water.1 * (WATER_MICRON - self.micron).max(0.0);
            if self.time_s < self.frozen_s {
                self.water.0 -= boils * STEP_S;
            }
            comes += boils;
        }
        let (away, towards) = if pumping {
            let speed = Self::effective(self.speed_l_per_s, self.hose, self.micron);
            (speed, speed * self.pump_end())
        } else {
            (0.0, 0.0)
        };
        // implicit in the pressure, so that fast pumps of small rigs are stable
        let next = self.micron + STEP_S * (comes + towards) / self.volume_l;
        self.micron = (next / (1.0 + STEP_S * away / self.volume_l)).max(0.0);
        self.time_s += STEP_S;
    }

    /// The pressure after 20 minutes more, micron.
    fn floor(&self) -> f64 {
        let mut later = self.clone();
        later.frozen_s = self.time_s;
        for _ in 0..(LATER_S / STEP_S) as u32 {
            later.step(true);
        }
        later.micron
    }
}

/// A gauge.
struct Gauge {
    interval_s: f64,
    lag_s: f64,
    noise: f64,
    correlation: f64,
    /// Step, micron; below 1 it is a share of the reading in decades.
    step: Step,
    top_micron: f64,
}

#[derive(Clone, Copy)]
enum Step {
    Micron(f64),
    /// So many significant digits.
    Digits(i32),
}

impl Step {
    fn at(self, micron: f64) -> f64 {
        match self {
            Self::Micron(step) => step,
            Self::Digits(digits) => {
                let decade = micron.max(1.0).log10().floor() as i32;
                10f64.powi(decade - digits + 1).max(0.1)
            }
        }
    }
}

impl Gauge {
    fn drawn(rng: &mut Rng) -> Self {
        Self {
            interval_s: rng.pick(&[0.5, 1.0, 1.0, 2.0, 5.0]),
            lag_s: rng.log_range(0.2, 4.0),
            noise: rng.log_range(0.002, 0.02),
            correlation: rng.range(0.0, 0.9),
            step: rng.pick(&[
                Step::Micron(0.1),
                Step::Micron(1.0),
                Step::Micron(1.0),
                Step::Micron(5.0),
                Step::Digits(2),
                Step::Digits(3),
            ]),
            top_micron: rng.pick(&[20_000.0, 25_000.0, 99_999.0]),
        }
    }
}

fn play(mut rig: Rig, gauge: &Gauge, rng: &mut Rng, seed: u64, story: RigStory) -> BlankOffCase {
    let pumped = (rig.pumped_s / STEP_S) as u32;
    let steps = pumped + (rig.hold_s / STEP_S) as u32;
    let every = (gauge.interval_s / STEP_S).round().max(1.0) as u32;
    let mut entries = Vec::new();
    let (mut shown, mut noise) = (rig.micron, 0.0);
    let (mut floor, mut end, mut highest) = (0.0, 0.0, 0.0f64);
    for step in 0..steps {
        let t = f64::from(step) * STEP_S;
        if step == pumped {
            floor = rig.floor();
            end = rig.micron;
            entries.push(Entry::Mark(Mark {
                elapsed_s: t,
                kind: MarkKind::PumpSideShut,
                note: String::new(),
            }));
        }
        if step >= pumped {
            highest = highest.max(rig.micron);
        }
        shown += (rig.micron - shown) * (STEP_S / gauge.lag_s).min(1.0);
        if step % every == 0 {
            let fresh = (1.0 - gauge.correlation * gauge.correlation).sqrt();
            noise = gauge.correlation * noise + fresh * rng.normal();
            let noisy = shown * (1.0 + gauge.noise * noise);
            let unit = gauge.step.at(noisy);
            let value = ((noisy / unit).round() * unit).max(0.0);
            entries.push(Entry::Reading(reading(t, value, gauge.top_micron)));
        }
        rig.step(step < pumped);
    }
    BlankOffCase {
        seed,
        story,
        entries,
        shut_at_s: f64::from(pumped) * STEP_S,
        floor_micron: floor,
        end_micron: end,
        highest_micron: highest,
        step_micron: gauge.step.at(floor),
        leak_micron_per_min: rig.leak * 60.0 / rig.volume_l,
        hold_s: rig.hold_s,
    }
}

fn reading(t: f64, micron: f64, top_micron: f64) -> Reading {
    let pressure = |micron| Pressure::from_micron(micron).unwrap_or(Pressure::ATMOSPHERE);
    if micron > top_micron {
        Reading {
            sensed: Sensed::Over(Some(pressure(top_micron))),
            ..Reading::gap(t)
        }
    } else {
        Reading::measured(t, pressure(micron))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_story_is_played_and_seeds_repeat() {
        let stories: std::collections::BTreeSet<&str> = (0..20)
            .map(|seed| blank_off_case(seed).story.word())
            .collect();
        assert_eq!(stories.len(), 5, "{stories:?}");
        assert_eq!(blank_off_case(3), blank_off_case(3));
    }

    /// With nothing that gives off gas, pump and leak alone: p = p_pump + Q/S, the balance
    /// that every handbook of vacuum technique has.
    #[test]
    fn the_floor_is_where_pump_and_leak_balance() {
        let mut rng = Rng::new(1, 91);
        let mut rig = Rig::drawn(&mut rng, RigStory::Good);
        rig.sites
            .iter_mut()
            .for_each(|s| (s.held, s.takes) = (0.0, 0.0));
        rig.end = (40.0, 0.0, 0.0);
        rig.oil_gas.0 = 0.0;
        rig.hose = (0.5, 1e12);
        rig.speed_l_per_s = 0.5;
        rig.leak = 2.5;
        let floor = rig.floor();
        assert!((floor - (40.0 + 2.5 / 0.25)).abs() < 1e-2, "{floor}");
    }
}
