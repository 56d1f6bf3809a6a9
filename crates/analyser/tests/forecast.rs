//! The live outlook: time to target, and the news that it will not be reached.

use analyser::{Analyser, Live, Settings, StallKind};
use vacuum::{Pressure, Reading};

fn live(micron: impl Fn(f64) -> f64, until_s: u32) -> Live {
    let mut analyser = Analyser::new(Settings::default());
    for s in 0..=until_s {
        let t = f64::from(s);
        // a noise of 0.3 % with no pattern to it
        let noise = 1.0 + 0.003 * (t * t * 0.7).sin();
        let p = Pressure::from_micron((micron(t) * noise).round()).expect("a pressure");
        analyser.push_reading(&Reading::measured(t, p));
    }
    analyser.live()
}

#[test]
fn a_plain_fall_is_forecast_in_order_and_around_the_truth() {
    // 500 micron at 60·ln(760000/500) = 439.6 s, by the formula itself
    let fall = |t: f64| 760_000.0 * (-t / 60.0).exp();
    for now in [200, 300, 400] {
        let live = live(fall, now);
        let range = live.to_target.expect("a forecast");
        let left = 439.6 - f64::from(now);
        assert!(range.early_s <= range.likely_s && range.likely_s <= range.late_s);
        assert!(
            range.early_s <= left && left <= range.late_s,
            "at {now}: {left:.0} in {range:?}"
        );
        assert_eq!(live.not_at_this_rate, None);
    }
}

/// Curves the range was not learnt from: p = low + A·exp(−t/τ) + B/(1 + t/θ),
/// each solved for the time it reaches 500 micron by bisection.
#[test]
fn the_range_holds_on_curves_it_was_not_learnt_from() {
    let (mut inside, mut before, mut after, mut silent) = (0, 0, 0, 0);
    for i in 0..400_u32 {
        // four coordinates that fill their space evenly
        let u =
            [0.856_675, 0.733_891, 0.628_706, 0.538_597].map(|a| (0.5 + f64::from(i) * a).fract());
        let tau_s = 6.0 * 8.0_f64.powf(u[0]);
        let tail = 300.0 * 30.0_f64.powf(u[1]);
        let (low, theta_s) = (20.0 * 15.0_f64.powf(u[2]), 60.0);
        let curve = move |t: f64| low + 760_000.0 * (-t / tau_s).exp() + tail / (1.0 + t / theta_s);
        let (mut early, mut late) = (0.0, 100_000.0);
        for _ in 0..60 {
            let middle = 0.5 * (early + late);
            if curve(middle) > 500.0 {
                early = middle;
            } else {
                late = middle;
            }
        }
        let cut = (late * (0.1 + 0.85 * u[3])).max(30.0) as u32;
        let left = late - f64::from(cut);
        if left < 5.0 {
            continue;
        }
        match live(curve, cut).to_target {
            Some(r) if left < r.early_s => before += 1,
            Some(r) if left > r.late_s => after += 1,
            Some(_) => inside += 1,
            None => silent += 1,
        }
    }
    let told = inside + before + after;
    let what = format!("inside {inside}, before {before}, after {after}, silent {silent}");
    println!("{what}");
    let share = f64::from(inside) / f64::from(told);
    assert!(told > 250 && (0.70..=0.97).contains(&share), "{what}");
}

#[test]
fn a_floor_above_the_target_is_told_with_its_level() {
    let floor = |t: f64| 900.0 + 760_000.0 * (-t / 10.0).exp();
    let live = live(floor, 900);
    assert_eq!(live.to_target, None);
    let level = live.not_at_this_rate.expect("not at this rate");
    assert!((level.floor_micron - 900.0).abs() < 20.0, "{level:?}");
}

#[test]
fn a_bending_curve_that_leads_nowhere_is_told_before_it_stands_still() {
    // still falling 2 % in five minutes, towards 1,500 micron
    let bends = |t: f64| 1_500.0 + 760_000.0 * (-t / 10.0).exp() + 900.0 * (-t / 150.0).exp();
    let early = live(bends, 200);
    assert_eq!(early.not_at_this_rate, None, "may still go on");
    let late = live(bends, 700);
    let level = late.not_at_this_rate.expect("not at this rate");
    assert!((level.floor_micron - 1_500.0).abs() < 30.0, "{level:?}");
}

#[test]
fn a_pressure_that_hunts_is_not_given_up() {
    // up and down by a third, once in 100 s, around 1,600 micron
    let hunts = |t: f64| 1_600.0 * (0.15 * (t / 16.0).sin()).exp() + 760_000.0 * (-t / 8.0).exp();
    for now in [400, 450, 500, 550] {
        assert_eq!(live(hunts, now).not_at_this_rate, None);
    }
}

#[test]
fn while_water_boils_there_is_no_forecast() {
    let pool = |t: f64| 12_000.0 + 760_000.0 * (-t / 8.0).exp();
    let live = live(pool, 400);
    assert_eq!(live.stall.map(|s| s.kind), Some(StallKind::BoilOff));
    assert_eq!(live.to_target, None);
    assert_eq!(live.not_at_this_rate, None);
}

#[test]
fn half_a_minute_without_progress_is_no_verdict() {
    let pause = |t: f64| {
        let pumped = if t < 60.0 { t } else { 60.0 };
        1_500.0 + 760_000.0 * (-pumped / 6.0).exp()
    };
    assert_eq!(live(pause, 120).not_at_this_rate, None);
}
