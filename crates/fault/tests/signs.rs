//! What is said of appliances whose signs are those of refrigeration texts.

use fault::{
    AtRest, Cabinet, Doubt, Draw, FaultCode, Frost, Meet, Rest, Signs, Sound, SuctionLine, Trace,
    at_rest, diagnose,
};
use refrigerant_tables::Substance;

fn substance(name: &str) -> &'static Substance {
    Substance::named(name).expect("it has a table")
}

fn freezer() -> Signs {
    Signs {
        compressor_runs: Some(true),
        runs_all_the_time: Some(true),
        cabinet_c: Some(-10.0),
        ..Signs::new(substance("R-600a"), Cabinet::Freezer, 24.0)
    }
}

fn watts(measured: f64) -> Option<Draw> {
    Some(Draw {
        measured,
        of: 100.0,
        known_good: false,
    })
}

fn first(signs: &Signs) -> FaultCode {
    diagnose(signs).candidates[0].code
}

/// Standing pressures at 20 °C: CoolProp 8.0.0, 302.22, 571.71 and 836.46 kPa.
#[test]
fn refrigerants_stand_where_the_library_says() {
    for (name, kpa) in [("R-600a", 302.22), ("R-134a", 571.71), ("R-290", 836.46)] {
        let rest = |factor: f64| Rest {
            pa: 1e3 * kpa * factor,
            c: 20.0,
        };
        let found = at_rest(substance(name), rest(1.0)).expect("in the table");
        assert!(
            (found.saturation_pa / 1e3 / kpa - 1.0).abs() < 1e-3,
            "{name}"
        );
        assert_eq!(found.state, AtRest::Saturated, "{name}");
        let state = |factor| at_rest(substance(name), rest(factor)).map(|f| f.state);
        assert_eq!(state(1.35), Some(AtRest::Above), "{name}");
        assert_eq!(state(0.5), Some(AtRest::Below), "{name}");
    }
}

/// Another refrigerant stands at another pressure, and is named.
#[test]
fn another_refrigerant_is_recognised_at_rest() {
    let rest = Rest {
        pa: 571_710.0,
        c: 20.0,
    };
    let found = at_rest(substance("R-600a"), rest).expect("in the table");
    assert_eq!(found.state, AtRest::Above);
    assert!(found.as_if.contains(&"R-134a"), "{:?}", found.as_if);
}

/// At rest air stands above saturation; running it raises head pressure and power
/// (refrigeration texts, seen second-hand). The opposite must not be said.
#[test]
fn air_raises_head_pressure_and_draw() {
    let mut signs = freezer();
    signs.suction_pa = Some(57e3);
    signs.discharge_pa = Some(760e3);
    signs.draw = watts(108.0);
    signs.condenser_out_c = Some(42.0);
    signs.rest = Some(Rest { pa: 470e3, c: 24.0 });
    assert_eq!(first(&signs), FaultCode::AirInSystem);
    let low_draw = Signs {
        draw: watts(55.0),
        discharge_pa: Some(400e3),
        ..signs.clone()
    };
    let support = |signs: &Signs| {
        let found = diagnose(signs);
        found.of(FaultCode::AirInSystem).map_or(0.0, |c| c.support)
    };
    assert!(support(&low_draw) < support(&signs) / 3.0);
}

/// Starved evaporator and no liquid in front of the tube: something is missing. Starved
/// evaporator and cold liquid: something is in the way (refrigeration texts, from memory).
#[test]
fn liquid_tells_what_is_missing_from_what_is_in_the_way() {
    let mut signs = freezer();
    signs.suction_pa = Some(32e3);
    signs.discharge_pa = Some(410e3);
    signs.draw = watts(62.0);
    signs.frost = Some(Frost::InletOnly);
    signs.suction_line = Some(SuctionLine::Warm);
    signs.condenser_out_c = Some(30.0);
    signs.sound = Some(Sound::Gas);
    let found = diagnose(&signs);
    let two: Vec<_> = found.candidates[..2].iter().map(|c| c.code).collect();
    assert!(
        two.contains(&FaultCode::ShortCharge) && two.contains(&FaultCode::HighSideLeak),
        "{two:?}"
    );
    signs.condenser_out_c = Some(24.5);
    signs.sound = Some(Sound::Liquid);
    signs.meet = Some(Meet::Slow);
    assert_eq!(first(&signs), FaultCode::PartialRestriction);
}

#[test]
fn a_blocked_tube_pulls_a_vacuum_and_keeps_it() {
    let mut signs = freezer();
    signs.suction_pa = Some(8e3);
    signs.discharge_pa = Some(350e3);
    signs.draw = watts(25.0);
    signs.frost = Some(Frost::None);
    signs.meet = Some(Meet::Never);
    assert_eq!(first(&signs), FaultCode::TotalRestriction);
}

/// Whatever is measured, without a trace of the leak itself both have the same support.
#[test]
fn short_charge_and_high_side_leak_share_their_support() {
    for pa in [15e3, 30e3, 50e3, 90e3] {
        for head_pa in [380e3, 450e3, 700e3] {
            for frost in Frost::ALL {
                let mut signs = freezer();
                signs.suction_pa = Some(pa);
                signs.discharge_pa = Some(head_pa);
                signs.frost = Some(*frost);
                signs.opened_before = Some(true);
                signs.onset = Some(fault::Onset::SinceService);
                signs.charge_found_g = Some(40.0);
                signs.nameplate_g = Some(60.0);
                let support = |signs: &Signs, code| diagnose(signs).of(code).map(|c| c.support);
                assert_eq!(
                    support(&signs, FaultCode::ShortCharge),
                    support(&signs, FaultCode::HighSideLeak)
                );
                signs.trace = Some(Trace::HighSide);
                assert!(
                    support(&signs, FaultCode::ShortCharge)
                        < support(&signs, FaultCode::HighSideLeak)
                );
            }
        }
    }
}

/// A low side that runs above the air outside loses refrigerant as the high side does.
#[test]
fn a_low_side_under_pressure_leaks_out() {
    let signs = Signs {
        suction_pa: Some(180e3),
        discharge_pa: Some(1_000e3),
        ..Signs::new(substance("R-290"), Cabinet::FanFreezer, 22.0)
    };
    let found = diagnose(&signs);
    let support = |code| found.of(code).map(|c| c.support);
    assert!(!found.low_side_draws_air);
    assert_eq!(
        support(FaultCode::LowSideLeak),
        support(FaultCode::HighSideLeak)
    );
}

#[test]
fn support_is_shared_out_and_never_certain() {
    let found = diagnose(&freezer());
    let sum: f64 = found.candidates.iter().map(|c| c.support).sum();
    assert!((sum - 1.0).abs() < 1e-9);
    let mut signs = freezer();
    signs.suction_pa = Some(8e3);
    signs.meet = Some(Meet::Never);
    signs.sound = Some(Sound::Nothing);
    signs.discharge_pa = Some(350e3);
    assert!(diagnose(&signs).candidates[0].support < 0.99);
}

#[test]
fn too_few_and_contradictory_signs_say_so() {
    let found = diagnose(&freezer());
    let doubts = &found.doubts;
    assert!(
        doubts.iter().any(|d| matches!(d, Doubt::TooFew { .. })),
        "{doubts:?}"
    );
    // a vacuum on the low side with frost on the suction line, and so on
    let mut signs = freezer();
    signs.suction_pa = Some(8e3);
    signs.discharge_pa = Some(900e3);
    signs.draw = watts(130.0);
    signs.frost = Some(Frost::Full);
    signs.suction_line = Some(SuctionLine::Frosted);
    signs.meet = Some(Meet::Fast);
    signs.condenser_out_c = Some(25.0);
    let doubts = diagnose(&signs).doubts;
    let contradict = |d: &Doubt| matches!(d, Doubt::Contradictory { .. });
    assert!(doubts.iter().any(contradict), "{doubts:?}");
}

#[test]
fn a_compressor_that_does_not_start_is_looked_at_outside_first() {
    let mut signs = freezer();
    signs.compressor_runs = Some(false);
    signs.suction_pa = Some(330e3);
    let found = diagnose(&signs);
    assert_eq!(found.candidates[0].code, FaultCode::OutsideSealedSystem);
    assert_eq!(found.first_check[0].sign, fault::Sign::Starts);
}

/// "Normal" is what is usual in this room: the same head pressure is high in a cold room and
/// usual in a hot one.
#[test]
fn usual_depends_on_the_room() {
    let level = |ambient_c| {
        let mut signs = Signs {
            ambient_c,
            ..freezer()
        };
        signs.discharge_pa = Some(600e3);
        let seen = fault::observations(&signs);
        let head = seen.iter().find(|o| o.sign == fault::Sign::Condensing);
        head.map(|o| o.level)
    };
    assert!(level(18.0) > level(32.0));
}

/// Nothing that a gauge may show stops the program.
#[test]
fn absurd_numbers_are_survived() {
    for pa in [0.0, 1.0, 1e3, 1e5, 1e7, 1e9, f64::MAX] {
        for c in [-200.0, 0.0, 60.0, 1e6] {
            let mut signs = freezer();
            signs.ambient_c = c;
            signs.suction_pa = Some(pa);
            signs.discharge_pa = Some(pa);
            signs.condenser_out_c = Some(c);
            signs.rest = Some(Rest { pa, c });
            signs.charge_found_g = Some(pa);
            signs.nameplate_g = Some(1.0);
            let found = diagnose(&signs);
            assert!(found.candidates.iter().all(|c| c.support.is_finite()));
        }
    }
}
