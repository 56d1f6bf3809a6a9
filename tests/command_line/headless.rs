//! A board that records by itself, and the unit file that runs it.

use std::{
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::Duration,
};

use rustix::process::Signal;

use crate::{
    full_disk::SmallDisk,
    gauge::Gauge,
    logger::Logger,
    page::Address,
    parts::measured_in,
    run::{BINARY, Row, dryhold, only_run, runs, scratch, trace},
};

const UNIT: &str = include_str!("../../samples/service/dryhold.service");

/// Lines of a gauge on a sound system: pulled down, then, from the shut valve on, held;
/// from a rehearsal.
fn sound_repair(folder: &Path) -> [Vec<(f64, f64)>; 2] {
    let out = folder.join("rehearsed");
    let below = out.to_string_lossy();
    let rehearse = ["rehearse", "--scenario", "tight-and-dry", "--speed", "max"];
    dryhold(rehearse.iter().chain(&["--no-seal", "--out", &below])).expect(0);
    let rows = trace(&only_run(&out));
    let shut = rows.iter().position(|r| r.mark == "pump_side_shut");
    let (down, held) = rows.split_at(shut.expect("the valve is shut"));
    let lines = |rows: &[Row]| {
        let pair = |r: &Row| Some((r.elapsed_s, r.micron?));
        rows.iter().filter_map(pair).collect()
    };
    [lines(down), lines(held)]
}

/// Says them some 200 times as fast as they were.
fn play(gauge: &mut Gauge, lines: &[(f64, f64)], from_s: f64) -> f64 {
    for some in lines.chunks(10) {
        let line = |(t, p): &(f64, f64)| format!("@{:.1},{p:.1},micron,21.4,ok\r\n", t + from_s);
        gauge.say(&some.iter().map(line).collect::<String>());
        std::thread::sleep(Duration::from_millis(50));
    }
    lines.last().map_or(from_s, |(t, _)| t + from_s)
}

/// The runs it made, without what the user put there.
fn made_in(out: &Path) -> Vec<PathBuf> {
    let made = |r: &PathBuf| r.is_dir() && !r.ends_with("a-users-own");
    runs(out).into_iter().filter(made).collect()
}

#[test]
fn a_run_begins_with_the_fall_ends_after_the_hold_and_the_last_one_stays() {
    let folder = scratch();
    let [down, held] = sound_repair(folder.path());
    let out = folder.path().join("runs");
    std::fs::create_dir_all(out.join("a-users-own")).expect("made");
    let mut gauge = Gauge::absent(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let options = ["--headless", "--keep-runs", "1", "--after-hold-min", "1"];
    let page = ["--view-page", "--view-marks", "--view-port", "0"];
    let options = [&options[..], &page].concat();
    let mut logger = Logger::start_on(&port, "clocked-comma-fields", &out, &options);
    logger.wait_for("Waiting for the gauge and for a falling pressure");
    gauge.plug_in();
    gauge.await_reader();
    gauge.say("@1.0,760000.0,micron,21.4,ok\r\n@2.0,759000.0,micron,21.4,ok\r\n");
    std::thread::sleep(Duration::from_millis(300));
    assert!(!logger.said().contains("Recording to"), "air is no run");
    let address = Address::of(&logger);
    // a tight system does not move when the valve is shut: somebody has to say so
    let shut = |gauge: &Gauge| {
        gauge.drain();
        std::thread::sleep(Duration::from_millis(300));
        assert_eq!(address.act("{\"stamp\":\"s\"}"), 202);
        std::thread::sleep(Duration::from_millis(300));
    };
    play(&mut gauge, &down, 10.0);
    shut(&gauge);
    let end_s = play(&mut gauge, &held, 10.0);
    logger.wait_for("Ending the run: the hold is over");
    logger.wait_for("PASS");
    let first = made_in(&out);
    assert_eq!(first.len(), 1, "{first:?}");
    // what is left under vacuum is no second run
    for i in 0..20 {
        gauge.say(&format!(
            "@{:.1},150.0,micron,21.4,ok\r\n",
            end_s + f64::from(i)
        ));
        std::thread::sleep(Duration::from_millis(20));
    }
    assert_eq!(logger.said().matches("Recording to").count(), 1);
    // the next system
    let again_s = end_s + 100.0;
    gauge.say(&format!("@{again_s:.1},760000.0,micron,21.4,ok\r\n"));
    play(&mut gauge, &down, again_s + 10.0);
    shut(&gauge);
    play(&mut gauge, &held, again_s + 10.0);
    logger.wait_for("older than the runs to keep");
    let second = made_in(&out);
    assert!(second.len() == 1 && second != first, "{first:?} {second:?}");
    assert!(out.join("a-users-own").is_dir());
    dryhold(["verify".as_ref(), second[0].as_os_str()]).expect(0);
    logger.signal(Signal::TERM);
    logger.ended().expect(0);
}

#[test]
fn a_full_card_begins_no_run_and_says_so() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let options = ["--headless", "--keep-free", "999999999999"];
    let mut logger = Logger::start(gauge.path(), &out, &options);
    gauge.await_reader();
    gauge.say_micron(5_000.0);
    gauge.drain();
    std::thread::sleep(Duration::from_millis(500));
    assert!(!logger.said().contains("Recording to"));
    logger.signal(Signal::TERM);
    let ran = logger.ended().expect(0);
    assert!(
        ran.err.contains("NOT RECORDING") && ran.err.contains("--keep-free"),
        "{ran:?}"
    );
    assert!(runs(&out).iter().all(|r| !r.is_dir()), "{:?}", runs(&out));
}

#[test]
fn a_card_that_others_fill_ends_the_run_before_it_is_full() {
    let folder = scratch();
    let Some(card) = SmallDisk::mount(&folder.path().join("card"), "size=16m") else {
        return;
    };
    let out = card.0.join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let options = ["--headless", "--keep-free", "8", "--no-seal"];
    let mut logger = Logger::start(gauge.path(), &out, &options);
    gauge.await_reader();
    for micron in [760_000.0, 400_000.0, 5_000.0, 900.0] {
        gauge.say_micron(micron);
    }
    logger.wait_for("Recording to");
    // a run of its own from before: it goes first
    let older = out.join("older");
    std::fs::create_dir(&older).expect("made");
    std::fs::write(older.join("trace.csv"), vec![b'x'; 4_000_000]).expect("written");
    let ledger = out.join(".made-by-itself");
    let names = std::fs::read_to_string(&ledger).expect("there");
    std::fs::write(&ledger, format!("older\n{names}")).expect("written");
    card.take("some", 6_500_000);
    logger.wait_for("to leave room on the disk");
    assert!(!older.exists());
    gauge.say_micron(800.0);
    card.take("more", 2_500_000);
    logger.wait_for("this run goes on for now");
    gauge.say_micron(700.0);
    card.take("most", 6_200_000);
    logger.wait_for("Ending the run: the disk is nearly full");
    // in the midst of judging and drawing
    logger.signal(Signal::TERM);
    logger.ended().expect(0);
    let run = &made_in(&out)[0];
    let kept = measured_in(run);
    assert!(kept.ends_with(&[800.0, 700.0]), "{kept:?}");
    dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    assert!(run.join("sheet.pdf").is_file());
}

fn exec_start() -> Vec<&'static str> {
    let line = UNIT.lines().find_map(|l| l.strip_prefix("ExecStart="));
    line.expect("a command").split(' ').collect()
}

#[test]
fn the_command_of_the_unit_is_one_the_program_understands() {
    let folder = scratch();
    let mut gauge = Gauge::plugged_in(folder.path());
    let state = folder.path().to_string_lossy().into_owned();
    let mut words: Vec<String> = exec_start()[1..]
        .iter()
        .map(|word| match word.starts_with("/dev/") {
            true => gauge.path().to_string_lossy().into_owned(),
            false => word
                .replace("/var/lib/dryhold", &state)
                .replace("--view-lan", "--view-page"),
        })
        .collect();
    words.extend(["--view-port", "0"].map(str::to_owned));
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let mut logger = Logger::start_plain(&folder.path().join("runs"), &words);
    gauge.await_reader();
    logger.wait_for("Waiting for the gauge");
    logger.signal(Signal::TERM);
    logger.ended().expect(0);
    assert!(folder.path().join("page.key").is_file());
}

#[test]
fn the_unit_is_sound() {
    let folder = scratch();
    let unit = folder.path().join("dryhold.service");
    let program = exec_start()[0];
    std::fs::write(&unit, UNIT.replace(program, BINARY)).expect("written");
    let verified = Command::new("systemd-analyze")
        .arg("verify")
        .arg(&unit)
        .stdin(Stdio::null())
        .output();
    let Ok(verified) = verified else {
        skipped_tests::skip("systemd-analyze is not installed");
        return;
    };
    let said = String::from_utf8_lossy(&verified.stderr);
    assert!(
        verified.status.success() && said.trim().is_empty(),
        "{said}"
    );
}
