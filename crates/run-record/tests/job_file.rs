//! Job files as technicians write them.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::{fs, path::Path};

use run_record::{JobFile, RunHeader, RunWriter};
use vacuum::{
    AccessSides, AllowedLoss, Criteria, DayClock, FurtherCriteria, Job, Language, Paper,
    PressureUnit, RoundCriteria, SheetChoices, SheetField, Steady, TestKind, TestPlan, Zone,
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
fn the_strict_sample_has_every_criterion_and_survives_a_record() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/job-strict.toml");
    let file = JobFile::read(&path).unwrap();
    assert!(file.job.invented);
    assert_eq!(file.unknown_keys, Vec::<String>::new());
    let criteria = file.criteria.clone().unwrap();
    let further = &criteria.further;
    assert!(further.pump_on_min.is_some() && further.greatest_rise_micron.is_some());
    assert!(further.steady.is_some() && further.repeat_above_micron.is_some());
    assert!(further.both_sides && further.ambient_above_c.is_some());
    assert_eq!(further.earlier_rounds.len(), 2);
    // what a run writes of it reads the same
    let header = RunHeader {
        job: file.job,
        criteria: file.criteria,
        ..RunHeader::default()
    };
    let folder = tempfile::tempdir().unwrap();
    let writer = RunWriter::create(folder.path(), &header, Default::default()).unwrap();
    let written = RunHeader::read(&writer.folder().join("job.toml")).unwrap();
    assert_eq!(written.criteria, Some(criteria));
}

#[test]
fn the_sample_of_a_pressure_test_survives_a_record_and_wrong_words_are_asked_back() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/job-pressure-test.toml");
    let file = JobFile::read(&path).unwrap();
    assert_eq!(file.unknown_keys, Vec::<String>::new());
    assert_eq!(file.test.kind, TestKind::PressureDecay);
    assert_eq!(file.test.barometer_pa, Some(100_200.0));
    assert_eq!(
        file.test.allowed,
        Some(AllowedLoss::Refrigerant { g_per_year: 3.0 })
    );
    let header = RunHeader {
        job: file.job,
        test: TestPlan {
            counts_from_air: true,
            ..file.test
        },
        ..RunHeader::default()
    };
    let folder = tempfile::tempdir().unwrap();
    let writer = RunWriter::create(folder.path(), &header, Default::default()).unwrap();
    let written = RunHeader::read(&writer.folder().join("job.toml")).unwrap();
    assert_eq!(written.test, header.test);
    for (wrong, words) in [
        ("kind = \"leak\"", "test.kind"),
        ("gas = \"oxygen\"", "test.gas"),
        ("barometer_hpa = 30", "test.barometer_hpa"),
        ("allow_g_per_year = 0", "test.allow_g_per_year"),
        (
            "allow_g_per_year = 3\nallow_pa_m3_per_s = 1",
            "leave one of them out",
        ),
    ] {
        let error = read(&format!("[test]\n{wrong}\n")).unwrap_err().to_string();
        assert!(error.contains(words), "{error}");
    }
    let none = read("[job]\nid = 1\n").unwrap();
    assert_eq!(none.test, TestPlan::default());
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

/// What is asked for besides comes from the file, or from the profile it names; files of
/// before there was any such thing are judged as they were.
#[test]
fn criteria_may_ask_for_more_and_older_files_do_not() {
    let criteria = |text: &str| read(&format!("[criteria]\n{text}")).map(|f| f.criteria.unwrap());
    let all = criteria(
        "target_micron = 300\nhold_min = 20\nceiling_micron = 500\npump_on_min = 15\n\
         greatest_rise_micron = 100\nsteady_last_min = 5\nsteady_within_micron = 10\n\
         repeat_above_micron = 400\nboth_sides = true\nambient_above_c = 2\n\
         earlier_rounds = [{ target_micron = 1500 }, { target_micron = 1000, hold_min = 5, \
         ceiling_micron = 1200 }]\n",
    )
    .unwrap();
    let wanted = FurtherCriteria {
        pump_on_min: Some(15.0),
        greatest_rise_micron: Some(100.0),
        steady: Some(Steady {
            last_min: 5.0,
            within_micron: 10.0,
        }),
        repeat_above_micron: Some(400.0),
        earlier_rounds: vec![
            RoundCriteria::to(1_500.0),
            RoundCriteria {
                hold_min: Some(5.0),
                ceiling_micron: Some(1_200.0),
                ..RoundCriteria::to(1_000.0)
            },
        ],
        both_sides: true,
        ambient_above_c: Some(2.0),
    };
    assert_eq!(all.further, wanted);
    // a profile brings its own, a stricter number beside its name takes nothing away
    let hour = Criteria::facilities_one_hour();
    let named = criteria("name = \"facilities one hour\"\n").unwrap();
    assert_eq!(named, hour);
    let longer = criteria("name = \"facilities one hour\"\nhold_min = 90\n").unwrap();
    assert_eq!(longer.further, hour.further);
    // a run recorded before has all three numbers, and was not judged by the room
    let before = criteria(
        "name = \"facilities one hour\"\nsource = \"UFGS 15182 §3.3.3\"\ntarget_micron = 300\n\
         hold_min = 60\nceiling_micron = 500\n",
    )
    .unwrap();
    assert!(before.further.is_nothing());
    // the rig's half hour says what it is about, under its former name too
    for text in [
        "name = \"half hour\"\n",
        "name = \"half hour\"\nsource = \"TM 10-8145-222-23 WP 0014\"\ntarget_micron = 500\n\
         hold_min = 30\nceiling_micron = 500\n",
    ] {
        let rig = criteria(text).unwrap();
        assert_eq!(rig, Criteria::rig_half_hour(), "{text}");
    }
    for (text, part) in [
        ("steady_last_min = 5\n", "give both or neither"),
        (
            "repeat_above_micron = 600\n",
            "it must lie below the ceiling",
        ),
        ("earlier_rounds = [{ hold_min = 5 }]\n", "target_micron"),
        (
            "earlier_rounds = [{ target_micron = 5, hold = 5 }]\n",
            "hold",
        ),
        ("pump_on_min = 0\n", "a time with the pump on"),
        ("ambient_above_c = \"warm\"\n", "expected f64"),
    ] {
        let error = criteria(text).unwrap_err();
        assert!(error.contains(part), "{text}: {error}");
    }
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
