//! `ports` and `listen`.

use std::{
    io::{Read, Write},
    sync::{
        Arc, Mutex,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

use serialport::{SerialPort, TTYPort};

use crate::{
    gauge::Gauge,
    logger::Logger,
    run::{dryhold, scratch},
};

#[test]
fn ports_lists_or_says_why_not() {
    let ran = dryhold(["ports"]);
    match ran.status {
        0 => assert!(!ran.out.is_empty(), "a port, or what to do"),
        1 => assert!(ran.complaint().contains("/dev/"), "{ran:?}"),
        other => panic!("status {other}: {ran:?}"),
    }
}

#[test]
fn listen_recognises_a_line_and_keeps_a_dialect_that_works() {
    let folder = scratch();
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().display().to_string();
    let stop = Arc::new(AtomicBool::new(false));
    let over = Arc::clone(&stop);
    let talker = std::thread::spawn(move || {
        let mut second = 0;
        while !over.load(Ordering::Relaxed) {
            let p = 900.0 - f64::from(second % 400);
            gauge.say(&format!("@{second}.000,{p:.1},micron,21.4,ok\r\n"));
            second += 1;
            std::thread::sleep(Duration::from_millis(50));
        }
        gauge
    });
    let kept = folder.path().join("found.toml");
    let keep = kept.display().to_string();
    let heard = dryhold(["listen", &port, "--keep", &keep]).expect(0);
    assert!(heard.out.contains("Recognised"), "{}", heard.out);
    assert!(heard.out.contains("clocked-comma-fields"), "{}", heard.out);
    assert!(heard.out.contains("sending nothing"), "{}", heard.out);

    // what was kept is a dialect the logger takes
    let out = folder.path().join("runs");
    let logged = dryhold([
        "log",
        "--port",
        &port,
        "--dialect",
        &keep,
        "--out",
        &out.to_string_lossy(),
        "--stop-after-min",
        "0.02",
    ])
    .expect(0);
    assert!(logged.out.contains("readings recorded"), "{}", logged.out);
    let rows = crate::run::trace(&crate::run::only_run(&out));
    assert!(rows.len() > 5 && rows.iter().all(|r| r.temperature_c == Some(21.4)));
    stop.store(true, Ordering::Relaxed);
    drop(talker.join());
}

#[test]
fn two_programs_on_one_port_are_told_apart_by_name() {
    let folder = scratch();
    let mut gauge = Gauge::plugged_in(folder.path());
    let out = folder.path().join("runs");
    let logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    gauge.say("500.0 micron\r\n499.0 micron\r\n");
    logger.wait_for_rows(2);
    let second = dryhold(["listen".as_ref(), gauge.path().as_os_str()]).expect(1);
    let complaint = second.complaint();
    assert!(
        complaint.contains("in use by another program"),
        "{complaint}"
    );
    #[cfg(target_os = "linux")]
    assert!(
        complaint.contains("another program, dryhold (process "),
        "{complaint}"
    );
    // the first was not disturbed
    gauge.say("498.0 micron\r\n");
    logger.wait_for_rows(3);
    let (_, rows) = logger.stop();
    assert!(rows.iter().all(|row| row.state == "ok"), "{rows:?}");
}

#[test]
fn listen_on_what_is_no_port_is_one_line() {
    let folder = scratch();
    let file = folder.path().join("file");
    std::fs::write(&file, "x").expect("written");
    for path in [folder.path(), &file, &folder.path().join("nothing")] {
        let ran = dryhold(["listen".as_ref(), path.as_os_str()]).expect(1);
        assert!(
            ran.complaint().contains(&*path.to_string_lossy()),
            "{ran:?}"
        );
    }
}

#[test]
fn a_silent_gauge_is_asked_only_if_wanted_and_what_is_sent_is_said_first() {
    let folder = scratch();
    let (mut far, near) = TTYPort::pair().expect("a pseudo-terminal");
    let port = near.name().expect("its name");
    let stop = Arc::new(AtomicBool::new(false));
    let asked = Arc::new(Mutex::new(Vec::new()));
    let (over, heard) = (Arc::clone(&stop), Arc::clone(&asked));
    let gauge = std::thread::spawn(move || {
        let mut chunk = [0; 64];
        while !over.load(Ordering::Relaxed) {
            let Ok(count) = far.read(&mut chunk) else {
                std::thread::sleep(Duration::from_millis(5));
                continue;
            };
            let mut heard = heard.lock().expect("a lock");
            heard.extend_from_slice(&chunk[..count]);
            if heard.ends_with(b"?07\r") {
                // 5.123e2 Pa, well: the first line of the sample capture
                far.write_all(b"0751231020u\r").expect("an answer");
            }
        }
    });
    let quiet = dryhold(["listen", &port, "--baud", "4800"]).expect(1);
    assert!(quiet.complaint().contains("--ask"), "{quiet:?}");
    assert!(asked.lock().expect("a lock").is_empty(), "nothing was sent");

    let kept = folder.path().join("found.toml");
    let keep = kept.display().to_string();
    let found = dryhold(["listen", &port, "--ask", "--baud", "4800", "--keep", &keep]).expect(0);
    let said = found.out.find("only read").expect("said");
    let recognised = found.out.find("Recognised").expect("recognised");
    assert!(said < recognised, "{}", found.out);
    for words in [r#""?07\r""#, "polled-mantissa-exponent", "4800 7O1"] {
        assert!(found.out.contains(words), "{words}: {}", found.out);
    }
    let text = std::fs::read_to_string(&kept).expect("kept");
    assert!(
        text.contains("[poll]") && text.contains("baud = 4800"),
        "{text}"
    );
    stop.store(true, Ordering::Relaxed);
    gauge.join().expect("the gauge did well");
    drop(near);
}
