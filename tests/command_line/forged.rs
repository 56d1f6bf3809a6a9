//! Forged sheets, odd files and seals that cannot be read, through the binary: the key
//! signs nothing it did not draw, nothing waits, and the status is 12.

use std::{
    fs,
    os::unix::fs::symlink,
    path::{Path, PathBuf},
    process::Command,
    time::{Duration, Instant},
};

use crate::run::{Ran, dryhold_at, only_run, scratch};

/// A rehearsed and sealed run, with the key folder of its shop.
struct Sealed {
    _scratch: tempfile::TempDir,
    home: PathBuf,
    run: PathBuf,
}

impl Sealed {
    fn new() -> Self {
        let scratch = scratch();
        let (home, out) = (scratch.path().join("home"), scratch.path().join("out"));
        crate::sealing::record(&home, &out, &[]);
        Self {
            run: only_run(&out),
            _scratch: scratch,
            home,
        }
    }

    fn dryhold(&self, arguments: &[&str]) -> Ran {
        dryhold_at(&self.home, arguments)
    }

    fn at(&self, name: &str) -> PathBuf {
        self.run.join(name)
    }

    fn run(&self) -> &str {
        self.run.to_str().expect("UTF-8")
    }

    fn verify(&self) -> Ran {
        self.dryhold(&["verify", self.run()])
    }

    /// The first line of `verify`, which has to end with this status.
    #[track_caller]
    fn verified(&self, status: i32) -> String {
        let ran = self.verify().expect(status);
        ran.out.lines().next().expect("an answer").to_owned()
    }

    /// Another run of the same files.
    fn copy(&self) -> tempfile::TempDir {
        let copy = scratch();
        for entry in fs::read_dir(&self.run).expect("a folder") {
            let path = entry.expect("an entry").path();
            let name = path.file_name().expect("a name");
            fs::copy(&path, copy.path().join(name)).expect("copied");
        }
        copy
    }
}

/// A drawing that fails between two products, on a folder in the way: what was forged
/// before is still forged, what was drawn is sealed.
#[test]
fn a_drawing_that_fails_does_not_sign_a_forged_sheet() {
    let sealed = Sealed::new();
    fs::write(sealed.at("sheet.pdf"), "forged").expect("written");
    assert!(sealed.verified(12).contains("sheet.pdf"));
    fs::remove_file(sealed.at("curve.svg")).expect("removed");
    fs::create_dir(sealed.at("curve.svg")).expect("a folder");
    let ran = sealed.dryhold(&["report", sealed.run()]).expect(1);
    assert!(ran.err.contains("curve.svg"), "{ran:?}");
    let answer = sealed.verified(12);
    assert!(!answer.contains("UNCHANGED since"), "{answer}");
    let forged = fs::read(sealed.at("sheet.pdf")).expect("there");
    assert_eq!(forged, b"forged");
    // nor while the drawing has not begun
    let long = ["report", sealed.run(), "--isolated-at", "1e9"];
    sealed.dryhold(&long).expect(2);
    sealed.verified(12);
    // once it can be drawn, all is drawn and covered
    fs::remove_dir(sealed.at("curve.svg")).expect("removed");
    sealed.dryhold(&["report", sealed.run()]).expect(0);
    assert!(sealed.verified(0).contains("UNCHANGED since"));
}

/// Killed at any moment of drawing, a forged sheet is never signed.
#[test]
fn a_drawing_that_is_killed_does_not_sign_a_forged_sheet() {
    let sealed = Sealed::new();
    for wait_ms in [1, 10, 40, 80, 150, 250, 400, 600] {
        fs::write(sealed.at("sheet.pdf"), "forged").expect("written");
        let mut drawing = crate::run::command()
            .env("XDG_DATA_HOME", &sealed.home)
            .args(["report", sealed.run()])
            .stdout(std::process::Stdio::null())
            .spawn()
            .expect("it starts");
        std::thread::sleep(Duration::from_millis(wait_ms));
        let _ = drawing.kill();
        let _ = drawing.wait();
        let ran = sealed.verify();
        let is_forged = fs::read(sealed.at("sheet.pdf")).expect("there") == b"forged";
        // between the names and the seal the new sheet is not covered yet: 12 as well
        assert!(ran.status == 12 || !is_forged, "{wait_ms} ms: {ran:?}");
    }
    sealed.dryhold(&["report", sealed.run()]).expect(0);
    sealed.verified(0);
}

/// A sheet beside a genuine seal that covers none.
#[test]
fn a_sheet_that_the_seal_does_not_cover_is_12() {
    let sealed = Sealed::new();
    for name in [
        "sheet.pdf",
        "sheet.html",
        "findings.json",
        "curve.svg",
        "curve.png",
        "curve-small.png",
    ] {
        fs::remove_file(sealed.at(name)).expect("removed");
    }
    sealed.verified(0);
    fs::write(sealed.at("sheet.PDF"), "forged").expect("written");
    fs::write(sealed.at("odd.txt"), "x").expect("written");
    let ran = sealed.verify().expect(12);
    assert!(ran.out.contains("sheet.PDF"), "{}", ran.out);
    assert!(
        ran.out.contains("Not covered by the seal: odd.txt"),
        "{}",
        ran.out
    );
    // several paths: what is not covered is named for each
    let copy = sealed.copy();
    let copied = copy.path().to_str().expect("UTF-8");
    let ran = sealed.dryhold(&["verify", sealed.run(), copied]).expect(12);
    assert_eq!(ran.out.matches("odd.txt").count(), 2, "{}", ran.out);
    // sealed later, what lies there is drawn anew and not believed
    fs::remove_file(sealed.at("sheet.PDF")).expect("removed");
    fs::remove_file(sealed.at("seal.json")).expect("removed");
    fs::write(sealed.at("sheet.pdf"), "forged").expect("written");
    let ran = sealed.dryhold(&["seal", sealed.run()]).expect(0);
    assert!(ran.out.contains("made anew from the record"), "{}", ran.out);
    let pdf = fs::read(sealed.at("sheet.pdf")).expect("drawn");
    assert!(pdf.starts_with(b"%PDF"));
    sealed.verified(0);
}

/// `list` says what the record says, not what somebody wrote beside it.
#[test]
fn findings_that_nobody_sealed_are_not_listed() {
    let sealed = Sealed::new();
    let listed = || {
        let ran = sealed.dryhold(&["list", sealed.run(), "--json"]).expect(0);
        let run = ran.json();
        (run["verdict"].clone(), run["reviewed_now"] == true)
    };
    assert_eq!(listed(), ("fail".into(), false));
    let findings = fs::read_to_string(sealed.at("findings.json")).expect("findings");
    let forged = findings.replace("\"fail\"", "\"pass\"");
    assert_ne!(forged, findings);
    fs::write(sealed.at("findings.json"), &forged).expect("written");
    assert_eq!(listed(), ("fail".into(), true));
    fs::remove_file(sealed.at("seal.json")).expect("removed");
    assert_eq!(listed(), ("fail".into(), true));
    // sealed by somebody, which anybody can do
    let stranger = sealed.home.join("stranger");
    fs::write(sealed.at("findings.json"), &findings).expect("written");
    dryhold_at(&stranger, ["seal", sealed.run()]).expect(0);
    let ran = dryhold_at(&stranger, ["list", sealed.run(), "--json"]).expect(0);
    assert_eq!(ran.json()["reviewed_now"], false, "the stranger's own");
    assert_eq!(listed(), ("fail".into(), true));
}

/// What a command does with a folder in which `name` is odd; it may not wait.
#[track_caller]
fn at_once(home: &Path, arguments: &[&str]) -> Ran {
    let started = Instant::now();
    let ran = dryhold_at(home, arguments);
    let took = started.elapsed();
    assert!(
        took < Duration::from_secs(20),
        "{arguments:?} took {took:?}"
    );
    ran
}

/// Pipes, devices and links in the place of files: no command waits or follows.
#[test]
fn odd_files_in_a_run_folder_hold_nothing_up() {
    let sealed = Sealed::new();
    let pipe = |path: &Path| {
        let made = Command::new("mkfifo").arg(path).status();
        made.is_ok_and(|s| s.success())
    };
    for name in [
        "job.toml",
        "trace.csv",
        "trace.2.csv",
        "seal.json",
        "findings.json",
    ] {
        for kind in ["pipe", "device", "link"] {
            let copy = sealed.copy();
            let path = copy.path().join(name);
            let kept = copy.path().join("kept");
            let _ = fs::rename(&path, &kept);
            match kind {
                "pipe" if pipe(&path) => {}
                "pipe" => continue,
                "device" => symlink("/dev/zero", &path).expect("a link"),
                _ => symlink("kept", &path).expect("a link"),
            }
            let run = copy.path().to_str().expect("UTF-8");
            let ran = at_once(&sealed.home, &["verify", run]).expect(12);
            assert!(ran.out.contains(name), "{name}, {kind}: {}", ran.out);
            let is_trace = name.starts_with("trace");
            let reviewed = at_once(&sealed.home, &["review", run]);
            assert_eq!(
                reviewed.status,
                if is_trace { 1 } else { 10 },
                "{reviewed:?}"
            );
            at_once(&sealed.home, &["list", run]).expect(0);
            let out = scratch();
            let out = out.path().to_str().expect("UTF-8");
            let drawn = at_once(&sealed.home, &["report", run, "--out", out]);
            assert_eq!(
                drawn.status,
                i32::from(is_trace),
                "{name}, {kind}: {drawn:?}"
            );
        }
    }
}

/// A table that a person names may be a link; a pipe is refused at once.
#[test]
fn a_named_table_may_be_a_link_and_not_a_pipe() {
    let folder = scratch();
    let table = folder.path().join("b.csv");
    fs::write(&table, crate::curves::Curve::of("gross-leak").plain()).expect("written");
    let by_link = folder.path().join("l.csv");
    symlink("b.csv", &by_link).expect("a link");
    let home = folder.path().join("home");
    let review = |path: &Path| at_once(&home, &["review", path.to_str().expect("UTF-8")]);
    assert_eq!(review(&by_link).status, review(&table).status);
    let zero = review(Path::new("/dev/zero")).expect(1);
    assert!(zero.complaint().contains("it is a device"), "{zero:?}");
}

/// Whatever is sealed and cannot be checked is 12, and 12 is not hidden by an error.
#[test]
fn what_is_sealed_and_cannot_be_checked_is_12() {
    let sealed = Sealed::new();
    let ran = sealed.dryhold(&["verify", "/no/such/run", sealed.run()]);
    ran.expect(1);
    let job = fs::read(sealed.at("job.toml")).expect("job.toml");
    let grown = [&job[..], &vec![b'\n'; 2 << 20]].concat();
    fs::write(sealed.at("job.toml"), grown).expect("written");
    assert!(sealed.verified(12).contains("job.toml"));
    for paths in [
        ["/no/such/run", sealed.run()],
        [sealed.run(), "/no/such/run"],
    ] {
        let ran = sealed.dryhold(&["verify", paths[0], paths[1]]).expect(12);
        ran.complaint();
    }
    fs::write(sealed.at("job.toml"), &job).expect("written");
    let seal = fs::read(sealed.at("seal.json")).expect("the seal");
    for torn in [0, 1, seal.len() / 2, seal.len() - 1] {
        fs::write(sealed.at("seal.json"), &seal[..torn]).expect("written");
        assert!(sealed.verified(12).contains("seal.json"));
    }
}
