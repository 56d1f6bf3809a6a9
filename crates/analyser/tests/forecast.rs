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

#[test]
fn a_tail_of_outgassing_is_inside_the_range() {
    // 1/t tail: 500 micron when 60000/(t + 20) = 400, at 130 s
    let tail = |t: f64| 100.0 + 760_000.0 * (-t / 6.0).exp() + 60_000.0 / (t + 20.0);
    let live = live(tail, 90);
    let range = live.to_target.unwrap_or_else(|| panic!("{live:?}"));
    assert!((range.early_s..=range.late_s).contains(&40.0), "{range:?}");
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
