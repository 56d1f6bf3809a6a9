use findings::{Finding, Statement};
use vacuum::{AccessSides, Entry, Mark, Refrigerant, SheetChoices, SheetField};

use crate::{GivenAtReview, Sheet, contents, tests::Folder as _};
use layout::contents::Contents;

fn contents_of(name: &str, choices: &SheetChoices) -> Contents {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    let trace = run.trace();
    contents::of(&Sheet {
        choices: Some(choices),
        started_utc: None,
        record_sha256: None,
        ..run.sheet(&trace)
    })
}

#[test]
fn what_is_left_out_is_nowhere() {
    let all = format!("{:?}", contents_of("many_marks", &SheetChoices::default()));
    // each entry, and words that stand on the sheet because of it alone
    let pairs = [
        (SheetField::Appliance, "upright freezer"),
        (SheetField::Model, "Invented UF-240"),
        (SheetField::Serial, "INV 000 417"),
        (SheetField::Charge, "\"57 g\""),
        (SheetField::Oil, "ISO VG 10"),
        (SheetField::Volume, "\"2.1 L\""),
        (SheetField::Repair, "filter-drier replaced"),
        (SheetField::Technician, "A. Nobody"),
        (SheetField::Licence, "INV-55-1042"),
        (SheetField::Shop, "Invented Cold Works"),
        (SheetField::Pump, "rotary vane"),
        (SheetField::Hose, "cores removed"),
        (SheetField::GaugeSerial, "G-0093"),
        (SheetField::Remarks, "warm water on the accumulator"),
    ];
    for (field, words) in pairs {
        assert!(all.contains(words), "{words}");
        let choices = SheetChoices {
            leave_out: vec![field],
            ..SheetChoices::default()
        };
        let left = format!("{:?}", contents_of("many_marks", &choices));
        assert!(!left.contains(words), "{words}");
        for (other, words) in pairs.iter().filter(|(other, _)| *other != field) {
            assert!(left.contains(words), "{other:?} went with {field:?}");
        }
    }
}

#[test]
fn a_mark_stamped_from_a_device_says_so_where_remarks_are_printed() {
    let mut runs = invented_runs::runs();
    let run = runs.iter_mut().find(|r| r.name == "many_marks").unwrap();
    for entry in &mut run.entries {
        if let Entry::Mark(mark) = entry {
            mark.note = Mark::noted_by(&mark.note, "K7QF");
        }
    }
    let said = |choices: &SheetChoices| {
        let trace = run.trace();
        let sheet = Sheet {
            choices: Some(choices),
            ..run.sheet(&trace)
        };
        format!("{:?}", contents::of(&sheet))
    };
    let all = said(&SheetChoices::default());
    // before the words, so that long ones do not push it out of the row
    let row = "\"device K7QF: heat applied: warm water";
    assert!(all.contains(row), "{all}");
    assert!(!all.contains("[device"), "{all}");
    let without = SheetChoices {
        leave_out: vec![SheetField::Remarks],
        ..SheetChoices::default()
    };
    assert!(!said(&without).contains("K7QF"));
}

#[test]
fn without_personal_data_nobody_is_named() {
    let choices = SheetChoices {
        without_personal_data: Some(true),
        ..SheetChoices::default()
    };
    let said = format!("{:?}", contents_of("many_marks", &choices));
    for words in ["Nobody", "INV-55", "Cold Works", "accumulator"] {
        assert!(!said.contains(words), "{words}");
    }
    assert!(said.contains("INV 000 417") && said.contains("tilde-frame"));
    // lines to sign on stay, empty
    assert!(said.contains("Technician") && said.contains("heat applied"));
}

/// A figure in grams a year beside "refrigerant not given, volume not given" says where
/// neither comes from: what was given for the review is printed, and named as such.
#[test]
fn what_was_given_for_the_review_is_printed_and_named() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "leak_1h").unwrap();
    let trace = run.trace();
    let nothing = Sheet {
        job: None,
        ..run.sheet(&trace)
    };
    let value = |sheet: &Sheet<'_>, name: &str| {
        let contents = contents::of(sheet);
        let entry = contents.system.entries.iter().find(|e| e.name == name);
        entry.unwrap().value.clone()
    };
    assert_eq!(value(&nothing, "Volume"), "not given");
    let given = Sheet {
        given: GivenAtReview {
            refrigerant: Refrigerant::named("R-600a"),
            volume_l: Some(2.8),
            ambient_c: Some(19.0),
            access_sides: Some(AccessSides::Both),
            ..GivenAtReview::NOTHING
        },
        ..nothing
    };
    for (name, words) in [
        ("Volume", "2.8 L"),
        ("Refrigerant", "R-600a (safety group A3)"),
        ("Ambient", "19 °C"),
        ("Evacuated from", "both sides"),
    ] {
        let wanted = format!("{words} (given for this review)");
        assert_eq!(value(&given, name), wanted, "{name}");
    }
    // and what burns is said to burn
    let cautions = contents::of(&given).cautions.items;
    assert!(
        cautions[0].contains("flammable (safety group A3)"),
        "{cautions:?}"
    );
}

#[test]
fn an_overdue_calibration_stands_beside_its_day_and_among_the_findings() {
    let mut runs = invented_runs::runs();
    let run = runs.iter_mut().find(|r| r.name == "many_marks").unwrap();
    let due = run.job.as_ref().unwrap().gauge.calibration_due.clone();
    let due = due.unwrap();
    let said = |run: &invented_runs::Run| {
        let trace = run.trace();
        let contents = contents::of(&run.sheet(&trace));
        let entries = contents.instruments.entries;
        let next = entries
            .into_iter()
            .find(|e| e.name == "Next calibration")
            .unwrap();
        (next.value, contents.notes.items.join("\n"))
    };
    assert_eq!(said(run).0, due);
    run.findings.findings.push(Finding {
        at_s: None,
        statement: Statement::CalibrationOverdue {
            place: None,
            due: due.clone(),
            days: 54,
        },
    });
    let (next, notes) = said(run);
    assert_eq!(next, format!("{due}, OVERDUE"));
    assert!(
        notes.contains("overdue for 54 days when the record began"),
        "{notes}"
    );
}
