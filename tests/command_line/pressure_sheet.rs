//! `report` of pressure tests: curve and sheet, alone and with the evacuation of the job.

use std::path::{Path, PathBuf};

use chrono::{TimeZone, Utc};
use run_record::{RunHeader, RunWriter};
use vacuum::{
    AllowedLoss, Criteria, Entry, Job, Mark, MarkKind, Pressure, Reading, TestKind, TestPlan,
};

use crate::{
    report::{assert_self_contained, assert_well_formed},
    run::{Ran, dryhold, scratch},
};

/// Everything that is made of a record.
const PRODUCTS: [&str; 6] = [
    "curve.svg",
    "curve.png",
    "curve-small.png",
    "sheet.html",
    "sheet.pdf",
    "findings.json",
];

fn sample(name: &str) -> String {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/pressure-tests");
    samples.join(name).to_str().expect("a path").to_owned()
}

fn report(path: &str, out: &Path, more: &[&str]) -> Ran {
    let out = out.to_str().expect("a path");
    let arguments = ["report", path, "--out", out];
    dryhold(arguments.iter().chain(more))
}

const ALLOWED: [&str; 6] = [
    "--test",
    "pressure-decay",
    "--volume-l",
    "2.8",
    "--allow-pa-m3-per-s",
    "0.02",
];

fn text(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).expect("a product")
}

/// A run folder of this job. `kind` decides what its entries are: an hour of gas that only
/// follows the room, or a plain evacuation.
fn recorded(below: &Path, job: &str, kind: TestKind) -> PathBuf {
    let started = Utc.with_ymd_and_hms(2026, 3, 14, 9, 15, 0).single();
    let started = started.expect("a time");
    let header = RunHeader {
        job: Job {
            id: job.into(),
            invented: true,
            volume_l: Some(2.8),
            technician: Some("A. Nobody".into()),
            ..Job::default()
        },
        test: TestPlan {
            allowed: Some(AllowedLoss::Throughput { pa_m3_per_s: 0.02 }),
            ..TestPlan::of(kind)
        },
        criteria: Some(Criteria::common_practice()),
        software: "dryhold 0.1.0".into(),
        ..RunHeader::default()
    };
    let mut writer = RunWriter::create(below, &header, started).expect("a folder");
    let mark = |elapsed_s, kind| {
        Entry::Mark(Mark {
            elapsed_s,
            kind,
            note: String::new(),
        })
    };
    for second in (0..3_700).step_by(2) {
        let at_s = f64::from(second);
        let held = (at_s - 60.0).max(0.0);
        let wobble = f64::from(second % 7);
        let (pa, celsius, act) = match kind {
            TestKind::PressureDecay => {
                let celsius = 22.0 - 0.8 * held / 3_600.0;
                let warm = 1.0 + 4.0 / 293.0 * (-held / 60.0).exp();
                let pa = 11e5 * (celsius + 273.15) / 295.15 * warm + 15.0 * wobble;
                (pa, Some(celsius), MarkKind::SupplyShut)
            }
            _ => (30.0 + 0.02 * wobble, None, MarkKind::PumpSideShut),
        };
        let pressure = Pressure::from_pa(pa).expect("a pressure");
        let mut reading = Reading::measured(at_s, pressure);
        reading.temperature_c = celsius;
        let passed = chrono::Duration::milliseconds(i64::from(second) * 1_000);
        let row = Entry::Reading(reading);
        writer.append(&row, started + passed).expect("a row");
        if second == 60 {
            writer
                .append(&mark(60.0, act), started + passed)
                .expect("a row");
        }
    }
    let folder = writer.folder().to_owned();
    writer.finish().expect("closed");
    folder
}

#[test]
fn a_table_becomes_curve_and_sheet() {
    let folder = scratch();
    let leak = report(&sample("leak.csv"), folder.path(), &ALLOWED).expect(0);
    for name in PRODUCTS {
        assert!(leak.out.contains(name), "{leak:?}");
        assert!(folder.path().join(name).is_file(), "{name}");
    }
    let html = text(folder.path(), "sheet.html");
    let tree = roxmltree::Document::parse(&text(folder.path(), "curve.svg")).is_ok();
    assert!(tree, "the curve is XML");
    for words in [
        "Pressure test record",
        ">FAIL</strong>",
        "allowed 0.020 Pa·m³/s",
        "at 22.4 °C",
        "as measured",
        "bar abs",
        "2.8 L (given for this review)",
        "Dry nitrogen only through a regulator",
        "2.8 L",
    ] {
        assert!(html.contains(words), "\"{words}\" is missing");
    }
    let lower = html.to_lowercase();
    for forbidden in ["<script", "<link", "@import", "src=\"http"] {
        assert!(!lower.contains(forbidden), "{forbidden}");
    }
    let found: serde_json::Value =
        serde_json::from_str(&text(folder.path(), "findings.json")).expect("JSON");
    assert_eq!(
        (&found["test"], &found["verdict"]),
        (&"pressure-decay".into(), &"fail".into())
    );
    let pdf = std::fs::read(folder.path().join("sheet.pdf")).expect("a sheet");
    assert!(pdf.starts_with(b"%PDF-"));
}

#[test]
fn language_unit_and_paper_are_those_that_were_chosen() {
    let folder = scratch();
    let chosen = ["--language", "de", "--unit", "psi", "--paper", "letter"];
    let all = [&ALLOWED[..], &chosen].concat();
    report(&sample("tight.csv"), folder.path(), &all).expect(0);
    let svg = text(folder.path(), "curve.svg");
    assert!(svg.contains(">psia<") && svg.contains("Gaszufuhr geschlossen"));
    // 11.05 bar = 160.27 psi (NIST SP 811, B.8)
    assert!(svg.contains("160,"), "a pressure in psi");
    let html = text(folder.path(), "sheet.html");
    assert!(html.contains("lang=\"de\"") && html.contains("Protokoll der Druckprobe"));
}

#[test]
fn a_recorded_test_needs_no_option_and_its_sheet_has_the_digest() {
    let below = scratch();
    let run = recorded(below.path(), "P-7", TestKind::PressureDecay);
    let path = run.to_str().expect("a path");
    let done = dryhold(["report", path]).expect(0);
    assert!(done.out.contains("sheet.pdf"), "{done:?}");
    let html = text(&run, "sheet.html");
    assert!(html.contains("Pressure test record") && html.contains("Job P-7"));
    assert!(html.contains("Digest of the record: ") && html.contains("A. Nobody"));
    dryhold(["report", path, "--no-personal-data"]).expect(0);
    assert!(!text(&run, "sheet.html").contains("A. Nobody"));
    dryhold(["verify", path]);
}

#[test]
fn the_sheet_takes_in_another_test_of_the_same_job() {
    let below = scratch();
    let pressure = recorded(below.path(), "BOTH", TestKind::PressureDecay);
    let elsewhere = scratch();
    let evacuation = recorded(elsewhere.path(), "BOTH", TestKind::Evacuation);
    let (pressure, evacuation) = (
        pressure.to_str().expect("UTF-8"),
        evacuation.to_str().expect("UTF-8"),
    );
    for (first, other) in [(pressure, evacuation), (evacuation, pressure)] {
        let out = scratch();
        report(first, out.path(), &["--with", other]).expect(0);
        let html = text(out.path(), "sheet.html");
        assert_eq!(html.matches("<main>").count(), 2);
        assert!(html.contains("Pressure test record") && html.contains("Evacuation and hold"));
        let curve = text(out.path(), "curve.svg");
        let of_pressure = curve.contains("Pressure test,");
        assert_eq!(of_pressure, first == pressure, "the curve is of the first");
        if first == evacuation {
            assert_self_contained(&html);
            assert_well_formed(&curve);
        }
        let pdf = out.path().join("sheet.pdf");
        match std::process::Command::new("pdfinfo").arg(pdf).output() {
            Ok(said) => {
                let said = String::from_utf8_lossy(&said.stdout).into_owned();
                let pages = said.lines().find(|l| l.starts_with("Pages:"));
                assert!(pages.is_some_and(|p| p.ends_with(" 2")), "{said}");
            }
            Err(e) => skipped_tests::skip(format_args!("pdfinfo does not run ({e})")),
        }
    }
}

#[test]
fn a_test_of_another_job_is_refused_and_nothing_is_written() {
    let (below, elsewhere, out) = (scratch(), scratch(), scratch());
    let one = recorded(below.path(), "ONE", TestKind::PressureDecay);
    let two = recorded(elsewhere.path(), "TWO", TestKind::Evacuation);
    let into = out.path().join("sheets");
    let refused = report(
        one.to_str().expect("UTF-8"),
        &into,
        &["--with", two.to_str().expect("UTF-8")],
    );
    let refused = refused.expect(1);
    let said = refused.complaint();
    assert!(
        said.contains("job TWO") && said.contains("job ONE"),
        "{said}"
    );
    assert!(!into.exists(), "nothing was drawn");
    let nowhere = report(one.to_str().expect("UTF-8"), &into, &["--with", "nowhere"]).expect(1);
    assert!(nowhere.complaint().contains("nowhere"), "{nowhere:?}");
    assert!(!into.exists());
}
