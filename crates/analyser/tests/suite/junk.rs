//! Anything at all goes in; what comes out is finite, ordered, and no panic.

use analyser::{Analyser, Estimate, Findings, Live, Settings};
use proptest::prelude::*;
use vacuum::{
    AccessSides, Criteria, Entry, FurtherCriteria, GaugePrinciple, MarkKind, Pressure, Reading,
    Refrigerant, RoundCriteria, Sensed, Steady,
};

use crate::scene::{Noise, mark, reading, sensed};

/// Words of the debug form that are not finite numbers.
fn not_finite(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric())
        .any(|word| word == "NaN" || word == "inf")
}

#[test]
fn the_check_for_finite_numbers_can_complain() {
    for text in ["value: NaN", "Some(inf)", "[1.0, -inf]"] {
        assert!(not_finite(text), "{text}");
    }
    assert!(!not_finite("value: 1.5e-7, text: \"infinite information\""));
}

fn check_estimate(what: &str, e: Option<Estimate>) {
    if let Some(e) = e {
        assert!(e.low <= e.value && e.value <= e.high, "{what}: {e:?}");
    }
}

fn check_findings(findings: &Findings) {
    let text = format!("{findings:?}");
    assert!(!not_finite(&text), "not finite: {text}");
    assert_eq!(
        findings.data.rows,
        findings.data.used + findings.data.rejected
    );
    for (i, pair) in findings.rounds.windows(2).enumerate() {
        let end = |r: &analyser::Round| r.hold.as_ref().map(|h| h.end_s);
        let (a, b) = (end(&pair[0]), end(&pair[1]));
        assert!(
            a.zip(b).is_none_or(|(a, b)| a <= b),
            "rounds {i}: {a:?} {b:?}"
        );
    }
    for hold in findings.rounds.iter().filter_map(|r| r.hold.as_ref()) {
        assert!(hold.isolated_at_s <= hold.end_s, "{hold:?}");
        assert!(hold.duration_s >= 0.0, "{hold:?}");
        let rise = &hold.rise;
        check_estimate("leak", rise.leak_micron_per_min);
        check_estimate("plateau", rise.plateau_micron);
        check_estimate("tau", rise.tau_s);
        check_estimate("throughput", hold.leak.map(|l| l.pa_m3_per_s));
        check_estimate("grams", hold.leak.and_then(|l| l.g_per_year));
        for share in [rise.confidence, rise.leak_probability] {
            assert!(share.is_none_or(|p| (0.0..=1.0).contains(&p)), "{rise:?}");
        }
        assert!(
            rise.detection_limit_micron_per_min.is_none_or(|l| l >= 0.0),
            "{rise:?}"
        );
    }
    for stall in findings
        .rounds
        .iter()
        .filter_map(|r| r.pulldown.as_ref())
        .flat_map(|p| &p.stalls)
    {
        assert!(stall.start_s <= stall.end_s, "{stall:?}");
    }
}

fn check_live(live: &Live) {
    check_findings(&live.findings);
    let rest = Live {
        findings: live.findings.clone(),
        ..live.clone()
    };
    assert!(!not_finite(&format!("{rest:?}")), "not finite: {rest:?}");
}

fn check(entries: &[Entry], settings: &Settings) {
    let mut analyser = Analyser::new(settings.clone());
    for (i, entry) in entries.iter().enumerate() {
        analyser.push(entry);
        if i + 1 == entries.len() / 2 {
            check_live(&analyser.live());
        }
    }
    check_findings(&analyser.findings());
    check_live(&analyser.live());
}

/// Everything known, and nothing known.
fn both_settings() -> [Settings; 2] {
    [
        Settings::default(),
        Settings {
            criteria: Criteria {
                further: FurtherCriteria {
                    pump_on_min: Some(5.0),
                    greatest_rise_micron: Some(50.0),
                    steady: Some(Steady {
                        last_min: 5.0,
                        within_micron: 10.0,
                    }),
                    repeat_above_micron: Some(400.0),
                    earlier_rounds: vec![RoundCriteria::to(1_000.0)],
                    both_sides: true,
                    ambient_above_c: Some(2.0),
                },
                ..Criteria::facilities_one_hour()
            },
            ambient_c: Some(21.0),
            coldest_part_c: Some(-25.0),
            volume_l: Some(4.0),
            isolated_at_s: Some(300.0),
            refrigerant: Refrigerant::named("R-600a"),
            access_sides: Some(AccessSides::One),
            charge_g: Some(60.0),
            gauge_open_to_system: Some(false),
            gauge_principle: Some(GaugePrinciple::Thermal),
            record_unit: None,
            unit_checked: false,
        },
    ]
}

fn check_both(entries: &[Entry]) {
    for settings in both_settings() {
        check(entries, &settings);
    }
}

const SHUT: MarkKind = MarkKind::PumpSideShut;

/// `count` readings of `micron(i)` every second, shut after a third.
fn series(count: u32, micron: impl Fn(u32) -> f64) -> Vec<Entry> {
    let mut out: Vec<Entry> = (0..count)
        .map(|i| reading(f64::from(i), micron(i)))
        .collect();
    out.insert(out.len() / 3, mark(f64::from(count / 3), SHUT));
    out
}

#[test]
fn constants_and_extremes() {
    for value in [0.0, 1e-9, 1.0, 300.0, 760_000.0, 7e7] {
        check_both(&series(900, |_| value));
        check_both(&series(12, |_| value));
    }
    check_both(&series(900, |i| if i < 300 { 7e7 } else { 0.0 }));
    check_both(&series(900, |i| if i < 300 { 0.0 } else { 7e7 }));
    check_both(&series(900, |i| if i % 2 == 0 { 0.0 } else { 7e7 }));
    check_both(&series(900, |i| if i == 600 { 7e7 } else { 200.0 }));
    check_both(&series(900, |i| 1e-6 * f64::from(i)));
}

#[test]
fn hardly_any_readings() {
    check_both(&[]);
    for count in 1..16 {
        let readings: Vec<Entry> = (0..count).map(|i| reading(f64::from(i), 250.0)).collect();
        check_both(&readings);
        for kind in MarkKind::ALL {
            for at in [0, readings.len() / 2, readings.len()] {
                let mut entries = readings.clone();
                entries.insert(at, mark(at as f64, kind));
                check_both(&entries);
            }
        }
    }
    for kind in MarkKind::ALL {
        check_both(&[mark(5.0, kind)]);
        check_both(&[mark(5.0, kind), mark(5.0, SHUT), mark(5.0, kind)]);
    }
}

#[test]
fn equal_time_stamps() {
    let mut noise = Noise::new(3);
    let all_at_once: Vec<Entry> = (0..500)
        .map(|_| reading(10.0, 200.0 + noise.normal()))
        .collect();
    check_both(&all_at_once);
    let mut with_mark = all_at_once;
    with_mark.insert(100, mark(10.0, SHUT));
    check_both(&with_mark);
    // a clock that stands still for a minute at a time
    let steps: Vec<Entry> = (0..3_000)
        .map(|i| {
            reading(
                60.0 * f64::from(i / 60),
                5e4 * (-f64::from(i) / 200.0).exp() + 150.0,
            )
        })
        .collect();
    check_both(&steps);
}

#[test]
fn far_apart_and_very_late() {
    check_both(&series(40, |i| 200.0 + f64::from(i)));
    let days: Vec<Entry> = (0..300)
        .map(|i| reading(3_600.0 * f64::from(i), 200.0 + f64::from(i % 7)))
        .collect();
    check_both(&days);
    let late: Vec<Entry> = (0..900)
        .map(|i| reading(1e12 + f64::from(i), 300.0 + f64::from(i % 5)))
        .collect();
    check_both(&late);
    let sudden = [
        reading(0.0, 1e5),
        reading(1e15, 200.0),
        reading(1e15, 200.0),
    ];
    check_both(&sudden);
}

#[test]
fn only_states_and_no_pressure() {
    let p = Pressure::from_micron(20_000.0).ok();
    for state in [
        Sensed::Fault,
        Sensed::Gap,
        Sensed::Over(None),
        Sensed::Over(p),
        Sensed::Under(None),
        Sensed::Under(p),
    ] {
        let mut entries: Vec<Entry> = (0..400).map(|i| sensed(f64::from(i), state)).collect();
        check_both(&entries);
        entries.insert(200, mark(200.0, SHUT));
        check_both(&entries);
        entries.insert(0, reading(0.0, 300.0));
        check_both(&entries);
        entries.extend((400..800).map(|i| reading(f64::from(i), 300.0)));
        check_both(&entries);
    }
}

/// A thermometer that fails or runs away.
#[test]
fn wild_temperatures() {
    for celsius in [-273.15, -300.0, 1e9, f64::NAN, f64::INFINITY] {
        let entries: Vec<Entry> = (0..900)
            .map(|i| {
                let p = Pressure::from_micron(200.0 + 0.1 * f64::from(i)).unwrap();
                let mut r = Reading::measured(f64::from(i), p);
                r.temperature_c = Some(if i % 3 == 0 { 20.0 } else { celsius });
                Entry::Reading(r)
            })
            .collect();
        let settings = Settings {
            isolated_at_s: Some(100.0),
            ..Settings::default()
        };
        check(&entries, &settings);
    }
}

/// One step of a random record.
#[derive(Debug, Clone)]
enum Step {
    Walk {
        seconds: f64,
        factor: f64,
        count: u16,
    },
    Jump(f64),
    Pause(f64),
    State(u8, u16),
    Mark(usize),
}

fn step() -> impl Strategy<Value = Step> {
    let seconds = prop_oneof![Just(0.0), Just(1.0), Just(0.1), 0.001..30.0_f64];
    prop_oneof![
        4 => (seconds, -0.2..0.2_f64, 1_u16..300)
            .prop_map(|(seconds, factor, count)| Step::Walk { seconds, factor, count }),
        1 => (-3.0..8.0_f64).prop_map(|e| Step::Jump(10_f64.powf(e))),
        1 => (0.0..5_000.0_f64).prop_map(Step::Pause),
        1 => (0_u8..5, 1_u16..80).prop_map(|(s, n)| Step::State(s, n)),
        2 => (0..MarkKind::ALL.len()).prop_map(Step::Mark),
    ]
}

fn record(seed: u64, steps: &[Step]) -> Vec<Entry> {
    let mut noise = Noise::new(seed);
    let (mut t, mut p) = (0.0, 760_000.0_f64);
    let mut out = Vec::new();
    for step in steps {
        match *step {
            Step::Walk {
                seconds,
                factor,
                count,
            } => {
                for _ in 0..count {
                    t += seconds;
                    p *= (factor * noise.normal()).exp();
                    p = p.clamp(0.0, 7e7);
                    out.push(reading(t, p));
                }
            }
            Step::Jump(to) => p = to.min(7e7),
            Step::Pause(seconds) => t += seconds,
            Step::State(which, count) => {
                let bound = Pressure::from_micron(p).ok().filter(|_| which % 2 == 0);
                let state = match which {
                    0 | 1 => Sensed::Over(bound),
                    2 => Sensed::Under(bound),
                    3 => Sensed::Fault,
                    _ => Sensed::Gap,
                };
                for _ in 0..count {
                    t += 1.0;
                    out.push(sensed(t, state));
                }
            }
            Step::Mark(which) => out.push(mark(t, MarkKind::ALL[which])),
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 250,
        rng_seed: proptest::test_runner::RngSeed::Fixed(7),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_record_gets_finite_findings(
        seed in any::<u64>(),
        steps in prop::collection::vec(step(), 1..14),
    ) {
        check_both(&record(seed, &steps));
    }
}
