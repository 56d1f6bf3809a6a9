//! A recording that no terminal holds: begun in the background, looked at from a terminal,
//! stopped by name; and the gauge of the last run, which need not be said again.

use std::path::Path;

use crate::{
    gauge::Gauge,
    logger::wait_until,
    run::{Ran, dryhold_at, only_run, runs, scratch, trace},
    screen::Screen,
};

/// A folder with a gauge in it, and data of its own.
struct Place {
    folder: tempfile::TempDir,
    gauge: Gauge,
}

impl Place {
    fn new() -> Self {
        let folder = scratch();
        let gauge = Gauge::plugged_in(folder.path());
        Self { folder, gauge }
    }

    fn run(&self, arguments: &[&str]) -> Ran {
        dryhold_at(&self.folder.path().join("data"), arguments)
    }

    fn out(&self) -> String {
        self.folder.path().join("runs").display().to_string()
    }

    fn screen(&self, arguments: &[&str]) -> Screen {
        let data = self.folder.path().join("data").display().to_string();
        Screen::start((80, 24), arguments, &[("XDG_DATA_HOME", &data)])
    }
}

fn name_of(run: &Path) -> String {
    run.file_name()
        .expect("a name")
        .to_string_lossy()
        .into_owned()
}

#[test]
fn a_recording_in_the_background_is_looked_at_and_stopped_by_name() {
    let mut place = Place::new();
    let (port, out) = (place.gauge.path().display().to_string(), place.out());
    let dialect = ["--dialect", "number-unit-line", "--out", &out];
    let begun = place.run(&[&["log", "--background", "--port", &port][..], &dialect].concat());
    let begun = begun.expect(0);
    let run = only_run(Path::new(&out));
    let name = name_of(&run);
    for said in ["Recording to", "dryhold show", "dryhold stop", &name] {
        assert!(begun.out.contains(said), "{said}: {begun:?}");
    }
    place.gauge.await_reader();
    place.gauge.say_micron(468.0);
    // a terminal of somebody else's, over SSH for instance
    let mut screen = place.screen(&["show"]);
    screen.wait_for("d leave");
    place.gauge.say_micron(321.0);
    screen.wait_for("micron");
    assert!(screen.is_full());
    screen.keys("sh");
    wait_until("the marks", || {
        trace(&run)
            .iter()
            .filter(|row| !row.mark.is_empty())
            .count()
            == 2
    });
    screen.keys("d");
    screen.ended().expect(0);
    assert!(
        screen.text().contains("The recording goes on"),
        "{}",
        screen.text()
    );
    assert!(!screen.is_full());
    // nor does Ctrl-C there, or a terminal that goes away
    let mut other = place.screen(&["show", &name]);
    other.wait_for("d leave");
    other.keys("\x03");
    other.ended().expect(0);
    let lost = place.screen(&["show", &name]);
    lost.wait_for("d leave");
    drop(lost);
    place.gauge.say_micron(322.0);
    wait_until("the reading", || {
        trace(&run).iter().any(|row| row.micron == Some(322.0))
    });
    let unknown = place.run(&["stop", "nobody"]).expect(1);
    assert!(unknown.complaint().contains(&name), "{unknown:?}");
    let stopped = place.run(&["stop", &name[..10]]).expect(0);
    assert!(stopped.out.contains("NOT PROVEN"), "{stopped:?}");
    for made in ["sheet.pdf", "curve.svg", "seal.json", "findings.json"] {
        assert!(run.join(made).is_file(), "{made}");
    }
    let none = place.run(&["stop"]).expect(1);
    assert!(
        none.complaint().contains("no recording goes on"),
        "{none:?}"
    );
}

#[test]
fn the_gauge_of_the_last_run_need_not_be_said_again() {
    let place = Place::new();
    let (port, out) = (place.gauge.path().display().to_string(), place.out());
    let nothing = place.run(&["log", "--out", &out]).expect(2);
    let complaint = nothing.complaint();
    assert!(
        complaint.contains("--port") && complaint.contains("--dialect"),
        "{complaint}"
    );
    let at_once = ["--stop-after-min", "0.001", "--out", &out];
    let first = ["log", "--port", &port, "--dialect", "number-unit-line"];
    place.run(&[&first[..], &at_once].concat()).expect(0);
    let again = place.run(&[&["log"][..], &at_once].concat()).expect(0);
    let wanted = format!("Gauge as in the last run: {port}, dialect number-unit-line.");
    assert!(again.out.contains(&wanted), "{again:?}");
    assert_eq!(runs(Path::new(&out)).len(), 2);
    // a port that is another one brings no dialect with it
    let other = place
        .run(&["log", "--port", "/dev/other", "--out", &out])
        .expect(2);
    assert!(other.complaint().contains("--dialect"), "{other:?}");
}

#[test]
fn what_cannot_begin_says_why_and_leaves_nothing_behind() {
    let place = Place::new();
    let out = place.out();
    let log = [
        "log",
        "--background",
        "--dialect",
        "number-unit-line",
        "--out",
        &out,
    ];
    let refused = place.run(&[&log[..], &["--port", "/dev/nothing-here"]].concat());
    let refused = refused.expect(1);
    assert!(refused.err.contains("/dev/nothing-here"), "{refused:?}");
    let recording = place.folder.path().join("data/dryhold/recording");
    let left = std::fs::read_dir(recording).expect("there").count();
    assert_eq!(left, 0);
}
