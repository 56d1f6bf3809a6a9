//! Stalls on curves of a plain generator that shares nothing with the rehearsal:
//! formulas for the pressure, autoregressive gauge noise, lag and rounding.

mod generator;
mod ice;

use analyser::{Stall, StallEnd, StallKind};
use vacuum::MarkKind;

use generator::{Dice, GOOD, Gauge, stalls_of};

/// A fall with a 1/t tail to `low`, delayed by `pause_s` from `at_s` on.
fn fall(t: f64, tau_s: f64, tail: f64, low: f64) -> f64 {
    low + 760_000.0 * (-t / tau_s).exp() + tail / (1.0 + t / 60.0)
}

/// Hunting of ln p: a sum of waves whose periods have no common measure.
struct Hunting {
    waves: Vec<(f64, f64, f64)>,
}

impl Hunting {
    fn draw(dice: &mut Dice, sd: f64) -> Self {
        let waves = (0..5)
            .map(|_| {
                let period_s = dice.log_range(12.0, 60.0);
                (
                    sd * (2.0_f64 / 5.0).sqrt(),
                    period_s,
                    dice.range(0.0, std::f64::consts::TAU),
                )
            })
            .collect();
        Self { waves }
    }

    fn at(&self, t: f64) -> f64 {
        self.waves
            .iter()
            .map(|(a, period_s, phase)| a * (std::f64::consts::TAU * t / period_s + phase).sin())
            .sum()
    }
}

fn foams(dice: &mut Dice) -> (bool, String) {
    let gauge = Gauge::draw(dice, 0.008);
    let sd = dice.range(0.03, 0.10);
    let hunting = Hunting::draw(dice, sd);
    let level = dice.log_range(700.0, 18_000.0);
    let (tau_s, tail) = (dice.range(4.0, 25.0), dice.log_range(50.0, 1_000.0));
    let start_s = tau_s * (760_000.0_f64 / level).ln();
    let length_s = dice.range(100.0, 400.0);
    let slope = dice.pick(&[0.0, 0.001, 0.002]);
    let end_s = start_s + length_s;
    let truth = |t: f64| {
        if t < start_s {
            fall(t, tau_s, 0.0, 0.0).max(level)
        } else if t < end_s {
            level * (hunting.at(t) - slope * (t - start_s)).exp()
        } else {
            let from = level * (-slope * length_s).exp();
            60.0 + from * (-(t - end_s) / 40.0).exp() + tail / (1.0 + (t - start_s) / 60.0)
        }
    };
    let readings = gauge.shows(truth, end_s + 700.0, dice);
    let found = stalls_of(&readings, &[])
        .iter()
        .any(|s| s.kind == StallKind::Foaming && s.start_s < end_s && s.end_s > start_s);
    (
        found,
        format!("{gauge:?} level {level:.0} from {start_s:.0} for {length_s:.0} slope {slope}"),
    )
}

fn quiet(dice: &mut Dice) -> (bool, String) {
    let gauge = Gauge {
        step: dice.pick(&[0.1, 1.0, 5.0, 0.0]),
        ..Gauge::draw(dice, 0.03)
    };
    let (tau_s, tail) = (dice.range(4.0, 60.0), dice.log_range(100.0, 6_000.0));
    let low = dice.log_range(30.0, 2_000.0);
    let (blip_s, blip) = (dice.range(60.0, 600.0), dice.pick(&[0.0, 0.2, 1.0]));
    let (knee_s, step) = (dice.range(60.0, 600.0), dice.pick(&[1.0, 1.06, 0.94]));
    let truth = |t: f64| {
        let mut p = fall(t, tau_s, tail, low);
        if (blip_s..blip_s + 30.0).contains(&t) {
            p *= 1.0 + blip * (t - blip_s).min(10.0) / 10.0;
        }
        if t < knee_s { p * step } else { p }
    };
    let readings = gauge.shows(truth, 1_500.0, dice);
    let stalls = stalls_of(&readings, &[]);
    let wrong = stalls.iter().any(|s| s.kind == StallKind::Foaming);
    (
        wrong,
        format!(
            "{gauge:?} tau {tau_s:.0} tail {tail:.0} low {low:.0} blip {blip} at {blip_s:.0} step {step} at {knee_s:.0}: {stalls:.1?}"
        ),
    )
}

#[test]
fn hunting_plateaus_are_foaming() {
    let mut dice = Dice(90_002);
    let (mut found, n) = (0, 500);
    for i in 0..n {
        let (is_found, what) = foams(&mut dice);
        found += u32::from(is_found);
        if !is_found {
            println!("missed {i}: {what}");
        }
    }
    assert!(f64::from(found) >= 0.95 * f64::from(n), "{found} of {n}");
}

#[test]
fn noise_blips_kinks_and_staircases_are_not_foaming() {
    let mut dice = Dice(90_001);
    let (mut wrong, n) = (0, 1_000);
    for i in 0..n {
        let (is_wrong, what) = quiet(&mut dice);
        wrong += u32::from(is_wrong);
        if is_wrong {
            println!("false {i}: {what}");
        }
    }
    assert!(f64::from(wrong) <= 0.01 * f64::from(n), "{wrong} of {n}");
}

#[test]
fn a_pool_slides_down_as_it_cools_and_ends_in_a_knee() {
    let mut dice = Dice(3);
    // 18 °C down to 8 °C in seven minutes, then dry
    let truth = |t: f64| {
        let boiling = 15_480.0 * (-0.0015 * t).exp();
        let dry = 100.0 + 8_000.0 * (-(t - 420.0) / 15.0).exp();
        let rush = 760_000.0 * (-t / 8.0).exp();
        rush + if t < 420.0 { boiling } else { dry }
    };
    let stalls = stalls_of(&GOOD.shows(truth, 900.0, &mut dice), &[]);
    let [pool] = stalls[..] else {
        panic!("{stalls:?}")
    };
    assert_eq!(pool.kind, StallKind::BoilOff);
    assert!((pool.start_s - 40.0).abs() < 40.0 && (pool.end_s - 420.0).abs() < 40.0);
    // 11,200 micron half way; saturation of water at 12.8 to 13.0 °C (IAPWS-IF97)
    let boils_at_c = pool.boils_at_c.expect("within the range of water");
    assert!((boils_at_c - 12.9).abs() < 1.5, "{boils_at_c}");
    assert!((pool.slope_per_min + 0.09).abs() < 0.02, "{pool:?}");
    assert_eq!(pool.ended_by, StallEnd::Cleared);
    assert!(pool.roughness < 2.0, "{pool:?}");
}

#[test]
fn a_pool_that_cools_fast_is_found_by_its_knee() {
    let mut dice = Dice(7);
    // from 17,000 micron down to 6,100 in three minutes: 20 °C to 4 °C (IAPWS-IF97)
    let pool = |end: f64| {
        move |t: f64| {
            let boiling = 6_000.0 + 11_000.0 * (-t / 40.0).exp();
            let dry = 100.0 + 5_000.0 * (-(t - end) / 20.0).exp();
            760_000.0 * (-t / 8.0).exp() + if t < end { boiling } else { dry }
        }
    };
    let stalls = stalls_of(&GOOD.shows(pool(180.0), 700.0, &mut dice), &[]);
    let kinds: Vec<StallKind> = stalls.iter().map(|s| s.kind).collect();
    assert!(kinds.contains(&StallKind::BoilOff), "{stalls:?}");
    // a curve that only ever slows down on its way through the same levels
    let tail = |t: f64| fall(t, 8.0, 9_000.0, 1_500.0);
    let stalls = stalls_of(&GOOD.shows(tail, 900.0, &mut dice), &[]);
    assert!(
        stalls.iter().all(|s| s.kind != StallKind::BoilOff),
        "{stalls:?}"
    );
}

#[test]
fn a_gauge_at_its_top_sees_nothing() {
    let mut dice = Dice(8);
    let truth = |t: f64| fall(t, 50.0, 800.0, 60.0);
    let clipped = |top: f64, dice: &mut Dice| -> Vec<(f64, f64)> {
        let shown = GOOD.shows(truth, 900.0, dice);
        shown.into_iter().map(|(t, p)| (t, p.min(top))).collect()
    };
    // 20,000 and 15,000 micron lie where water boils between 17 °C and 22 °C
    for top in [25_000.0, 20_000.0, 15_000.0] {
        let readings = clipped(top, &mut dice);
        let pinned = readings.iter().filter(|r| r.1 >= top).count();
        assert!(pinned > 150, "{pinned} readings at the top");
        let stalls = stalls_of(&readings, &[]);
        let held_up = |s: &Stall| matches!(s.kind, StallKind::BoilOff | StallKind::Foaming);
        assert!(!stalls.iter().any(held_up), "{top}: {stalls:?}");
    }
}

#[test]
fn oil_that_foams_below_the_target_is_named_and_three_turns_of_a_valve_are_not() {
    let mut dice = Dice(9);
    let foam = |t: f64| {
        let hunts = (0.1 * (t / 3.0).sin() + 0.1 * (t / 4.7).sin()).exp();
        let level = if t < 300.0 { 380.0 * hunts } else { 120.0 };
        level + 760_000.0 * (-t / 8.0).exp()
    };
    let stalls = stalls_of(&GOOD.shows(foam, 600.0, &mut dice), &[]);
    assert!(
        stalls.iter().any(|s| s.kind == StallKind::Foaming),
        "{stalls:?}"
    );
    let turns = |t: f64| {
        let bump = |at: f64| {
            let x = (t - at).max(0.0);
            if x < 30.0 {
                x / 30.0
            } else {
                (-(x - 30.0) / 15.0).exp()
            }
        };
        fall(t, 8.0, 500.0, 150.0) * (1.0 + bump(300.0) + bump(380.0) + bump(460.0))
    };
    let stalls = stalls_of(&GOOD.shows(turns, 900.0, &mut dice), &[]);
    assert!(
        stalls.iter().all(|s| s.kind != StallKind::Foaming),
        "{stalls:?}"
    );
}

#[test]
fn a_floor_tells_where_it_will_end() {
    let mut dice = Dice(4);
    let truth = |t: f64| 900.0 + 760_000.0 * (-t / 10.0).exp() + 400.0 * (-t / 300.0).exp();
    let stalls = stalls_of(&GOOD.shows(truth, 1_300.0, &mut dice), &[]);
    let floor = stalls.last().expect("a floor");
    assert_eq!(floor.kind, StallKind::Floor, "{stalls:?}");
    assert_eq!(floor.ended_by, StallEnd::StillOn);
    let end = floor.ends_at_micron.expect("a level");
    assert!((end - 900.0).abs() < 15.0, "{floor:?}");
}

#[test]
fn a_straight_crawl_is_choked_and_a_bending_one_is_not() {
    let mut dice = Dice(5);
    let straight = |t: f64| 20.0 + 6_000.0 * (-t / 500.0).exp() + 754_000.0 * (-t / 8.0).exp();
    let stalls = stalls_of(&GOOD.shows(straight, 1_100.0, &mut dice), &[]);
    assert!(
        stalls.iter().any(|s| s.kind == StallKind::Choked),
        "{stalls:?}"
    );
    let bending = |t: f64| fall(t, 8.0, 6_000.0, 20.0);
    let stalls = stalls_of(&GOOD.shows(bending, 1_100.0, &mut dice), &[]);
    assert!(
        stalls.iter().all(|s| s.kind != StallKind::Choked),
        "{stalls:?}"
    );
}

#[test]
fn a_coarse_gauge_learns_of_foam_by_what_clears_it() {
    let mut dice = Dice(6);
    let coarse = Gauge { step: 0.0, ..GOOD };
    let truth = |t: f64| {
        let foam = 2_050.0 * (1.0 + 0.01 * (t / 5.0).sin());
        let gone = 60.0 + 2_000.0 * (-(t - 400.0) / 40.0).exp();
        760_000.0 * (-t / 8.0).exp() + if t < 400.0 { foam } else { gone }
    };
    let readings = coarse.shows(truth, 900.0, &mut dice);
    let stalls = stalls_of(&readings, &[(300.0, MarkKind::Throttled)]);
    let foam = stalls.iter().find(|s| s.kind == StallKind::Foaming);
    assert_eq!(
        foam.map(|s| s.ended_by),
        Some(StallEnd::Throttled),
        "{stalls:?}"
    );
    let without = stalls_of(&readings, &[]);
    assert!(without.iter().all(|s| s.kind != StallKind::Foaming));
}
