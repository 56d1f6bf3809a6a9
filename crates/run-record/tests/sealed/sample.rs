//! A run sealed once, with a key that was thrown away: it verifies for ever by the
//! public half that lies in `samples`.

use std::{
    fs,
    path::{Path, PathBuf},
};

use chrono::TimeDelta;
use run_record::{Answer, RunWriter, SealMoment, put_file, seal_run, verify_by};
use seal_keys::PublicKey;
use vacuum::{Entry, Mark, MarkKind, Pressure, Reading};

use super::{header, key, started};

const RUN: &str = "20260314T091500Z-INVENTED-sealed";
const KEY: &str = "INVENTED-shop.pem";
const FINGERPRINT: &str = "7eec-b79f-4472-4354-2283";
const DIGEST: &str = "05e78f37f8b94a85c64f75f13e8ec27e8bc918e5b815ef01e6783806c0a96015";
const ROWS: u64 = 327;

/// One reading in five seconds.
const EVERY_S: f64 = 5.0;
/// When the pump-side valve is shut, s.
const SHUT_S: f64 = 900.0;

fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples")
}

fn append(writer: &mut RunWriter, entry: &Entry) {
    let ms = (entry.elapsed_s() * 1000.0) as i64;
    let utc = started() + TimeDelta::milliseconds(ms);
    writer.append(entry, utc).unwrap();
    if let Entry::Reading(reading) = entry
        && reading.elapsed_s < SHUT_S
    {
        writer.append_beside(0, reading, utc);
    }
}

/// Makes the sample anew; only ever done for a new version of the seal, under a new
/// name.
#[test]
#[ignore = "makes a sample; the one that is there must not change"]
fn make_the_sample() {
    let mut writer = RunWriter::create(
        &samples().join("runs"),
        &header("INVENTED-sealed"),
        started(),
    )
    .unwrap();
    for i in 0..=324 {
        let elapsed_s = f64::from(i) * EVERY_S;
        let held = (elapsed_s - SHUT_S).max(0.0);
        let pulled = elapsed_s.min(SHUT_S);
        let micron = 190.0 + 18_000.0 * (-pulled / 90.0).exp() + held / 30.0;
        if elapsed_s == SHUT_S {
            for kind in [MarkKind::PumpSideShut, MarkKind::PumpStopped] {
                let note = String::new();
                let mark = Mark {
                    elapsed_s,
                    kind,
                    note,
                };
                append(&mut writer, &Entry::Mark(mark));
            }
        }
        let pressure = Pressure::from_micron(micron.round()).unwrap();
        append(
            &mut writer,
            &Entry::Reading(Reading::measured(elapsed_s, pressure)),
        );
    }
    let run = writer.finish().unwrap();
    put_file(
        &run.folder,
        "as-found.txt",
        b"Invented: lower joint oily.\n",
    )
    .unwrap();
    let key = key();
    let moment = SealMoment::AtTheEnd {
        last_link: run.last_link,
    };
    let sealed = started() + TimeDelta::minutes(28);
    seal_run(&run.folder, &key, "dryhold 0.1.0", sealed, moment).unwrap();
    fs::write(samples().join(KEY), key.public().to_pem().unwrap()).unwrap();
}

fn shop() -> PublicKey {
    PublicKey::read(&samples().join(KEY)).unwrap()
}

#[test]
fn the_sealed_sample_verifies_for_ever() {
    let found = verify_by(&samples().join("runs").join(RUN), Some(&shop())).unwrap();
    assert_eq!(found.answer(true), Answer::AsSealed);
    assert_eq!(found.rows, ROWS);
    let seal = found.seal.seal().unwrap();
    assert_eq!(seal.key.fingerprint(), FINGERPRINT);
    assert_eq!(seal.record_sha256, DIGEST);
    let other = key().public();
    let found = verify_by(&samples().join("runs").join(RUN), Some(&other)).unwrap();
    assert_eq!(found.answer(true), Answer::OtherKey);
}

#[test]
fn an_edited_copy_of_the_sealed_sample_is_caught_and_its_row_named() {
    let folder = tempfile::tempdir().unwrap();
    for entry in fs::read_dir(samples().join("runs").join(RUN)).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, folder.path().join(path.file_name().unwrap())).unwrap();
    }
    let trace = folder.path().join("trace.csv");
    let text = fs::read_to_string(&trace).unwrap();
    let edited = text.replacen(",204,", ",201,", 1);
    assert_ne!(text, edited);
    fs::write(&trace, edited).unwrap();
    let found = verify_by(folder.path(), Some(&shop())).unwrap();
    assert_eq!(found.answer(true), Answer::Altered);
    let row = 1 + text.lines().position(|l| l.contains(",204,")).unwrap() as u64;
    let (file, change) = found.first_change().unwrap();
    assert_eq!((file, change.from), ("trace.csv", row));
}
