//! What is given to a recording and is no plain small file, and numbers beyond every
//! clock: refused at once, in one line, before anything is recorded.

use std::{
    path::Path,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    run::{Ran, command, runs, scratch},
};

/// Runs it; fails where it waits.
#[track_caller]
fn at_once(arguments: &[&str]) -> Ran {
    let mut child = command()
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let begun = Instant::now();
    while child.try_wait().expect("a state").is_none() {
        if begun.elapsed() > Duration::from_secs(10) {
            child.kill().expect("a signal");
            panic!("{arguments:?}: it waits");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    Ran::of(&child.wait_with_output().expect("its end"))
}

fn pipe(at: &Path) -> String {
    let made = Command::new("mkfifo").arg(at).status();
    assert!(made.expect("mkfifo runs").success());
    at.to_string_lossy().into_owned()
}

#[test]
fn numbers_beyond_every_clock_are_refused_before_anything_is_recorded() {
    let folder = scratch();
    let gauge = Gauge::plugged_in(folder.path());
    let (port, out) = (gauge.path().to_string_lossy(), folder.path().join("runs"));
    let below = out.to_string_lossy().into_owned();
    let log = [
        "log",
        "--dialect",
        "number-unit-line",
        "--port",
        &port,
        "--out",
        &below,
    ];
    for (option, value) in [
        ("--stop-after-min", "1e300"),
        ("--stop-after-min", "inf"),
        ("--stop-after-min", "-1"),
        ("--hold-min", "1e300"),
        ("--isolated-at", "1e300"),
        ("--volume-l", "1e300"),
        ("--target-micron", "1e300"),
    ] {
        let option = format!("{option}={value}");
        let ran = at_once(&[&log[..], &[&option]].concat()).expect(2);
        assert!(
            ran.err.contains("must") || ran.err.contains("not a number"),
            "{ran:?}"
        );
    }
    for option in ["--after-hold-min=1e300", "--after-hold-min=nan"] {
        at_once(&[&log[..], &["--headless", option]].concat()).expect(2);
    }
    for speed in ["--speed=1e-300", "--speed=1e300"] {
        at_once(&["rehearse", speed]).expect(2);
    }
    assert!(runs(&out).is_empty(), "{:?}", runs(&out));
}

/// Pipes wait for whoever writes, `/dev/zero` never ends.
#[test]
fn what_is_no_plain_small_file_is_refused_at_once() {
    let folder = scratch();
    let gauge = Gauge::plugged_in(folder.path());
    let (port, out) = (gauge.path().to_string_lossy(), folder.path().join("runs"));
    let below = out.to_string_lossy().into_owned();
    let pipe = pipe(&folder.path().join("pipe.toml"));
    let large = folder.path().join("large.toml");
    let file = std::fs::File::create(&large).expect("a file");
    file.set_len(1 << 33).expect("with a hole in it");
    let large = large.to_string_lossy().into_owned();
    let to = ["log", "--out", &below];
    let dialect = ["--dialect", "number-unit-line"];
    for odd in [pipe.as_str(), "/dev/zero", &large] {
        let capture = format!("file:{odd}");
        let mut cases = vec![
            vec!["--port", &port, "--dialect", odd],
            vec![
                "--port",
                &port,
                "--dialect",
                "number-unit-line",
                "--job",
                odd,
            ],
        ];
        let mqtt = [
            "--mqtt",
            "mqtt://u@127.0.0.1:1/t",
            "--mqtt-password-file",
            odd,
        ];
        cases.push([&["--port", &port], &dialect[..], &mqtt].concat());
        cases.push(
            [
                &["--port", &port],
                &dialect[..],
                &["--view-page", "--view-key", odd],
            ]
            .concat(),
        );
        // a capture may be as large as it likes
        if odd != large {
            cases.push([&["--port", capture.as_str()], &dialect[..]].concat());
        }
        for case in cases {
            let ran = at_once(&[&to[..], &case].concat());
            assert!(matches!(ran.status, 1 | 2), "{case:?}: {ran:?}");
            assert!(!ran.err.trim().is_empty(), "{case:?}");
        }
    }
    assert!(runs(&out).is_empty(), "{:?}", runs(&out));
}

/// Also what it left in the background.
#[test]
fn a_hook_that_hangs_does_not_outlive_the_recording() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let numbers = folder.path().join("numbers");
    let shown = numbers.display();
    let hook = format!("sleep 300 & echo $! >> '{shown}'; echo $$ >> '{shown}'; sleep 300");
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = Logger::start(gauge.path(), &out, &["--on-event", &hook]);
    gauge.await_reader();
    gauge.say_micron(468.0);
    logger.wait_for_rows(1);
    gauge.unplug();
    let read = || std::fs::read_to_string(&numbers).unwrap_or_default();
    wait_until("the hook", || read().lines().count() >= 2);
    let begun = Instant::now();
    logger.interrupted().expect(0);
    assert!(begun.elapsed() < Duration::from_secs(10));
    let still = || {
        let text = read();
        let numbers: Vec<i32> = text.lines().filter_map(|n| n.parse().ok()).collect();
        numbers
            .into_iter()
            .filter_map(rustix::process::Pid::from_raw)
            .any(|pid| rustix::process::test_kill_process(pid).is_ok())
    };
    wait_until("nothing is left of the hook", || !still());
}
