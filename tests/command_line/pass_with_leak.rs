//! A hold that passes by the rule although it leaks, and one that may be ice: what every
//! way of looking at the record says. The record is made here, of invented readings.

use std::path::{Path, PathBuf};

use chrono::{TimeZone, Utc};
use run_record::{RunHeader, RunWriter};
use vacuum::{Criteria, Entry, Job, Mark, MarkKind, Pressure, Reading};

use crate::run::{dryhold, review, scratch};

/// Pumped down to 150 micron, isolated at 900 s; `rise` gives the pressure, micron, so
/// many seconds later.
fn entries(rise: impl Fn(f64) -> f64) -> Vec<Entry> {
    let mut out = Vec::new();
    let mut state = 7_u64;
    for second in 0..1_800_u32 {
        let t = f64::from(second);
        if second == 900 {
            out.push(Entry::Mark(Mark {
                elapsed_s: t,
                kind: MarkKind::PumpSideShut,
                note: String::new(),
            }));
        }
        // noise of about half a micron
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        let noise = (state >> 11) as f64 / (1_u64 << 53) as f64 - 0.5;
        let micron = if second < 900 {
            150.0 + 700_000.0 * (-t / 40.0).exp()
        } else {
            rise(t - 900.0)
        };
        let pressure = Pressure::from_micron(micron + noise).expect("a pressure");
        out.push(Entry::Reading(Reading::measured(t, pressure)));
    }
    out
}

fn recorded(below: &Path, id: &str, entries: &[Entry], coldest_part_c: Option<f64>) -> PathBuf {
    let started = Utc.with_ymd_and_hms(2026, 3, 14, 9, 15, 0).single();
    let started = started.expect("a time");
    let header = RunHeader {
        job: Job {
            id: id.into(),
            invented: true,
            volume_l: Some(2.8),
            refrigerant: Some("R-600a".into()),
            charge_g: Some(58.0),
            coldest_part_c,
            ..Job::default()
        },
        criteria: Some(Criteria::common_practice()),
        software: "dryhold 0.1.0".into(),
        ..RunHeader::default()
    };
    let mut writer = RunWriter::create(below, &header, started).expect("a folder");
    for entry in entries {
        let passed = chrono::Duration::milliseconds((entry.elapsed_s() * 1000.0) as i64);
        writer.append(entry, started + passed).expect("a row");
    }
    let folder = writer.folder().to_owned();
    writer.finish().expect("closed");
    folder
}

#[test]
fn every_way_of_looking_says_the_leak_with_the_pass() {
    const ONE_BREATH: &str = "PASS by the rule; a leak is indicated: ";
    let below = scratch();
    let run = recorded(
        below.path(),
        "LEAK",
        &entries(|t| 150.0 + 8.0 / 60.0 * t),
        Some(20.0),
    );
    let lines = dryhold(["review".as_ref(), run.as_os_str()]).expect(0).out;
    assert!(lines.contains(ONE_BREATH), "{lines}");
    let json = review(&run, &[]).expect(0);
    let found = json.json();
    assert_eq!(found["verdict"], "pass");
    let headline = found["headline"].as_str().expect("a headline");
    assert!(
        headline.starts_with(ONE_BREATH) && headline.ends_with(" g/year"),
        "{headline}"
    );
    let codes = found["findings"].as_array().expect("findings");
    assert!(
        codes.iter().any(|f| f["code"] == "pass_with_leak"),
        "{codes:?}"
    );
    let listed = dryhold(["list".as_ref(), below.path().as_os_str()])
        .expect(0)
        .out;
    assert!(listed.contains(headline), "{listed}");
    let arguments = ["list".as_ref(), below.path().as_os_str(), "--json".as_ref()];
    let object = dryhold(arguments).expect(0).json();
    assert_eq!(object["pass_with_leak"], true);
    assert_eq!(object["headline"], headline);
    dryhold(["report".as_ref(), run.as_os_str()]).expect(0);
    let sheet = std::fs::read_to_string(run.join("sheet.html")).expect("a sheet");
    let curve = std::fs::read_to_string(run.join("curve.svg")).expect("a curve");
    for text in [&lines, &listed, &sheet, &curve, &json.out] {
        assert!(text.contains("PASS by the rule"), "{text}");
        assert!(
            text.to_lowercase().contains("a leak is indicated: "),
            "{text}"
        );
        assert!(!text.contains("weighed in"), "{text}");
    }
}

/// Ice at −25 °C stands at 474.6 micron (IAPWS R14-08).
#[test]
fn an_iced_evaporator_is_not_proven_where_its_temperature_is_known() {
    let below = scratch();
    let iced = entries(|t| 150.0 - 324.6 * (-t / 60.0).exp_m1());
    let run = recorded(below.path(), "ICE", &iced, Some(-25.0));
    let found = review(&run, &[]).expect(11).json();
    assert_eq!(found["reasons"][0], "ice_possible");
    assert!(found["findings"].to_string().contains("ice_in_hold"));
    // the option wins over the job
    let thawed = review(&run, &["--coldest-part-c", "20"]).expect(0).json();
    assert!(!thawed["findings"].to_string().contains("ice_"));
    review(&run, &["--coldest-part-c", "-61"]).expect(2);
    let unknown = recorded(below.path(), "ICE-UNKNOWN", &iced, None);
    let found = review(&unknown, &[]).expect(0).json();
    assert!(found["findings"].to_string().contains("ice_not_ruled_out"));
    assert!(!found["findings"].to_string().contains("ice_in_hold"));
}
