use vacuum::{Entry, Mark, SheetChoices, SheetField};

use super::Contents;
use crate::{Sheet, tests::Folder as _};

fn contents_of(name: &str, choices: &SheetChoices) -> Contents {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    let trace = run.trace();
    Contents::of(&Sheet {
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
        format!("{:?}", Contents::of(&sheet))
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
