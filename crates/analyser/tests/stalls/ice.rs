//! Ice: plateaus around the triple point of water.
//!
//! 611.657 Pa are 4,587.8 micron (IAPWS-95, R14-08). Saturation over ice: 1,949 micron
//! at −10 °C, 774 at −20 °C (IAPWS R14-08 by another implementation).

use analyser::{Stall, StallEnd, StallKind};
use vacuum::MarkKind;

use crate::generator::{Dice, GOOD, Gauge, stalls_of};

/// The first rush.
fn rush(t: f64) -> f64 {
    760_000.0 * (-t / 8.0).exp()
}

/// A plateau that gives way: it stands at `level` until `end_s`, then falls to `low`.
fn gives_way(level: f64, end_s: f64, low: f64) -> impl Fn(f64) -> f64 {
    move |t| {
        let gone = low + (level - low) * (-(t - end_s) / 30.0).exp();
        rush(t) + if t < end_s { level } else { gone }
    }
}

/// Water that freezes: a slide from 12,000 micron, a shelf at the triple point from 60 to
/// 200 s, then a slide to `level`, where ice stands.
fn freezes(level: f64) -> impl Fn(f64) -> f64 {
    move |t| {
        let boiling = 4_560.0 + 7_440.0 * (-t / 15.0).exp();
        let ice = level + (4_560.0 - level) * (-(t - 200.0) / 40.0).exp();
        rush(t) + if t < 200.0 { boiling } else { ice }
    }
}

fn kinds(stalls: &[Stall]) -> Vec<StallKind> {
    stalls.iter().map(|s| s.kind).collect()
}

fn of(curve: impl Fn(f64) -> f64, end_s: f64, marks: &[(f64, MarkKind)]) -> Vec<Stall> {
    stalls_of(&GOOD.shows(curve, end_s, &mut Dice(21)), marks)
}

#[test]
fn the_triple_point_parts_boiling_from_ice() {
    // 2 % above and below: the gauge's noise is 0.3 %
    for (level, kind) in [
        (4_680.0, StallKind::BoilOff),
        (4_500.0, StallKind::Ice),
        (1_949.0, StallKind::Ice),
        (774.0, StallKind::Ice),
    ] {
        let stalls = of(gives_way(level, 500.0, 60.0), 1_000.0, &[]);
        assert_eq!(kinds(&stalls), [kind], "{level}: {stalls:?}");
        let stall = &stalls[0];
        assert!((stall.level_micron / level - 1.0).abs() < 0.01, "{stall:?}");
        assert!((stall.end_s - 500.0).abs() < 40.0, "{stall:?}");
        assert_eq!(stall.ended_by, StallEnd::Cleared);
    }
}

#[test]
fn a_pool_that_slides_through_the_triple_point_is_two_stalls() {
    // 6 °C to −6 °C in 15 minutes, then dry
    let truth = |t: f64| {
        let pool = 7_000.0 * (-t / 1_000.0).exp();
        let dry = 60.0 + 2_700.0 * (-(t - 900.0) / 20.0).exp();
        rush(t) + if t < 900.0 { pool } else { dry }
    };
    let stalls = of(truth, 1_500.0, &[]);
    assert_eq!(
        kinds(&stalls),
        [StallKind::BoilOff, StallKind::Ice],
        "{stalls:?}"
    );
    // 1,000 · ln(7,000 / 4,587.8) s
    assert!((stalls[0].end_s - 422.5).abs() < 30.0, "{stalls:?}");
    assert!((stalls[1].start_s - 422.5).abs() < 30.0, "{stalls:?}");
}

#[test]
fn a_plateau_that_still_stands_is_a_floor_unless_water_was_seen_to_freeze() {
    let floor = of(|t| rush(t) + 1_900.0, 900.0, &[]);
    assert_eq!(kinds(&floor), [StallKind::Floor], "{floor:?}");
    let stalls = of(freezes(1_900.0), 900.0, &[]);
    let last = stalls.last().expect("a stall");
    assert_eq!(last.kind, StallKind::Ice, "{stalls:?}");
    assert_eq!(last.ended_by, StallEnd::StillOn);
    // −10.3 °C: between 1,949 micron at −10 °C and 774 at −20 °C
    assert!(
        last.boils_at_c.is_some_and(|c| (-11.0..-9.0).contains(&c)),
        "{last:?}"
    );
}

#[test]
fn heat_and_nitrogen_end_ice_and_are_named() {
    let heated = |t: f64| {
        let rise = 1.0 + 1.0 * (1.0 - (-(t - 800.0) / 60.0).exp());
        let gone = 80.0 + 3_700.0 * (-(t - 1_100.0) / 30.0).exp();
        match t {
            _ if t < 800.0 => freezes(1_900.0)(t),
            _ if t < 1_100.0 => 1_900.0 * rise,
            _ => gone,
        }
    };
    let stalls = of(heated, 1_700.0, &[(800.0, MarkKind::HeatApplied)]);
    let ice = stalls.iter().find(|s| s.ended_by == StallEnd::HeatApplied);
    assert!(ice.is_some_and(|s| s.kind == StallKind::Ice), "{stalls:?}");
    // without having seen it freeze, by what the heat did: it fell well below
    let unseen = |t: f64| {
        if t < 300.0 {
            rush(t) + 1_900.0
        } else {
            heated(t)
        }
    };
    let stalls = of(unseen, 1_700.0, &[(800.0, MarkKind::HeatApplied)]);
    assert!(
        stalls.iter().all(|s| s.kind != StallKind::Floor),
        "{stalls:?}"
    );
    let ice = stalls.iter().find(|s| s.ended_by == StallEnd::HeatApplied);
    assert!(ice.is_some_and(|s| s.kind == StallKind::Ice), "{stalls:?}");
    // and nobody stamped it
    let stalls = of(heated, 1_700.0, &[]);
    assert!(kinds(&stalls).contains(&StallKind::Ice), "{stalls:?}");
    assert!(
        stalls.iter().all(|s| s.kind != StallKind::Floor),
        "{stalls:?}"
    );
}

#[test]
fn a_level_that_a_valve_or_the_gas_ballast_explains_is_no_ice() {
    let curve = gives_way(1_500.0, 500.0, 60.0);
    for act in [
        (495.0, MarkKind::ValveOpened),
        (5.0, MarkKind::BallastOpened),
    ] {
        let stalls = of(&curve, 1_000.0, &[act]);
        assert!(kinds(&stalls).is_empty(), "{act:?}: {stalls:?}");
    }
    assert_eq!(kinds(&of(&curve, 1_000.0, &[])), [StallKind::Ice]);
}

#[test]
fn tails_floors_and_a_valve_shut_for_a_moment_are_no_ice() {
    let mut dice = Dice(90_003);
    let (mut wrong, n) = (0, 400);
    for i in 0..n {
        let gauge = Gauge::draw(&mut dice, 0.012);
        let (tau_s, tail) = (dice.range(4.0, 40.0), dice.log_range(100.0, 8_000.0));
        let low = dice.log_range(30.0, 3_500.0);
        let (power, knee_s) = (dice.range(0.6, 1.6), dice.log_range(20.0, 200.0));
        let (blip_s, blip) = (dice.range(100.0, 900.0), dice.pick(&[0.0, 0.3, 1.0]));
        let truth = |t: f64| {
            let falls = 760_000.0 * (-t / tau_s).exp() + tail * (1.0 + t / knee_s).powf(-power);
            let x = (t - blip_s).max(0.0);
            let lifted = if x < 30.0 {
                x / 30.0
            } else {
                (-(x - 30.0) / 12.0).exp()
            };
            (low + falls) * (1.0 + blip * lifted)
        };
        let stalls = stalls_of(&gauge.shows(truth, 1_800.0, &mut dice), &[]);
        if kinds(&stalls).contains(&StallKind::Ice) {
            wrong += 1;
            println!("false {i}: {gauge:?} tail {tail:.0} low {low:.0} blip {blip} {stalls:.1?}");
        }
    }
    assert!(f64::from(wrong) <= 0.01 * f64::from(n), "{wrong} of {n}");
}

#[test]
fn no_floor_is_ever_undercut() {
    let mut dice = Dice(90_004);
    for i in 0..400 {
        let gauge = Gauge::draw(&mut dice, 0.006);
        let steps: Vec<(f64, f64)> = (0..3)
            .map(|_| (dice.range(150.0, 900.0), dice.range(0.3, 1.0)))
            .collect();
        let level = dice.log_range(700.0, 9_000.0);
        let slope = dice.pick(&[0.0, 0.000_2, 0.000_6]);
        let truth = |t: f64| {
            // every step goes down in its own time
            let mut p = level * (-slope * t).exp();
            let mut at_s = 0.0;
            for (lasts_s, share) in &steps {
                at_s += lasts_s;
                let gone = 1.0 - (-(t - at_s).max(0.0) / 25.0).exp();
                p *= 1.0 - (1.0 - share) * gone;
            }
            rush(t) + p
        };
        let readings = gauge.shows(truth, 3_000.0, &mut dice);
        let stalls = stalls_of(&readings, &[]);
        for floor in stalls.iter().filter(|s| s.kind == StallKind::Floor) {
            let later = (floor.start_s as usize..3_000).map(|t| truth(t as f64));
            let lowest = later.fold(f64::INFINITY, f64::min);
            let undercut = lowest < 0.8 * floor.level_micron;
            assert!(!undercut, "{i}: {floor:.1?} went down to {lowest:.0}");
        }
    }
}

#[test]
fn oil_that_foams_from_the_first_seconds_is_foaming() {
    let mut dice = Dice(90_005);
    let (mut found, n) = (0, 200);
    for i in 0..n {
        let gauge = Gauge::draw(&mut dice, 0.008);
        let starts_s = dice.range(0.0, 20.0);
        let level = dice.log_range(1_000.0, 15_000.0);
        let (low, tau_s) = (dice.log_range(100.0, 900.0), dice.range(1.5, 6.0));
        let (fast_s, slow_s) = (dice.range(2.0, 5.0), dice.range(5.0, 9.0));
        let rough = dice.range(0.06, 0.2);
        let length_s = dice.range(120.0, 500.0);
        let truth = |t: f64| {
            let foam = (rough * ((t / fast_s).sin() + (t / slow_s).sin())).exp();
            let on = if t < starts_s {
                0.0
            } else {
                1.0 - (-(t - starts_s) / 2.0).exp()
            };
            let over = (-(t - starts_s - length_s).max(0.0) / 30.0).exp();
            760_000.0 * (-t / tau_s).exp() + low.min(0.5 * level) + level * foam * on * over
        };
        let stalls = stalls_of(
            &gauge.shows(truth, starts_s + length_s + 600.0, &mut dice),
            &[],
        );
        let hit = kinds(&stalls).contains(&StallKind::Foaming);
        found += i32::from(hit);
        if !hit {
            println!(
                "missed {i}: {gauge:?} from {starts_s:.0} s at {level:.0}, rough {rough:.2}: {stalls:.1?}"
            );
        }
    }
    assert!(f64::from(found) >= 0.95 * f64::from(n), "{found} of {n}");
}
