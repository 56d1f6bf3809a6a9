//! Keys that are replaced and revoked: what is sealed afterwards, where the register goes
//! on, and what a cut-off replacement leaves.

use std::{
    fs,
    path::{Path, PathBuf},
};

use chrono::{DateTime, TimeDelta, Utc};
use run_record::{
    Answer, FinishedRun, SealMoment, Verification, seal_products, seal_run, verify_with,
};
use seal_keys::{
    KeyProblem, KeyRing, KeyRingParts, KeyStatement, KeyTrouble, Passphrase, PublicKey,
    RegisterEntry, SealKey, read_statements, replace_key, revoke_key, statements_to_hand_on,
};
use tempfile::TempDir;

use super::{make_products, run_of, started};

/// A shop with its key, and the runs it has sealed.
struct Shop {
    folder: TempDir,
    runs: Vec<(TempDir, FinishedRun)>,
}

fn hours(count: i64) -> DateTime<Utc> {
    started() + TimeDelta::hours(count)
}

impl Shop {
    fn new() -> Self {
        let shop = Self {
            folder: TempDir::new().unwrap(),
            runs: Vec::new(),
        };
        SealKey::load_or_make(&shop.file()).unwrap();
        shop
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join("seal-key.pem")
    }

    fn key(&self) -> SealKey {
        SealKey::load(&self.file()).unwrap()
    }

    fn replace(&self, at: DateTime<Utc>) -> PublicKey {
        let made = replace_key(&self.key(), None, "x", at).unwrap();
        assert_eq!(made.key.public(), self.key().public());
        made.key.public()
    }

    fn run(&mut self) -> PathBuf {
        // runs of different lengths are different records
        self.runs.push(run_of(5 + self.runs.len() as u32));
        self.runs.last().unwrap().1.folder.clone()
    }

    /// Seals one more run with the key in the shop's file.
    fn sealed(&mut self, at: DateTime<Utc>) -> (PathBuf, RegisterEntry) {
        let run = self.run();
        let seal = seal_run(&run, &self.key(), "x", at, SealMoment::Later).unwrap();
        (run, seal.register.unwrap())
    }

    /// What the shop hands on with its key.
    fn statements(&self) -> String {
        statements_to_hand_on(&self.file(), &self.key().public())
            .unwrap()
            .0
    }
}

/// A desk that was given a key, and these statements.
fn desk(given: &PublicKey, statements: &str) -> KeyRing {
    let stated = read_statements(statements).into_iter();
    let parts = KeyRingParts {
        given: vec![*given],
        statements: stated.map(|s| ("shop.statement".into(), s)).collect(),
        ..KeyRingParts::default()
    };
    KeyRing::new(parts, hours(1000))
}

fn look(run: &Path, desk: &KeyRing) -> (Answer, Verification) {
    let found = verify_with(run, desk).unwrap();
    (found.answer(true), found)
}

#[test]
fn the_register_goes_on_and_the_first_new_entry_shows_it() {
    let mut shop = Shop::new();
    let old = shop.key().public();
    let before = [shop.sealed(hours(1)), shop.sealed(hours(2))];
    let new = shop.replace(hours(3));
    let after = [shop.sealed(hours(4)), shop.sealed(hours(5))];
    let newest = shop.replace(hours(6));
    let last = shop.sealed(hours(7));
    let all = [&before[0], &before[1], &after[0], &after[1], &last];
    for (i, pair) in all.windows(2).enumerate() {
        assert!(pair[1].1.follows(&pair[0].1), "entry {}", i + 2);
    }
    assert_eq!(all.map(|(_, entry)| entry.number), [1, 2, 3, 4, 5]);
    let text = fs::read_to_string(shop.folder.path().join("register.csv")).unwrap();
    let keys: Vec<&str> = text.lines().skip(1).map(|l| &l[..24]).collect();
    let (a, b, c) = (old.fingerprint(), new.fingerprint(), newest.fingerprint());
    assert_eq!(keys, [&a, &a, &b, &b, &c]);
    // whoever was given any of the three keys takes all the seals
    let statements = shop.statements();
    for given in [old, new, newest] {
        for (run, entry) in all {
            let (answer, found) = look(run, &desk(&given, &statements));
            assert_eq!(answer, Answer::AsSealed, "{}: {found}", entry.number);
        }
    }
    assert_eq!(look(&last.0, &desk(&old, "")).0, Answer::OtherKey);
}

/// The files that hold them: each key its own, for its owner alone.
#[test]
fn the_old_key_lies_aside_and_seals_nothing() {
    let mut shop = Shop::new();
    let old = shop.key();
    let (sealed, _) = shop.sealed(hours(1));
    let made = replace_key(&old, None, "x", hours(3)).unwrap();
    let aside = SealKey::load(&made.old_file).unwrap();
    assert_eq!(aside.public(), old.public());
    let mut names: Vec<String> = fs::read_dir(shop.folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    let replaced = format!("seal-key.replaced-{}.pem", old.public().fingerprint());
    assert_eq!(
        names,
        ["keys.statement", "register.csv", "seal-key.pem", &replaced]
    );
    // one that was loaded before, and one loaded from its file
    let run = shop.run();
    for key in [&old, &aside] {
        let refused = seal_run(&run, key, "x", hours(4), SealMoment::Later).unwrap_err();
        assert!(
            refused.key_problem().is_some_and(KeyProblem::is_out_of_use),
            "{refused}"
        );
        let words = refused.to_string();
        assert!(words.contains(&made.key.public().fingerprint()), "{words}");
        assert!(words.contains("2026-03-14"), "{words}");
        assert!(!run.join("seal.json").exists());
        let written = make_products(&sealed, &[("findings.json", b"{}")]);
        let refused = seal_products(&sealed, key, hours(4), &written).unwrap_err();
        assert!(
            refused.key_problem().is_some_and(KeyProblem::is_out_of_use),
            "{refused}"
        );
        // nor is it replaced once more
        assert!(replace_key(key, None, "x", hours(5)).is_err());
    }
    let text = fs::read_to_string(shop.folder.path().join("register.csv")).unwrap();
    assert_eq!(text.lines().count(), 2, "no number is lost: {text}");
}

/// Somebody has a copy of the old key, without the statement beside it.
#[test]
fn what_a_thief_seals_with_the_old_key_is_named() {
    let mut shop = Shop::new();
    let old = shop.key().public();
    shop.sealed(hours(1));
    let thief = TempDir::new().unwrap();
    let copied = |name: &str| {
        let to = thief.path().join(name);
        fs::copy(shop.folder.path().join(name), &to).unwrap();
        to
    };
    let file = copied("seal-key.pem");
    copied("register.csv");
    let key = SealKey::load(&file).unwrap();
    shop.replace(hours(3));
    let desk = desk(&old, &shop.statements());
    for (at, dated_back) in [(hours(4), false), (hours(2), true)] {
        let (_parent, run) = run_of(30 + u32::from(dated_back));
        seal_run(&run.folder, &key, "x", at, SealMoment::Later).unwrap();
        let (answer, found) = look(&run.folder, &desk);
        assert_eq!(answer, Answer::KeyReplaced, "{found}");
        let by_date = matches!(found.key.trouble, Some(KeyTrouble::AfterReplacement { .. }));
        assert_eq!(by_date, !dated_back, "the number tells the other: {found}");
    }
    // a statement of the thief's own, for another key: two contradict each other
    let made = replace_key(&key, None, "x", hours(2)).unwrap();
    let forged = statements_to_hand_on(&file, &made.key.public()).unwrap().0;
    let both = format!("{}{forged}", shop.statements());
    let (run, _) = shop.sealed(hours(5));
    assert_eq!(look(&run, &self::desk(&old, &both)).0, Answer::OtherKey);
    let given_anew = self::desk(&shop.key().public(), &both);
    assert_eq!(look(&run, &given_anew).0, Answer::AsSealed);
}

#[test]
fn a_replacement_that_was_cut_off_is_brought_to_its_end() {
    let mut shop = Shop::new();
    let old = shop.key();
    shop.sealed(hours(1));
    let old_text = fs::read(shop.file()).unwrap();
    let new = shop.replace(hours(3));
    // as after a power cut: stated, and the new key not yet in its place
    let ready = shop.folder.path().join("seal-key.next.pem");
    let new_text = fs::read(shop.file()).unwrap();
    fs::rename(shop.file(), &ready).unwrap();
    let aside = format!("seal-key.replaced-{}.pem", old.public().fingerprint());
    let aside = shop.folder.path().join(aside);
    fs::rename(&aside, shop.file()).unwrap();
    assert_eq!(fs::read(shop.file()).unwrap(), old_text);
    let run = shop.run();
    let refused = seal_run(&run, &old, "x", hours(4), SealMoment::Later).unwrap_err();
    let problem = refused.key_problem();
    assert!(
        matches!(problem, Some(KeyProblem::ReplacementCutOff)),
        "{refused}"
    );
    assert_eq!(shop.replace(hours(5)), new, "the key that was stated");
    assert_eq!(fs::read(shop.file()).unwrap(), new_text);
    assert!(aside.exists() && !ready.exists());
    assert_eq!(shop.statements().matches("key-replaced").count(), 1);
    assert_eq!(shop.sealed(hours(6)).1.number, 2);
    // cut off before anything was stated: what lay ready is nobody's
    fs::write(&ready, "rubbish").unwrap();
    assert_ne!(shop.replace(hours(7)), new);
    assert!(!ready.exists());
}

#[test]
fn a_run_that_the_old_key_had_entered_gets_a_number_of_the_new_one() {
    let mut shop = Shop::new();
    let (run, _) = shop.sealed(hours(1));
    // as after a power cut between the register and the seal
    fs::remove_file(run.join("seal.json")).unwrap();
    let old = shop.key().public();
    shop.replace(hours(3));
    let seal = seal_run(&run, &shop.key(), "x", hours(4), SealMoment::Later).unwrap();
    assert_eq!(seal.register.unwrap().number, 2);
    assert_eq!(
        look(&run, &desk(&old, &shop.statements())).0,
        Answer::AsSealed
    );
}

#[test]
fn a_revoked_key_seals_nothing_and_is_named() {
    let mut shop = Shop::new();
    let old = shop.key();
    let early = shop.sealed(hours(1)).0;
    let late = shop.sealed(hours(5)).0;
    let unknown = shop.run();
    revoke_key(&old, Some(hours(3)), "van broken into", "x", hours(6)).unwrap();
    let refused = seal_run(&unknown, &old, "x", hours(7), SealMoment::Later).unwrap_err();
    assert!(
        refused.key_problem().is_some_and(KeyProblem::is_out_of_use),
        "{refused}"
    );
    assert!(refused.to_string().contains("revoked"), "{refused}");
    let statements = shop.statements();
    let desk = desk(&old.public(), &statements);
    assert_eq!(look(&early, &desk).0, Answer::AsSealed);
    let (answer, found) = look(&late, &desk);
    assert_eq!(answer, Answer::KeyRevoked);
    assert!(found.to_string().contains("van broken into"), "{found}");
    // the next key: whoever has the old one does not take it on the word of that one
    let new = shop.replace(hours(8));
    let (run, _) = shop.sealed(hours(9));
    let statements = shop.statements();
    assert_eq!(
        look(&run, &self::desk(&old.public(), &statements)).0,
        Answer::OtherKey
    );
    let given_anew = self::desk(&new, &statements);
    assert_eq!(look(&run, &given_anew).0, Answer::AsSealed);
    assert_eq!(look(&early, &given_anew).0, Answer::AsSealed);
    assert_eq!(look(&late, &given_anew).0, Answer::KeyRevoked);
}

#[test]
fn a_locked_key_is_replaced_by_a_locked_one() {
    let shop = Shop::new();
    let mut passphrase = Passphrase::new();
    b"two words"
        .iter()
        .for_each(|b| assert!(passphrase.push(*b)));
    seal_keys::set_passphrase(&shop.key(), Some(&passphrase)).unwrap();
    let old = SealKey::unlock(&shop.file(), &passphrase).unwrap();
    let made = replace_key(&old, Some(&passphrase), "x", hours(3)).unwrap();
    for file in [&shop.file(), &made.old_file] {
        assert!(SealKey::load(file).unwrap_err().is_key_locked());
        assert!(SealKey::unlock(file, &passphrase).is_ok());
    }
    assert_eq!(
        SealKey::public_half(&shop.file()).unwrap(),
        Some(made.key.public())
    );
}

#[test]
fn a_clock_that_stands_before_the_last_statement_is_named() {
    let shop = Shop::new();
    shop.replace(hours(3));
    let refused = replace_key(&shop.key(), None, "x", hours(2)).unwrap_err();
    assert!(refused.to_string().contains("clock"), "{refused}");
    shop.replace(hours(4));
}

/// A file that was damaged is not passed over: it might revoke this very key.
#[test]
fn statements_that_do_not_verify_stop_the_key_from_sealing() {
    let mut shop = Shop::new();
    shop.replace(hours(3));
    let path = shop.folder.path().join("keys.statement");
    let sound = fs::read_to_string(&path).unwrap();
    let run = shop.run();
    let key = shop.key();
    let seal = || seal_run(&run, &key, "x", hours(4), SealMoment::Later);
    for broken in [
        &sound[..300],
        &sound.replace("2026", "2027"),
        "rubbish",
        &"x".repeat(1 << 21),
    ] {
        fs::write(&path, broken).unwrap();
        let refused = seal().unwrap_err().to_string();
        assert!(refused.contains("keys.statement"), "{refused}");
        assert!(replace_key(&key, None, "x", hours(5)).is_err());
    }
    #[cfg(unix)]
    {
        fs::remove_file(&path).unwrap();
        std::os::unix::fs::symlink("/dev/zero", &path).unwrap();
        assert!(seal().is_err(), "a device");
    }
    fs::remove_file(&path).unwrap();
    fs::write(&path, &sound).unwrap();
    seal().unwrap();
}

/// What is handed on is the line of this key, not of every key in the folder.
#[test]
fn only_the_statements_of_a_key_are_handed_on() {
    let shop = Shop::new();
    let other = shop.folder.path().join("other.pem");
    let (other_key, _) = SealKey::load_or_make(&other).unwrap();
    replace_key(&other_key, None, "x", hours(1)).unwrap();
    assert_eq!(shop.statements(), "");
    let first = shop.key().public();
    let second = shop.replace(hours(2));
    let third = shop.replace(hours(3));
    let stated = read_statements(&shop.statements());
    let pairs: Vec<_> = stated
        .into_iter()
        .map(|s| match s {
            Ok(KeyStatement::Replaced(r)) => (r.old, r.new),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(pairs, [(first, second), (second, third)]);
}
