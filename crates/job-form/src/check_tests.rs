use super::*;
use crate::{fields::field, system::System};

fn answer(table: &str, key: &str, text: &str) -> Result<Kept, String> {
    let today = NaiveDate::from_ymd_opt(2026, 3, 14).expect("a day");
    let field = field(table, key).expect(key);
    let around = Around {
        today,
        ..Around::default()
    };
    check(field, text, around)
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
    let around = Around {
        today,
        insisted,
        ..Around::default()
    };
    let kept = check(field, "R-9999", around).expect("kept as typed");
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
    assert!(profiles()[4].starts_with("5  rig half hour: down to 500 micron"));
    for wrong in ["0", "6", "strict", "-1"] {
        assert!(answer("criteria", "name", wrong).is_err(), "{wrong}");
    }
}

#[test]
fn substances_are_found_by_name_and_butane_is_asked_back() {
    assert_eq!(
        kept("job", "refrigerant", "isobutane").0,
        Value::from("R-600a")
    );
    assert_eq!(kept("job", "refrigerant", "Propan").0, Value::from("R-290"));
    for typed in ["R600", "R-600", "butane"] {
        let why = answer("job", "refrigerant", typed).expect_err("a question");
        assert!(why.contains("isobutane is R-600a"), "{why}");
        let around = Around {
            insisted: true,
            ..Around::default()
        };
        let field = field("job", "refrigerant").expect("a field");
        let kept = check(field, typed, around).expect("insisted");
        assert_eq!(kept.value, Value::from("R-600"));
    }
}

#[test]
fn absurd_numbers_are_asked_back_and_may_be_insisted_on() {
    let asked = |key: &str, text: &str, system: System| {
        let field = field("job", key).expect(key);
        let once = Around {
            system,
            ..Around::default()
        };
        let again = Around {
            insisted: true,
            ..once
        };
        assert!(check(field, text, again).is_ok(), "{text}");
        check(field, text, once).err().unwrap_or_default()
    };
    let open = System::default();
    let burns = System {
        highly_flammable: true,
        ..open
    };
    let small = System {
        volume_l: Some(2.8),
        ..open
    };
    let charged = System {
        charge_g: Some(58_000.0),
        ..open
    };
    assert!(asked("charge", "58 kg", open).contains("Grams, not kilograms?"));
    assert!(asked("charge", "58 kg", small).contains("would not go into 2.8 L"));
    assert!(asked("charge", "0.6 kg", burns).contains("burns easily"));
    assert!(asked("charge", "0.058 g", open).contains("20 to 300 g"));
    assert!(asked("volume_l", "280 L", open).contains("is this the cabinet?"));
    assert!(asked("volume_l", "2.8", charged).contains("would not go into 2.8 L"));
    assert!(asked("ambient_c", "50", open).contains("50C or 50F"));
    for (key, text) in [
        ("charge", "58 g"),
        ("charge", "2 kg"),
        ("volume_l", "4.2"),
        ("ambient_c", "38"),
    ] {
        assert_eq!(asked(key, text, open), "", "{text}");
    }
    // what the scale said is held against the nameplate
    let system = System {
        charge_g: Some(58.0),
        ..open
    };
    let around = Around {
        system,
        ..Around::default()
    };
    let kept = check(field("job", "recovered").expect("a field"), "41 g", around);
    assert_eq!(
        kept.expect("a mass").said,
        ["71 % of the nameplate charge of 58 g."]
    );
}

#[test]
fn a_photo_is_looked_at_when_it_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).expect("written");
        path.display().to_string()
    };
    let jpeg = file("plate.jpg", b"\xFF\xD8\xFF\xE0 and so on");
    assert_eq!(kept("job", "photo", &jpeg).0, Value::from(jpeg.as_str()));
    let text = file("plate.txt", b"no picture");
    assert!(
        answer("job", "photo", &text)
            .expect_err("no")
            .contains("neither JPEG nor PNG")
    );
    let nothing = folder.path().join("absent.jpg").display().to_string();
    assert!(
        answer("job", "photo", &nothing)
            .expect_err("no")
            .contains("no such file")
    );
}
