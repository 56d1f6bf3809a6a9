//! The unit, the order of work and the criteria.

use super::*;

fn starting_at(first: f64, settings: &Settings) -> Findings {
    let pull = move |t: f64| {
        let fall = (first - 200.0) * (-t / 60.0).exp();
        (2.0 * (200.0 + fall)).round() / 2.0
    };
    judge(&record(ENOUGH_S + 60.0, pull, sound), settings)
}

#[test]
fn a_record_that_begins_like_the_air_in_another_unit_is_asked_back() {
    for (first, unit) in [
        (1_013.0, PressureUnit::Millibar),
        (101_325.0, PressureUnit::Pascal),
        (760.0, PressureUnit::Torr),
    ] {
        let found = starting_at(first, &Settings::default());
        not_proven(&found, "unit_doubtful");
        let likely = found.findings.iter().find_map(|f| match f.statement {
            Statement::UnitDoubtful { likely, .. } => likely,
            _ => None,
        });
        assert_eq!(likely, Some(unit));
        let checked = Settings {
            unit_checked: true,
            ..Settings::default()
        };
        passes(&starting_at(first, &checked));
    }
    for first in [760_000.0, 25_000.0, 5_000.0, 1_500.0] {
        passes(&starting_at(first, &Settings::default()));
    }
}

/// A gauge that was over range knows more of the air outside than a chance number: its
/// first reading lies at the top of its range, here 100,000 micron.
#[test]
fn the_first_reading_below_the_top_of_the_range_is_not_the_air_outside() {
    let over = |from: u32, to: u32| -> Vec<Entry> {
        let at = |s| sensed(f64::from(s), Sensed::Over(None));
        (from..to).map(at).collect()
    };
    let warming_up: Vec<Entry> = (0..4)
        .map(|s| sensed(f64::from(s), Sensed::Fault))
        .collect();
    // 99,860 micron 45 s after the pump was switched on
    let fall = |t: f64| (200.0 + 99_660.0 * (-(t - 45.0).max(0.0) / 60.0).exp()).round();
    let mut readings = record(ENOUGH_S + 60.0, fall, sound);
    readings.retain(|e| e.elapsed_s() >= 45.0);
    not_proven(&judged(&readings), "unit_doubtful");
    passes(&judged(&with(&readings, &over(0, 45))));
    let warmed = with(&warming_up, &over(4, 45));
    passes(&judged(&with(&readings, &warmed)));
}

/// 29.9 and 14.7 read as micron: the whole record lies below the target.
#[test]
fn inches_and_psi_read_as_micron_are_asked_back() {
    for first in [29.9, 14.7] {
        let pull = move |t: f64| 0.1 + first * (-t / 200.0).exp();
        let entries = record(ENOUGH_S, pull, |t| 0.4 + 0.1 * flickering(t, 1.0));
        let found = judged(&entries);
        assert_eq!(found.verdict, Verdict::NotProven);
        assert!(
            found.reasons.contains(&Reason::UnitDoubtful),
            "{:?}",
            found.reasons
        );
    }
}

#[test]
fn a_level_that_no_pump_reaches_is_asked_back() {
    // 0.9 Torr, taken for 0.9 micron, by a record that begins in the pull-down
    let low = |t: f64| 0.9 + 0.001 * flickering(t, 0.0);
    let entries = record(ENOUGH_S, |t| 0.8 + 15.0 * (-t / 60.0).exp(), low);
    let found = judged(&entries);
    assert!(
        found.reasons.contains(&Reason::UnitDoubtful),
        "{:?}",
        found.reasons
    );
    assert_eq!(found.verdict, Verdict::NotProven);
}

#[test]
fn an_assumed_unit_is_said() {
    for basis in [UnitBasis::Dialect, UnitBasis::Option] {
        let unit = RecordUnit {
            unit: PressureUnit::Micron,
            basis,
        };
        let settings = Settings {
            record_unit: Some(unit),
            ..Settings::default()
        };
        let found = judge(&record(ENOUGH_S, pulling, sound), &settings);
        passes(&found);
        assert!(said(&found, "unit_assumed"));
        assert_eq!(found.data.unit, Some(unit));
        // at 2,000 m: 795 mbar
        let settings = Settings { ..settings };
        not_proven(&starting_at(820.0, &settings), "unit_doubtful");
    }
}

fn manifold(at_s: f64, open: Option<bool>) -> Findings {
    let entries = record(ENOUGH_S + 60.0, pulling, sound);
    let entries = with(&entries, &[noted(at_s, Mark::MANIFOLD_SHUT)]);
    let settings = Settings {
        gauge_open_to_system: open,
        ..Settings::default()
    };
    judge(&entries, &settings)
}

#[test]
fn a_gauge_that_the_manifold_cut_off_proves_nothing() {
    for at_s in [SHUT_S - 10.0, SHUT_S, SHUT_S + 20.0, ENOUGH_S - 1.0] {
        for open in [None, Some(false)] {
            let found = manifold(at_s, open);
            not_proven(&found, "gauge_shut_off");
            assert!(said(&found, "gauge_shut_off"));
        }
        passes(&manifold(at_s, Some(true)));
    }
    // when the hold was long enough already, it is proven
    passes(&manifold(ENOUGH_S, None));
    passes(&manifold(ENOUGH_S + 30.0, Some(false)));
}

#[test]
fn the_manifold_counts_from_the_last_opening_and_unless_taken_back() {
    let entries = record(ENOUGH_S + 60.0, pulling, sound);
    let shut = noted(100.0, Mark::MANIFOLD_SHUT);
    let opened = mark(200.0, MarkKind::ValveOpened);
    passes(&judged(&with(&entries, &[shut.clone(), opened])));
    not_proven(
        &judged(&with(&entries, std::slice::from_ref(&shut))),
        "gauge_shut_off",
    );
    let Entry::Mark(wrong) = &shut else {
        unreachable!("a mark");
    };
    let withdrawal = Entry::Mark(wrong.withdrawal(150.0));
    passes(&judged(&with(&entries, &[shut.clone(), withdrawal])));
    // as a foreign table writes it
    let foreign = with(&entries, &[noted(SHUT_S - 5.0, "Manifold_shut")]);
    not_proven(&judged(&foreign), "gauge_shut_off");
}

#[test]
fn a_pump_stopped_before_its_valve_proves_nothing() {
    let entries: Vec<Entry> = record(ENOUGH_S + 60.0, pulling, sound)
        .into_iter()
        .filter(|e| !matches!(e, Entry::Mark(m) if m.kind == MarkKind::PumpStopped))
        .collect();
    let early = with(&entries, &[mark(SHUT_S - 20.0, MarkKind::PumpStopped)]);
    not_proven(&judged(&early), "pump_open_at_stop");
    passes(&judged(&with(
        &entries,
        &[mark(SHUT_S + 5.0, MarkKind::PumpStopped)],
    )));
}

#[test]
fn one_side_evacuated_is_said_and_no_leak_is_blamed() {
    let settings = |sides| Settings {
        access_sides: sides,
        ..Settings::default()
    };
    let leak = Scene::leaking(3, 12.0).entries();
    let one = judge(&leak, &settings(Some(AccessSides::One)));
    assert!(said(&one, "one_side_evacuated"));
    assert_eq!(
        one.judged_hold().unwrap().rise.kind,
        analyser::RiseKind::Unclear
    );
    let both = judge(&leak, &settings(Some(AccessSides::Both)));
    assert!(!said(&both, "one_side_evacuated"));
    assert_eq!(
        both.judged_hold().unwrap().rise.kind,
        analyser::RiseKind::Leak
    );
}

#[test]
fn criteria_softer_than_common_practice_are_said() {
    let common = Criteria::common_practice;
    let with = |criteria: Criteria| {
        let settings = Settings {
            criteria,
            ..Settings::default()
        };
        said(
            &judge(&record(ENOUGH_S, pulling, sound), &settings),
            "criteria_softer",
        )
    };
    let soft = [
        Criteria {
            target_micron: 501.0,
            ceiling_micron: 501.0,
            ..common()
        },
        Criteria {
            ceiling_micron: 501.0,
            ..common()
        },
        Criteria {
            hold_min: 9.9,
            ..common()
        },
    ];
    for criteria in soft {
        assert!(with(criteria.clone()), "{criteria:?}");
    }
    // the stage of 2,000 micron is one, and comes from a published text all the same
    let stage = Criteria::two_thousand_twice();
    for criteria in Criteria::profiles() {
        assert_eq!(with(criteria.clone()), criteria == stage, "{criteria:?}");
    }
}

/// Ice at −25 °C stands at 474.6 micron (IAPWS R14-08), below the ceiling of 500.
#[test]
fn a_hold_at_the_level_of_ice_is_not_a_plain_pass() {
    let entries = record(ENOUGH_S + 60.0, pulling, |t| {
        flickering(t, 474.0 - 270.0 * (-(t - SHUT_S) / 60.0).exp())
    });
    let settings = |coldest_part_c| Settings {
        coldest_part_c,
        ..Settings::default()
    };
    let iced = judge(&entries, &settings(Some(-25.0)));
    assert_eq!(iced.verdict, Verdict::NotProven, "{:?}", iced.reasons);
    assert!(iced.reasons.contains(&Reason::IcePossible));
    assert_eq!(judge(&entries, &settings(Some(5.0))).verdict, Verdict::Pass);
}
