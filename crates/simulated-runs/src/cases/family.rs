//! The families of runs: each a cause, a conduct, or an accident.

use rehearsal::{
    plant::{Access, HIGH, Household, LOW, LeakLaw, MANIFOLD, Outage, Rig, Step, Until, World},
    rng::{Rng, Wander},
};
use vacuum::Sensed;

use super::draw;

/// A drawn run.
pub(super) struct Draw {
    pub(super) family: &'static str,
    pub(super) description: String,
    pub(super) rig: Rig,
    pub(super) refrigerant: &'static str,
    pub(super) started_isolated: bool,
}

/// Cause of the rise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Cause {
    Tight,
    Leak,
    Moisture,
    Both,
}

/// What else happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Twist {
    Plain,
    Foam,
    SelfClearingFoam,
    Pool,
    Choked,
    Floor,
    Blips,
    Rounds,
    PumpStopped,
    CutShort,
    Outage,
    StartsIsolated,
    OneSide,
    GrossLeak,
    NeverIsolated,
    Cooling,
}

const TWISTS: [(Twist, f64, &str); 16] = [
    (Twist::Plain, 40.0, "plain"),
    (Twist::Foam, 6.0, "foam"),
    (Twist::SelfClearingFoam, 3.0, "foam_clears"),
    (Twist::Pool, 7.0, "pool"),
    (Twist::Choked, 4.0, "choked"),
    (Twist::Floor, 4.0, "floor"),
    (Twist::Blips, 4.0, "blips"),
    (Twist::Rounds, 5.0, "rounds"),
    (Twist::PumpStopped, 4.0, "pump_stopped"),
    (Twist::CutShort, 5.0, "cut_short"),
    (Twist::Outage, 5.0, "outage"),
    (Twist::StartsIsolated, 5.0, "starts_isolated"),
    (Twist::OneSide, 4.0, "one_side"),
    (Twist::GrossLeak, 3.0, "gross_leak"),
    (Twist::NeverIsolated, 1.5, "never_isolated"),
    (Twist::Cooling, 3.0, "cooling"),
];

fn pick_twist(rng: &mut Rng) -> (Twist, &'static str) {
    let sum: f64 = TWISTS.iter().map(|t| t.1).sum();
    let mut at = rng.unit() * sum;
    for (twist, weight, name) in TWISTS {
        at -= weight;
        if at <= 0.0 {
            return (twist, name);
        }
    }
    (Twist::Plain, "plain")
}

/// Draws a run. With a `day` it is another run of the same model of appliance with the same
/// rig, gauge and habits: that day draws what no two repairs have in common.
pub(super) fn draw(rng: &mut Rng, mut day: Option<&mut Rng>) -> Draw {
    let (twist, family) = pick_twist(rng);
    let refrigerant = draw::refrigerant(rng);
    let mut house = draw::household(rng, refrigerant);
    shape(&mut house, twist, rng);
    let mut world = house.world(rng);
    let mut hold_s = hold_length(twist, rng);
    if let Some(day) = &mut day {
        vary(&mut house, day);
        world = house.world(day);
        hold_s *= 1.0 + 0.004 * day.normal();
    }
    let cause = match twist {
        Twist::GrossLeak => Cause::Leak,
        Twist::OneSide | Twist::PumpStopped if rng.chance(0.7) => Cause::Tight,
        Twist::Cooling => rng.pick(&[Cause::Tight, Cause::Moisture]),
        _ => rng.pick(&[Cause::Tight, Cause::Leak, Cause::Moisture, Cause::Both]),
    };
    // rough length of the pull-down: what the volatiles have to survive
    let pumped_s = 9.0 * house.volume_l / house.pump_l_per_s + 700.0;
    let words = add_cause(&mut world, cause, twist, hold_s, pumped_s, rng);
    let twist_words = add_twist(&mut world, twist, rng);
    let mut dwell_s = rng.log_range(60.0, 1200.0);
    if let Some(day) = &mut day {
        world.add_everyday_gas(day.log_range(0.3, 5.0), day.log_range(200.0, 1500.0));
        dwell_s *= 1.0 + 0.03 * day.normal();
    }
    let script = script(twist, dwell_s, hold_s, rng);
    let mut gauge = draw::gauge(rng);
    if let Some(day) = &mut day {
        gauge.wander = Wander::new(gauge.wander.time_s(), day);
        gauge.rng = Rng::new(day.next_seed(), 3);
    }
    if twist == Twist::OneSide {
        // the port that is connected is the only one there is
        gauge.node = MANIFOLD;
    }
    let outage = (twist == Twist::Outage).then(|| outage(hold_s, rng));
    let marks = rng.chance(0.4) && twist != Twist::StartsIsolated;
    let description = format!(
        "{family}: {:.1} L, pump {:.2} L/s, hose {} mm, {words}{twist_words}, hold {:.0} min, \
         gauge {:?} every {} s lag {:.1} s",
        house.volume_l,
        house.pump_l_per_s,
        (house.hose.diameter_mm * 10.0).round() / 10.0,
        hold_s / 60.0,
        gauge.rounding,
        gauge.interval_s,
        gauge.lag_s,
    );
    Draw {
        family,
        description,
        rig: Rig {
            world,
            gauge,
            pump_gauge: None,
            script,
            marks,
            mark_delay_s: rng.pick(&[0.0, 1.0, 3.0]),
            outage,
            one_sided: twist == Twist::OneSide,
        },
        refrigerant,
        started_isolated: twist == Twist::StartsIsolated,
    }
}

/// Two of one model, and one rig on two days: volumes within 1 %, a pump that is warmer or
/// colder, another room (common practice, no source).
fn vary(house: &mut Household, day: &mut Rng) {
    house.volume_l *= 1.0 + 0.01 * day.normal();
    house.pump_l_per_s *= 1.0 + 0.02 * day.normal();
    house.ultimate_micron *= (0.1 * day.normal()).exp();
    house.climate.start_c += 1.5 * day.normal();
}

fn shape(house: &mut Household, twist: Twist, rng: &mut Rng) {
    match twist {
        Twist::OneSide => {
            house.access = if rng.chance(0.8) {
                Access::LowOnly
            } else {
                Access::HighOnly
            };
        }
        Twist::Choked => {
            house.hose.diameter_mm = rng.range(3.6, 4.8);
            house.hose.length_m = rng.range(1.5, 2.4);
            house.core_mm = Some(rng.range(0.6, 1.2));
        }
        Twist::Floor => house.ultimate_micron = rng.log_range(300.0, 3000.0),
        Twist::Pool => house.volume_l = house.volume_l.min(6.0),
        Twist::Cooling => house.climate.heated_k = rng.range(8.0, 25.0),
        _ => {}
    }
}

fn hold_length(twist: Twist, rng: &mut Rng) -> f64 {
    match twist {
        Twist::CutShort => rng.range(120.0, 560.0),
        Twist::GrossLeak => rng.range(300.0, 1500.0),
        Twist::StartsIsolated => rng.log_range(660.0, 3600.0),
        _ if rng.chance(0.08) => rng.range(200.0, 600.0),
        _ => rng.log_range(640.0, 3600.0),
    }
}

fn add_cause(
    world: &mut World,
    cause: Cause,
    twist: Twist,
    hold_s: f64,
    pumped_s: f64,
    rng: &mut Rng,
) -> String {
    let minutes = hold_s / 60.0;
    let everyday = rng.log_range(1.0, 18.0);
    world.add_everyday_gas(everyday, rng.log_range(100.0, 1500.0));
    let mut words = format!("{cause:?}, dissolved gas {everyday:.0} micron");
    if matches!(cause, Cause::Leak | Cause::Both) {
        let rate = if twist == Twist::GrossLeak {
            rng.log_range(800.0, 20_000.0)
        } else {
            rng.log_range(30.0, 3000.0) / minutes
        };
        let law = rng.pick(&[LeakLaw::Laminar, LeakLaw::Molecular, LeakLaw::Choked]);
        let node = rng.pick(&[HIGH, LOW, LOW, MANIFOLD]);
        world.add_leak(rate, node, law);
        words += &format!(", leak {rate:.1} micron/min {law:?}");
    }
    if matches!(cause, Cause::Moisture | Cause::Both) {
        let rise = rng.log_range(50.0, 2500.0);
        // now and then so slow that it looks straight
        let time_s = if rng.chance(0.12) {
            hold_s * rng.range(1.5, 5.0)
        } else {
            hold_s * rng.log_range(0.05, 0.5)
        };
        world.add_moisture(rise, time_s, pumped_s);
        words += &format!(", moisture {rise:.0} micron in {time_s:.0} s");
    }
    words
}

fn add_twist(world: &mut World, twist: Twist, rng: &mut Rng) -> String {
    match twist {
        Twist::Foam | Twist::SelfClearingFoam => {
            let level = rng.log_range(1500.0, 15_000.0);
            let rough = rng.range(0.15, 0.45);
            let clears = if twist == Twist::Foam {
                rng.range(2500.0, 6000.0)
            } else {
                rng.range(120.0, 350.0)
            };
            world.add_foam(level, rough, clears);
            format!(", foam at {level:.0} micron")
        }
        Twist::Pool => {
            let grams = rng.log_range(0.8, 6.0);
            let warming = rng.log_range(0.15, 2.5);
            world.add_pool(grams, rng.range(1.5, 6.0), warming);
            format!(", {grams:.1} g water")
        }
        Twist::PumpStopped => {
            world.leak_back_through_pump(rng.log_range(5e-5, 2e-3));
            String::new()
        }
        _ => String::new(),
    }
}

fn outage(hold_s: f64, rng: &mut Rng) -> Outage {
    let length_s = rng.range(40.0, 200.0);
    Outage {
        after_isolation_s: rng.range(0.1, 0.7) * hold_s.max(length_s),
        length_s,
        sensed: if rng.chance(0.5) {
            Sensed::Gap
        } else {
            Sensed::Fault
        },
    }
}

fn wait(s: f64) -> Step {
    Step::Wait(Until::Time(s))
}

fn below(micron: f64, dwell_s: f64, at_most_s: f64) -> Step {
    Step::Wait(Until::Below {
        micron,
        dwell_s,
        at_most_s,
    })
}

fn script(twist: Twist, dwell_s: f64, hold_s: f64, rng: &mut Rng) -> Vec<Step> {
    let target = rng.range(250.0, 480.0);
    let most_s = match twist {
        Twist::GrossLeak => 1500.0,
        _ => rng.range(1800.0, 4200.0),
    };
    let mut out = Vec::new();
    if rng.chance(0.5) {
        out.push(wait(rng.range(5.0, 60.0)));
    }
    out.push(Step::Open(1.0));
    if rng.chance(0.15) {
        out.push(Step::Ballast(true));
        out.push(wait(rng.range(120.0, 400.0)));
        out.push(Step::Ballast(false));
    }
    interlude(&mut out, twist, rng);
    out.push(below(target, dwell_s, most_s));
    finish(&mut out, twist, hold_s, rng);
    out
}

/// What happens on the way down.
fn interlude(out: &mut Vec<Step>, twist: Twist, rng: &mut Rng) {
    match twist {
        Twist::Foam => {
            out.push(Step::Wait(Until::Foamed {
                for_s: rng.range(120.0, 700.0),
                at_most_s: 1500.0,
            }));
            out.push(Step::Throttle(rng.range(0.01, 0.08)));
            out.push(wait(rng.range(70.0, 160.0)));
            out.push(Step::Open(1.0));
        }
        Twist::Blips => {
            for _ in 0..1 + (rng.unit() * 3.0) as u32 {
                let level = rng.log_range(300.0, 8000.0);
                out.push(below(level, rng.range(5.0, 200.0), 1200.0));
                out.push(Step::Blip {
                    shut_s: rng.range(5.0, 60.0),
                });
            }
        }
        Twist::Rounds => {
            for _ in 0..1 + (rng.unit() * 2.0) as u32 {
                let level = rng.range(500.0, 2000.0);
                out.push(below(level, rng.range(30.0, 200.0), 1200.0));
                out.push(Step::Isolate);
                out.push(wait(rng.range(30.0, 300.0)));
                out.push(Step::Nitrogen {
                    to_pa: rng.range(5000.0, 100_000.0),
                    over_s: rng.range(10.0, 60.0),
                });
                out.push(wait(rng.range(60.0, 400.0)));
                out.push(Step::Open(1.0));
            }
        }
        _ => {}
    }
}

fn finish(out: &mut Vec<Step>, twist: Twist, hold_s: f64, rng: &mut Rng) {
    match twist {
        Twist::NeverIsolated => out.push(wait(rng.range(10.0, 600.0))),
        Twist::PumpStopped => {
            out.push(Step::StopPump);
            if rng.chance(0.6) {
                out.push(wait(rng.range(20.0, 240.0)));
                out.push(Step::Isolate);
            }
            out.push(wait(hold_s));
        }
        Twist::StartsIsolated => {
            out.push(Step::Isolate);
            out.push(wait(rng.range(0.5, 120.0)));
            out.push(Step::Record);
            out.push(wait(hold_s));
        }
        _ => {
            out.push(Step::Isolate);
            let pump_s = rng.range(4.0, 60.0).min(hold_s * 0.5);
            out.push(wait(pump_s));
            if rng.chance(0.8) {
                out.push(Step::StopPump);
            }
            out.push(wait(hold_s - pump_s));
        }
    }
}
