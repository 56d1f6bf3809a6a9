//! What a desk that checks many records reads: which repair, which verdict, sealed when,
//! invented or not; and that nothing good or empty hides what was tampered with.

use std::{
    fs,
    path::{Path, PathBuf},
};

use crate::{
    run::{Ran, dryhold_at, only_run, put_unsealed_run, scratch},
    sealing::record,
};

/// One sealed run, one whose trace was edited afterwards, one sealed later, and a folder
/// with nothing in it.
struct Desk {
    scratch: tempfile::TempDir,
    home: PathBuf,
    good: PathBuf,
    tampered: PathBuf,
    later: PathBuf,
    empty: PathBuf,
}

impl Desk {
    fn new() -> Self {
        let scratch = scratch();
        let at = |name: &str| scratch.path().join(name);
        let home = at("home");
        record(&home, &at("good"), &[]);
        record(&home, &at("tampered"), &[]);
        let (good, tampered) = (only_run(&at("good")), only_run(&at("tampered")));
        let trace = tampered.join("trace.csv");
        let text = fs::read_to_string(&trace).expect("a trace");
        let lines = text.lines().count();
        let edited = text.lines().enumerate().map(|(i, line)| match i {
            i if i == lines / 2 => line.replacen(',', ",9", 1),
            _ => line.to_owned(),
        });
        fs::write(&trace, edited.collect::<Vec<_>>().join("\n") + "\n").expect("written");
        let later = at("later/run");
        fs::create_dir_all(&later).expect("a folder");
        put_unsealed_run(&later);
        dryhold_at(&home, ["seal".as_ref(), later.as_os_str()]).expect(0);
        let empty = at("empty");
        fs::create_dir(&empty).expect("a folder");
        Self {
            home,
            good,
            tampered,
            later,
            empty,
            scratch,
        }
    }

    fn verify(&self, options: &[&str], paths: &[&Path]) -> Ran {
        let paths = paths.iter().map(|p| p.as_os_str().to_owned());
        let options = options.iter().map(Into::into);
        let all = std::iter::once("verify".into()).chain(options).chain(paths);
        dryhold_at(&self.home, all.collect::<Vec<std::ffi::OsString>>())
    }
}

fn line<'a>(ran: &'a Ran, path: &Path) -> &'a str {
    let path = path.to_str().expect("UTF-8");
    let found = ran.out.lines().find(|l| l.starts_with(path));
    found.unwrap_or_else(|| panic!("{path} in {}", ran.out))
}

#[test]
fn each_line_says_which_repair_it_is_and_what_it_shows() {
    let desk = Desk::new();
    let ran = desk
        .verify(&[], &[&desk.good, &desk.tampered, &desk.later])
        .expect(12);
    let good = line(&ran, &desk.good);
    for words in [
        "UNCHANGED since it was sealed",
        "INVENTED DEMONSTRATION.",
        "Job rehearsal-gross-leak, serial 0000-INVENTED: FAIL.",
    ] {
        assert!(good.contains(words), "{words} in {good}");
    }
    assert!(!good.contains("LATER"), "{good}");
    let later = line(&ran, &desk.later);
    assert!(
        later.contains("SEALED LATER, not by the recording."),
        "{later}"
    );
    // a verdict on rows that are not those recorded would be worth nothing
    let tampered = line(&ran, &desk.tampered);
    assert!(tampered.contains("ALTERED"), "{tampered}");
    assert!(tampered.contains("as it is now; not judged"), "{tampered}");
    assert!(!tampered.contains("FAIL"), "{tampered}");
    let all = "In all: 1 not as sealed or not to be trusted, 2 unchanged since sealed.";
    assert!(ran.out.contains(all), "{}", ran.out);
    // one by itself says the same
    let alone = desk.verify(&[], &[&desk.later]).expect(0);
    assert!(line(&alone, &desk.later).contains("SEALED LATER"));

    let json = desk
        .verify(&["--json"], &[&desk.good, &desk.tampered])
        .expect(12);
    let objects = json.json_lines();
    assert_eq!(objects[0]["verdict"], "fail");
    assert_eq!(objects[0]["job"], "rehearsal-gross-leak");
    assert_eq!(objects[0]["serial"], "0000-INVENTED");
    assert_eq!(objects[1]["verdict"], serde_json::Value::Null);
    assert_eq!(objects[1]["answer"], "altered");
}

#[test]
fn no_order_and_no_empty_folder_hides_what_was_tampered_with() {
    let desk = Desk::new();
    let (good, bad, later, empty) = (&desk.good, &desk.tampered, &desk.later, &desk.empty);
    let orders: [&[&Path]; 6] = [
        &[bad, good, empty],
        &[good, bad, empty],
        &[empty, good, bad],
        &[empty, bad, later],
        &[bad, empty],
        &[desk.scratch.path()],
    ];
    for paths in orders {
        let ran = desk.verify(&[], paths).expect(12);
        assert!(ran.out.contains("In all: 1 not as sealed"), "{}", ran.out);
    }
    // an empty folder by itself is no good record either
    let ran = desk.verify(&[], &[empty]).expect(1);
    ran.complaint();
    let ran = desk.verify(&[], &[good, empty]).expect(1);
    assert!(
        ran.out.contains("1 not a record that can be read"),
        "{}",
        ran.out
    );
    // nor does depth hide one
    let deep = desk.scratch.path().join("a/b/c/d/e/run");
    fs::create_dir_all(deep.parent().expect("a parent")).expect("folders");
    fs::rename(bad, &deep).expect("moved");
    let ran = desk.verify(&[], &[desk.scratch.path()]);
    assert!(
        ran.err.contains("too deep") && ran.err.contains("a/b/c/d"),
        "{ran:?}"
    );
}

/// `list` reads findings.json only while a seal of its own covers it, and says what was
/// edited since.
#[test]
fn a_list_says_what_was_edited_after_sealing() {
    let desk = Desk::new();
    let list = |folder: &Path, options: &[&str]| {
        let folder = folder.to_string_lossy();
        dryhold_at(&desk.home, ["list", &folder].iter().chain(options)).expect(0)
    };
    let good = desk.good.parent().expect("a folder");
    let untouched = list(good, &["--json"]).json();
    assert_eq!(untouched["edited_after_sealing"], serde_json::json!([]));
    assert_eq!(
        (&untouched["verdict"], &untouched["reviewed_now"]),
        (&"fail".into(), &false.into())
    );

    let findings = desk.good.join("findings.json");
    let text = fs::read_to_string(&findings).expect("findings");
    let forged = text.replace("\"verdict\":\"fail\"", "\"verdict\":\"pass\"");
    assert_ne!(forged, text);
    fs::write(&findings, forged).expect("written");
    let listed = list(good, &["--json"]).json();
    assert_eq!(listed["verdict"], "fail", "judged anew");
    let edited = listed["edited_after_sealing"].to_string();
    assert!(edited.contains("findings.json"), "{edited}");
    let table = list(good, &[]).out;
    assert!(table.contains("EDITED AFTER SEALING"), "{table}");

    // the job is what the list shows, and a clock set back hides no edit
    fs::write(&findings, &text).expect("written");
    let job = desk.good.join("job.toml");
    let made = fs::metadata(&job)
        .and_then(|m| m.modified())
        .expect("a time");
    let said = fs::read_to_string(&job).expect("a job");
    fs::write(&job, said.replace("INVENTED", "INVERTED")).expect("written");
    let file = fs::File::options().write(true).open(&job).expect("open");
    file.set_modified(made).expect("a time");
    let listed = list(good, &["--json"]).json();
    let edited = listed["edited_after_sealing"].to_string();
    assert!(edited.contains("job.toml"), "{edited}");
}
