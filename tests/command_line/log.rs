//! Recording a gauge on a pseudo-terminal: trouble on the wire, marks, stopping.

use std::{
    io::Write,
    net::TcpListener,
    path::Path,
    time::{Duration, Instant},
};

use rustix::process::Signal;

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until, whole_rows},
    run::{Row, dryhold, measured, only_run, review, runs, scratch, trace},
};

/// Says `count` values, each another, with a pause between.
fn say_values(gauge: &mut Gauge, from: u32, count: u32, pause: Duration) {
    for i in 0..count {
        gauge.say_micron(f64::from(from + i));
        std::thread::sleep(pause);
    }
}

fn values(from: u32, count: u32) -> Vec<f64> {
    (from..from + count).map(f64::from).collect()
}

const BRISK: Duration = Duration::from_millis(3);

fn assert_sound(folder: &Path) {
    let verified = dryhold(["verify".as_ref(), folder.as_os_str()]).expect(0);
    assert!(verified.out.contains("UNCHANGED"), "{}", verified.out);
}

/// Place of a row in the record.
fn place(rows: &[Row], is: impl Fn(&Row) -> bool) -> usize {
    rows.iter().position(is).expect("the row is in the record")
}

#[test]
fn a_pulled_plug_costs_the_outage_and_nothing_else() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    say_values(&mut gauge, 1000, 100, BRISK);
    gauge.unplug();
    logger.wait_for("gauge lost");
    std::thread::sleep(Duration::from_millis(250));
    gauge.plug_in();
    gauge.await_reader();
    logger.wait_for("gauge is back");
    say_values(&mut gauge, 2000, 100, BRISK);
    gauge.drain();
    logger.wait_for_rows(200);
    let (ran, rows) = logger.stop();
    ran.expect(0);
    assert_eq!(
        measured(&rows),
        [values(1000, 100), values(2000, 100)].concat()
    );
    // the outage stands in the record, between the two
    let before = place(&rows, |r| r.micron == Some(1099.0));
    let after = place(&rows, |r| r.micron == Some(2000.0));
    let between = &rows[before + 1..after];
    assert!(!between.is_empty(), "a gap row");
    assert!(
        between
            .iter()
            .all(|r| r.state == "gap" && r.micron.is_none())
    );
    let outage = rows[after].elapsed_s - rows[before].elapsed_s;
    assert!(outage > 0.2, "{outage} s");
    assert_sound(&only_run(&out));
}

#[test]
fn garbage_and_split_lines_lose_no_reading() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    say_values(&mut gauge, 100, 20, BRISK);
    gauge.say_bytes(b"\xff\x00\xfe noise \x80\x81\r\n");
    gauge.say_bytes(&[b'#'; 5000]);
    gauge.say("\r\n512.3 furlongs\r\n");
    for line in 200..220 {
        // in two pieces, cut at another place every time
        let text = format!("{line}.0 micron\r\n");
        let (head, tail) = text.split_at(line as usize % text.len());
        gauge.say(head);
        std::thread::sleep(Duration::from_millis(8));
        gauge.say(tail);
    }
    gauge.say("300.0 micron\r301.0 micron\n302.0 micron\n\r\n303.0 micron\r\n");
    gauge.drain();
    logger.wait_for_rows(44);
    let (ran, rows) = logger.stop();
    let ran = ran.expect(0);
    let said = [values(100, 20), values(200, 20), values(300, 4)].concat();
    assert_eq!(measured(&rows), said);
    assert!(ran.out.contains("unreadable lines left out"), "{}", ran.out);
    assert_sound(&only_run(&out));
}

#[test]
fn typed_marks_are_in_the_record() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let mut logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    let typed: [(&[u8], &str, &str); 10] = [
        (b"o", "valve_opened", ""),
        (b"t", "throttled", ""),
        (b"b", "ballast_opened", ""),
        (b"h", "heat_applied", ""),
        (b"s", "pump_side_shut", ""),
        (b"  p  ", "pump_stopped", ""),
        (b"n", "nitrogen_break", ""),
        (
            b"oil looks milky, changed",
            "note",
            "oil looks milky, changed",
        ),
        // typed on a keyboard that does not speak UTF-8
        (b"K\xfcche", "note", "K\u{fffd}che"),
        ("café".as_bytes(), "note", "café"),
    ];
    logger.wait_for("Recording to");
    let run = only_run(&out);
    for (i, (line, _, _)) in typed.iter().enumerate() {
        say_values(&mut gauge, 400, 3, BRISK);
        logger.type_line(line);
        logger.type_line(b"");
        wait_until("the mark is in the record", || {
            trace(&run).iter().filter(|r| !r.mark.is_empty()).count() == i + 1
        });
    }
    // typed in the moment before Ctrl-C, with the computer busy elsewhere
    logger.signal(Signal::STOP);
    logger.type_line(b"done for today");
    logger.interrupt();
    logger.signal(Signal::CONT);
    let ran = logger.ended().expect(0);
    let rows = trace(&run);
    let marks: Vec<&Row> = rows.iter().filter(|r| !r.mark.is_empty()).collect();
    assert_eq!(marks.len(), typed.len() + 1, "an empty line is no mark");
    assert_eq!(marks[typed.len()].note, "done for today");
    for (row, (_, code, note)) in marks.iter().zip(typed) {
        assert_eq!((row.mark.as_str(), row.note.as_str()), (code, note));
        assert!(row.micron.is_none() && row.utc.ends_with('Z'), "{row:?}");
    }
    assert!(
        ran.out.contains("Marked: pump-side valve shut."),
        "{}",
        ran.out
    );
    assert!(rows.windows(2).all(|w| w[0].elapsed_s <= w[1].elapsed_s));
    assert_sound(&only_run(&out));
}

#[test]
fn ctrl_c_closes_the_record_and_judges_it() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let mut logger = Logger::start(gauge.path(), &out, &["--volume-l", "2.8"]);
    // no keyboard is no reason to stop
    logger.close_keyboard();
    gauge.await_reader();
    say_values(&mut gauge, 300, 150, BRISK);
    logger.wait_for_rows(150);
    let (ran, rows) = logger.stop();
    let ran = ran.expect(0);
    assert_eq!(measured(&rows), values(300, 150));
    assert!(ran.out.contains("NOT PROVEN"), "{}", ran.out);
    let run = only_run(&out);
    for name in [
        "job.toml",
        "trace.csv",
        "findings.json",
        "curve.svg",
        "curve.png",
        "curve-small.png",
        "sheet.html",
        "sheet.pdf",
    ] {
        assert!(run.join(name).is_file(), "{name}");
    }
    review(&run, &[]).expect(11);
    assert_sound(&run);
}

/// What the gauge had said when Ctrl-C was pressed is kept, however far the
/// logger was behind.
#[test]
fn ctrl_c_keeps_what_was_said_before_it() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let mut logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    let burst: String = (0..20_000).map(|i| format!("{i}.0 micron\r\n")).collect();
    gauge.say(&burst);
    logger.wait_for_rows(20_000);
    // the computer is busy elsewhere; the port holds the last lines
    logger.signal(Signal::STOP);
    let last: String = (20_000..20_100)
        .map(|i| format!("{i}.0 micron\r\n"))
        .collect();
    gauge.say(&last);
    logger.interrupt();
    logger.signal(Signal::CONT);
    logger.ended().expect(0);
    let kept = measured(&trace(&only_run(&out)));
    assert_eq!(kept.len(), 20_100);
    assert!(kept == values(0, 20_100));
}

#[test]
fn ctrl_c_while_the_gauge_is_away() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    say_values(&mut gauge, 700, 10, BRISK);
    gauge.unplug();
    logger.wait_for("gauge lost");
    let (ran, rows) = logger.stop();
    ran.expect(0);
    assert_eq!(measured(&rows), values(700, 10));
    assert_eq!(rows.last().map(|r| r.state.as_str()), Some("gap"));
    assert_sound(&only_run(&out));
}

#[test]
fn it_stops_by_itself_when_told_to() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let started = Instant::now();
    let logger = Logger::start(gauge.path(), &out, &["--stop-after-min", "0.03"]);
    gauge.await_reader();
    say_values(&mut gauge, 100, 5, BRISK);
    let ran = logger.ended().expect(0);
    let took = started.elapsed().as_secs_f64();
    assert!((1.8..15.0).contains(&took), "{took} s, not 1.8 s");
    assert!(ran.out.contains("5 readings recorded"), "{}", ran.out);
}

#[test]
fn a_gauge_that_is_not_there_yet() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::absent(folder.path());
    let refused = Logger::start(gauge.path(), &out, &[]).ended().expect(1);
    assert!(refused.complaint().contains("plugged in"), "{refused:?}");
    assert!(runs(&out).is_empty(), "no empty record is left");

    let logger = Logger::start(gauge.path(), &out, &["--wait"]);
    logger.wait_for("waiting for the gauge");
    gauge.plug_in();
    gauge.await_reader();
    say_values(&mut gauge, 600, 10, BRISK);
    logger.wait_for_rows(10);
    let (ran, rows) = logger.stop();
    ran.expect(0);
    assert_eq!(measured(&rows), values(600, 10));
}

#[test]
fn a_silent_gauge_is_told_and_leaves_a_gap() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    say_values(&mut gauge, 800, 10, BRISK);
    logger.wait_for("the gauge is silent");
    say_values(&mut gauge, 810, 10, BRISK);
    logger.wait_for_rows(21);
    let (ran, rows) = logger.stop();
    ran.expect(0);
    assert_eq!(measured(&rows), values(800, 20));
    let gap = place(&rows, |r| r.state == "gap");
    assert_eq!(rows[gap - 1].micron, Some(809.0));
    assert_eq!(rows[gap + 1].micron, Some(810.0));
}

#[test]
fn a_second_logger_on_the_same_port_is_refused() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let first = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    say_values(&mut gauge, 100, 20, BRISK);
    first.wait_for_rows(20);
    let second = Logger::start(gauge.path(), &out, &[]).ended().expect(1);
    assert!(second.complaint().contains("another program"), "{second:?}");
    say_values(&mut gauge, 120, 20, BRISK);
    first.wait_for_rows(40);
    // its folder is still the only one, and nothing was stolen from it
    let (ran, rows) = first.stop();
    ran.expect(0);
    assert_eq!(measured(&rows), values(100, 40));
}

#[test]
fn two_gauges_of_one_job_get_two_records() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let start = || {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = listener.local_addr().expect("its number").port();
        let address = format!("tcp://127.0.0.1:{port}");
        let logger = Logger::start_on(&address, "number-unit-line", &out, &[]);
        let (line, _) = listener.accept().expect("the logger connects");
        (logger, line)
    };
    let mut both = [start(), start()];
    for (i, (_, line)) in both.iter_mut().enumerate() {
        let lines: String = (0..50)
            .map(|k| format!("{}.0 micron\r\n", 100 * (i + 1) + k))
            .collect();
        line.write_all(format!("\r\n{lines}").as_bytes())
            .expect("said");
    }
    wait_until("both are recorded", || {
        runs(&out).len() == 2 && runs(&out).iter().all(|r| whole_rows(r) == 50)
    });
    for (mut logger, _line) in both {
        logger.interrupt();
        logger.ended().expect(0);
    }
    let mut first: Vec<f64> = runs(&out).iter().map(|r| measured(&trace(r))[0]).collect();
    first.sort_by(f64::total_cmp);
    assert_eq!(first, [100.0, 200.0]);
    runs(&out).iter().for_each(|run| assert_sound(run));
}
