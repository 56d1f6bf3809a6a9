//! Seals through the binary: made when recording ends, checked, made later,
//! made anew with the sheet; and what each of them says.

use std::{
    fs,
    os::unix::fs::PermissionsExt,
    path::{Path, PathBuf},
};

use crate::run::{Ran, dryhold, dryhold_at, only_run, runs, scratch};

/// A key folder and one rehearsed run, sealed with its key.
struct Shop {
    _scratch: tempfile::TempDir,
    home: PathBuf,
    out: PathBuf,
    run: PathBuf,
    recorded: Ran,
}

impl Shop {
    fn new(options: &[&str]) -> Self {
        let scratch = scratch();
        let (home, out) = (scratch.path().join("home"), scratch.path().join("out"));
        let recorded = record(&home, &out, options);
        Self {
            _scratch: scratch,
            run: only_run(&out),
            home,
            out,
            recorded,
        }
    }

    fn dryhold(&self, arguments: &[&str]) -> Ran {
        dryhold_at(&self.home, arguments)
    }

    fn run(&self) -> &str {
        self.run.to_str().expect("UTF-8")
    }

    fn verify(&self, options: &[&str]) -> Ran {
        self.dryhold(&[&["verify", self.run()], options].concat())
    }

    fn public_key(&self) -> String {
        let said = self.dryhold(&["key"]).expect(0).out;
        let line = said
            .lines()
            .find(|l| l.starts_with("Public key:"))
            .expect("the key");
        line.split_whitespace().last().expect("hex").to_owned()
    }
}

/// Records the rehearsal `gross-leak`, sealed by the key that lies in `home`.
pub(crate) fn record(home: &Path, out: &Path, options: &[&str]) -> Ran {
    let out = out.to_string_lossy();
    let story = [
        "rehearse",
        "--scenario",
        "gross-leak",
        "--speed",
        "max",
        "--out",
        &out,
    ];
    dryhold_at(home, [&story, options].concat()).expect(0)
}

fn mode(path: &Path) -> u32 {
    fs::metadata(path)
        .expect("it is there")
        .permissions()
        .mode()
        & 0o777
}

#[test]
fn a_recorded_run_is_sealed_by_a_key_made_on_first_use() {
    let shop = Shop::new(&[]);
    let key = shop.home.join("dryhold/seal-key.pem");
    assert_eq!(
        (mode(&key), mode(&shop.home.join("dryhold"))),
        (0o600, 0o700)
    );
    assert!(
        shop.recorded.out.contains("Sealed by the key"),
        "{:?}",
        shop.recorded
    );
    let made = "A key to seal records with was made";
    assert!(shop.recorded.out.contains(made));

    let alone = shop.verify(&[]).expect(0);
    let first = alone.out.lines().next().expect("an answer");
    assert!(first.contains("UNCHANGED since it was sealed"), "{first}");
    for words in [
        "Anybody can make a key",
        "that the gauge was on the system",
        "Invented data",
        "Sealed at the end of recording",
    ] {
        assert!(alone.out.contains(words), "{words} in {}", alone.out);
    }
    let public = shop.public_key();
    let known = shop.verify(&["--public-key", &public]).expect(0);
    assert!(
        known.out.contains("Signed by the key you gave"),
        "{}",
        known.out
    );
    assert!(!known.out.contains("Anybody"), "{}", known.out);
    // the second run is sealed by the same key
    let again = record(&shop.home, &shop.out, &[]);
    assert!(!again.out.contains(made));
    let both = runs(&shop.out);
    let paths: Vec<&str> = both.iter().map(|p| p.to_str().expect("UTF-8")).collect();
    let all = [&["verify", "--public-key", &public], &paths[..]].concat();
    let ran = shop.dryhold(&all).expect(0);
    assert_eq!(ran.out.matches("UNCHANGED").count(), 2, "{}", ran.out);
    assert_eq!(
        ran.out.lines().count(),
        4,
        "one line each, how many of each, and the register"
    );
}

#[test]
fn a_public_key_is_handed_on_as_a_file_or_as_text() {
    let shop = Shop::new(&[]);
    let file = shop.out.join("shop.pem");
    let file = file.to_str().expect("UTF-8");
    shop.dryhold(&["key", "--out", file]).expect(0);
    assert_eq!(mode(Path::new(file)), 0o644);
    assert!(
        fs::read_to_string(file)
            .expect("written")
            .starts_with("-----BEGIN PUBLIC KEY")
    );
    shop.verify(&["--public-key", file]).expect(0);
    // the desk has no key of its own, and none is made for it
    let desk = shop.out.join("desk");
    let at_the_desk = ["verify", shop.run(), "--public-key", file];
    dryhold_at(&desk, at_the_desk).expect(0);
    assert!(!desk.exists());
    for wrong in ["no-such-file", "0123"] {
        let ran = shop.verify(&["--public-key", wrong]).expect(2);
        assert!(ran.complaint().contains("64 hexadecimal"), "{ran:?}");
    }
    let shop_key = shop.home.join("dryhold/seal-key.pem");
    let private = shop.verify(&["--public-key", shop_key.to_str().expect("UTF-8")]);
    private.expect(2);
}

#[test]
fn a_seal_by_another_key_or_none_is_12_when_a_key_is_given() {
    let (shop, other) = (Shop::new(&[]), Shop::new(&["--no-seal"]));
    let key = other.public_key();
    let ran = shop.verify(&["--public-key", &key]).expect(12);
    assert!(ran.out.contains("SEALED BY ANOTHER KEY"), "{}", ran.out);
    let ran = other.verify(&["--public-key", &key]).expect(12);
    assert!(ran.out.contains("NOT SEALED"), "{}", ran.out);
    let ran = other.verify(&[]).expect(0);
    assert!(ran.out.contains("NOT SEALED"), "{}", ran.out);
    assert!(!other.run.join("seal.json").exists());
    // several: the worst counts, each has its line
    let ran = shop
        .dryhold(&["verify", other.run(), shop.run(), "/no/such/run"])
        .expect(1);
    assert_eq!(ran.out.lines().count(), 4, "{}", ran.out);
    assert!(ran.out.contains("none is missing here"), "{}", ran.out);
    ran.complaint();
}

/// A desk that knows several shops gives all their keys at once.
#[test]
fn a_seal_may_be_by_any_of_several_keys() {
    let (shop, other) = (Shop::new(&[]), Shop::new(&[]));
    let desk = shop.out.join("desk");
    fs::create_dir(&desk).expect("a folder");
    let folder = desk.to_str().expect("UTF-8");
    shop.verify(&["--public-key", folder]).expect(2);
    for (name, of) in [("a-shop.pem", &other), ("b-shop.pem", &shop)] {
        let file = desk.join(name);
        of.dryhold(&["key", "--out", file.to_str().expect("UTF-8")])
            .expect(0);
    }
    fs::write(desk.join("notes.txt"), "not a key").expect("written");
    let ran = shop.verify(&["--public-key", folder]).expect(0);
    assert!(ran.out.contains("of b-shop.pem"), "{}", ran.out);
    let both = [shop.run(), other.run(), "--public-key", folder];
    shop.dryhold(&[&["verify"], &both[..]].concat()).expect(0);
    let (one, two) = (other.public_key(), shop.public_key());
    shop.verify(&["--public-key", &one, "--public-key", &two])
        .expect(0);
    shop.verify(&["--public-key", &one]).expect(12);
    fs::write(desk.join("c-shop.pem"), "not a key").expect("written");
    let ran = shop.verify(&["--public-key", folder]).expect(2);
    assert!(ran.complaint().contains("c-shop.pem"), "{ran:?}");
}

#[test]
fn without_a_usable_key_a_run_is_recorded_all_the_same() {
    let scratch = scratch();
    let file = scratch.path().join("file");
    fs::write(&file, "x").expect("written");
    // no folder can be made below a file
    let out = scratch.path().join("out");
    let ran = record(&file.join("home"), &out, &[]);
    assert!(ran.err.contains("recorded, but not sealed"), "{ran:?}");
    assert!(ran.out.contains("Not sealed."), "{ran:?}");
    let run = only_run(&out);
    assert!(run.join("sheet.html").is_file() && !run.join("seal.json").exists());
    dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);

    let home = scratch.path().join("home");
    dryhold_at(&home, ["key"]).expect(0);
    let key = home.join("dryhold/seal-key.pem");
    fs::set_permissions(&key, fs::Permissions::from_mode(0o644)).expect("rights");
    let open = record(&home, &scratch.path().join("open"), &[]);
    assert!(open.err.contains("chmod 600"), "{open:?}");
    assert!(
        dryhold_at(&home, ["key"])
            .expect(1)
            .complaint()
            .contains("chmod 600")
    );
    let missing = record(&home, &scratch.path().join("m"), &["--key", "/no/such/key"]);
    assert!(missing.err.contains("/no/such/key"), "{missing:?}");
}

#[test]
fn a_shop_key_seals_instead_of_ones_own() {
    let scratch = scratch();
    let shop_home = scratch.path().join("shop");
    dryhold_at(&shop_home, ["key"]).expect(0);
    let key = shop_home.join("dryhold/seal-key.pem");
    let key = key.to_str().expect("UTF-8");
    let home = scratch.path().join("own");
    let out = scratch.path().join("out");
    record(&home, &out, &["--key", key]);
    assert!(!home.exists(), "one's own key was not needed");
    let pem = scratch.path().join("public.pem");
    let pem = pem.to_str().expect("UTF-8");
    dryhold_at(&home, ["key", "--key", key, "--out", pem]).expect(0);
    let run = only_run(&out);
    dryhold_at(
        &home,
        ["verify", run.to_str().expect("UTF-8"), "--public-key", pem],
    )
    .expect(0);
}

#[test]
fn a_run_without_a_seal_is_sealed_later_once() {
    let shop = Shop::new(&["--no-seal"]);
    let ran = shop.dryhold(&["seal", shop.run()]).expect(0);
    assert!(ran.out.contains("sealed, by the key"), "{}", ran.out);
    let ran = shop.verify(&[]).expect(0);
    assert!(ran.out.contains("Sealed later"), "{}", ran.out);
    let found = shop.verify(&["--json"]).expect(0).json();
    assert_eq!(found["seal"]["later"], true);
    let seal = fs::read(shop.run.join("seal.json")).expect("the seal");
    let again = shop.dryhold(&["seal", shop.run()]).expect(0);
    assert!(again.out.contains("sealed already"), "{}", again.out);
    // a touched record gets no seal, and keeps the one it has
    fs::write(shop.run.join("job.toml"), "[job]\nid = \"x\"\n").expect("written");
    let ran = shop.dryhold(&["seal", shop.run()]).expect(1);
    assert!(ran.complaint().contains("job.toml was changed"), "{ran:?}");
    assert_eq!(
        fs::read(shop.run.join("seal.json")).expect("the seal"),
        seal
    );
    fs::remove_file(shop.run.join("seal.json")).expect("removed");
    let ran = shop.dryhold(&["seal", shop.run()]).expect(1);
    assert!(ran.complaint().contains("would vouch"), "{ran:?}");
}

#[test]
fn the_sheet_prints_the_digest_that_verify_prints() {
    let shop = Shop::new(&[]);
    let found = shop.verify(&["--json"]).expect(0).json();
    assert_eq!(found["schema"], "dryhold.verification/1");
    assert_eq!(found["answer"], "as_sealed");
    assert_eq!(found["first_change"], serde_json::Value::Null);
    let digest = found["record_sha256"].as_str().expect("a digest");
    let groups: Vec<&str> = (0..8).map(|i| &digest[8 * i..8 * i + 8]).collect();
    let sheet = fs::read_to_string(shop.run.join("sheet.html")).expect("the sheet");
    assert!(sheet.contains(&groups.join(" ")), "{digest}");
    assert!(shop.verify(&[]).out.contains(&groups.join(" ")));
}

#[test]
fn a_sheet_made_anew_keeps_the_seal_whole() {
    let shop = Shop::new(&[]);
    let sheet = shop.run.join("sheet.html");
    let whole = fs::read_to_string(&sheet).expect("the sheet");
    assert!(whole.contains("FAIL"));
    fs::write(&sheet, whole.replace("FAIL", "PASS")).expect("written");
    let ran = shop.verify(&[]).expect(12);
    let first = ran.out.lines().next().expect("an answer");
    assert!(
        first.contains("RECORD UNCHANGED, BUT sheet.html"),
        "{first}"
    );

    // made anew where it was: by the same key it is sealed again
    let ran = shop
        .dryhold(&["report", shop.run(), "--target-micron", "400"])
        .expect(0);
    assert!(
        ran.out.contains("The seal of the run covers them now"),
        "{}",
        ran.out
    );
    let ran = shop.verify(&[]).expect(0);
    assert!(ran.out.contains("made from it and sealed"), "{}", ran.out);

    // elsewhere, without the key: nothing in the folder may be touched
    let before: Vec<_> = runs(&shop.run)
        .iter()
        .map(|p| fs::read(p).expect("a file"))
        .collect();
    let desk = shop.out.join("desk");
    let refused = dryhold_at(&desk, ["report", shop.run()]).expect(2);
    assert!(refused.complaint().contains("--out DIR"), "{refused:?}");
    let elsewhere = shop.out.join("elsewhere");
    let elsewhere = elsewhere.to_str().expect("UTF-8");
    dryhold_at(&desk, ["report", shop.run(), "--out", elsewhere]).expect(0);
    let after: Vec<_> = runs(&shop.run)
        .iter()
        .map(|p| fs::read(p).expect("a file"))
        .collect();
    assert!(before == after);
    // nor may a report of something else go into a sealed run
    let other = Shop::new(&["--no-seal"]);
    other
        .dryhold(&["report", other.run(), "--out", shop.run()])
        .expect(2);
    shop.verify(&[]).expect(0);
}

/// A sample of what the library's tests do by the thousand.
#[test]
fn edits_are_caught_through_the_binary() {
    let shop = Shop::new(&[]);
    let public = shop.public_key();
    for path in runs(&shop.run) {
        let whole = fs::read(&path).expect("a file");
        for part in 0..6 {
            let mut edited = whole.clone();
            edited[part * (whole.len() - 1) / 5] ^= 1 << part;
            fs::write(&path, &edited).expect("written");
            let ran = shop.verify(&["--public-key", &public]).expect(12);
            let name = path.file_name().expect("a name").to_string_lossy();
            let first = ran.out.lines().next().expect("an answer");
            assert!(first.contains(&*name), "{name} in {first}");
        }
        fs::write(&path, &whole).expect("written");
    }
    let trace = shop.run.join("trace.csv");
    let text = fs::read_to_string(&trace).expect("the trace");
    let whole: Vec<&str> = text.lines().collect();
    for row in [2, 77, whole.len()] {
        let check = |rows: &[&str]| {
            fs::write(&trace, rows.join("\n") + "\n").expect("written");
            let ran = shop.verify(&["--json"]).expect(12).json();
            assert_eq!(ran["first_change"]["file"], "trace.csv");
            assert_eq!(ran["first_change"]["row"], row as u64, "{ran}");
        };
        check(&whole[..row - 1]);
        let mut rows = whole.clone();
        rows.remove(row - 1);
        check(&rows);
        rows.insert(row - 1, whole[30]);
        check(&rows);
        let changed = whole[row - 1].replacen(",ok,", ",over,", 1);
        if changed != whole[row - 1] {
            rows[row - 1] = &changed;
            check(&rows);
        }
    }
    fs::write(&trace, &text).expect("written");
    shop.verify(&["--public-key", &public]).expect(0);
}
