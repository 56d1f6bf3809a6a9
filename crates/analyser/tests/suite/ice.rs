//! Ice in a hold. The holds are made by a source that sublimes into a closed volume at a
//! rate in proportion to what is missing to saturation; saturation pressures are those of
//! IAPWS R14-08, computed with independent code (−25 °C: 474.6 micron, −20 °C: 774.4,
//! −40 °C: 96.3).

use analyser::{Findings, RiseKind, Settings, Statement, Verdict};
use vacuum::Entry;

use crate::{
    hold, judge, reasons,
    scene::{Noise, Scene, mark, reading},
};

/// Pumped down to `from`, isolated at 1,200 s, then ice at `saturation` micron fills the
/// volume with a time constant of `tau_s`; `leak` micron/min besides.
fn iced(seed: u64, from: f64, saturation: f64, tau_s: f64, leak: f64) -> Vec<Entry> {
    let mut noise = Noise::new(seed);
    let mut p = 700_000.0_f64;
    let mut out = Vec::new();
    for s in 0..2_100_u32 {
        let t = f64::from(s);
        p = if t < 1_200.0 {
            from + (p - from) * (-1.0_f64 / 60.0).exp()
        } else {
            p + (saturation - p) / tau_s + leak / 60.0
        };
        if s == 1_200 {
            out.push(mark(t, vacuum::MarkKind::PumpSideShut));
        }
        out.push(reading(t, p * (1.0 + 0.003 * noise.normal())));
    }
    out
}

fn with_coldest(c: Option<f64>) -> Settings {
    Settings {
        coldest_part_c: c,
        ..Settings::default()
    }
}

fn codes(found: &Findings) -> Vec<&'static str> {
    found.findings.iter().map(analyser::Finding::code).collect()
}

#[test]
fn an_iced_evaporator_is_no_pass_where_its_temperature_is_known() {
    for (seed, tau_s) in [(1, 20.0), (2, 60.0), (3, 150.0)] {
        let entries = iced(seed, 120.0, 474.6, tau_s, 0.0);
        let found = judge(&entries, &with_coldest(Some(-25.0)));
        assert_eq!(found.verdict, Verdict::NotProven, "{tau_s}");
        assert_eq!(reasons(&found), ["ice_possible"], "{tau_s}");
        assert!(codes(&found).contains(&"ice_in_hold"), "{tau_s}");
        let blind = judge(&entries, &with_coldest(None));
        assert_eq!(blind.verdict, Verdict::Pass, "{tau_s}");
        assert!(codes(&blind).contains(&"ice_not_ruled_out"), "{tau_s}");
        let ice_at_c = blind.findings.iter().find_map(|f| match f.statement {
            Statement::IceNotRuledOut { ice_at_c, .. } => Some(ice_at_c),
            _ => None,
        });
        assert!((ice_at_c.unwrap() + 25.0).abs() < 1.0, "{ice_at_c:?}");
    }
}

#[test]
fn a_gauge_that_doubles_water_vapour_is_still_seen_on_ice() {
    // ice at −31 °C is 255 micron (IAPWS R14-08, computed); the gauge shows 460
    let found = judge(
        &iced(4, 120.0, 460.0, 60.0, 0.0),
        &with_coldest(Some(-31.0)),
    );
    assert_eq!(reasons(&found), ["ice_possible"]);
}

#[test]
fn levels_that_ice_cannot_have_are_no_ice() {
    let entries = iced(5, 120.0, 474.6, 60.0, 0.0);
    for c in [
        // warmed up before the hold
        19.0,  // ice there would stand at 937 micron, and push the pressure up
        -18.0, // ice there stands at 96 micron
        -40.0,
    ] {
        let found = judge(&entries, &with_coldest(Some(c)));
        assert_eq!(found.verdict, Verdict::Pass, "{c}: {:?}", found.reasons);
        let ice = codes(&found).iter().any(|code| code.starts_with("ice"));
        assert!(!ice, "{c}: {:?}", codes(&found));
    }
}

#[test]
fn a_straight_rise_through_the_level_of_ice_is_no_ice() {
    let found = judge(
        &Scene {
            base_micron: 420.0,
            ..Scene::leaking(6, 6.0)
        }
        .entries(),
        &with_coldest(Some(-25.0)),
    );
    assert_eq!(hold(&found).rise.kind, RiseKind::Leak);
    assert!(!codes(&found).contains(&"ice_in_hold"));
    assert!(!reasons(&found).contains(&"ice_possible"));
}

#[test]
fn a_cold_room_is_said() {
    let entries = iced(7, 120.0, 130.0, 60.0, 0.0);
    let room = |c: f64| Settings {
        ambient_c: Some(c),
        coldest_part_c: Some(c.max(0.5)),
        ..Settings::default()
    };
    // UFGS 15182 § 3.3.3: above 2 °C (35 °F)
    assert!(codes(&judge(&entries, &room(1.9))).contains(&"too_cold_to_dry"));
    assert!(!codes(&judge(&entries, &room(2.1))).contains(&"too_cold_to_dry"));
}

#[test]
fn temperatures_outside_the_formulas_are_survived() {
    let entries = iced(8, 120.0, 200.0, 60.0, 0.0);
    for c in [-300.0, -273.15, -250.0, -60.0, 60.0, 1e9, f64::NAN] {
        let found = judge(&entries, &with_coldest(Some(c)));
        assert_eq!(found.rounds.len(), 1, "{c}");
    }
}

/// Between 30 micron, below which no freezer is, and 4,585 micron, above which there is
/// no ice.
#[test]
fn only_levels_of_ice_are_ice() {
    let settings = Settings {
        criteria: vacuum::Criteria {
            target_micron: 9_000.0,
            ceiling_micron: 9_000.0,
            ..vacuum::Criteria::common_practice()
        },
        ..Settings::default()
    };
    for (level, wanted) in [
        (27.0, false),
        (33.0, true),
        (4_400.0, true),
        (4_700.0, false),
    ] {
        let entries = iced(9, 0.8 * level, level, 40.0, 0.0);
        let found = judge(&entries, &settings);
        let said = codes(&found).contains(&"ice_not_ruled_out");
        assert_eq!(said, wanted, "{level}: {:?}", codes(&found));
    }
}

/// A rise that has not levelled off within the hold says nothing about where it ends.
#[test]
fn a_slow_rise_is_no_level() {
    for tau_s in [900.0, 3_000.0] {
        let entries = iced(10, 120.0, 474.6, tau_s, 0.0);
        let found = judge(&entries, &with_coldest(None));
        let ice = codes(&found).iter().any(|code| code.starts_with("ice"));
        assert!(!ice, "{tau_s}: {:?}", codes(&found));
    }
}
