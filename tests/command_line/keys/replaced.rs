//! Keys that are replaced and revoked, and lists of keys that are not trusted.

use std::fs;

use super::Shop;
use crate::{
    logger::wait_until,
    run::{Ran, command, only_run},
};

#[test]
fn a_desk_with_an_old_key_takes_the_new_one_by_its_statement() {
    let shop = Shop::new();
    let (first, before) = (shop.fingerprint(), shop.seal("run-1"));
    let said = shop.key(&["--replace"]).expect(0).out;
    assert!(
        said.contains(&format!("The key {first} was replaced")),
        "{said}"
    );
    let (second, after) = (shop.fingerprint(), shop.seal("run-2"));
    let ran = shop.check(&after, &[]).expect(12);
    assert!(ran.out.contains("SEALED BY ANOTHER KEY"), "{}", ran.out);
    // what is handed on lies beside the public key, and alone lets nobody in
    let out = shop.file("new.pem", "");
    let said = shop.key(&["--out", &out]).expect(0).out;
    let statement = out.replace(".pem", ".statement");
    assert!(said.contains(&statement), "{said}");
    let alone = shop.dryhold(&["verify", &after, "--public-key", &statement]);
    assert!(alone.expect(2).complaint().contains("only statements"));
    fs::copy(&statement, shop.at_the_desk("shop.statement")).expect("copied");
    let ran = shop.check(&after, &[]).expect(0);
    let words = format!("Sealed by the key {second}, which replaced {first} on 20");
    assert!(ran.out.contains(&words), "{}", ran.out);
    shop.check(&before, &[]).expect(0);
    let whole = shop.check(&shop.runs.to_string_lossy(), &[]).expect(0);
    assert!(whole.out.contains(&words), "{}", whole.out);
    let register = format!("keys {first}, then {second}: numbers 1 to 2 were given; none is");
    assert!(whole.out.contains(&register), "{}", whole.out);
    let json = shop.check(&after, &["--json"]).expect(0).json();
    assert_eq!(json["seal"]["known_by"][0]["old"], first.as_str());
    assert_eq!(json["seal"]["by_given_key"], true);
    // a desk that has the new key only, in one file with the statement
    let both = [&out, &statement].map(|f| fs::read_to_string(f).expect("text"));
    let both = shop.file("both.pem", &both.concat());
    for run in [&before, &after] {
        shop.dryhold(&["verify", run, "--public-key", &both])
            .expect(0);
    }
    // and once more
    shop.key(&["--replace"]).expect(0);
    let (third, last) = (shop.fingerprint(), shop.seal("run-3"));
    shop.check(&last, &[]).expect(12);
    shop.key(&["--out", &out]).expect(0);
    fs::copy(&statement, shop.at_the_desk("shop.statement")).expect("copied");
    let ran = shop.check(&last, &[]).expect(0);
    assert!(
        ran.out
            .contains(&format!("{third}, which replaced {second}")),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains(&format!("; {second} replaced {first}")),
        "{}",
        ran.out
    );
}

#[test]
fn a_seal_by_a_key_after_it_was_replaced_is_12() {
    let shop = Shop::new();
    let first = shop.fingerprint();
    let copy = shop.file(
        "copy.pem",
        &fs::read_to_string(shop.key_file()).expect("a key"),
    );
    shop.key(&["--replace", "--out", &shop.at_the_desk("new.pem")])
        .expect(0);
    fs::remove_file(shop.desk.join("new.pem")).expect("the statement stays");
    // the shop's own program refuses, also with the key that lies aside
    let aside = format!("dryhold/seal-key.replaced-{first}.pem");
    let aside = shop.home.join(aside);
    let run = shop.run("run-1");
    let refused = shop.dryhold(&["seal", &run, "--key", &aside.to_string_lossy()]);
    assert!(refused.expect(1).complaint().contains("replaced it on"));
    // a recording says so before it begins, and a board by itself does not begin
    let (aside_name, out) = (aside.to_string_lossy(), shop.scratch.path().join("out"));
    let out = out.to_string_lossy();
    let log = [
        "log",
        "--port",
        "file:/none",
        "--dialect",
        "number-unit-line",
    ];
    let log = [&log[..], &["--out", &out, "--key", &aside_name]].concat();
    let told = shop.dryhold(&log).expect(1);
    let before = told.err.find("will be recorded, but not sealed");
    assert!(
        before < told.err.find("/none") && before.is_some(),
        "{told:?}"
    );
    let headless = [&log[..], &["--headless"]].concat();
    let refused = shop.dryhold(&headless).expect(2);
    assert!(
        refused.complaint().contains("replaced it on"),
        "{refused:?}"
    );
    // the seal must come after the second of the statement is over
    std::thread::sleep(std::time::Duration::from_millis(20));
    shop.dryhold(&["seal", &run, "--key", &copy]).expect(0);
    let ran = shop.check(&run, &[]).expect(12);
    assert!(
        ran.out.contains("A KEY THAT HAD BEEN REPLACED"),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("whoever still holds the old key"),
        "{}",
        ran.out
    );
    let json = shop.check(&run, &["--json"]).expect(12).json();
    assert_eq!(json["answer"], "key_replaced");
}

#[test]
fn a_statement_that_does_not_verify_is_named_and_let_alone() {
    let shop = Shop::new();
    let before = shop.seal("run-1");
    let out = shop.file("new.pem", "");
    shop.key(&["--replace", "--out", &out]).expect(0);
    let after = shop.seal("run-2");
    let sound = fs::read_to_string(out.replace(".pem", ".statement")).expect("a statement");
    let at = shop.at_the_desk("shop.statement");
    for broken in [
        sound.replace("stated_utc\": \"20", "stated_utc\": \"21"),
        sound[..sound.len() - 40].to_owned(),
        sound.replace("signature_old", "signature_odd"),
    ] {
        fs::write(&at, &broken).expect("written");
        let ran = shop.check(&after, &[]).expect(12);
        assert!(ran.complaint().contains("shop.statement: "), "{ran:?}");
        assert!(
            ran.out.contains("A statement on that key is not believed"),
            "{}",
            ran.out
        );
        // nobody relied on it
        let ran = shop.check(&before, &[]).expect(0);
        assert!(
            ran.complaint().contains("a statement is not believed"),
            "{ran:?}"
        );
    }
    // where not even the key can be told, and where it is no file
    for text in ["", "{\n", "x\n", &"{\n".repeat(1 << 20)] {
        fs::write(&at, text).expect("written");
        let status = if text.is_empty() { 0 } else { 2 };
        let ran = shop.check(&before, &[]).expect(status);
        assert!(
            text.is_empty() || ran.complaint().contains("shop.statement"),
            "{ran:?}"
        );
    }
    fs::remove_file(&at).expect("removed");
    rustix::fs::mkfifoat(rustix::fs::CWD, &at, rustix::fs::Mode::RUSR).expect("a pipe");
    let ran = shop.check(&before, &[]).expect(2);
    assert!(ran.complaint().contains("named pipe"), "{ran:?}");
    // a key among the statements of others lets nobody in
    fs::remove_file(&at).expect("removed");
    fs::copy(&out, &at).expect("copied");
    shop.check(&after, &[]).expect(2);
}

#[test]
fn a_desk_keeps_a_list_of_keys_that_it_does_not_trust() {
    let shop = Shop::new();
    let (key, run) = (shop.fingerprint(), shop.seal("run-1"));
    let list = |text: &str| shop.file("revoked.txt", text);
    for (entry, status) in [
        (String::new(), 0),
        ("0123-4567-89ab-cdef-0123 not this one".into(), 0),
        (format!("{key} 2200-01-01 from then on"), 0),
        (
            format!("{key} 2020-01-01 the van was broken into # call 7"),
            12,
        ),
        (key.clone(), 12),
    ] {
        let list = list(&format!("# of the desk\n{entry}\n"));
        let ran = shop.check(&run, &["--revoked", &list]).expect(status);
        // also where no key is given
        let alone = shop
            .dryhold(&["verify", &run, "--revoked", &list])
            .expect(status);
        for ran in [ran, alone] {
            let is_named = ran.out.contains("SEALED BY A KEY NOT TO BE TRUSTED")
                && ran.out.contains("revoked.txt, line 2");
            assert_eq!(is_named, status == 12, "{}", ran.out);
            let why = entry.contains("broken into");
            assert_eq!(
                ran.out.contains("the van was broken into ("),
                why,
                "{}",
                ran.out
            );
        }
    }
    let json = shop.check(&run, &["--revoked", &list(&key), "--json"]);
    assert_eq!(json.expect(12).json()["answer"], "key_revoked");
    let wrong = list(&format!("# of the desk\n{key} 1.1.2020 sold\n"));
    let ran = shop.check(&run, &["--revoked", &wrong]).expect(2);
    assert!(
        ran.complaint()
            .contains("revoked.txt, line 2: \"1.1.2020\" is no date")
    );
    shop.check(&run, &["--revoked", "/no/such/list"]).expect(2);
}

#[test]
fn a_shop_revokes_its_own_key() {
    let shop = Shop::new();
    let (key, run) = (shop.fingerprint(), shop.seal("run-1"));
    let refused = shop
        .key(&["--revoke", "0123-4567-89ab-cdef-0123"])
        .expect(2);
    assert!(refused.complaint().contains(&key), "{refused:?}");
    shop.key(&["--revoke", "me"]).expect(2);
    shop.key(&["--revoke", &key, "--since", "yesterday"])
        .expect(2);
    let out = shop.at_the_desk("shop.pem");
    let said = shop
        .key(&[
            "--revoke",
            &key,
            "--reason",
            "sold the laptop",
            "--out",
            &out,
        ])
        .expect(0)
        .out;
    assert!(said.contains("REVOKED"), "{said}");
    let ran = shop.check(&run, &[]).expect(12);
    for words in ["NOT TO BE TRUSTED", "sold the laptop", "shop.statement"] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    let refused = shop.dryhold(&["seal", &shop.run("run-2")]).expect(1);
    assert!(refused.complaint().contains("revoked on"), "{refused:?}");
    // a damaged one is not passed over
    let statement = shop.at_the_desk("shop.statement");
    let text = fs::read_to_string(&statement).expect("text");
    fs::write(&statement, text.replace("sold the", "lost the")).expect("written");
    let ran = shop.check(&run, &[]).expect(12);
    assert!(
        ran.out.contains("may revoke it, but does not verify"),
        "{}",
        ran.out
    );
    // a key that was replaced can be revoked as well, with the file that lies aside
    let said = shop.key(&["--replace"]).expect(0);
    assert!(said.complaint().contains("by telephone"), "{said:?}");
    let second = shop.fingerprint();
    shop.key(&["--replace"]).expect(0);
    shop.key(&["--revoke", &second, "--since", "2026-03-14"])
        .expect(0);
    shop.dryhold(&["seal", &shop.run("run-3")]).expect(0);
}

/// A recording goes on for hours; the key that it began with is not the one that counts.
#[test]
fn a_key_that_is_replaced_while_a_run_is_recorded_seals_by_the_new_one() {
    let shop = Shop::new();
    let out = shop.scratch.path().join("out");
    let child = command()
        .env("XDG_DATA_HOME", &shop.home)
        .args(["rehearse", "--scenario", "gross-leak", "--speed", "400"])
        .arg("--out")
        .arg(&out)
        .stdin(std::process::Stdio::null())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("it starts");
    wait_until("a run", || out.is_dir());
    shop.key(&["--replace", "--out", &shop.at_the_desk("new.pem")])
        .expect(0);
    let new = shop.fingerprint();
    let ran = Ran::of(&child.wait_with_output().expect("its end")).expect(0);
    assert!(
        ran.out.contains(&format!("Sealed by the key {new}")),
        "{ran:?}"
    );
    let run = only_run(&out);
    shop.check(&run.to_string_lossy(), &[]).expect(0);
}

/// A key that is named without its folder lies in this one, and so does its register.
#[test]
fn a_key_named_without_a_folder_has_its_register_beside_it() {
    let shop = Shop::new();
    let run = shop.run("run-1");
    let text = fs::read_to_string(shop.key_file()).expect("a key");
    shop.file("copy.pem", &text);
    let here = |arguments: &[&str]| {
        let output = command()
            .args(arguments)
            .current_dir(shop.scratch.path())
            .output();
        Ran::of(&output.expect("it starts"))
    };
    let ran = here(&["seal", &run, "--key", "copy.pem"]).expect(0);
    assert!(ran.out.contains("Number 1"), "{ran:?}");
    assert!(shop.scratch.path().join("register.csv").exists());
    here(&["key", "--key", "copy.pem", "--replace", "--out", "new.pem"]).expect(0);
    for name in ["keys.statement", "new.statement", "new.pem"] {
        assert!(shop.scratch.path().join(name).exists(), "{name}");
    }
}
