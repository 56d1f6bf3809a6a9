//! The ceiling, the target and the length of the hold.

use super::*;

#[test]
fn two_readings_in_a_row_above_the_ceiling_are_never_a_pass() {
    let end_s = ENOUGH_S + 60.0;
    for at_s in [1_100.0, 1_300.0, end_s - 1.0] {
        let two = held(|t| {
            if t == at_s || t == at_s + 1.0 {
                501.0
            } else {
                sound(t)
            }
        });
        fails(&two, "ceiling_exceeded");
        assert_eq!(
            two.judged_hold().unwrap().highest_micron.map(f64::round),
            Some(501.0)
        );
    }
    // one reading may be a disturbance
    passes(&held(|t| if t == 1_300.0 { 5_000.0 } else { sound(t) }));
    passes(&held(|t| if t == end_s { 5_000.0 } else { sound(t) }));
    // two that are not in a row are two disturbances
    passes(&held(|t| {
        if t == 1_300.0 || t == 1_302.0 {
            5_000.0
        } else {
            sound(t)
        }
    }));
}

/// Also where the gauge speaks ten times a second, or once in two minutes.
#[test]
fn two_readings_in_a_row_are_found_at_any_pace() {
    for (every_s, last) in [(0.1, 6_600), (2.0, 330), (30.0, 22), (120.0, 6)] {
        let run = |above: &[i32]| {
            let mut entries: Vec<Entry> = (1..=100)
                .map(|i| reading(every_s * f64::from(i), pulling(9.0 * f64::from(i))))
                .collect();
            let shut_s = 100.0 * every_s + 0.01;
            entries.push(mark(shut_s, MarkKind::PumpSideShut));
            entries.extend((1..=last).map(|i| {
                let p = if above.contains(&i) {
                    501.0
                } else {
                    sound(f64::from(i))
                };
                reading(shut_s + every_s * f64::from(i), p)
            }));
            judged(&entries)
        };
        passes(&run(&[]));
        fails(&run(&[last - 1, last]), "ceiling_exceeded");
        fails(&run(&[last - 2, last - 1]), "ceiling_exceeded");
    }
}

#[test]
fn exactly_at_the_ceiling_passes_and_one_step_above_fails() {
    let at = |level: f64| {
        held(move |t| {
            level
                - if (t.round() as u32).is_multiple_of(5) {
                    1.0
                } else {
                    0.0
                }
        })
    };
    passes(&at(500.0));
    fails(&at(501.0), "ceiling_exceeded");
    fails(&at(500.001), "ceiling_exceeded");
    // 0.500 Torr is 500 micron, whatever the last digit of the conversion
    let torr = |number: f64| {
        let micron = Pressure::from_torr(number).unwrap().micron();
        held(move |t| {
            micron
                - if (t.round() as u32).is_multiple_of(5) {
                    1.0
                } else {
                    0.0
                }
        })
    };
    passes(&torr(0.5));
    fails(&torr(0.501), "ceiling_exceeded");
}

/// A limit read in another unit comes out a last digit too high now and then.
#[test]
fn the_last_digit_of_a_conversion_breaks_no_limit() {
    let mut rounded_up = 0;
    for thousandths in [232, 233, 240, 254, 266, 269] {
        let micron = Pressure::from_torr(f64::from(thousandths) / 1e3)
            .unwrap()
            .micron();
        let limit = f64::from(thousandths);
        rounded_up += u32::from(micron > limit);
        let settings = Settings {
            criteria: Criteria {
                target_micron: limit,
                ceiling_micron: limit,
                ..Criteria::common_practice()
            },
            ..Settings::default()
        };
        let low = |t: f64| {
            if (t.round() as u32).is_multiple_of(5) {
                1.0
            } else {
                0.0
            }
        };
        let pull = |t: f64| {
            if t < 600.0 {
                pulling(t).max(limit + 5.0)
            } else {
                micron
            }
        };
        let entries = record(ENOUGH_S + 60.0, pull, |t| micron - low(t));
        passes(&judge(&entries, &settings));
    }
    assert!(rounded_up > 0, "none of them is a test");
}

#[test]
fn exactly_at_the_target_is_reached_and_one_step_above_is_not() {
    let to = |lowest: f64| {
        let pull = move |t: f64| pulling(t).max(lowest + f64::from(t.round() as u32 % 2));
        let entries = record(ENOUGH_S + 60.0, pull, |t| flickering(t, lowest + 40.0));
        let settings = Settings {
            criteria: Criteria {
                ceiling_micron: 700.0,
                ..Criteria::common_practice()
            },
            ..Settings::default()
        };
        judge(&entries, &settings)
    };
    // two readings span a second there: every second one is at the target
    let found = to(499.0);
    passes(&found);
    let found = to(501.0);
    assert_eq!(found.reasons, [Reason::TargetNotReached]);
}

#[test]
fn a_target_touched_by_one_reading_is_not_reached() {
    let entries = record(
        ENOUGH_S,
        |t| {
            if t == 700.0 {
                400.0
            } else {
                pulling(t).max(600.0)
            }
        },
        |t| flickering(t, 600.0),
    );
    let found = judged(&entries);
    assert_eq!(found.verdict, Verdict::Fail);
    assert!(found.reasons.contains(&Reason::TargetNotReached));
}

/// `count` readings every `every_s` after the valve, the first `offset_s` early.
fn hold_of(every_s: f64, count: u32, offset_s: f64) -> Findings {
    let mut entries: Vec<Entry> = (0..100)
        .map(|i| reading(every_s * f64::from(i), pulling(9.0 * f64::from(i))))
        .collect();
    let shut_s = 100.0 * every_s;
    entries.push(mark(shut_s, MarkKind::PumpSideShut));
    entries.extend((1..=count).map(|i| {
        let t = shut_s + every_s * f64::from(i) - offset_s;
        reading(t, sound(f64::from(i)))
    }));
    judged(&entries)
}

#[test]
fn one_reading_more_or_less_decides() {
    for every_s in [0.1, 0.5, 1.0, 2.0, 10.0, 60.0] {
        let enough = (600.0_f64 / every_s).round() as u32;
        passes(&hold_of(every_s, enough, 0.0));
        let short = hold_of(every_s, enough - 1, 0.0);
        assert_eq!(reasons(&short), ["hold_too_short"], "every {every_s} s");
    }
}

/// The slack is half the time between readings and half a second at most.
#[test]
fn the_slack_is_what_clocks_leave_open() {
    for (every_s, within_s, beyond_s) in [
        (0.1, 0.045, 0.055),
        (0.5, 0.24, 0.26),
        (1.0, 0.49, 0.51),
        (10.0, 0.49, 0.51),
        (60.0, 0.49, 0.51),
    ] {
        let enough = (600.0_f64 / every_s).round() as u32;
        passes(&hold_of(every_s, enough, within_s));
        let short = hold_of(every_s, enough, beyond_s);
        assert_eq!(reasons(&short), ["hold_too_short"], "every {every_s} s");
    }
    // exactly long enough is long enough
    passes(&hold_of(1.0, 600, 0.5));
}

#[test]
fn a_remark_typed_later_does_not_lengthen_the_hold() {
    let short = record(ENOUGH_S - 100.0, pulling, sound);
    let later = with(&short, &[noted(ENOUGH_S + 300.0, "tea")]);
    assert_eq!(reasons(&judged(&later)), ["hold_too_short"]);
    // one within a reading of the last does no harm
    let just = with(
        &record(ENOUGH_S, pulling, sound),
        &[noted(ENOUGH_S + 0.5, "done")],
    );
    passes(&judged(&just));
}

#[test]
fn a_handful_of_readings_is_no_hold() {
    let sparse = |count: u32| {
        let every_s = 660.0 / f64::from(count);
        let mut entries = record(SHUT_S, pulling, sound);
        entries.extend((1..=count).map(|i| {
            let t = SHUT_S + every_s * f64::from(i);
            reading(t, flickering(f64::from(i), 210.0))
        }));
        judged(&entries)
    };
    // read seldom from the beginning, so that no reading is missing
    let seldom = |count: u32| hold_of(600.0 / f64::from(count), count, 0.0);
    assert_eq!(reasons(&seldom(3)), ["gap_in_hold"]);
    assert!(seldom(3).verdict == Verdict::NotProven);
    passes(&seldom(10));
    // and where it was read every second before, they are missing
    assert_eq!(reasons(&sparse(10)), ["gap_in_hold"]);
}

#[test]
fn a_clock_that_is_set_forward_does_not_lengthen_the_hold() {
    let entries: Vec<Entry> = record(ENOUGH_S - 300.0, pulling, sound)
        .into_iter()
        .map(|e| match e {
            Entry::Reading(r) if r.elapsed_s > 1_000.0 => {
                let p = r.pressure().unwrap().micron();
                reading(r.elapsed_s + 400.0, p)
            }
            other => other,
        })
        .collect();
    let found = judged(&entries);
    assert_eq!(reasons(&found), ["gap_in_hold"]);
    assert_eq!(found.verdict, Verdict::NotProven);
}
