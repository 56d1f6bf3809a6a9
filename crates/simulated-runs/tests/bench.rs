//! The family of the plant: reproducible, in order and wide.

use rehearsal::{Expected, ExpectedRise, ExpectedStall};
use simulated_runs::bench_case;
use vacuum::Entry;

#[test]
fn the_same_seed_gives_the_same_run() {
    for seed in [0, 7, 123_456_789] {
        assert_eq!(bench_case(seed), bench_case(seed));
    }
    assert_ne!(bench_case(1).entries, bench_case(2).entries);
}

#[test]
fn time_only_goes_forward() {
    for seed in 0..60 {
        let case = bench_case(seed);
        let times: Vec<f64> = case.entries.iter().map(Entry::elapsed_s).collect();
        assert!(times.windows(2).all(|w| w[0] <= w[1]), "seed {seed}");
        assert!(times[0] >= 0.0);
        assert!(*times.last().unwrap() <= case.truth.end_s + 5.0);
    }
}

#[test]
fn the_family_is_wide() {
    let cases: Vec<_> = (0..250).map(bench_case).collect();
    let share = |f: &dyn Fn(&simulated_runs::Case) -> bool| {
        cases.iter().filter(|c| f(c)).count() as f64 / cases.len() as f64
    };
    for verdict in [Expected::Pass, Expected::Fail, Expected::NotProven] {
        assert!(share(&|c| c.truth.verdict == verdict) > 0.08, "{verdict:?}");
    }
    for rise in [
        ExpectedRise::None,
        ExpectedRise::Leak,
        ExpectedRise::Moisture,
        ExpectedRise::LeakAndMoisture,
    ] {
        assert!(share(&|c| c.truth.rise == Some(rise)) > 0.05, "{rise:?}");
    }
    for kind in [
        ExpectedStall::Foaming,
        ExpectedStall::BoilOff,
        ExpectedStall::Floor,
        ExpectedStall::Choked,
    ] {
        assert!(
            share(&|c| c.truth.stalls.iter().any(|s| s.kind == kind)) > 0.01,
            "{kind:?}"
        );
    }
    assert!(share(&|c| c.hints.marks_present) > 0.2);
    assert!(share(&|c| !c.hints.marks_present) > 0.2);
    assert!(share(&|c| !c.truth.isolation_visible && c.truth.isolation_s.is_some()) > 0.02);
    assert!(share(&|c| c.truth.one_sided) > 0.01);
    assert!(share(&|c| c.truth.isolations_s.len() > 1) > 0.02);
}
