//! The gauge shows too little.

use super::*;

#[test]
fn zeros_from_start_to_end_prove_nothing() {
    let found = judged(&record(ENOUGH_S, |_| 0.0, |_| 0.0));
    not_proven(&found, "gauge_too_coarse");
    let floor = ShowsTooLittle::AtFloor {
        level_micron: Some(0.0),
    };
    assert_eq!(too_little(&found), floor);
}

#[test]
fn zeros_in_the_hold_prove_nothing_even_where_it_flickers() {
    not_proven(&held(|_| 0.0), "gauge_too_coarse");
    // the offset of a dead sensor with its noise, clamped at zero
    let found = held(|t| f64::from(u8::from((t.round() as u32).is_multiple_of(3))));
    assert!(
        reasons(&found).contains(&"gauge_too_coarse"),
        "{:?}",
        found.reasons
    );
    assert_ne!(found.verdict, Verdict::Pass);
}

#[test]
fn one_value_from_start_to_end_proves_nothing() {
    let found = judged(&record(ENOUGH_S, |_| 300.0, |_| 300.0));
    not_proven(&found, "gauge_too_coarse");
}

#[test]
fn a_hold_that_never_moves_proves_nothing() {
    // from 201 micron by one jump to a value that it never leaves
    let found = held(|_| 260.0);
    not_proven(&found, "gauge_too_coarse");
    assert!(
        matches!(too_little(&found), ShowsTooLittle::StandsStill { level_micron, .. }
        if (level_micron - 260.0).abs() < 1e-9)
    );
    // so does one that is read once a minute
    let slow: Vec<Entry> = record(ENOUGH_S, pulling, |_| 260.0)
        .into_iter()
        .filter(|e| matches!(e, Entry::Mark(_)) || e.elapsed_s() % 60.0 == 0.0)
        .collect();
    not_proven(&judged(&slow), "gauge_too_coarse");
}

#[test]
fn a_gauge_that_shows_nothing_below_a_floor_proves_nothing() {
    // runs down to 400 micron and stands there, while the pressure goes on falling
    let clipped = |t: f64| pulling(t).max(400.0);
    not_proven(
        &judged(&record(ENOUGH_S, clipped, |_| 400.0)),
        "gauge_too_coarse",
    );
    // two disturbances do not make it a gauge that moves
    let disturbed = |t: f64| {
        if t == 1_100.0 || t == 1_300.0 {
            430.0
        } else {
            400.0
        }
    };
    let found = judged(&record(ENOUGH_S, clipped, disturbed));
    not_proven(&found, "gauge_too_coarse");
    let floor = ShowsTooLittle::AtFloor {
        level_micron: Some(400.0),
    };
    assert_eq!(too_little(&found), floor);
}

#[test]
fn a_fifth_of_the_hold_below_the_range_proves_nothing() {
    let blind = |share: f64| {
        let end_s = ENOUGH_S + 60.0;
        let from_s = 1_000.0;
        let entries: Vec<Entry> = record(end_s, pulling, sound)
            .into_iter()
            .map(|e| match e {
                Entry::Reading(r)
                    if r.elapsed_s > from_s && r.elapsed_s < from_s + share * (end_s - SHUT_S) =>
                {
                    sensed(r.elapsed_s, Sensed::Under(Pressure::from_micron(1.0).ok()))
                }
                other => other,
            })
            .collect();
        judged(&entries)
    };
    not_proven(&blind(0.21), "gauge_too_coarse");
    passes(&blind(0.19));
}

/// Steps against the ceiling of 500 micron: 50 micron will just do.
#[test]
fn steps_up_to_a_tenth_of_the_ceiling_and_no_more() {
    let stepped = |step: f64, every_s: f64| {
        let show = |p: f64| (p / step).round() * step;
        // the second lowest of its values, and the ones beside it
        let noisy = |t: f64| step * (3.0 + [0.0, 1.0, 0.0, -1.0, 0.0][t.round() as usize % 5]);
        let entries = record(ENOUGH_S + 60.0, |t| show(pulling(t)), noisy);
        let keep = |e: &Entry| matches!(e, Entry::Mark(_)) || e.elapsed_s() % every_s == 0.0;
        judged(&entries.into_iter().filter(keep).collect::<Vec<_>>())
    };
    for every_s in [1.0, 2.0] {
        passes(&stepped(50.0, every_s));
        let found = stepped(51.0, every_s);
        not_proven(&found, "gauge_too_coarse");
        let ShowsTooLittle::Steps {
            step_micron,
            most_micron,
        } = too_little(&found)
        else {
            panic!("{:?}", found.findings);
        };
        assert!((step_micron - 51.0).abs() < 1e-6 && (most_micron - 50.0).abs() < 1e-9);
    }
    // read every 36 s, where neighbours say nothing about the step
    not_proven(&stepped(51.0, 36.0), "gauge_too_coarse");
    passes(&stepped(50.0, 36.0));
}

#[test]
fn a_reading_that_freezes_proves_nothing() {
    // a leak of 6 micron/min, shown with noise until the logger repeats itself
    let leak = |t: f64| flickering(t, 212.0 + 0.1 * (t - SHUT_S)) + 2.0 * flickering(3.0 * t, 0.0);
    let frozen = |from_s: f64| held(|t| leak(t.min(from_s)));
    not_proven(&frozen(1_100.0), "gauge_too_coarse");
    // thirty equal readings at the end are a freeze, twenty may be chance
    not_proven(&frozen(ENOUGH_S + 60.0 - 29.0), "gauge_too_coarse");
    passes(&frozen(ENOUGH_S + 60.0 - 20.0));
}

/// A quiet gauge flickers where two of its values meet, and no more once the pressure
/// has moved a little: that is no freeze.
#[test]
fn a_flicker_between_two_values_may_end() {
    let flicker = |t: f64| 212.0 - [0.0, 1.0, 1.0, 0.0, 1.0, 0.0, 0.0][t.round() as usize % 7];
    passes(&held(|t| if t < 1_300.0 { flicker(t) } else { 212.0 }));
}

/// Rises from `from` to `to` micron in steps of `step` that come ever more slowly.
fn settling(t: f64, (from, to): (f64, f64), step: f64) -> f64 {
    let p = to + (from - to) * (-(t - SHUT_S) / 8.0).exp();
    (p / step).round() * step
}

/// A fine gauge may stand still on a quiet system: it has moved in fine steps near the
/// level, came to rest step by step, and has shown lower pressures.
#[test]
fn a_quiet_hold_on_a_fine_gauge_is_earned() {
    let quiet = |step: f64| {
        let show = move |t: f64| (pulling(t) / step).round() * step;
        let rise = move |t: f64| settling(t, (201.0, 224.0), step);
        judged(&record(ENOUGH_S + 60.0, show, rise))
    };
    passes(&quiet(1.0));
    passes(&quiet(0.5));
    // the same with steps of 2 micron: too few of them to tell
    not_proven(&quiet(2.0), "gauge_too_coarse");
}

#[test]
fn a_fine_gauge_that_stops_in_full_pace_is_not() {
    // twelve micron a minute, and then nothing moves any more
    let stops = |t: f64| (201.0 + 0.2 * (t - SHUT_S).min(60.0)).round();
    not_proven(&held(stops), "gauge_too_coarse");
    // nor on a gauge of coarser steps
    let coarse = |t: f64| 4.0 * ((201.0 + 0.2 * (t - SHUT_S).min(150.0)) / 4.0).round();
    not_proven(&held(coarse), "gauge_too_coarse");
    // one that slows down before it stops has come to an end
    let slows = |t: f64| (225.0 - 24.0 * (-(t - SHUT_S) / 45.0).exp()).round();
    passes(&held(slows));
    // in one leap to where it stands
    let leaps = |t: f64| if t < SHUT_S + 3.0 { 203.0 } else { 224.0 };
    not_proven(&held(leaps), "gauge_too_coarse");
}

#[test]
fn a_fine_gauge_at_its_lowest_value_has_to_have_slowed_down() {
    // comes down ever more slowly to 199 micron and stays
    let fade = |t: f64| (198.8 + 200.0 * (-t / 120.0).exp() + 7e5 * (-t / 20.0).exp()).round();
    passes(&judged(&record(ENOUGH_S, fade, |_| 199.0)));
    // cut off a little above its end, where it slows down but is not there yet
    let soon = |t: f64| {
        let fade = 196.2 + 200.0 * (-t / 120.0).exp() + 7e5 * (-t / 20.0).exp();
        fade.round().max(200.0)
    };
    not_proven(
        &judged(&record(ENOUGH_S, soon, |_| 200.0)),
        "gauge_too_coarse",
    );
    // the same way down, cut off where it still falls
    let cut = |t: f64| fade(t).max(240.0);
    not_proven(
        &judged(&record(ENOUGH_S, cut, |_| 240.0)),
        "gauge_too_coarse",
    );
}
