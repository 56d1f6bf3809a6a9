//! A recording that somebody tries to suspend, and one that is stopped by what cannot be
//! caught: no reading ever stands at a wrong time, and none is lost.

use std::time::{Duration, Instant};

use rustix::process::Signal;

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    run::{Row, dryhold, only_run, scratch},
    screen::Screen,
};

#[test]
#[cfg(target_os = "linux")]
fn ctrl_z_suspends_no_recording_whatever_shows_it() {
    for view in ["line", "spoken", "full"] {
        let folder = scratch();
        let out = folder.path().join("runs");
        let mut gauge = Gauge::plugged_in(folder.path());
        let (port, below) = (gauge.path().to_string_lossy(), out.to_string_lossy());
        let log = ["log", "--view", view, "--dialect", "number-unit-line"];
        let places = ["--port", &port, "--out", &below];
        let mut screen = Screen::start((80, 24), &[&log[..], &places].concat(), &[]);
        gauge.await_reader();
        // the large figures are no letters
        let shown = if view == "full" { "Gauge" } else { "Stop with" };
        screen.wait_for(shown);
        gauge.say_micron(468.0);
        wait_until("the reading", || {
            crate::logger::whole_rows(&only_run(&out)) >= 1
        });
        // what the terminal sends for Ctrl-Z
        screen.signal(Signal::TSTP);
        screen.wait_for("Not suspended");
        assert_ne!(screen.state(), 'T', "{view}");
        gauge.say_micron(455.0);
        wait_until("the reading", || {
            crate::logger::whole_rows(&only_run(&out)) >= 2
        });
        screen.signal(Signal::INT);
        screen.ended().expect(0);
    }
}

/// Also without a terminal: in a pipe, as a service.
#[test]
fn without_a_terminal_it_is_not_suspended_either() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let mut logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    // whoever says so listens once readings are taken
    gauge.say_micron(1.0);
    logger.wait_for_rows(1);
    logger.signal(Signal::TSTP);
    logger.wait_for("Not suspended");
    gauge.say_micron(2.0);
    logger.wait_for_rows(2);
    logger.stop().0.expect(0);
}

/// A gauge that says `i` micron as its `i`-th reading, and when it said which.
fn talk(gauge: &mut Gauge, said: &mut Vec<Instant>, time: Duration) {
    let until = Instant::now() + time;
    while Instant::now() < until {
        gauge.say_micron(said.len() as f64);
        said.push(Instant::now());
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// Every reading of a record stands where it was said, to within a second, and those that
/// do not stand there are named in its notes.
#[track_caller]
pub(crate) fn assert_times(rows: &[Row], said: &[Instant]) {
    let measured: Vec<(usize, f64)> = rows
        .iter()
        .filter(|r| r.state == "ok")
        .filter_map(|r| Some((r.micron? as usize, r.elapsed_s)))
        .collect();
    let (first, first_s) = *measured.first().expect("readings");
    for (i, elapsed_s) in &measured {
        let true_s = said[*i].duration_since(said[first]).as_secs_f64();
        let off_s = elapsed_s - first_s - true_s;
        assert!(off_s.abs() < 1.0, "reading {i} stands {off_s} s off");
    }
    let notes: String = rows.iter().map(|r| format!("{}, ", r.note)).collect();
    for i in 0..said.len() {
        let kept = measured.iter().any(|(n, _)| *n == i);
        let named = notes.contains(&format!(" {i} micron, "));
        assert!(kept || named, "reading {i} is lost");
    }
}

#[test]
fn a_recorder_that_was_stopped_and_goes_on_has_a_gap_and_no_wrong_time() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let mut logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    let mut said = Vec::new();
    talk(&mut gauge, &mut said, Duration::from_millis(600));
    gauge.drain();
    logger.signal(Signal::STOP);
    let stopped = said.len();
    // it waits in the port
    talk(&mut gauge, &mut said, Duration::from_millis(3_000));
    let went_on = said.len();
    logger.signal(Signal::CONT);
    talk(&mut gauge, &mut said, Duration::from_millis(1_500));
    gauge.drain();
    std::thread::sleep(Duration::from_millis(200));
    let (ran, rows) = logger.stop();
    ran.expect(0);
    assert_times(&rows, &said);
    // what was said while it stood still is in the notes, and there is a gap
    let note = rows
        .iter()
        .find(|r| r.note.contains("at times that nobody"));
    let note = &note.expect("a note").note;
    // the signal takes a moment to arrive
    for i in stopped + 3..went_on {
        assert!(note.contains(&format!(" {i} micron")), "{i} in {note}");
    }
    let gap = rows.iter().position(|r| r.state == "gap").expect("a gap");
    let behind = rows[gap..]
        .iter()
        .find(|r| r.state == "ok")
        .expect("goes on");
    let gap_s = behind.elapsed_s - rows[gap].elapsed_s;
    assert!((2.0..4.5).contains(&gap_s), "a gap of {gap_s} s");
    assert!(rows.iter().any(|r| r.note.contains("was not read for 3")));
    dryhold(["verify".as_ref(), only_run(&out).as_os_str()]).expect(0);
}

/// What carries the gauge's own time keeps it.
#[test]
fn a_gauge_with_a_clock_of_its_own_loses_nothing_to_a_pause() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let mut logger = Logger::start_on(&port, "clocked-comma-fields", &out, &[]);
    gauge.await_reader();
    let line = |gauge: &mut Gauge, i: u32| {
        let at_s = 100.0 + f64::from(i) / 10.0;
        gauge.say(&format!("@{at_s:.1},{i}.0,micron,21.4,ok\r\n"));
    };
    (0..10).for_each(|i| line(&mut gauge, i));
    gauge.drain();
    logger.signal(Signal::STOP);
    (10..30).for_each(|i| line(&mut gauge, i));
    std::thread::sleep(Duration::from_millis(2_000));
    logger.signal(Signal::CONT);
    gauge.drain();
    std::thread::sleep(Duration::from_millis(500));
    (30..40).for_each(|i| line(&mut gauge, i));
    gauge.drain();
    std::thread::sleep(Duration::from_millis(300));
    let (ran, rows) = logger.stop();
    ran.expect(0);
    let readings: Vec<&Row> = rows.iter().filter(|r| r.state == "ok").collect();
    for row in &readings {
        let i = row.micron.expect("a pressure");
        let off_s = row.elapsed_s - readings[0].elapsed_s - i / 10.0;
        assert!(off_s.abs() < 0.05, "{i}: {off_s} s off");
    }
    // the first line after a pause may be cut, and is believed only when it is not
    assert!(readings.len() >= 39, "{} readings", readings.len());
    assert!(rows.iter().any(|r| r.state == "gap"), "said all the same");
}
