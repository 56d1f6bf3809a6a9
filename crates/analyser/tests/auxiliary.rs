//! A second gauge beside the judged one: what is said of the two, against closed
//! formulas and published conductances.
#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use analyser::{Analyser, AuxiliaryFindings, FarSide, Findings, Settings, Statement};
use vacuum::{Mark, MarkKind, Pressure, Reading, ReadingState, Sensed, flow};

/// A gauge's rows.
type Rows = Vec<Reading>;

fn row(t: f64, micron: f64) -> Reading {
    Reading::measured(t, Pressure::from_micron(micron).unwrap())
}

fn rows(from_s: f64, to_s: f64, every_s: f64, micron: impl Fn(f64) -> f64) -> Rows {
    let count = ((to_s - from_s) / every_s).round() as u32;
    let at = |i| from_s + every_s * f64::from(i);
    (0..count).map(|i| row(at(i), micron(at(i)))).collect()
}

const SHUT_S: f64 = 2_000.0;
const END_S: f64 = 2_900.0;

/// Compares a gauge at `place` with the judged one.
fn judged_at(place: &str, far: &Rows, other: &Rows, marks: &[(f64, MarkKind)]) -> Findings {
    let mut analyser = Analyser::new(Settings::default());
    let mut marks = marks.iter().peekable();
    for reading in far {
        while let Some((at_s, kind)) = marks.next_if(|(at_s, _)| *at_s <= reading.elapsed_s) {
            analyser.push_mark(&Mark {
                elapsed_s: *at_s,
                kind: *kind,
                note: String::new(),
            });
        }
        analyser.push_reading(reading);
    }
    let mut beside = analyser.auxiliary("other", place);
    other.iter().for_each(|r| beside.push(r));
    let with = analyser.findings_with(&[beside]);
    // the other gauge changes nothing about what is judged
    let alone = analyser.findings();
    assert_eq!(
        (with.verdict, &with.reasons),
        (alone.verdict, &alone.reasons)
    );
    assert_eq!(with.rounds, alone.rounds);
    let own = |f: &Findings| {
        let known =
            |c: &str| ["far_side_lags", "gauges_disagree", "pump_side_rises_alone"].contains(&c);
        let all = f.findings.iter().filter(|x| !known(x.code()));
        all.cloned().collect::<Vec<_>>()
    };
    assert_eq!(own(&with), own(&alone));
    with
}

const SHUT: [(f64, MarkKind); 2] = [
    (SHUT_S, MarkKind::PumpSideShut),
    (SHUT_S + 20.0, MarkKind::PumpStopped),
];

fn judged(far: &Rows, other: &Rows) -> Findings {
    judged_at("pump side", far, other, &SHUT)
}

fn said<'a>(findings: &'a Findings, code: &str) -> Option<&'a Statement> {
    let mut all = findings.findings.iter().filter(|f| f.code() == code);
    all.next().map(|f| &f.statement)
}

fn only(findings: &Findings) -> &AuxiliaryFindings {
    assert_eq!(findings.auxiliary.len(), 1);
    &findings.auxiliary[0]
}

/// Pull-down to 300 micron, then a tight hold.
fn usual(t: f64) -> f64 {
    if t < SHUT_S {
        300.0 + 700_000.0 * (-t / 60.0).exp()
    } else {
        300.0
    }
}

fn near(value: f64, wanted: f64, share: f64) {
    assert!(
        (value / wanted - 1.0).abs() < share,
        "{value}, not {wanted}"
    );
}

/// A pump of 1 L/s behind a hose of 4.76 mm x 1.5 m at 500 micron: C = 0.0379 L/s
/// and S_eff = 0.0365 L/s (computed apart from this program from Knudsen's formula
/// for the tube and the series law), so the far gauge must stand 1/0.0365 = 27.4
/// times above the pump side, and the finding must say so.
#[test]
fn the_ratio_is_the_share_of_the_pump_speed() {
    const PUMP_L_PER_S: f64 = 1.0;
    const FAR_SPEED_L_PER_S: f64 = 0.0365;
    let hose = flow::Tube {
        diameter_mm: 4.76,
        length_m: 1.5,
    };
    let mean_pa = Pressure::from_micron(500.0).unwrap().pa();
    let c = hose.conductance_l_per_s(mean_pa);
    near(c, 0.0379, 0.01);
    // steady flow with the mean pressure in the hose at 500 micron
    let ratio = 1.0 + PUMP_L_PER_S / c;
    let pump = 1_000.0 / (1.0 + ratio);
    let far = rows(0.0, SHUT_S, 1.0, |t| {
        ratio * pump + 700_000.0 * (-t / 20.0).exp()
    });
    let other = rows(0.3, SHUT_S, 0.7, |t| pump + 700_000.0 * (-t / 10.0).exp());
    let findings = judged_at("pump side", &far, &other, &[]);
    let beside = only(&findings);
    let found = beside.at_isolation.unwrap().ratio();
    near(found, 1.0 / FAR_SPEED_L_PER_S, 0.02);
    near(PUMP_L_PER_S / found, FAR_SPEED_L_PER_S, 0.02);
    let lags = said(&findings, "far_side_lags").unwrap();
    let Statement::FarSideLags {
        ratio, far_side, ..
    } = lags
    else {
        panic!("{lags:?}")
    };
    near(*ratio, 27.4, 0.02);
    assert_eq!(*far_side, FarSide::Never);
}

#[test]
fn equal_times_are_found_between_readings() {
    // both fall at the same pace, so that the ratio is 5 at equal times and
    // anything else at the times of the rows
    let p = |t: f64| 600_000.0 * (-t / 150.0).exp();
    let far = rows(0.0, 1_800.0, 1.0, |t| 5.0 * p(t).max(60.0));
    for every_s in [0.05, 0.37, 1.0, 7.0] {
        let other = rows(0.2, 1_799.9, every_s, |t| p(t).max(60.0));
        let findings = judged_at("pump side", &far, &other, &[]);
        let apart = only(&findings).furthest_apart.unwrap();
        near(apart.ratio(), 5.0, 0.02);
        let at_target = only(&findings).at_target.unwrap();
        near(at_target.ratio(), 5.0, 0.02);
        near(at_target.far_micron, 500.0, 0.02);
    }
}

#[test]
fn a_good_hose_and_a_short_lag_are_not_reproached() {
    let far = rows(0.0, END_S, 1.0, usual);
    // twice the pressure at the far side all the way
    let half = rows(0.0, SHUT_S, 1.0, |t| 0.5 * usual(t));
    assert_eq!(said(&judged(&far, &half), "far_side_lags"), None);
    // ten times, but for less than five minutes above the target
    let tenth = rows(0.0, SHUT_S, 1.0, |t| {
        usual(t) * if t < 250.0 { 0.1 } else { 0.5 }
    });
    assert_eq!(said(&judged(&far, &tenth), "far_side_lags"), None);
    // at the target already, however far apart
    let deep = rows(600.0, SHUT_S, 1.0, |_| 20.0);
    assert_eq!(said(&judged(&far, &deep), "far_side_lags"), None);
}

/// Over range, faults and silence are no pressures: nothing is compared there.
#[test]
fn only_measurements_are_compared() {
    let far = rows(0.0, END_S, 1.0, usual);
    let silent = |from: f64, to: f64, sensed: Sensed| {
        let mut other = rows(0.0, SHUT_S, 1.0, |t| usual(t) / 30.0);
        for r in &mut other {
            if (from..to).contains(&r.elapsed_s) {
                r.sensed = sensed;
            }
        }
        other
    };
    let over = Pressure::from_micron(10.0).ok();
    for sensed in [
        Sensed::Over(over),
        Sensed::Under(over),
        Sensed::Fault,
        Sensed::Gap,
    ] {
        let findings = judged(&far, &silent(0.0, 1_950.0, sensed));
        let beside = only(&findings);
        assert_eq!(beside.at_target, None, "{sensed:?}");
        assert_eq!(said(&findings, "far_side_lags"), None);
        assert!(beside.furthest_apart.unwrap().at_s >= 1_950.0);
        near(beside.at_isolation.unwrap().ratio(), 30.0, 0.02);
    }
    // a hole without a row is no straight line either
    let mut holed = rows(0.0, SHUT_S, 1.0, |t| usual(t) / 30.0);
    holed.retain(|r| !(0.5..1_950.0).contains(&r.elapsed_s));
    assert_eq!(only(&judged(&far, &holed)).at_target, None);
    // nothing at all is no news
    let findings = judged(&far, &Vec::new());
    let beside = only(&findings);
    assert_eq!((beside.rows, beside.lowest_micron), (0, None));
    assert!(beside.at_isolation.is_none() && beside.hold.is_none());
}

#[test]
fn gauges_that_feel_one_volume_must_agree() {
    // flow holds them three times apart; at isolation they come together, and one
    // of them is wrong by `error`
    let far = rows(
        0.0,
        END_S,
        1.0,
        |t| if t < SHUT_S { usual(t) } else { 200.0 },
    );
    let other = |error: f64| {
        rows(0.0, END_S, 1.0, move |t| {
            error * if t < SHUT_S { usual(t) / 3.0 } else { 200.0 }
        })
    };
    for (error, disagrees) in [(1.0, false), (1.15, false), (1.45, true), (0.6, true)] {
        let findings = judged(&far, &other(error));
        let hold = only(&findings).hold.unwrap();
        assert_eq!(hold.same_volume, Some(true), "{error}");
        near(hold.start_micron, 200.0 * error, 0.01);
        let told = said(&findings, "gauges_disagree");
        assert_eq!(told.is_some(), disagrees, "{error}: {told:?}");
        if let Some(Statement::GaugesDisagree {
            far_micron,
            auxiliary_micron,
            ..
        }) = told
        {
            near(*far_micron, 200.0, 0.01);
            near(*auxiliary_micron, 200.0 * error, 0.01);
        }
    }
}

#[test]
fn a_common_rise_shows_one_volume() {
    let rise = |t: f64| 250.0 + 0.5 * (t - SHUT_S).max(0.0);
    let far = rows(0.0, END_S, 1.0, |t| usual(t).min(250_000.0).max(rise(t)));
    let other = rows(0.0, END_S, 2.0, |t| {
        usual(t).min(250_000.0).max(rise(t)) * 1.5
    });
    let findings = judged_at("evaporator", &far, &other, &SHUT[..1]);
    assert_eq!(only(&findings).hold.unwrap().same_volume, Some(true));
    let told = said(&findings, "gauges_disagree").unwrap();
    assert!(matches!(told, Statement::GaugesDisagree { place, .. } if place == "evaporator"));
}

/// Two flat levels may be one volume and a bad gauge, or two volumes: nobody can
/// tell, so nothing is said.
#[test]
fn two_flat_levels_are_no_disagreement() {
    let far = rows(0.0, END_S, 1.0, usual);
    let other = rows(0.0, END_S, 1.0, |t| usual(t) * 0.8);
    let findings = judged(&far, &other);
    assert_eq!(only(&findings).hold.unwrap().same_volume, None);
    assert_eq!(said(&findings, "gauges_disagree"), None);
}

#[test]
fn a_pump_side_that_rises_alone_is_named() {
    let far = rows(0.0, END_S, 1.0, usual);
    let leaking = |t: f64| {
        if t < SHUT_S {
            usual(t) / 5.0
        } else {
            60.0 + 20.0 * (t - SHUT_S - 30.0).max(0.0)
        }
    };
    let other = rows(0.0, END_S, 1.0, leaking);
    let findings = judged_at("pump side", &far, &other, &SHUT[..1]);
    assert_eq!(only(&findings).hold.unwrap().same_volume, Some(false));
    let Some(Statement::PumpSideRisesAlone {
        far_micron,
        pump_stopped: false,
        to_micron: Some(_),
        ..
    }) = said(&findings, "pump_side_rises_alone")
    else {
        panic!("{findings:?}")
    };
    near(*far_micron, 300.0, 0.01);
    // the same after the pump was stopped is what pumps do
    let findings = judged(&far, &other);
    let told = said(&findings, "pump_side_rises_alone").unwrap();
    assert!(
        matches!(
            told,
            Statement::PumpSideRisesAlone {
                pump_stopped: true,
                ..
            }
        ),
        "{told:?}"
    );
    // a gauge elsewhere in the system is not the pump side
    let elsewhere = judged_at("condenser", &far, &other, &SHUT);
    assert_eq!(said(&elsewhere, "pump_side_rises_alone"), None);
}

#[test]
fn a_pump_side_that_runs_over_its_range_is_named() {
    let far = rows(0.0, END_S, 1.0, usual);
    let mut other = rows(0.0, SHUT_S + 30.0, 1.0, |t| usual(t) / 5.0);
    for i in 0..800 {
        other.push(Reading {
            elapsed_s: SHUT_S + 30.0 + f64::from(i),
            sensed: Sensed::Over(Pressure::from_micron(20_000.0).ok()),
            temperature_c: None,
        });
    }
    assert_eq!(other[2_050].state(), ReadingState::Over);
    let findings = judged_at("pump side", &far, &other, &SHUT[..1]);
    let told = said(&findings, "pump_side_rises_alone").unwrap();
    assert!(
        matches!(
            told,
            Statement::PumpSideRisesAlone {
                to_micron: None,
                ..
            }
        ),
        "{told:?}"
    );
}

#[test]
fn a_pump_side_that_drops_or_rises_with_the_system_is_no_news() {
    let far = rows(0.0, END_S, 1.0, usual);
    let dropping = rows(0.0, END_S, 1.0, |t| {
        if t < SHUT_S { usual(t) / 2.0 } else { 40.0 }
    });
    let findings = judged(&far, &dropping);
    assert_eq!(said(&findings, "pump_side_rises_alone"), None);
    assert_eq!(said(&findings, "gauges_disagree"), None);
    let rise = |t: f64| usual(t) + 30.0 * (t - SHUT_S).max(0.0);
    let both = judged(&rows(0.0, END_S, 1.0, rise), &rows(0.0, END_S, 1.0, rise));
    assert_eq!(said(&both, "pump_side_rises_alone"), None);
}

/// Neither how fast the other gauge speaks nor how long the run is changes the
/// answer or fills the memory.
#[test]
fn a_thousand_readings_a_second_beside_one() {
    let far = rows(0.0, END_S, 1.0, usual);
    let slow = judged(&far, &rows(0.0, SHUT_S, 1.0, |t| usual(t) / 6.0));
    let fast = judged(&far, &rows(0.0, SHUT_S, 0.001, |t| usual(t) / 6.0));
    let (slow, fast) = (only(&slow), only(&fast));
    assert_eq!(fast.rows, 2_000_000);
    near(
        fast.at_isolation.unwrap().ratio(),
        slow.at_isolation.unwrap().ratio(),
        0.01,
    );
    near(
        fast.at_target.unwrap().ratio(),
        slow.at_target.unwrap().ratio(),
        0.02,
    );
}
