//! Files that nobody sealed, beside a seal that somebody did; seals that cannot be
//! read.

use std::{fs, path::Path};

use ed25519_dalek::{Signer, SigningKey, pkcs8::DecodePrivateKey};
use run_record::{
    Answer, FileChangeKind, FileKind, Products, SealCheck, SealMoment, Verification,
    check_before_products, put_file, seal_products, seal_run, sealed_product, verify, verify_by,
};
use seal_keys::{PublicKey, SealKey};

use super::{Sealed, at_the_end, key, make_products, run_of, started};

#[track_caller]
fn assert_forged(folder: &Path, name: &str) -> Verification {
    let found = verify(folder).unwrap();
    assert_eq!(found.answer(false), Answer::ProductChanged, "{name}");
    assert!(!found.is_sound());
    assert_eq!(found.changed_products().collect::<Vec<_>>(), [name]);
    assert!(found.changes()[0].contains(name), "{:?}", found.changes());
    found
}

/// What lies there under the name of a product is never signed, whoever put it there:
/// neither when the run is sealed nor when products are made anew beside it.
#[test]
fn the_key_signs_no_product_that_this_process_has_not_made() {
    for later in [false, true] {
        let (_parent, run) = run_of(20);
        put_file(&run.folder, "sheet.pdf", b"forged").unwrap();
        let key = key();
        let sealed = match later {
            true => seal_run(&run.folder, &key, "x", started(), SealMoment::Later),
            false => at_the_end(&run, &key),
        };
        sealed.unwrap();
        assert_forged(&run.folder, "sheet.pdf");
        check_before_products(&run.folder, &key).unwrap();
        assert_forged(&run.folder, "sheet.pdf");
        let written = make_products(&run.folder, &[("curve.svg", b"<svg/>")]);
        seal_products(&run.folder, &key, started(), &written).unwrap();
        assert_forged(&run.folder, "sheet.pdf");
    }
}

/// The sheet is exchanged between the moment it is written and the moment it is sealed.
#[test]
fn what_is_sealed_is_what_was_written_not_what_lies_there() {
    let sealed = Sealed::of(20);
    let written = make_products(&sealed.folder, &[("sheet.pdf", b"drawn")]);
    sealed.write("sheet.pdf", b"forged");
    seal_products(&sealed.folder, &sealed.key, started(), &written).unwrap();
    assert_forged(&sealed.folder, "sheet.pdf");
    sealed.write("sheet.pdf", b"drawn");
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(found.answer(false), Answer::AsSealed);
}

/// A folder stands where a product should go: those that have their place are covered,
/// a sheet that was forged before stays forged.
#[test]
fn products_that_could_not_all_be_placed_sign_nothing_else() {
    let sealed = Sealed::of(20);
    sealed.write("sheet.html", b"<p>forged</p>");
    fs::create_dir(sealed.folder.join("curve.svg")).unwrap();
    let mut products = Products::new(&sealed.folder);
    for name in ["findings.json", "curve.svg", "sheet.html"] {
        products.add(name, b"drawn").unwrap();
    }
    let (written, failed) = products.place();
    assert_eq!(written.names().collect::<Vec<_>>(), ["findings.json"]);
    assert!(failed.unwrap().0.ends_with("curve.svg"));
    seal_products(&sealed.folder, &sealed.key, started(), &written).unwrap();
    let found = verify(&sealed.folder).unwrap();
    assert_eq!(found.answer(false), Answer::ProductChanged);
    let changed: Vec<&str> = found.changed_products().collect();
    assert_eq!(changed, ["sheet.html", "curve.svg"]);
    let left: Vec<_> = fs::read_dir(&sealed.folder)
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .filter(|name| name.to_string_lossy().starts_with('.'))
        .collect();
    assert!(left.is_empty(), "unfinished files are left: {left:?}");
}

/// Where the seal covers no sheet, one that was added vouches for nothing.
#[test]
fn a_product_that_is_not_sealed_is_told_whatever_its_case() {
    let (_parent, run) = run_of(20);
    at_the_end(&run, &key()).unwrap();
    let found = verify(&run.folder).unwrap();
    assert_eq!(found.answer(false), Answer::AsSealed);
    for name in [
        "sheet.pdf",
        "sheet.PDF",
        "Sheet.Html",
        "findings.json",
        "curve.jpg",
    ] {
        put_file(&run.folder, name, b"forged").unwrap();
        let found = assert_forged(&run.folder, name);
        let file = &found.files[0];
        assert_eq!(
            (file.kind, &file.change),
            (FileKind::Product, &FileChangeKind::Added)
        );
        fs::remove_file(run.folder.join(name)).unwrap();
    }
    // other names are no sheet, and are named
    put_file(&run.folder, "sheet (copy).pdf", b"x").unwrap();
    let found = verify(&run.folder).unwrap();
    assert_eq!(found.answer(false), Answer::AsSealed);
    assert_eq!(found.uncovered[0].name, "sheet (copy).pdf");
}

#[test]
fn findings_count_only_as_this_key_sealed_them() {
    let sealed = Sealed::of(20);
    let public = sealed.key.public();
    let read = || sealed_product(&sealed.folder, "findings.json", 1000, &public);
    assert_eq!(read().unwrap(), b"{}\n");
    assert!(sealed_product(&sealed.folder, "findings.json", 2, &public).is_none());
    assert!(sealed_product(&sealed.folder, "findings.json", 1000, &key().public()).is_none());
    sealed.write("findings.json", b"[]\n");
    assert!(read().is_none(), "another file of the same length");
    sealed.write("findings.json", b"{}\n");
    let trace = sealed.read("trace.csv");
    sealed.write("trace.csv", &trace[..trace.len() - 1]);
    assert!(read().is_none(), "a record of another length");
    sealed.write("trace.csv", &trace);
    assert!(read().is_some());
    let seal = sealed.read("seal.json");
    sealed.write("seal.json", &seal[..seal.len() - 1]);
    assert!(read().is_none(), "a torn seal");
}

/// The text of a seal with its first mention of `from` changed, and signed again by
/// the words of the format: what a stranger can do with a key of theirs.
fn signed_again(seal: &[u8], key: &SigningKey, (from, to): (&str, &str)) -> Vec<u8> {
    let text = std::str::from_utf8(seal).unwrap();
    let (signed, _) = text.split_once("  \"signature\"").unwrap();
    assert!(signed.contains(from));
    let signed = signed.replacen(from, to, 1);
    let signature = key.sign(format!("dryhold seal 1\n{signed}").as_bytes());
    let hex: String = signature
        .to_bytes()
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect();
    format!("{signed}  \"signature\": \"{hex}\"\n}}\n").into_bytes()
}

/// Whatever is signed and does not verify is told; the key that signed is named.
#[test]
fn a_seal_that_cannot_be_read_is_never_as_sealed() {
    let (parent, run) = run_of(20);
    let file = parent.path().join("key.pem");
    let (key, _) = SealKey::load_or_make(&file).unwrap();
    let signing = SigningKey::from_pkcs8_pem(&fs::read_to_string(file).unwrap()).unwrap();
    at_the_end(&run, &key).unwrap();
    let seal = run.folder.join("seal.json");
    let whole = fs::read(&seal).unwrap();
    let found_in = |bytes: &[u8]| {
        fs::write(&seal, bytes).unwrap();
        verify(&run.folder).unwrap()
    };
    for length in (0..whole.len()).step_by(97).chain([whole.len() - 1]) {
        let found = found_in(&whole[..length]);
        assert_eq!(found.answer(false), Answer::Altered, "{length} bytes");
    }
    let same = signed_again(&whole, &signing, ("dryhold", "dryhold"));
    assert_eq!(same, whole, "signed by the words of the format");

    let newer = ("dryhold.seal/1", "dryhold.seal/9");
    let found = found_in(&signed_again(&whole, &signing, newer));
    assert_eq!(found.answer(false), Answer::CannotTell);
    assert!(matches!(&found.seal, SealCheck::Newer { schema, .. } if schema == newer.1));
    let (public, other) = (key.public(), self::key().public());
    assert_eq!(found.seal.key(), Some(public));
    let by = |keys: &[&PublicKey]| {
        let found = verify_by(&run.folder, keys.iter().copied()).unwrap();
        found.answer(true)
    };
    assert_eq!(by(&[&public]), Answer::CannotTell);
    assert_eq!(by(&[&other]), Answer::OtherKey);
    assert_eq!(by(&[&other, &public]), Answer::CannotTell);
    // signed, and something is missing in it
    let found = found_in(&signed_again(&whole, &signing, ("moment", "monument")));
    assert_eq!(found.answer(false), Answer::Altered);
}
