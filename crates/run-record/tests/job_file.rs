//! Job files as technicians write them.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::{fs, path::Path};

use run_record::{JobFile, RunHeader, RunWriter};
use vacuum::{
    AccessSides, Criteria, DayClock, Job, Language, Paper, PressureUnit, SheetChoices, SheetField,
    Zone,
};

fn read(text: &str) -> Result<JobFile, String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, text).unwrap();
    JobFile::read(&path).map_err(|e| {
        let text = e.to_string();
        assert!(!text.contains('\n'), "{text}");
        text.split_once("job.toml: ").unwrap().1.to_owned()
    })
}

#[test]
fn the_sample_is_whole_and_marked_as_invented() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/job.toml");
    let file = JobFile::read(&path).unwrap();
    assert!(file.job.invented);
    assert_eq!(file.unknown_keys, Vec::<String>::new());
    assert_eq!(file.job.access_sides, Some(AccessSides::Both));
    assert_eq!(file.job.charge_g, Some(58.0));
    assert_eq!(file.job.gauge.calibrated_on.as_deref(), Some("2026-01-15"));
    assert_eq!(file.criteria, Some(Criteria::common_practice()));
    assert_eq!(file.pump_gauge.serial.as_deref(), Some("G-0012"));
}

#[test]
fn what_is_absent_stays_absent() {
    let file = read("[job]\nid = 4711\noil = \"  \"\n").unwrap();
    assert_eq!(file.job.id, "4711");
    assert_eq!((file.job.volume_l, file.job.oil), (None, None));
    assert_eq!(file.criteria, None);
    assert_eq!(file.pump_gauge, vacuum::GaugeIdentity::default());
    let misspelt = read("[pump_gauge]\nseriall = \"x\"\n").unwrap();
    assert_eq!(misspelt.unknown_keys, ["pump_gauge.seriall"]);
}

#[test]
fn criteria_are_a_profile_or_own_numbers() {
    let criteria = |text: &str| read(text).map(|f| f.criteria.unwrap());
    let half_hour = criteria("[criteria]\nname = \"Half hour\"\n").unwrap();
    assert_eq!(half_hour.hold_min, 30.0);
    let own = criteria("[criteria]\ntarget_micron = 300\nhold_min = 20\n").unwrap();
    assert_eq!((own.target_micron, own.ceiling_micron), (300.0, 500.0));
    assert_eq!(own.source, "as given in the job file");
    // a published source must not be claimed for other numbers
    let changed = criteria("[criteria]\nname = \"half hour\"\ntarget_micron = 800\n").unwrap();
    assert_eq!(changed.source, "as given in the job file");
    assert_eq!(changed.ceiling_micron, 800.0);
    assert!(
        criteria("[criteria]\nname = \"strictest\"\n")
            .unwrap_err()
            .contains("shipped profile")
    );
    assert!(
        criteria("[criteria]\ntarget_micron = 0\n")
            .unwrap_err()
            .contains("above zero")
    );
}

#[test]
fn mistakes_are_named_with_their_row() {
    let error = |text: &str| read(text).unwrap_err();
    assert!(error("[job]\nid = \"1\"\nvolume_l = \n").starts_with("row 3: "));
    let text = error("[job]\nid = \"1\"\nvolume_l = \"big\"\n");
    assert!(text.starts_with("row 3: "), "{text}");
    assert!(error("[job]\nvolume_l = -4\n").starts_with("volume_l = -4 cannot be right"));
    assert!(error("[job]\ncharge_g = nan\n").starts_with("charge_g = NaN cannot be right"));
    assert!(error("[job]\naccess_sides = \"left\"\n").contains("\"one\" or \"both\""));
    assert!(error("[job]\nid = [1]\n").contains("text"));
    let typo = read("[job]\nid = \"1\"\nvolum_l = 4\n[gage]\nserial = \"x\"\n").unwrap();
    assert_eq!(typo.unknown_keys, ["gage", "job.volum_l"]);
}

#[test]
fn a_charge_has_its_unit_or_is_in_g() {
    let charge = |text: &str| read(text).map(|f| f.job.charge_g);
    assert_eq!(
        charge("[job]\ncharge = \"2 oz\"\n"),
        Ok(Some(56.699_046_25))
    );
    assert_eq!(charge("[job]\ncharge_g = 58\n"), Ok(Some(58.0)));
    for (text, part) in [
        ("[job]\ncharge = 58\n", "say the unit"),
        ("[job]\ncharge = \"58\"\n", "say the unit"),
        ("[job]\ncharge = \"-1 g\"\n", "above 0"),
        (
            "[job]\ncharge = \"1 g\"\ncharge_g = 1\n",
            "leave one of them out",
        ),
    ] {
        let why = charge(text).unwrap_err();
        assert!(why.starts_with("charge = ") && why.contains(part), "{why}");
    }
}

#[test]
fn choices_for_the_sheet_are_read_and_mistakes_name_what_is_allowed() {
    let file = read(
        "[sheet]\npaper = \"Letter\"\nlanguage = \"Deutsch\"\nunit = \"inHg abs\"\n\
         zone = \"-03:30\"\nclock = 12\nleave_out = [\"oil\", \"gauge-serial\"]\n\
         without_personal_data = true\nlogo = \"logo.png\"\ncolour = \"red\"\n",
    )
    .unwrap();
    let sheet = &file.job.sheet;
    assert_eq!(sheet.paper, Some(Paper::Letter));
    assert_eq!(sheet.language, Some(Language::German));
    assert_eq!(sheet.unit, Some(PressureUnit::InHg));
    assert_eq!(sheet.zone, Some(Zone::EastMin(-210)));
    assert_eq!(sheet.clock, Some(DayClock::Hours12));
    assert_eq!(sheet.leave_out, [SheetField::Oil, SheetField::GaugeSerial]);
    assert_eq!(sheet.without_personal_data, Some(true));
    assert_eq!(sheet.logo.as_deref(), Some("logo.png"));
    assert_eq!(file.unknown_keys, ["sheet.colour"]);
    let local = read("[sheet]\nzone = \"Local\"\n").unwrap();
    assert!(local.zone_is_local && local.job.sheet.zone.is_none());
    for (row, part) in [
        (
            "paper = \"a5\"",
            "sheet.paper = \"a5\" cannot be right: write \"a4\"",
        ),
        ("language = \"tlh\"", "write \"en\""),
        ("unit = \"inHg vac\"", "write micron"),
        ("zone = \"CET\"", "write \"utc\""),
        ("clock = 13", "write \"24\""),
        ("leave_out = \"everything\"", "gauge-serial"),
        ("leave_out = [1]", "a list of words"),
        ("without_personal_data = \"maybe\"", "boolean"),
    ] {
        let why = read(&format!("[sheet]\n{row}\n")).unwrap_err();
        assert!(why.contains(part), "{row}: {why}");
    }
}

/// A record is not lost for a word that only a later version knows.
#[test]
fn a_record_with_unknown_choices_stays_readable_and_all_others_come_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    let later = "[job]\nid = \"1\"\n[sheet]\npaper = \"a2\"\nleave_out = [\"moon\", \"oil\"]\n";
    fs::write(&path, later).unwrap();
    let sheet = RunHeader::read(&path).unwrap().job.sheet;
    assert_eq!(
        (sheet.paper, sheet.leave_out),
        (None, vec![SheetField::Oil])
    );
    for unit in PressureUnit::ALL {
        let sheet = SheetChoices {
            paper: Some(Paper::A4),
            language: Some(Language::French),
            unit: Some(unit),
            zone: Some(Zone::EastMin(345)),
            clock: Some(DayClock::Hours24),
            leave_out: SheetField::ALL.to_vec(),
            without_personal_data: Some(false),
            logo: Some("a \"b\".svg".into()),
        };
        let header = RunHeader {
            job: Job {
                id: "1".into(),
                charge_g: Some(56.5),
                sheet: sheet.clone(),
                ..Job::default()
            },
            ..RunHeader::default()
        };
        let run = RunWriter::create(folder.path(), &header, Default::default()).unwrap();
        let folder = run.finish().unwrap().folder;
        let back = RunHeader::read(&folder.join("job.toml")).unwrap().job;
        assert_eq!((back.sheet, back.charge_g), (sheet, Some(56.5)));
    }
}
