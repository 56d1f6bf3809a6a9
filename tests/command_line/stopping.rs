//! Signals, and terminals that stand still: neither costs a row, and each request to stop
//! ends the recording with its review and its seal.

use std::{
    io::{BufRead, BufReader, Write},
    path::Path,
    process::{Child, ChildStdout, Stdio},
    time::{Duration, Instant},
};

use rustix::process::{Pid, Signal, kill_process};

use crate::{
    gauge::Gauge,
    kill::LOSS,
    logger::{Logger, wait_until, whole_rows},
    run::{Ran, command, dryhold, measured, only_run, scratch, trace},
    screen::Screen,
};

/// Ends a recording; all but the last as a person or a system does.
const ENDING: [Signal; 6] = [
    Signal::INT,
    Signal::TERM,
    Signal::HUP,
    Signal::QUIT,
    Signal::USR1,
    Signal::ALARM,
];

/// `dryhold log` of this gauge, and what it prints line by line.
fn started(gauge: &Gauge, out: &Path) -> (Child, BufReader<ChildStdout>) {
    let mut child = command()
        .args(["log", "--dialect", "number-unit-line", "--port"])
        .arg(gauge.path())
        .arg("--out")
        .arg(out)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the logger starts");
    let said = BufReader::new(child.stdout.take().expect("its output"));
    (child, said)
}

/// A signal that comes the moment something is said found no listener before: the program
/// died without review and seal, in more than a third of the tries.
#[test]
fn from_the_first_word_on_every_signal_ends_the_recording_cleanly() {
    let folder = scratch();
    for (i, signal) in ENDING.iter().cycle().take(24).enumerate() {
        let gauge = Gauge::plugged_in(folder.path());
        let out = folder.path().join(i.to_string());
        let (child, mut said) = started(&gauge, &out);
        // by turns at the first word, and when the record has begun
        let begun = if i % 2 == 0 {
            "Stop with"
        } else {
            "Recording to"
        };
        let mut line = String::new();
        while !line.contains(begun) {
            line.clear();
            let count = said.read_line(&mut line).expect("a line");
            assert!(count > 0, "{i}: it ended before it began");
        }
        kill_process(Pid::from_child(&child), *signal).expect("a signal");
        let mut rest = String::new();
        std::io::Read::read_to_string(&mut said, &mut rest).expect("its output");
        let ended = child.wait_with_output().expect("its end");
        let ran = Ran::of(&ended).expect(0);
        assert!(rest.contains("recorded in"), "{signal:?}: {rest} {ran:?}");
        let run = only_run(&out);
        assert!(run.join("seal.json").is_file(), "{signal:?}: sealed");
        std::fs::remove_file(gauge.path()).expect("the link goes");
    }
}

#[test]
fn asked_to_stop_before_the_gauge_spoke_it_ends_and_says_that_nothing_came() {
    let folder = scratch();
    let out = folder.path().join("runs");
    // nobody speaks there
    let listener = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = format!("tcp://{}", listener.local_addr().expect("its address"));
    let log = ["log", "--dialect", "number-unit-line", "--port", &port];
    let mut logger = Logger::start_command(&out, &log);
    logger.wait_for("Recording to");
    logger.signal(Signal::TERM);
    let ran = logger.ended().expect(0);
    assert!(ran.out.contains("Nothing to review"), "{ran:?}");
}

/// Rows in the record, counted as they are.
fn rows_below(out: &Path) -> usize {
    crate::run::runs(out)
        .first()
        .map_or(0, |run| whole_rows(run))
}

/// Says readings for so long; gives when each was said.
fn talk(gauge: &mut Gauge, count: usize, every: Duration) -> Vec<Instant> {
    let said = (0..count).map(|i| {
        std::thread::sleep(every);
        gauge.say_micron(i as f64);
        Instant::now()
    });
    said.collect()
}

/// Waits until every reading said more than a second ago is in the record.
fn assert_kept(out: &Path, said: &[Instant]) {
    let now = Instant::now();
    let owed = said.iter().filter(|at| now - **at > LOSS).count();
    let kept = rows_below(out);
    assert!(kept >= owed, "{kept} rows of {owed} owed");
}

fn plain_log(gauge: &Gauge, out: &Path, view: &str) -> Screen {
    let (port, below) = (gauge.path().to_string_lossy(), out.to_string_lossy());
    let log = ["log", "--view", view, "--dialect", "number-unit-line"];
    let places = ["--port", &port, "--out", &below];
    Screen::start((80, 24), &[&log[..], &places].concat(), &[])
}

/// Ctrl-S: whatever writes to the terminal waits from then on.
const CTRL_S: &str = "\x13";

#[test]
fn a_stopped_terminal_costs_no_row_and_stops_no_stop() {
    for view in ["line", "spoken"] {
        let folder = scratch();
        let out = folder.path().join("runs");
        let mut gauge = Gauge::plugged_in(folder.path());
        let mut screen = plain_log(&gauge, &out, view);
        gauge.await_reader();
        screen.wait_for("Stop with Ctrl-C");
        screen.keys(CTRL_S);
        let said = talk(&mut gauge, 60, Duration::from_millis(50));
        assert_kept(&out, &said);
        wait_until("every row", || rows_below(&out) == 60);
        let asked = Instant::now();
        screen.signal(Signal::TERM);
        wait_until("its end", || !screen.is_running());
        assert!(asked.elapsed() < Duration::from_secs(10), "{view}");
        screen.ended().expect(0);
        let run = only_run(&out);
        assert!(run.join("sheet.pdf").is_file() && run.join("seal.json").is_file());
        dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    }
}

/// One kill, of a recorder whose terminal stands still or not; gives the age of the oldest
/// reading that is lost.
fn kill_once(stopped: bool, readings: usize) -> Duration {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let mut screen = plain_log(&gauge, &out, "line");
    gauge.await_reader();
    screen.wait_for("Stop with Ctrl-C");
    if stopped {
        screen.keys(CTRL_S);
    }
    let said = talk(&mut gauge, readings, Duration::from_millis(4));
    let killed = Instant::now();
    screen.signal(Signal::KILL);
    wait_until("its end", || !screen.is_running());
    let run = only_run(&out);
    dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    let kept = measured(&trace(&run));
    let values: Vec<f64> = (0..kept.len()).map(|i| i as f64).collect();
    assert_eq!(kept, values, "from the first on, without a hole");
    let lost = said
        .get(kept.len())
        .map_or(Duration::ZERO, |at| killed - *at);
    assert!(lost < LOSS, "{lost:?} lost");
    lost
}

#[test]
fn killed_with_a_stopped_terminal_it_loses_no_more_than_ever() {
    for round in 0..3 {
        kill_once(true, 350 + 117 * round);
    }
}

#[test]
#[ignore = "two hundred kills, some minutes"]
fn two_hundred_kills_half_of_them_with_a_stopped_terminal() {
    const AT_ONCE: usize = 4;
    let longest = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..AT_ONCE)
            .map(|thread| {
                scope.spawn(move || {
                    let one = |round: usize| {
                        kill_once(round.is_multiple_of(2), 100 + 11 * round + thread)
                    };
                    (0..200 / AT_ONCE).map(one).max()
                })
            })
            .collect();
        let longest = threads.into_iter().filter_map(|t| t.join().expect("kills"));
        longest.max()
    });
    println!("200 kills, 100 with a stopped terminal: at most {longest:?} lost");
}

/// Standard output and standard error into pipes that hold nothing more and that nobody
/// reads: no row at all was recorded.
#[test]
fn pipes_that_are_full_from_the_start_cost_no_row() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let full = || {
        let (reader, mut writer) = std::io::pipe().expect("a pipe");
        // what a pipe of the usual size holds
        writer.write_all(&[b'x'; 65_536]).expect("room");
        (reader, writer)
    };
    let ((_out, to_out), (_err, to_err)) = (full(), full());
    let mut child = command()
        .args(["log", "--dialect", "number-unit-line", "--port"])
        .arg(gauge.path())
        .arg("--out")
        .arg(&out)
        .stdin(Stdio::null())
        .stdout(to_out)
        .stderr(to_err)
        .spawn()
        .expect("the logger starts");
    gauge.await_reader();
    let said = talk(&mut gauge, 40, Duration::from_millis(50));
    assert_kept(&out, &said);
    kill_process(Pid::from_child(&child), Signal::TERM).expect("a signal");
    let mut status = None;
    wait_until("its end", || {
        status = child.try_wait().expect("a state");
        status.is_some()
    });
    assert_eq!(status.and_then(|s| s.code()), Some(0));
    let run = only_run(&out);
    assert_eq!(measured(&trace(&run)).len(), 40);
    assert!(run.join("seal.json").is_file());
}

/// Whoever reads slowly gets everything all the same.
#[test]
fn a_slow_reader_gets_every_line() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let (child, mut said) = started(&gauge, &out);
    gauge.await_reader();
    talk(&mut gauge, 5, Duration::from_millis(10));
    wait_until("the rows", || rows_below(&out) == 5);
    kill_process(Pid::from_child(&child), Signal::INT).expect("a signal");
    let mut all = String::new();
    loop {
        let mut line = String::new();
        if said.read_line(&mut line).expect("a line") == 0 {
            break;
        }
        all += &line;
        std::thread::sleep(Duration::from_millis(30));
    }
    for words in ["5 readings recorded in 5 rows", "sheet.pdf", "Sealed"] {
        assert!(all.contains(words), "{words} in {all}");
    }
    Ran::of(&child.wait_with_output().expect("its end")).expect(0);
}
