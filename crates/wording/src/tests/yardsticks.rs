//! Figures beside what they are to be measured by.

use findings::OperatingLoss;
use vacuum::{GaugePrinciple, Language, Refrigerant};

use crate::{Voice, leak_sentence, water_sentence};

fn findings(name: &str) -> findings::Findings {
    let mut runs = invented_runs::runs().into_iter();
    runs.find(|r| r.name == name).unwrap().findings
}

/// R-600a at −25 °C stands at 58 kPa (CoolProp 8.0.0: 58.43 kPa): below the air outside, so
/// that a leak in the low side draws air in while the system runs. R-290 stands at 203 kPa.
#[test]
fn a_running_low_side_in_vacuum_draws_air_in() {
    let mut findings = findings("leak_1h");
    let hold = findings.rounds[0].hold.as_mut().unwrap();
    let mut said = |name: &str, language| {
        hold.operating_loss = Some(OperatingLoss {
            g_per_year: (52.0, 860.0),
            years_to_lose_a_tenth: None,
            low_side_pa: Refrigerant::named(name).unwrap().low_side_in_vacuum_pa(),
        });
        let voice = Voice {
            language,
            ..Voice::default()
        };
        leak_sentence(&voice, hold).unwrap()
    };
    let isobutane = said("R-600a", Language::English);
    assert!(
        isobutane.contains("about 58 kPa absolute at −25 °C"),
        "{isobutane}"
    );
    assert!(isobutane.contains("a leak there then draws air in instead"));
    for language in Language::ALL {
        assert!(said("R-600a", language).contains("58 kPa"), "{language:?}");
        assert!(!said("R-290", language).contains("kPa"), "{language:?}");
    }
}

/// ANSI/AHRI 700-2006, Addendum 1, Table 1B: 10 ppm by weight.
#[test]
fn parts_per_million_stand_beside_their_yardstick() {
    let mut findings = findings("moisture_1h");
    let hold = findings.rounds[0].hold.as_mut().unwrap();
    hold.water_vapour_mg = Some(2.46);
    hold.water_ppm_of_charge = Some(41.0);
    let said = |findings: &_| water_sentence(&Voice::default(), findings).unwrap();
    let words = said(&findings);
    assert!(words.contains("41 ppm of the charge"), "{words}");
    assert!(words.contains("10 ppm by weight, AHRI 700"), "{words}");
    assert!(!words.contains("thermal"), "{words}");
    findings.data.gauge_principle = Some(GaugePrinciple::Thermal);
    let words = said(&findings);
    assert!(
        words.contains("half of what this thermal gauge shows"),
        "{words}"
    );
}
