use std::{collections::BTreeSet, fs, process::Command};

use chrono::TimeDelta;
use run_record::{
    Answer, Products, RunWriter, SealMoment, WrittenProducts, check_before_products, is_sealed,
    record_digest, seal_products, seal_run, verify, verify_by,
};
use vacuum::{Entry, Pressure, Reading};

use super::{Sealed, at_the_end, header, key, lines, make_products, run_of, snapshot, started};

#[test]
fn a_run_is_sealed_at_the_end_and_everything_is_covered() {
    let (_parent, run) = run_of(50);
    let key = key();
    let before = snapshot(&run.folder);
    assert!(!is_sealed(&run.folder));
    let seal = at_the_end(&run, &key).unwrap();
    assert!(is_sealed(&run.folder) && !seal.later);
    let now: Vec<_> = snapshot(&run.folder)
        .into_iter()
        .filter(|(name, _)| name != "seal.json")
        .collect();
    assert!(before == now, "nothing but the seal was written");
    let found = verify_by(&run.folder, Some(&key.public())).unwrap();
    assert_eq!(found.answer(true), Answer::AsSealed);
    assert_eq!(found.seal.seal(), Some(&seal));
    assert_eq!(found.record_sha256, seal.record_sha256);
    assert_eq!(
        seal.last_row_utc(),
        Some(started() + TimeDelta::milliseconds(24_500))
    );
    // again: nothing to do
    let again = at_the_end(&run, &key).unwrap();
    assert_eq!(again, seal);
}

/// The digest with the system's own tools, the seal with OpenSSL: nothing of
/// this program is needed to check it.
#[cfg(unix)]
#[test]
fn others_can_check_it_by_the_words_of_the_format() {
    let sealed = Sealed::of(50);
    let run = |script: &str| {
        let shell = Command::new("sh")
            .arg("-c")
            .arg(script)
            .current_dir(&sealed.folder)
            .output();
        let output = shell.unwrap();
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        (output.status.success(), said)
    };
    if !run("sha256sum --version && openssl version").0 {
        skipped_tests::skip("no sha256sum or no openssl on this machine");
        return;
    }
    let (_, said) =
        run("LC_ALL=C; export LC_ALL; sha256sum beside-*.csv job.toml trace*.csv | sha256sum");
    assert_eq!(said[..64], record_digest(&sealed.folder).unwrap());
    let pem = sealed.key.public().to_pem().unwrap();
    fs::write(sealed.folder.join(".key"), pem).unwrap();
    let check = "{ echo 'dryhold seal 1'; head -n -2 seal.json; } > .signed && \
                 tail -n 2 seal.json | cut -d '\"' -f 4 | head -n 1 | xxd -r -p > .signature && \
                 openssl pkeyutl -verify -pubin -inkey .key -rawin -in .signed -sigfile .signature";
    if !run("echo 00 | xxd -r -p").0 {
        skipped_tests::skip("no xxd on this machine");
        return;
    }
    let (right, said) = run(check);
    assert!(right, "{said}");
    let text = fs::read_to_string(sealed.folder.join("seal.json")).unwrap();
    fs::write(
        sealed.folder.join("seal.json"),
        text.replacen("dryhold 0.1.0", "dryhold 0.1.1", 1),
    )
    .unwrap();
    assert!(!run(check).0);
}

#[test]
fn a_run_cut_off_is_sealed_later_and_says_so() {
    let (_parent, run) = run_of(50);
    let trace = run.folder.join("trace.csv");
    let mut bytes = fs::read(&trace).unwrap();
    bytes.truncate(bytes.len() - 30);
    fs::write(&trace, &bytes).unwrap();
    let key = key();
    // the program that recorded would notice that this is not what it wrote
    let refused = at_the_end(&run, &key).unwrap_err().to_string();
    assert!(
        refused.contains("has changed since its last row"),
        "{refused}"
    );
    let now = started() + TimeDelta::hours(30);
    let seal = seal_run(&run.folder, &key, "dryhold 0.1.0", now, SealMoment::Later).unwrap();
    assert!(seal.later);
    assert_eq!(
        seal.sealed_utc - seal.last_row_utc().unwrap(),
        TimeDelta::milliseconds(107_976_000)
    );
    let found = verify(&run.folder).unwrap();
    assert_eq!(found.answer(false), Answer::AsSealed);
    assert_eq!(found.torn_tail.as_ref().unwrap().row, 51);
    // what the power cut left is covered too
    bytes.pop();
    fs::write(&trace, &bytes).unwrap();
    assert_eq!(verify(&run.folder).unwrap().answer(false), Answer::Altered);
}

#[test]
fn what_does_not_hold_together_is_not_sealed() {
    let (_parent, run) = run_of(50);
    let key = key();
    let trace = run.folder.join("trace.csv");
    let whole = fs::read(&trace).unwrap();
    let mut rows = lines(&whole);
    rows.remove(20);
    fs::write(&trace, rows.concat()).unwrap();
    let later = || seal_run(&run.folder, &key, "x", started(), SealMoment::Later);
    let refused = later().unwrap_err().to_string();
    assert!(
        refused.contains("row 21") && refused.contains("not sealed"),
        "{refused}"
    );
    fs::write(&trace, &whole).unwrap();
    fs::remove_file(run.folder.join("job.toml")).unwrap();
    assert!(later().unwrap_err().to_string().contains("job.toml"));
    assert!(!is_sealed(&run.folder));
}

#[test]
fn a_run_that_is_being_recorded_is_not_sealed() {
    let parent = tempfile::tempdir().unwrap();
    let mut writer = RunWriter::create(parent.path(), &header("X"), started()).unwrap();
    writer.sync().unwrap();
    let folder = writer.folder().to_owned();
    let refused = seal_run(&folder, &key(), "x", started(), SealMoment::Later).unwrap_err();
    assert!(refused.to_string().contains("is recording"), "{refused}");
    drop(writer);
    seal_run(&folder, &key(), "x", started(), SealMoment::Later).unwrap();
}

#[test]
fn a_seal_is_never_put_over_one_that_does_not_fit() {
    let sealed = Sealed::of(20);
    let again = |key| seal_run(&sealed.folder, key, "x", started(), SealMoment::Later);
    let other = key();
    let refused = again(&other).unwrap_err().to_string();
    assert!(
        refused.contains(&sealed.key.public().fingerprint()),
        "{refused}"
    );
    let seal = sealed.read("seal.json");
    sealed.write("photo.jpg", b"another");
    for key in [&sealed.key, &other] {
        let refused = again(key).unwrap_err().to_string();
        assert!(refused.contains("photo.jpg was changed"), "{refused}");
        assert!(check_before_products(&sealed.folder, key).is_err());
        let nothing = WrittenProducts::default();
        assert!(seal_products(&sealed.folder, key, started(), &nothing).is_err());
    }
    assert_eq!(sealed.read("seal.json"), seal);
}

#[test]
fn a_sheet_made_anew_is_sealed_anew_by_the_same_key_only() {
    let sealed = Sealed::of(20);
    let public = sealed.key.public();
    let first = verify(&sealed.folder)
        .unwrap()
        .seal
        .seal()
        .cloned()
        .unwrap();
    let later = started() + TimeDelta::days(2);
    // nothing made: nothing written
    let seal = sealed.read("seal.json");
    let nothing = WrittenProducts::default();
    seal_products(&sealed.folder, &sealed.key, later, &nothing).unwrap();
    assert_eq!(sealed.read("seal.json"), seal);

    let products: [(&str, &[u8]); 2] =
        [("sheet.html", b"<p>FAIL</p>\n"), ("curve.svg", b"<svg/>\n")];
    let written = make_products(&sealed.folder, &products);
    assert!(seal_products(&sealed.folder, &key(), later, &written).is_err());
    let renewed = seal_products(&sealed.folder, &sealed.key, later, &written).unwrap();
    assert_eq!(renewed.products_utc, Some(later));
    assert_eq!(renewed.sealed_utc, first.sealed_utc);
    assert_eq!(renewed.record_sha256, first.record_sha256);
    let found = verify_by(&sealed.folder, Some(&public)).unwrap();
    assert_eq!(
        (found.answer(true), found.files),
        (Answer::AsSealed, vec![])
    );

    // a touched record gets no fresh seal by way of its sheet
    sealed.write("job.toml", b"");
    let written = make_products(&sealed.folder, &products);
    assert!(seal_products(&sealed.folder, &sealed.key, later, &written).is_err());
}

/// Every key that is written stands in the format document, and the other way
/// round.
#[test]
fn the_format_document_names_every_key() {
    let document = include_str!("../../FORMAT.md");
    let (_, section) = document.split_once("## seal.json").unwrap();
    let (section, _) = section.split_once("\n## ").unwrap();
    let described: BTreeSet<&str> = section
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .filter_map(|line| line.split_once(" |").map(|(cell, _)| cell))
        .flat_map(|cell| cell.split(", "))
        .map(|key| key.trim_matches('`'))
        .collect();
    let sealed = Sealed::of(5);
    let text = String::from_utf8(sealed.read("seal.json")).unwrap();
    let written: BTreeSet<&str> = text
        .lines()
        .filter_map(|line| line.trim_start().strip_prefix('"'))
        .filter_map(|line| line.split_once("\":").map(|(key, _)| key))
        .collect();
    // told in words
    let in_words = ["kind", "bytes", "sha256", "signature"];
    for key in &written {
        let told = described.contains(key) || section.contains(&format!("`{key}`"));
        assert!(told || in_words.contains(key), "{key}");
    }
    for key in described {
        assert!(written.contains(key), "{key}");
    }
}

/// A trace over several files: each is covered, and a changed row in any of them
/// is named by its file.
#[test]
fn every_part_of_a_trace_is_sealed() {
    let (_parent, run) = run_of(30);
    let folder = run.folder.clone();
    let resumed = RunWriter::resume(&folder, started() + TimeDelta::minutes(5)).unwrap();
    let mut writer = resumed.writer;
    for i in 0..20 {
        let elapsed_s = resumed.elapsed_s + f64::from(i);
        let reading = Reading::measured(elapsed_s, Pressure::from_micron(300.0).unwrap());
        writer.append(&Entry::Reading(reading), started()).unwrap();
    }
    let run = writer.finish().unwrap();
    let key = key();
    at_the_end(&run, &key).unwrap();
    let look = || verify_by(&folder, Some(&key.public())).unwrap();
    let found = look();
    assert_eq!(found.answer(true), Answer::AsSealed);
    assert_eq!(found.rows, 30 + 22, "a gap and a note between");
    let part = folder.join("trace.2.csv");
    let whole = fs::read(&part).unwrap();
    let rows = lines(&whole);
    for at in 1..rows.len() {
        let mut edited = rows.clone();
        let middle = edited[at].len() / 2 - 8;
        edited[at][middle] ^= 1;
        fs::write(&part, edited.concat()).unwrap();
        let found = look();
        assert_eq!(found.answer(true), Answer::Altered);
        let (file, change) = found.first_change().unwrap();
        assert_eq!(
            (file, change.from, change.to),
            ("trace.2.csv", at as u64 + 1, at as u64 + 1)
        );
        // by the links alone as well
        let seal = fs::read(folder.join("seal.json")).unwrap();
        fs::remove_file(folder.join("seal.json")).unwrap();
        let (file, change) = look()
            .first_change()
            .map(|(f, c)| (f.to_owned(), c))
            .unwrap();
        assert_eq!((file.as_str(), change.from), ("trace.2.csv", at as u64 + 1));
        fs::write(folder.join("seal.json"), seal).unwrap();
    }
    fs::remove_file(&part).unwrap();
    assert_eq!(look().changes(), ["trace.2.csv is missing"]);
    fs::write(&part, &whole).unwrap();
    fs::write(folder.join("trace.3.csv"), &whole).unwrap();
    assert!(
        look()
            .changes()
            .contains(&"trace.3.csv was added".to_owned())
    );
    fs::remove_file(folder.join("trace.3.csv")).unwrap();
    assert_eq!(look().answer(true), Answer::AsSealed);
    assert!(
        RunWriter::resume(&folder, started()).is_err(),
        "nothing goes into a sealed run"
    );
}

/// As a power cut finds it: what the seal names is not all there, and nothing is there
/// that it does not name.
#[test]
fn new_products_are_sealed_before_they_have_their_names() {
    let sealed = Sealed::of(20);
    let mut products = Products::new(&sealed.folder);
    products.add("curve.svg", b"<svg/>\n").unwrap();
    // no file system takes a name so long: it cannot be placed
    let long = format!("{}.png", "curve".repeat(60));
    products.add(&long, b"png").unwrap();
    let placed = products.place_sealed(&sealed.key, started());
    placed.sealed.unwrap();
    let (path, _) = placed.failed.expect("one cannot be placed");
    assert!(path.ends_with(&long), "{}", path.display());
    let seal = String::from_utf8(sealed.read("seal.json")).unwrap();
    assert!(seal.contains(&long), "the seal came first");
    let found = verify_by(&sealed.folder, Some(&sealed.key.public())).unwrap();
    assert_eq!(found.answer(true), Answer::AsSealed, "{found}");

    // what replaces another file is sealed once it is there
    let mut products = Products::new(&sealed.folder);
    products.add("curve.svg", b"<svg></svg>\n").unwrap();
    let placed = products.place_sealed(&sealed.key, started());
    assert!(placed.sealed.is_ok() && placed.failed.is_none());
    let found = verify_by(&sealed.folder, Some(&sealed.key.public())).unwrap();
    assert_eq!(found.answer(true), Answer::AsSealed, "{found}");
}
