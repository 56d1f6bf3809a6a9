use super::*;
use crate::fields::field;

fn answer(table: &str, key: &str, text: &str) -> Result<Kept, String> {
    let today = NaiveDate::from_ymd_opt(2026, 3, 14).expect("a day");
    let field = field(table, key).expect(key);
    let insisted = false;
    check(field, text, Around { today, insisted })
}

#[track_caller]
fn kept(table: &str, key: &str, text: &str) -> (Value, String) {
    let kept = answer(table, key, text).expect(text);
    (kept.value, kept.said.join(" "))
}

#[test]
fn a_refrigerant_is_said_back_with_its_group_and_never_guessed() {
    let (value, said) = kept("job", "refrigerant", "r600a");
    assert_eq!(value, Value::from("R-600a"));
    assert!(said.contains("A3") && said.contains("no flame"), "{said}");
    let (_, said) = kept("job", "refrigerant", "R-717");
    assert!(said.contains("B2L") && said.contains("is toxic"), "{said}");
    let (_, said) = kept("job", "refrigerant", "R744");
    assert!(
        said.contains("57 bar") && !said.contains("no flame"),
        "{said}"
    );
    let why = answer("job", "refrigerant", "R-60a").expect_err("a question");
    assert!(
        why.contains("Did you mean R-600a, R-601a, R-600 or R-601?"),
        "{why}"
    );
    let why = answer("job", "refrigerant", "water").expect_err("a question");
    assert!(
        why.contains("not in the table") && !why.contains("mean"),
        "{why}"
    );
    let today = NaiveDate::default();
    let insisted = true;
    let field = field("job", "refrigerant").expect("a field");
    let kept = check(field, "R-9999", Around { today, insisted }).expect("kept as typed");
    assert_eq!(kept.value, Value::from("R-9999"));
    assert!(
        kept.said[0].contains("treat it as flammable"),
        "{:?}",
        kept.said
    );
}

#[test]
fn a_serial_number_is_kept_and_its_look_alikes_named() {
    let (value, said) = kept("job", "serial", "XO0-lI1");
    assert_eq!(value, Value::from("XO0-lI1"));
    assert!(
        said.contains("capital letter O at 2, figure 0 at 3"),
        "{said}"
    );
    assert!(kept("job", "serial", "2100-77").1.is_empty());
}

#[test]
fn units_are_said_back() {
    assert_eq!(
        kept("job", "charge", "2.05 oz"),
        ("2.05 oz".into(), "58.1 g".into())
    );
    assert!(
        answer("job", "charge", "58")
            .expect_err("no unit")
            .contains("unit")
    );
    assert_eq!(
        kept("job", "volume_l", "4200 ml"),
        (4.2.into(), "4.2 L".into())
    );
    assert_eq!(kept("job", "volume_l", "4,2").0, 4.2.into());
    assert!(answer("job", "volume_l", "big").is_err());
    assert!(answer("job", "volume_l", "-4").is_err());
    assert!(answer("job", "volume_l", "1e999").is_err());
    assert_eq!(
        kept("job", "ambient_c", "70 F"),
        (21.1.into(), "21.1 °C".into())
    );
    assert!(answer("job", "ambient_c", "70").is_err());
}

#[test]
fn dates_are_iso_and_an_overdue_calibration_is_said() {
    let due = |text| kept("gauge", "calibration_due", text).1;
    assert!(due("2026-03-13").contains("overdue by 1 day;"));
    assert!(due("2025-03-14").contains("overdue by 365 days"));
    assert_eq!(due("2026-03-14"), "");
    for wrong in [
        "14.03.2026",
        "03/14/2026",
        "2026-02-30",
        "2026-3-1",
        "soon",
        "２０２６-01-01",
    ] {
        assert!(
            answer("gauge", "calibration_due", wrong).is_err(),
            "{wrong}"
        );
    }
    assert!(answer("gauge", "calibrated_on", "2026-03-15").is_err());
}

#[test]
fn criteria_are_said_back_in_numbers() {
    let (value, said) = kept("criteria", "name", "2");
    assert_eq!(value, Value::from("facilities one hour"));
    assert!(said.contains("300 micron, hold 60 min"), "{said}");
    assert_eq!(
        kept("criteria", "target_micron", "300").0,
        Value::Integer(300)
    );
    assert!(profiles()[2].starts_with("3  half hour: down to 500 micron"));
    for wrong in ["0", "4", "strict", "-1"] {
        assert!(answer("criteria", "name", wrong).is_err(), "{wrong}");
    }
}
