//! A scale recorded beside the gauge: nothing lost, chained, sealed, read by its own reader.

use chrono::TimeDelta;
use run_record::{RunWriter, ScaleReader, ScaleUsed, Source, verify};
use vacuum::{Mass, Steadiness, Weighed, Weighing};

use super::*;

fn reading(elapsed_s: f64, value: f64) -> Entry {
    Entry::Reading(Reading::measured(elapsed_s, micron(value)))
}

fn weighing(elapsed_s: f64, g: f64) -> Weighing {
    Weighing {
        elapsed_s,
        weighed: Weighed::Mass {
            mass: Mass::from_g(g).unwrap(),
            tare: Mass::from_g(12.0),
            steadiness: Steadiness::Stable,
        },
    }
}

fn rows(folder: &Path) -> Vec<Weighing> {
    let mut reader = ScaleReader::open(folder).unwrap().expect("a scale");
    let mut all = Vec::new();
    while let Some(row) = reader.next_weighing().unwrap() {
        all.push(row);
    }
    assert!(reader.summary().chain.is_intact());
    all
}

fn with_scale() -> RunHeader {
    RunHeader {
        scale: Some(ScaleUsed {
            dialect: Some("weight-word-line".into()),
            port: Some("/dev/ttyUSB1".into()),
            left_in_hoses_g: Some(0.1),
        }),
        ..header()
    }
}

#[test]
fn what_a_scale_says_is_read_back_and_the_gauge_is_read_as_ever() {
    let parent = tempfile::tempdir().unwrap();
    let mut run = RunWriter::create(parent.path(), &with_scale(), started()).unwrap();
    let mut said = Vec::new();
    for i in 0..300_u32 {
        let elapsed_s = f64::from(i) / 10.0;
        let utc = started() + TimeDelta::milliseconds(i64::from(i) * 100);
        run.append(&reading(elapsed_s, 500.0), utc).unwrap();
        let row = weighing(elapsed_s, 4812.6 - f64::from(i) / 8.0);
        run.append_weighing(&row, utc);
        said.push(row);
    }
    let folder = run.finish().unwrap().folder;
    assert_eq!(rows(&folder), said);
    let mut source = Source::open_and_check(&folder, &Default::default()).unwrap();
    let mut readings = 0;
    while source.next_entry().unwrap().is_some() {
        readings += 1;
    }
    assert_eq!(readings, 300);
    assert_eq!(source.header().unwrap().scale, with_scale().scale);
    assert!(verify(&folder).unwrap().chain.is_intact());

    // a mass that somebody changed shows, whatever the gauge's rows say
    let path = folder.join("scale.csv");
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.starts_with("seq,elapsed_s,utc,mass_g,tare_g,state,mark,note,link\n"));
    std::fs::write(&path, text.replacen(",4812.6,", ",4812.7,", 1)).unwrap();
    let found = verify(&folder).unwrap();
    assert!(!found.chain.is_intact(), "{found:?}");
}

#[test]
fn a_record_goes_on_with_its_scale_after_a_restart() {
    let parent = tempfile::tempdir().unwrap();
    let mut run = RunWriter::create(parent.path(), &with_scale(), started()).unwrap();
    run.append(&reading(0.0, 500.0), started()).unwrap();
    run.append_weighing(&weighing(0.0, 4812.6), started());
    let folder = run.finish().unwrap().folder;
    let later = started() + TimeDelta::seconds(60);
    let mut resumed = RunWriter::resume(&folder, later).unwrap();
    resumed
        .writer
        .append_weighing(&weighing(resumed.elapsed_s, 4800.0), later);
    resumed.writer.finish().unwrap();
    let words: Vec<&str> = rows(&folder).iter().map(Weighing::word).collect();
    assert_eq!(words, ["stable", "gap", "stable"]);
    assert!(folder.join("scale.2.csv").is_file());
    assert!(verify(&folder).unwrap().chain.is_intact());
}

#[test]
fn a_run_without_a_scale_has_no_file_for_one() {
    let parent = tempfile::tempdir().unwrap();
    let mut run = RunWriter::create(parent.path(), &header(), started()).unwrap();
    run.append(&reading(0.0, 500.0), started()).unwrap();
    run.append_weighing(&weighing(0.0, 4812.6), started());
    let folder = run.finish().unwrap().folder;
    assert!(!folder.join("scale.csv").exists());
    assert!(ScaleReader::open(&folder).unwrap().is_none());
}
