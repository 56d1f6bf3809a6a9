use vacuum::Language;

use super::*;

fn ids(inside: Inside, act: RiskyAct) -> Vec<&'static str> {
    rows_at(inside, &[act]).map(|row| row.id).collect()
}

const BURNS: &str = "R-600a";
const DOES_NOT: &str = "R-134a";

/// What has to be said where: written from the trade's list of accidents, not from the
/// table. A flammable refrigerant is named at every act.
#[test]
fn every_act_has_its_cautions() {
    let wanted: [(RiskyAct, &str, &[&str]); 17] = [
        // a thermostat or a defrost timer starts the compressor
        (
            Start,
            DOES_NOT,
            &["caution-unplug", "caution-capacitors", "caution-gauge-off"],
        ),
        (
            PullDown,
            DOES_NOT,
            &["caution-unplug", "caution-compressor"],
        ),
        (Hold, DOES_NOT, &["caution-unplug", "caution-compressor"]),
        (
            OpenSystem,
            BURNS,
            &[
                "caution-open-flammable",
                "caution-recover",
                "caution-ventilate",
            ],
        ),
        (Repair, BURNS, &["caution-open-flammable"]),
        (
            Repair,
            DOES_NOT,
            &[
                "caution-cut-out",
                "caution-braze-pressure",
                "caution-nitrogen",
            ],
        ),
        (
            OpenValve,
            DOES_NOT,
            &["caution-open-slowly", "caution-compressor"],
        ),
        (Heat, DOES_NOT, &["caution-heat"]),
        (GasBallast, DOES_NOT, &["caution-ballast"]),
        (
            NitrogenBreak,
            DOES_NOT,
            &[
                "caution-nitrogen",
                "caution-break-limit",
                "caution-gauge-off",
            ],
        ),
        (
            PressureTest,
            DOES_NOT,
            &[
                "caution-nitrogen",
                "caution-test-pressure",
                "caution-gauge-off",
            ],
        ),
        (Charge, BURNS, &["caution-earth", "caution-gauge-off"]),
        (
            Charge,
            DOES_NOT,
            &["caution-gauge-off", "caution-protection"],
        ),
        (
            Charge,
            "R-744",
            &["caution-r744", "caution-pressure", "caution-gauge-off"],
        ),
        (PinchOff, BURNS, &["caution-pinch-off"]),
        (PinchOff, DOES_NOT, &["caution-pinch-off"]),
        (Isolate, DOES_NOT, &["caution-compressor"]),
    ];
    for (act, refrigerant, cautions) in wanted {
        let said = ids(Inside::typed(Some(refrigerant)), act);
        for caution in cautions {
            assert!(said.contains(caution), "{act:?}, {refrigerant}: {caution}");
        }
    }
    for act in RiskyAct::ALL {
        assert_eq!(ids(Inside::typed(Some(BURNS)), act)[0], "caution-flammable");
        assert_eq!(ids(Inside::typed(None), act)[0], "caution-not-known");
        assert_eq!(
            ids(Inside::typed(Some("stuff")), act)[0],
            "caution-not-known"
        );
        let other = ids(Inside::typed(Some(DOES_NOT)), act);
        assert!(!other.is_empty(), "{act:?}");
        for only in [
            "caution-flammable",
            "caution-earth",
            "caution-open-flammable",
            "caution-r744",
        ] {
            assert!(!other.contains(&only), "{act:?}: {only}");
        }
    }
}

#[test]
fn every_caution_is_said_in_every_language() {
    let inside = ["R-600a", "R-744", "R-123"].map(|r| Inside::typed(Some(r)));
    let said = |language| -> Vec<String> {
        let voice = Voice {
            language,
            ..Voice::default()
        };
        let all = inside.into_iter().chain([Inside::typed(None)]);
        all.flat_map(|i| {
            let brief = gravest_at(&voice, i, &RiskyAct::ALL);
            cautions_at(&voice, i, &RiskyAct::ALL)
                .into_iter()
                .chain(brief)
        })
        .collect()
    };
    let english = said(Language::English);
    for id in ROWS.iter().map(|row| row.id) {
        let all = inside.into_iter().chain([Inside::typed(None)]);
        assert!(
            all.into_iter()
                .any(|i| rows_at(i, &RiskyAct::ALL).any(|r| r.id == id)),
            "{id}"
        );
    }
    for language in Language::ALL {
        let own = said(language);
        assert_eq!(own.len(), english.len());
        for (own, english) in own.iter().zip(&english) {
            assert!(
                own.ends_with('.') && own.starts_with(char::is_uppercase),
                "{own}"
            );
            assert!(language == Language::English || own != english, "{own}");
        }
    }
}

#[test]
fn the_gravest_comes_first_and_has_room_on_the_smallest_screen() {
    for act in RiskyAct::ALL {
        let gravities: Vec<Gravity> = rows_at(Inside::default(), &[act])
            .map(|row| row.gravity)
            .collect();
        assert!(gravities.is_sorted(), "{act:?}: {gravities:?}");
    }
    for language in Language::ALL {
        let voice = Voice {
            language,
            ..Voice::default()
        };
        for act in RiskyAct::ALL {
            for refrigerant in [None, Some("R-600a"), Some("R-1234ze(E)")] {
                let inside = Inside::typed(refrigerant);
                let brief = gravest_at(&voice, inside, &[act]).expect("one");
                // three lines of 58 columns, with "Caution: " before it
                assert!(
                    brief.chars().count() <= 150,
                    "{act:?} {language:?}: {brief}"
                );
            }
        }
    }
    let first = |refrigerant, act| {
        gravest_at(&Voice::default(), Inside::typed(Some(refrigerant)), &[act]).expect("one")
    };
    assert!(first(BURNS, Hold).starts_with("R-600a burns"));
    assert!(first(DOES_NOT, Hold).contains("compressor"));
    assert!(first(DOES_NOT, NitrogenBreak).contains("regulator"));
}

/// Hermetic compressor in the system: 150 psi gauge, UFGS 15730N §3.8.1; 150 psi are
/// 10.34 bar (6,894.757293 Pa a psi, NIST SP 811).
#[test]
fn the_limit_of_the_test_pressure_is_that_of_the_guide() {
    assert!((150.0 * 6_894.757_293 / 1e5_f64 - 10.34).abs() < 0.005);
    for language in Language::ALL {
        let voice = Voice {
            language,
            ..Voice::default()
        };
        let said = cautions_at(&voice, Inside::default(), &[PressureTest]).join("\n");
        assert!(said.contains("150 psi") && said.contains("10"), "{said}");
    }
}

/// The first thing that the README says is what the program says at each act.
#[test]
fn the_readme_names_every_caution_in_the_same_words() {
    let readme = include_str!("../../../../README.md").replace("**", "");
    // said of one refrigerant, with its own name and pressure
    let own = ["caution-not-known", "caution-toxic", "caution-pressure"];
    for id in ROWS.iter().map(|row| row.id).filter(|id| !own.contains(id)) {
        let said = Inside::typed(Some("R-600a")).say(&Voice::default(), id);
        let said = match said.split_once("(safety group A3)") {
            Some((_, rest)) => rest.to_owned(),
            None => said,
        };
        assert!(readme.contains(&said), "{id}: {said}");
    }
}
