//! Properties that hold for every pressure, not only for the tabled ones.

use proptest::prelude::*;
use vacuum::{MarkKind, Pressure, PressureUnit, ReadingState, leak::Throughput, water};

fn any_unit() -> impl Strategy<Value = PressureUnit> {
    prop::sample::select(PressureUnit::ALL.to_vec())
}

/// From a thousandth of a micron to the top of the range, all decades alike.
fn any_pressure() -> impl Strategy<Value = Pressure> {
    (-4.0..7.0_f64).prop_map(|decade| Pressure::from_pa(10_f64.powf(decade)).expect("within range"))
}

proptest! {
    #[test]
    fn a_unit_gives_back_what_it_took(p in any_pressure(), unit in any_unit()) {
        let back = Pressure::new(p.get(unit), unit).expect("within range");
        prop_assert!((back.pa() / p.pa() - 1.0).abs() < 1e-14);
    }

    #[test]
    fn what_is_printed_reads_back_to_three_digits(p in any_pressure(), unit in any_unit()) {
        let text = p.display(unit).to_string();
        // the largest pressure may round up past the range
        prop_assume!(p.pa() < 0.99e7);
        let back: Pressure = text.parse().map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
        prop_assert!((back.pa() / p.pa() - 1.0).abs() < 5.1e-3, "{text}");
        prop_assert_eq!(back.display(unit).to_string(), text);
    }

    #[test]
    fn a_full_number_reads_back_exactly(p in any_pressure(), unit in any_unit()) {
        let value = p.get(unit);
        let plain: Pressure = format!("{value} {unit}").parse().expect("plain");
        let scientific: Pressure = format!("{value:e}{unit}").parse().expect("scientific");
        prop_assert_eq!(plain, Pressure::new(value, unit).expect("within range"));
        prop_assert_eq!(scientific, plain);
    }

    #[test]
    fn no_text_panics(text in "\\PC*") {
        let _ = text.parse::<Pressure>();
        let _ = PressureUnit::from_name(&text);
        let _ = MarkKind::from_code(&text);
        let _ = ReadingState::from_word(&text);
        let _ = vacuum::Refrigerant::named(&text);
    }

    #[test]
    fn no_numeric_text_is_read_wrong(text in "[-+]?[0-9,.eE]{0,12} ?(Pa|micron)?") {
        // whatever is accepted equals the same text without its commas
        if let Ok(p) = text.parse::<Pressure>() {
            let bare: Pressure = text.replace(',', "").parse().expect("without commas");
            prop_assert_eq!(p, bare);
            if let Some((whole, _)) = text.split_once(',') {
                prop_assert!((1..=4).contains(&whole.len()), "{}", text);
            }
        }
    }

    #[test]
    fn inches_of_vacuum_round_trip(p in 0.0..101_325.0_f64, barometer in 60e3..110e3_f64) {
        prop_assume!(p <= barometer);
        let barometer = Pressure::from_pa(barometer).expect("within range");
        let p = Pressure::from_pa(p).expect("within range");
        let inches = p.inches_of_vacuum(barometer);
        match Pressure::from_inches_of_vacuum(inches, barometer) {
            Ok(back) => prop_assert!((back.pa() - p.pa()).abs() < 1e-6),
            // a perfect vacuum may land a rounding step below zero
            Err(_) => prop_assert!(p.pa() < 1e-6),
        }
    }

    #[test]
    fn boiling_point_inverts_saturation(celsius in -59.99..59.99_f64) {
        let p = water::saturation_pressure(celsius).expect("within range");
        let back = water::boiling_point_c(p).expect("within range");
        // the branches meet 0.001 % apart at the triple point: 0.2 mK
        prop_assert!((back - celsius).abs() < 3e-4, "{} became {}", celsius, back);
    }

    #[test]
    fn saturation_pressure_rises_with_temperature(a in -60.0..60.0_f64, b in -60.0..60.0_f64) {
        prop_assume!((a - b).abs() > 1e-3);
        let p = |c| water::saturation_pressure(c).expect("within range");
        prop_assert_eq!(a < b, p(a) < p(b));
    }

    #[test]
    fn a_rise_and_its_throughput_are_the_same_thing(rise in -1e4..1e4_f64, volume_l in 0.1..100.0_f64) {
        let back = Throughput::from_rise(rise, volume_l).micron_per_min(volume_l);
        prop_assert!((back - rise).abs() <= 1e-12 * rise.abs());
    }
}

#[test]
fn every_code_and_word_reads_back() {
    for kind in MarkKind::ALL {
        assert_eq!(MarkKind::from_code(kind.code()), Some(kind));
    }
    for state in ReadingState::ALL {
        assert_eq!(ReadingState::from_word(state.word()), Some(state));
    }
}
