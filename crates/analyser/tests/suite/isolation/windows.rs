//! What is said of the instant: its window, and what the verdict makes of it.

use super::*;

#[test]
fn a_window_reaches_one_reading_to_each_side_at_least_and_holds_the_truth() {
    for interval_s in [0.5, 2.0, 10.0, 30.0] {
        let gauge = Gauge { interval_s, ..GOOD };
        let mut held = 0;
        for seed in 0..SEEDS {
            let found = judged(&gauge.reads(seed, SHUT_S + 1_800.0, shut(leak(25.0))));
            let hold = hold(&found);
            let window = hold.isolated_window_s;
            // readings closer than a second are summed up to a second
            let least = interval_s.max(1.0) - 0.02;
            assert!(hold.isolated_at_s - window.low_s >= least, "{window:?}");
            assert!(window.high_s - hold.isolated_at_s >= least, "{window:?}");
            assert!(
                window.length_s() <= (7.0 * interval_s).max(40.0),
                "{window:?}"
            );
            held += u64::from(window.holds(SHUT_S));
        }
        assert!(held >= SEEDS - 1, "{interval_s} s: {held}");
    }
}

/// Half a micron a minute, seen once a minute through noise of one: nobody knows when
/// that began, and the window says so.
#[test]
fn a_rise_that_cannot_be_placed_has_a_wide_window() {
    let gauge = Gauge {
        interval_s: 60.0,
        relative_noise: 0.005,
        correlation: 0.0,
        ..GOOD
    };
    let before = |t: f64| 200.0 + 756_000.0 * (-t / 60.0).exp();
    let truth = |t: f64| before(t) + 0.025 * (t - 2_400.0).max(0.0);
    let (mut found, mut held) = (0, 0);
    for seed in 0..3 * SEEDS {
        let judged = judged(&gauge.reads(seed, 6_000.0, truth));
        let Some(hold) = judged.judged_hold() else {
            continue;
        };
        found += 1;
        held += u64::from(hold.isolated_window_s.holds(2_400.0));
        assert!(hold.isolated_window_s.length_s() >= 120.0, "seed {seed}");
    }
    assert!(
        found >= 2 * SEEDS && 10 * held >= 9 * found,
        "{held} of {found}"
    );
}

#[test]
fn what_is_stamped_or_given_is_good_to_its_stamp() {
    let entries = GOOD.reads(1, SHUT_S + 1_200.0, shut(leak(25.0)));
    let mut marked = entries.clone();
    marked.push(crate::scene::mark(900.4, vacuum::MarkKind::PumpSideShut));
    marked.sort_by(|a, b| a.elapsed_s().total_cmp(&b.elapsed_s()));
    let given = analyser::Settings {
        isolated_at_s: Some(900.7),
        ..analyser::Settings::default()
    };
    let exact = analyser::TimeRange::at;
    assert_eq!(hold(&judged(&marked)).isolated_window_s, exact(900.4));
    let found = crate::judge(&entries, &given);
    assert_eq!(hold(&found).isolated_window_s, exact(900.7));
    let from_start = judged(&GOOD.reads(1, 1_500.0, |t| 200.0 + t / 3.0));
    assert_eq!(hold(&from_start).isolated_window_s, exact(0.0));
}

/// Ten minutes have to lie behind the latest instant the valve can have been shut.
#[test]
fn a_hold_is_judged_from_the_later_end_of_the_window() {
    let gauge = Gauge {
        interval_s: 10.0,
        ..GOOD
    };
    for seed in 0..SEEDS {
        let run = |held_s: f64| judged(&gauge.reads(seed, SHUT_S + held_s, shut(leak(8.0))));
        let (short, long) = (run(600.0), run(700.0));
        let left_s = |f: &Findings| hold(f).end_s - hold(f).isolated_window_s.high_s;
        // at most a reading and what clocks are rounded by is passed over
        let too_short = |f: &Findings| left_s(f) < 600.0 - 12.0;
        for found in [&short, &long] {
            let said = reasons(found).contains(&"hold_too_short");
            assert_eq!(said, too_short(found), "seed {seed}: {}", left_s(found));
        }
        assert!(too_short(&short) && !too_short(&long), "seed {seed}");
    }
}

/// The pump holds its floor for five minutes before a slow rise: the end of the fall
/// is no isolation, however much it looks like the beginning of something.
#[test]
fn a_slow_rise_after_a_long_level_does_not_begin_with_the_level() {
    let floor = |t: f64| 100.0 + 756_000.0 * (-t / 55.0).exp();
    let truth = |t: f64| floor(t) + 0.03 * (t - SHUT_S).max(0.0);
    let gauge = Gauge {
        relative_noise: 0.02,
        correlation: 0.0,
        ..GOOD
    };
    let mut held = 0;
    for seed in 0..SEEDS {
        let found = judged(&gauge.reads(seed, SHUT_S + 1_200.0, truth));
        held += u64::from(hold(&found).isolated_window_s.holds(SHUT_S));
    }
    assert!(held >= SEEDS - 1, "{held}");
}
