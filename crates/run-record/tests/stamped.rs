//! Time stamps of seals: a sample that is good for ever, and clocks that were wrong.
//!
//! The sample's stamp was made once by `openssl ts`, for an invented authority whose
//! keys were thrown away; it needs no openssl. The others play one, or are skipped.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::{
    fs,
    path::{Path, PathBuf},
};

use chrono::{DateTime, TimeDelta, Utc};
use invented_authority::{Authority, Key, Plan};
use run_record::{
    Answer, ClockAhead, RunHeader, RunWriter, SealMoment, SealStamp, SealToStamp, StampCheck,
    Stamping, check_stamp, seal_run, verify, verify_by,
};
use seal_keys::{PublicKey, SealKey};
use tempfile::TempDir;
use time_stamp::{Request, Trusted};
use vacuum::{Entry, Job, Pressure, Reading};

const SEALED: &str = "runs/20260314T091500Z-INVENTED-sealed";
const STAMPED: &str = "runs/20260314T091500Z-INVENTED-stamped";
const ROOT: &str = "INVENTED-time-stamps.pem";

fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples")
}

fn trusting(pem: &[u8]) -> Trusted {
    let mut trusted = Trusted::none();
    trusted.add(pem).unwrap();
    trusted
}

/// What an authority answers for the seal of a run, kept in its folder.
fn stamp(folder: &Path, authority: &Authority) -> SealStamp {
    let Stamping::Needed(seal) = SealToStamp::of(folder).unwrap() else {
        panic!("stamped already");
    };
    let request = Request::new(seal.digest(), Some(7)).to_der().unwrap();
    seal.keep(&authority.answer(&request), Some(7)).unwrap()
}

/// Makes the sample anew; only ever done under a new name.
#[test]
#[ignore = "makes a sample; the one that is there must not change"]
fn make_the_sample() {
    let folder = samples().join(STAMPED);
    fs::create_dir_all(&folder).unwrap();
    for entry in fs::read_dir(samples().join(SEALED)).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, folder.join(path.file_name().unwrap())).unwrap();
    }
    let plan = Plan {
        intermediate: true,
        ..Plan::with(Key::P256)
    };
    let authority = Authority::new(plan).unwrap();
    stamp(&folder, &authority);
    fs::write(samples().join(ROOT), authority.root()).unwrap();
}

#[test]
fn the_stamped_sample_is_good_for_ever() {
    let folder = samples().join(STAMPED);
    let shop = PublicKey::read(&samples().join("INVENTED-shop.pem")).unwrap();
    let found = verify_by(&folder, Some(&shop)).unwrap();
    assert_eq!(found.answer(true), Answer::AsSealed);
    assert_eq!(found.uncovered, []);
    let root = trusting(&fs::read(samples().join(ROOT)).unwrap());
    let StampCheck::Checked(stamp) = check_stamp(&folder, &found, &root) else {
        panic!("{:?}", check_stamp(&folder, &found, &root));
    };
    assert_eq!(stamp.authority, "Invented signer");
    assert_eq!(stamp.vouched_for_by.as_deref(), Some("Invented root"));
    assert_eq!(stamp.time.format("%Y-%m-%d").to_string(), "2026-11-30");
    assert_eq!(stamp.clock_ahead, None);
    assert!(stamp.covers_products);

    let unknown = check_stamp(&folder, &found, &Trusted::none());
    let unchecked = SealStamp {
        vouched_for_by: None,
        ..stamp
    };
    assert_eq!(unknown, StampCheck::NotChecked(unchecked));
    // a trace.csv that is named means its folder
    let trace = check_stamp(&folder.join("trace.csv"), &found, &Trusted::none());
    assert_eq!(trace, unknown);
    // the same record without its stamp
    let bare = samples().join(SEALED);
    let found = verify(&bare).unwrap();
    assert_eq!(check_stamp(&bare, &found, &root), StampCheck::Absent);
}

/// A record whose clock shows `started` when it begins, sealed by one that shows
/// `sealed`.
fn sealed_run(started: DateTime<Utc>, sealed: DateTime<Utc>, moment: When) -> (TempDir, PathBuf) {
    let parent = TempDir::new().unwrap();
    let header = RunHeader {
        job: Job {
            id: "INVENTED-8".into(),
            invented: true,
            ..Job::default()
        },
        ..RunHeader::default()
    };
    let mut writer = RunWriter::create(parent.path(), &header, started).unwrap();
    for i in 0..20 {
        let pressure = Pressure::from_micron(300.0).unwrap();
        let reading = Reading::measured(f64::from(i), pressure);
        let utc = started + TimeDelta::seconds(i64::from(i));
        writer.append(&Entry::Reading(reading), utc).unwrap();
    }
    let run = writer.finish().unwrap();
    let (key, _) = SealKey::load_or_make(&parent.path().join("key.pem")).unwrap();
    let moment = match moment {
        When::AtTheEnd => SealMoment::AtTheEnd {
            last_link: run.last_link,
        },
        When::Later => SealMoment::Later,
    };
    seal_run(&run.folder, &key, "dryhold 0.1.0", sealed, moment).unwrap();
    (parent, run.folder)
}

#[derive(Clone, Copy)]
enum When {
    AtTheEnd,
    Later,
}

#[test]
fn a_clock_that_was_ahead_is_found_and_one_that_was_behind_cannot_be() {
    let Some(authority) = Authority::new(Plan::with(Key::P256)) else {
        return;
    };
    let now = Utc::now();
    let hours = TimeDelta::hours;
    let cases = [
        (-hours(1), -hours(1), When::AtTheEnd, None),
        // 30 s are within what is said of a clock
        (
            TimeDelta::seconds(10),
            TimeDelta::seconds(30),
            When::AtTheEnd,
            None,
        ),
        (hours(5), hours(5), When::AtTheEnd, Some(true)),
        // rows of the past, sealed later by another computer
        (-hours(1), hours(5), When::Later, Some(false)),
        (hours(5), hours(6), When::Later, Some(true)),
        // years behind: the record existed long before, for all that is known
        (-hours(40_000), -hours(40_000), When::AtTheEnd, None),
    ];
    for (row, (start, sealed, moment, ahead)) in cases.into_iter().enumerate() {
        let (_parent, folder) = sealed_run(now + start, now + sealed, moment);
        let made = stamp(&folder, &authority);
        let clock = made.clock_ahead;
        assert_eq!(clock.map(|c: ClockAhead| c.of_recorder), ahead, "row {row}");
        if let Some(clock) = clock {
            let off = clock.by - hours(5);
            assert!(
                off.abs() < TimeDelta::seconds(60) || row == 4,
                "row {row}: {off}"
            );
        }
        let found = verify(&folder).unwrap();
        assert_eq!(found.answer(false), Answer::AsSealed, "row {row}");
        let checked = check_stamp(&folder, &found, &trusting(&authority.root()));
        assert_eq!(checked.stamp().map(|s| s.clock_ahead), Some(clock));
    }
}

#[test]
fn nothing_is_stamped_twice_and_nothing_that_is_not_sealed() {
    let Some(authority) = Authority::new(Plan::with(Key::P384)) else {
        return;
    };
    let (_parent, folder) = sealed_run(Utc::now(), Utc::now(), When::AtTheEnd);
    let made = stamp(&folder, &authority);
    let Stamping::Done(found) = SealToStamp::of(&folder).unwrap() else {
        panic!("stamped");
    };
    assert_eq!(found, made);
    fs::remove_file(folder.join("seal.json")).unwrap();
    let found = verify(&folder).unwrap();
    let check = check_stamp(&folder, &found, &Trusted::none());
    assert!(matches!(check, StampCheck::DoesNotFit { .. }), "{check:?}");
    // what is left of a request shows as well that there was a seal
    fs::remove_file(folder.join("seal.tsr")).unwrap();
    assert_eq!(check_stamp(&folder, &found, &Trusted::none()), check);
    fs::remove_file(folder.join("stamped-seal.json")).unwrap();
    let refused = SealToStamp::of(&folder).unwrap_err().to_string();
    assert!(refused.contains("it is not sealed"), "{refused}");
}
