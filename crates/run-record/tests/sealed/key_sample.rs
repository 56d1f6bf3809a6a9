//! Statements made once, with keys that were thrown away: they verify for ever, also by
//! a program that had no part in them.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use chrono::{DateTime, TimeDelta, Utc};
use run_record::{SealMoment, seal_run};
use seal_keys::{
    KeyRing, KeyRingParts, KeyStatement, PublicKey, SealKey, read_statements, replace_key,
    revoke_key,
};
use tempfile::TempDir;

use super::{run_of, started};

const FIRST: &str = "INVENTED-first.pem";
const STATEMENTS: &str = "INVENTED-shop.statement";
/// Fingerprints of the three keys, one replaced by the next.
const FINGERPRINTS: [&str; 3] = [
    "c8f6-554e-9fe5-d2dc-9723",
    "fde9-6c63-1c3b-ca24-5063",
    "96d5-c0d3-934d-58e5-d47e",
];

fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/keys")
}

fn days(count: i64) -> DateTime<Utc> {
    started() + TimeDelta::days(count)
}

/// Makes the sample anew; only ever done for a new version of the statements, under a
/// new name.
#[test]
#[ignore = "makes a sample; the one that is there must not change"]
fn make_the_sample() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("key.pem");
    let (first, _) = SealKey::load_or_make(&file).unwrap();
    let software = "dryhold 0.1.0";
    let (_parent, run) = run_of(5);
    seal_run(&run.folder, &first, software, days(1), SealMoment::Later).unwrap();
    let second = replace_key(&first, None, software, days(30)).unwrap();
    replace_key(&second.key, None, software, days(60)).unwrap();
    let aside = SealKey::load(&second.old_file).unwrap();
    let reason = "invented: the van was broken into";
    revoke_key(&aside, Some(days(40)), reason, software, days(61)).unwrap();
    fs::create_dir_all(samples()).unwrap();
    let pem = first.public().to_pem().unwrap();
    fs::write(samples().join(FIRST), pem).unwrap();
    let stated = folder.path().join("keys.statement");
    fs::copy(stated, samples().join(STATEMENTS)).unwrap();
}

fn text() -> String {
    fs::read_to_string(samples().join(STATEMENTS)).unwrap()
}

fn first() -> PublicKey {
    PublicKey::read(&samples().join(FIRST)).unwrap()
}

#[test]
fn the_statements_of_the_sample_verify_for_ever() {
    let stated: Vec<KeyStatement> = read_statements(&text())
        .into_iter()
        .map(Result::unwrap)
        .collect();
    let [
        KeyStatement::Replaced(one),
        KeyStatement::Replaced(two),
        KeyStatement::Revoked(revoked),
    ] = &stated[..]
    else {
        panic!("{stated:?}");
    };
    let keys = [one.old, one.new, two.new];
    assert_eq!(keys.map(|k| k.fingerprint()), FINGERPRINTS);
    assert_eq!((one.old, one.new, revoked.key), (first(), two.old, first()));
    assert_eq!((one.stated_utc, two.stated_utc), (days(30), days(60)));
    for stated in [one, two] {
        assert_eq!(stated.register.as_ref().map(|end| end.number), Some(1));
    }
    assert_eq!(revoked.since_utc, Some(days(40)));
    assert_eq!(revoked.reason, "invented: the van was broken into");
    let ring = |given| {
        let stated = read_statements(&text()).into_iter();
        let parts = KeyRingParts {
            given: vec![given],
            statements: stated.map(|s| (STATEMENTS.into(), s)).collect(),
            ..KeyRingParts::default()
        };
        KeyRing::new(parts, days(100))
    };
    // the first key was revoked: it vouches for no other; the last one does
    let known = |ring: &KeyRing| keys.map(|k| ring.knows(&k) == Some(true));
    assert_eq!(known(&ring(keys[0])), [true, false, false]);
    assert_eq!(known(&ring(keys[2])), [true, true, true]);
}

/// Every key that is written stands in the format document, and the other way round.
#[test]
fn the_format_document_names_every_key_of_a_statement() {
    let document = include_str!("../../FORMAT.md");
    let (_, section) = document.split_once("\n### Statements").unwrap();
    let (section, _) = section.split_once("\n### ").unwrap();
    let described: BTreeSet<&str> = section
        .lines()
        .filter(|line| line.starts_with("| `") && !line.contains("dryhold."))
        .filter_map(|line| line.split(" | ").next())
        .flat_map(|cell| cell.trim_start_matches("| ").split(", "))
        .map(|key| key.trim_matches('`'))
        .collect();
    let text = text();
    let written: BTreeSet<&str> = text
        .lines()
        .filter_map(|line| line.trim_start().strip_prefix('"'))
        .filter_map(|line| line.split_once("\":").map(|(key, _)| key))
        .collect();
    let others = ["series", "number", "link"];
    let others = written
        .iter()
        .copied()
        .filter(|key| others.contains(key) || key.starts_with("signature"));
    let others: BTreeSet<&str> = others.collect();
    for told_elsewhere in &others {
        assert!(
            section.contains(&format!("`{told_elsewhere}`"))
                || section.contains(&format!("`\"{told_elsewhere}\"`"))
        );
    }
    assert_eq!(described, &written - &others);
}

/// As FORMAT.md says what is signed; the parts are taken out here by other means.
#[test]
fn openssl_finds_the_signatures_of_the_sample_right() {
    let found = Command::new("openssl").arg("version").output();
    if !found.is_ok_and(|o| o.status.success()) {
        skipped_tests::skip("openssl is not there");
        return;
    }
    let folder = TempDir::new().unwrap();
    let path = |name: &str| folder.path().join(name);
    let bytes = |hex: &str| -> Vec<u8> {
        let pairs = (0..hex.len()).step_by(2);
        pairs
            .map(|i| u8::from_str_radix(&hex[i..i + 2], 16).unwrap())
            .collect()
    };
    let value = |statement: &str, name: &str| {
        let line = format!("  \"{name}\": \"");
        let found = statement.lines().find_map(|l| l.strip_prefix(&line));
        let (value, _) = found.unwrap().split_once('"').unwrap();
        value.to_owned()
    };
    let text = text();
    let mut checked = 0;
    for statement in text.split_inclusive("\n}\n") {
        let names: &[(&str, &str)] = match statement.contains("key-replaced") {
            true => &[("old_key", "signature_old"), ("new_key", "signature_new")],
            false => &[("key", "signature")],
        };
        let end = statement.find("  \"signature").unwrap();
        for (key, signature) in names {
            // SubjectPublicKeyInfo of an Ed25519 key is its bytes behind these twelve
            let prefix = bytes("302a300506032b6570032100");
            let public = [prefix, bytes(&value(statement, key))].concat();
            fs::write(path("key.der"), public).unwrap();
            fs::write(path("signature"), bytes(&value(statement, signature))).unwrap();
            let verifies = |signed: &str| {
                fs::write(path("signed"), format!("dryhold key statement 1\n{signed}")).unwrap();
                Command::new("openssl")
                    .args(["pkeyutl", "-verify", "-pubin", "-keyform", "DER", "-inkey"])
                    .arg(path("key.der"))
                    .arg("-rawin")
                    .arg("-in")
                    .arg(path("signed"))
                    .arg("-sigfile")
                    .arg(path("signature"))
                    .output()
                    .unwrap()
                    .status
                    .success()
            };
            assert!(verifies(&statement[..end]), "{signature} of {statement}");
            assert!(!verifies(&statement[..end - 1]), "{signature}");
            checked += 1;
        }
    }
    assert_eq!(checked, 5);
}
