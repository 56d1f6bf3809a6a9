//! Random rigs and what is done with them.

use super::{
    instrument::Instrument,
    play::{Act, Played, Player},
    pocket::Pocket,
    rig::{ATMOSPHERE_PA, Foam, Hose, Rig},
};
use rehearsal::rng::{Rng, Wander};

/// What holds the pull-down up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Story {
    DriesLiquid,
    Freezes,
    FreezesHeated,
    FreezesBroken,
    FreezesAndStands,
    FoamsAtOnce,
    FoamsLater,
    Floor,
    Choked,
    Tail,
    Plain,
}

const STORIES: [(Story, f64, &str); 11] = [
    (Story::DriesLiquid, 12.0, "dries as liquid"),
    (Story::Freezes, 16.0, "freezes"),
    (Story::FreezesHeated, 8.0, "freezes, heated"),
    (Story::FreezesBroken, 6.0, "freezes, nitrogen"),
    (Story::FreezesAndStands, 6.0, "freezes, stands"),
    (Story::FoamsAtOnce, 16.0, "foams at once"),
    (Story::FoamsLater, 6.0, "foams later"),
    (Story::Floor, 10.0, "floor"),
    (Story::Choked, 5.0, "choked"),
    (Story::Tail, 8.0, "tail"),
    (Story::Plain, 7.0, "plain"),
];

/// A run with what is needed to judge it.
pub(super) struct Drawn {
    pub(super) family: &'static str,
    pub(super) description: String,
    pub(super) ambient_c: Option<f64>,
    pub(super) played: Played,
    pub(super) rig: Rig,
    pub(super) gauge: Instrument,
}

fn story(rng: &mut Rng) -> (Story, &'static str) {
    let mut at = rng.unit() * STORIES.iter().map(|s| s.1).sum::<f64>();
    for (story, weight, name) in STORIES {
        at -= weight;
        if at <= 0.0 {
            return (story, name);
        }
    }
    (Story::Plain, STORIES[10].2)
}

pub(super) fn draw(seed: u64) -> Drawn {
    let mut rng = Rng::new(seed, 77);
    let (story, family) = story(&mut rng);
    let mut rig = rig(&mut rng);
    shape(&mut rig, story, &mut rng);
    let gauge = Instrument::draw(&mut rng);
    let script = script(story, &mut rng);
    let marks = rng.chance(0.6);
    let description = format!(
        "{family}: {:.1} L, pump {:.2} L/s, hose {:.1} mm, {:.2} g at {:.2} W/K, leak {:.0} Pa·L/s, foam {:?}, \
         gauge every {} s lag {:.1} s {:?} noise {:.2} %, marks {marks}",
        rig.volume_l,
        rig.pump_l_per_s,
        10.0 * rig.hose.bore_cm,
        rig.pockets.iter().map(Pocket::mass_g).sum::<f64>(),
        rig.pockets.iter().map(|p| p.heat_w_per_k).sum::<f64>(),
        rig.leak,
        rig.foam
            .as_ref()
            .map(|f| (f.starts_s.round(), f.gas_pa.round(), f.rough)),
        gauge.interval_s,
        gauge.lag_s,
        gauge.rounds,
        100.0 * gauge.relative,
    );
    let told = rng.chance(0.6);
    let ambient_c = told.then_some((rig.room_c * 2.0).round() / 2.0);
    let player = Player {
        rig,
        gauge,
        marks_late_s: marks.then(|| rng.pick(&[0.0, 1.0, 4.0])),
        out: Played::default(),
        rng: Rng::new(rng.next_seed(), 78),
        next_reading_s: 0.0,
        next_look_s: 0.0,
    };
    let (played, rig, gauge) = player.play(&script);
    Drawn {
        family,
        description,
        ambient_c,
        played,
        rig,
        gauge,
    }
}

fn rig(rng: &mut Rng) -> Rig {
    let volume_l = rng.log_range(0.7, 8.0);
    let ultimate_pa = rng.log_range(2.0, 12.0);
    Rig {
        volume_l,
        pump_l_per_s: rng.log_range(0.35, 2.5),
        ultimate_pa: [ultimate_pa, ultimate_pa * rng.range(2.0, 5.0)],
        ballast: false,
        hose: Hose {
            bore_cm: rng.log_range(0.45, 1.0),
            length_cm: rng.range(70.0, 180.0),
        },
        tap: rng.pick(&[0.0, 0.0, 0.15, 0.4]),
        leak: rng.log_range(0.01, 1.0),
        walls: (
            rng.log_range(1.0, 40.0) * volume_l.sqrt(),
            rng.range(20.0, 120.0),
            rng.range(0.9, 1.5),
        ),
        oil: (
            rng.log_range(20.0, 2_000.0) * volume_l,
            rng.log_range(60.0, 900.0),
        ),
        pump_wets: rng.log_range(1e-6, 5e-4),
        pockets: Vec::new(),
        room_c: rng.range(10.0, 30.0),
        heat_k: 0.0,
        warm_k: 0.0,
        foam: None,
        opening: 0.0,
        nitrogen_pa_per_s: 0.0,
        t_s: 0.0,
        pumped_s: 0.0,
        air_pa: ATMOSPHERE_PA - 1_000.0,
        water_pa: 1_000.0,
        inlet_pa: 50.0,
        wet_oil_pa: 0.0,
        rng: Rng::new(rng.next_seed(), 79),
    }
}

fn shape(rig: &mut Rig, story: Story, rng: &mut Rng) {
    let pool = |rig: &Rig, grams: f64, heat_w_per_k: f64, rng: &mut Rng| Pocket {
        liquid_g: grams,
        ice_g: 0.0,
        celsius: rig.room_c - rng.range(0.0, 1.5),
        metal_j_per_k: rng.log_range(3.0, 60.0),
        heat_w_per_k,
        shrinks: rng.range(0.0, 0.6),
        surface_l_per_s: rng.log_range(1.0, 12.0),
        supercools_k: rng.pick(&[0.0, 0.0, 1.5, 4.0]),
        began_g: grams,
    };
    match story {
        Story::DriesLiquid => {
            let (grams, heat) = (rng.log_range(0.5, 4.0), rng.log_range(0.8, 6.0));
            let pocket = pool(rig, grams, heat, rng);
            rig.pockets.push(pocket);
        }
        Story::Freezes | Story::FreezesHeated | Story::FreezesBroken | Story::FreezesAndStands => {
            let stands = story != Story::Freezes;
            let grams = if stands {
                rng.log_range(1.0, 8.0)
            } else {
                rng.log_range(0.25, 2.5)
            };
            let heat = rng.log_range(0.02, 0.5);
            let pocket = pool(rig, grams, heat, rng);
            rig.pockets.push(pocket);
            if rng.chance(0.2) {
                let (grams, heat) = (rng.log_range(0.2, 1.0), rng.log_range(0.05, 2.0));
                let second = pool(rig, grams, heat, rng);
                rig.pockets.push(second);
            }
        }
        Story::FoamsAtOnce | Story::FoamsLater => {
            let level_pa = rng.log_range(900.0, 16_000.0) * 0.1333;
            rig.foam = Some(Foam {
                gas_pa: level_pa,
                starts_s: if story == Story::FoamsAtOnce {
                    rng.range(0.0, 20.0)
                } else {
                    rng.range(20.0, 150.0)
                },
                rough: rng.log_range(0.06, 0.35),
                clears_s: [rng.log_range(250.0, 6_000.0), rng.range(12.0, 40.0)],
                gulps_s: rng.log_range(6.0, 35.0),
                gulp: 0.0,
                wander: Wander::new(rng.log_range(1.0, 10.0), rng),
            });
        }
        Story::Floor => {
            let level_pa = rng.log_range(600.0, 7_000.0) * 0.1333;
            if rng.chance(0.5) {
                rig.leak = level_pa * 0.6 * rig.pump_l_per_s;
            } else {
                rig.ultimate_pa = [level_pa, 1.3 * level_pa];
            }
        }
        Story::Choked => {
            rig.hose.bore_cm = rng.log_range(0.15, 0.3);
            rig.hose.length_cm = rng.range(100.0, 200.0);
        }
        Story::Tail => {
            rig.walls.0 *= rng.log_range(10.0, 60.0);
            rig.oil.0 *= rng.log_range(2.0, 12.0);
        }
        Story::Plain => {}
    }
}

fn script(story: Story, rng: &mut Rng) -> Vec<Act> {
    let mut out = vec![Act::Wait(rng.pick(&[2.0, 10.0, 30.0])), Act::Open];
    if rng.chance(0.15) {
        out.push(Act::Ballast(true));
    }
    let target = rng.range(250.0, 480.0);
    let end = Act::Below(
        target,
        rng.log_range(60.0, 600.0),
        rng.range(1_500.0, 4_500.0),
    );
    let stood_s = rng.range(180.0, 600.0);
    match story {
        Story::DriesLiquid | Story::Freezes | Story::Plain | Story::Tail | Story::Choked => {
            if story == Story::Plain && rng.chance(0.5) {
                out.push(Act::Below(rng.log_range(600.0, 12_000.0), 0.0, 600.0));
                out.push(Act::Blip(rng.range(5.0, 60.0)));
            }
            out.push(end);
        }
        Story::FreezesHeated => {
            out.push(Act::Stands(4_500.0, stood_s, 2_000.0));
            out.push(Act::Heat(rng.range(15.0, 45.0)));
            out.push(end);
        }
        Story::FreezesBroken => {
            out.push(Act::Stands(4_500.0, stood_s, 2_000.0));
            let breaks = 1 + (rng.unit() * 2.0) as usize;
            for _ in 0..breaks {
                out.push(Act::Nitrogen(
                    rng.log_range(20_000.0, 100_000.0),
                    rng.range(60.0, 500.0),
                ));
                out.push(Act::Below(1_000.0, 0.0, 500.0));
            }
            out.push(end);
        }
        Story::FreezesAndStands => {
            out.push(Act::Stands(
                4_500.0,
                stood_s + rng.range(0.0, 600.0),
                2_500.0,
            ));
        }
        Story::FoamsAtOnce | Story::FoamsLater => {
            out.push(Act::Foams(rng.range(120.0, 600.0)));
            if rng.chance(0.6) {
                out.push(Act::Throttle(rng.range(0.02, 0.1)));
                out.push(Act::Wait(rng.range(60.0, 150.0)));
                out.push(Act::Open);
            }
            out.push(end);
        }
        Story::Floor => {
            let held_s = rng.range(300.0, 1_500.0);
            out.push(Act::Below(7_000.0, held_s, 1_500.0));
            match (rng.unit() * 4.0) as u32 {
                0 => out.push(Act::Heat(rng.range(15.0, 45.0))),
                1 => out.push(Act::Nitrogen(rng.log_range(20_000.0, 100_000.0), 60.0)),
                _ => {}
            }
            out.push(Act::Wait(rng.range(60.0, 900.0)));
        }
    }
    if rng.chance(0.6) {
        out.push(Act::Isolate);
        out.push(Act::Wait(rng.range(120.0, 700.0)));
    }
    out
}
