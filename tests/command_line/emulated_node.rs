//! The gauge node of the firmware notes on an emulated board, recorded by `log`: an
//! invented pump-down, a firmware that hangs and is bitten by its watchdog, the reset
//! button, and a cable that damages lines.

use std::{
    io::{Read, Write},
    net::{TcpListener, TcpStream},
    sync::{Arc, Mutex},
    time::{Duration, Instant},
};

use node_line::{Continuity, Line, Receiver, Step, Value, decode};
use sensor_reader::{Decoded, Decoder, Dialect};

use crate::{
    board::{self, Board},
    logger::Logger,
    run::{Row, dryhold, measured, only_run, review, scratch},
};

/// The whole rehearsed plant lasts 21 s; a slow computer may take longer.
const PATIENCE: Duration = Duration::from_secs(120);
/// Lines the cable damages, counted from the first the board sends: a burst in the
/// pump-down before the firmware hangs.
const BURST: std::ops::Range<usize> = 90..150;

/// What came through a cable.
#[derive(Default)]
struct Carried {
    /// Lines that were passed on as they were and are whole.
    whole: Vec<Line>,
    /// Lines damaged on the way.
    damaged: usize,
    /// Pieces that the board never finished, because it was reset.
    torn: usize,
    /// The board hung up.
    ended: bool,
}

impl Carried {
    fn last_micron(&self) -> Option<f64> {
        match self.whole.last()?.value {
            Value::Measured(d) => {
                Some(f64::from(d.digits()) / 10_f64.powi(i32::from(d.decimals())))
            }
            _ => None,
        }
    }
}

/// The line as the bad stretch of the cable delivers it. None of these is whole.
fn damage(line: &[u8], kind: usize) -> Vec<u8> {
    let mut line = line.to_vec();
    let middle = line.len() / 2;
    match kind % 6 {
        // one wrong bit in the value: 5903 becomes 5913
        0 => {
            let value = line.iter().rposition(|b| *b == b'm').expect("a unit") - 3;
            line[value] ^= 1 << (kind / 6 % 4);
        }
        // two wrong bits
        1 => {
            line[5] ^= 2;
            line[middle] ^= 1;
        }
        // the front is missing
        2 => drop(line.drain(..middle)),
        // noise in it
        3 => drop(line.splice(middle..middle, [0xFF, 0x00, 0x80, 0xFE])),
        // the end is missing, line feed and all
        4 => line.truncate(middle),
        // a beginning, again from the start, and a line end of its own
        _ => line = [&line[..middle], b"\n", &line[3..]].concat(),
    }
    line
}

/// Carries every byte from the board to the logger, damaging the lines of [`BURST`].
fn carry(mut from: TcpStream, mut to: TcpStream, carried: &Mutex<Carried>) {
    let mut piece = [0; 256];
    let mut waiting = Vec::new();
    let mut count = 0;
    while let Ok(length @ 1..) = from.read(&mut piece) {
        waiting.extend_from_slice(&piece[..length]);
        while let Some(end) = waiting.iter().position(|b| *b == b'\n') {
            let line: Vec<u8> = waiting.drain(..=end).collect();
            let mut carried = carried.lock().expect("nobody panicked");
            let bytes = if BURST.contains(&count) {
                carried.damaged += 1;
                damage(&line, count)
            } else {
                match decode(&line) {
                    Ok(whole) => carried.whole.push(whole),
                    Err(_) => carried.torn += 1,
                }
                line
            };
            count += 1;
            drop(carried);
            // the logger may have stopped listening: then the test is over
            let _ = to.write_all(&bytes);
            if count == BURST.end {
                // the cut end of the burst shall not swallow a whole line
                let _ = to.write_all(b"\xFF\n");
            }
        }
    }
    carried.lock().expect("nobody panicked").ended = true;
}

#[track_caller]
fn wait_for(what: &str, carried: &Mutex<Carried>, done: impl Fn(&Carried) -> bool) {
    let give_up = Instant::now() + PATIENCE;
    loop {
        let now = carried.lock().expect("nobody panicked");
        if done(&now) {
            return;
        }
        let last = now.whole.last().copied();
        assert!(!now.ended && Instant::now() < give_up, "{what}: {last:?}");
        drop(now);
        std::thread::sleep(Duration::from_millis(5));
    }
}

/// State, micron if measured, and °C of every reading of the record.
fn recorded(rows: &[Row]) -> Vec<(String, Option<f64>, Option<f64>)> {
    rows.iter()
        .filter(|r| r.mark.is_empty() && r.state != "gap")
        .map(|r| {
            let micron = r.micron.filter(|_| r.state == "ok");
            (r.state.clone(), micron, r.temperature_c)
        })
        .collect()
}

/// The same of what the board sent.
fn said(lines: &[Line]) -> Vec<(String, Option<f64>, Option<f64>)> {
    lines
        .iter()
        .map(|line| {
            let micron = match line.value {
                // read as the decimal it is, to the last digit
                Value::Measured(d) => {
                    let text = format!("{}e-{}", d.digits(), d.decimals());
                    Some(text.parse().expect("a number"))
                }
                _ => None,
            };
            let celsius = line.temperature_tenths_c.map(|t| f64::from(t) / 10.0);
            (line.value.state_word().to_owned(), micron, celsius)
        })
        .collect()
}

/// Lost readings and restarts as counter and clock of the lines show them.
fn losses(lines: &[Line]) -> (usize, usize) {
    let mut continuity = Continuity::new();
    let mut found = (0, 0);
    for line in lines {
        match continuity.follow(line) {
            Step::First | Step::Next => {}
            Step::Lost(count) => found.0 += usize::from(count),
            Step::Restarted => found.1 += 1,
            Step::Repeated => panic!("sent twice: {line:?}"),
        }
    }
    found
}

#[test]
fn a_pump_down_is_recorded_through_resets_and_a_bad_cable() {
    if let Some(tool) = board::missing_tool() {
        skipped_tests::skip(format_args!(
            "{tool} is not installed, so no board is emulated"
        ));
        return;
    }
    let folder = scratch();
    let out = folder.path().join("runs");
    let to_logger = TcpListener::bind("127.0.0.1:0").expect("a port");
    let to_board = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = |l: &TcpListener| l.local_addr().expect("an address").port();
    let address = format!("tcp://127.0.0.1:{}", port(&to_logger));
    let mut logger = Logger::start_on(&address, "node-line", &out, &["--hold-min", "0.1"]);
    let (logger_end, _) = to_logger.accept().expect("the logger calls");
    let mut board = Board::calling(folder.path(), port(&to_board));
    let (board_end, _) = to_board.accept().expect("the board calls");
    let carried = Arc::new(Mutex::new(Carried::default()));
    let seen = Arc::clone(&carried);
    let cable = std::thread::spawn(move || carry(board_end, logger_end, &seen));

    // the firmware hangs by itself in the stall; the button is pressed further down
    let below = |limit| move |c: &Carried| c.last_micron().is_some_and(|m| m < limit);
    wait_for("falling", &carried, below(2000.0));
    board.reset();
    wait_for("pumped down", &carried, below(80.6));
    logger.type_line(b"s");
    logger.type_line(b"p");
    let isolated = carried.lock().expect("nobody panicked").whole.len();
    wait_for("a hold of 9 s", &carried, |c| {
        c.whole.len() >= isolated + 360
    });
    let (stack_used, stack) = board.off();
    cable.join().expect("the cable");
    let carried = carried.lock().expect("nobody panicked");
    logger.wait_for_rows(carried.whole.len() + 2);
    let (ran, rows) = logger.stop();
    let ran = ran.expect(0);

    // every whole reading and no damaged one, in order, to the last digit
    assert_eq!(recorded(&rows), said(&carried.whole));
    assert_eq!(carried.damaged, BURST.len());
    assert!(carried.torn <= 2, "one piece for each reset at most");
    assert!(ran.out.contains("unreadable lines left out"), "{}", ran.out);
    // counter and clock of what arrived tell exactly what was lost, and both restarts
    assert_eq!(losses(&carried.whole), (BURST.len(), 2));
    let told = format!(
        "{} lines lost on the way by the gauge's own count",
        BURST.len()
    );
    assert!(ran.out.contains(&told), "{}", ran.out);
    assert!(ran.out.contains("restarted 2 times"), "{}", ran.out);
    assert!(
        stack_used <= stack - 64,
        "{stack_used} of {stack} bytes of stack"
    );
    println!(
        "{} lines whole, {} damaged, {} torn; stack at most {stack_used} of {stack} bytes",
        carried.whole.len(),
        carried.damaged,
        carried.torn
    );

    let run = only_run(&out);
    dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    let found = review(&run, &[]);
    let found = found.expect(0).json();
    assert_eq!(found["verdict"], "pass", "{found}");
    let round = &found["rounds"][0];
    // the table goes down to 80 micron, the noise 8 counts of 0.028 % below it; the
    // review smooths, over the more of the curve the fewer readings a busy machine
    // emulates
    let lowest = measured(&rows).into_iter().fold(f64::MAX, f64::min);
    assert!((79.7..80.3).contains(&lowest), "{lowest} micron");
    let lowest = round["pulldown"]["lowest_micron"].as_f64();
    assert!(
        lowest.is_some_and(|l| (79.0..95.0).contains(&l)),
        "{lowest:?}"
    );
    let hold_s = round["hold"]["duration_s"].as_f64().expect("a duration");
    assert!(hold_s > 8.0, "{hold_s} s");
}

/// State and kPa, if measured, of the high-pressure sensor.
fn high_by_dialect(bytes: &[u8]) -> Vec<(String, Option<f64>)> {
    let dialect = Dialect::builtin("node-pressure-line").expect("it ships with the program");
    let mut heard = Vec::new();
    Decoder::new(&dialect).push(bytes, &mut heard);
    let samples = heard.iter().filter_map(Decoded::sample);
    samples
        .map(|sample| {
            let reading = vacuum::Reading {
                elapsed_s: 0.0,
                sensed: sample.sensed,
                temperature_c: None,
            };
            let kpa = sample.pressure().map(|p| (p.pa() / 100.0).round() / 10.0);
            (reading.state().word().to_owned(), kpa)
        })
        .collect()
}

/// The same by the crate of the firmware.
fn high_by_crate(lines: &[Line]) -> Vec<(String, Option<f64>)> {
    let high = lines.iter().filter_map(|l| l.high);
    high.map(|high| {
        let kpa = match high.value {
            Value::Measured(d) => Some(f64::from(d.digits()) / 10_f64.powi(d.decimals().into())),
            _ => None,
        };
        (high.value.state_word().to_owned(), kpa)
    })
    .collect()
}

#[test]
fn the_board_is_recorded_straight_from_its_port() {
    if let Some(tool) = board::missing_tool() {
        skipped_tests::skip(format_args!(
            "{tool} is not installed, so no board is emulated"
        ));
        return;
    }
    let folder = scratch();
    let out = folder.path().join("runs");
    // bound and let go at once: free for the emulator
    let free = TcpListener::bind("127.0.0.1:0").and_then(|l| l.local_addr());
    let port = free.expect("a port").port();
    let board = Board::called(folder.path(), port);
    let logger = Logger::start_on(&format!("tcp://127.0.0.1:{port}"), "node-line", &out, &[]);
    let lines = |bytes: &[u8]| -> Vec<Line> {
        let mut receiver = Receiver::new();
        let heard = bytes.iter().filter_map(|b| receiver.push(*b));
        heard.filter_map(Result::ok).collect()
    };
    // through the hang and the watchdog's bite
    let give_up = Instant::now() + PATIENCE;
    while losses(&lines(&board.sent())).1 == 0 {
        assert!(Instant::now() < give_up, "the watchdog does not bite");
        std::thread::sleep(Duration::from_millis(50));
    }
    let sent_before = lines(&board.sent()).len();
    logger.wait_for_rows(sent_before + 20);
    let (ran, rows) = logger.stop();
    ran.expect(0);
    let sent = lines(&board.sent());
    let recorded = recorded(&rows);
    // the board talks on after the logger has stopped
    assert!(recorded.len() >= sent_before + 20, "{}", recorded.len());
    assert_eq!(recorded, said(&sent)[..recorded.len()]);
    let bitten = sent.windows(2).find(|w| w[1].uptime < w[0].uptime);
    let last_before = bitten.expect("a restart")[0].uptime;
    assert_eq!(last_before.as_milliseconds(), 3975, "the hang is at 4 s");
    assert_eq!(losses(&sent), (0, 1));
    // version 1 until the sensors have settled, then version 2; after the restart again
    let is_first = |l: &Line| l.high.is_none() && l.barometer.is_none();
    let settles = |l: &Line| l.uptime.as_milliseconds() < 300;
    assert!(sent.iter().all(|l| is_first(l) == settles(l)));
    assert!(sent.iter().filter(|l| is_first(l)).count() >= 20);
    let air = sent.iter().filter_map(|l| l.barometer);
    assert!(
        air.clone().count() > 150
            && air
                .clone()
                .all(|b| (10_030..=10_032).contains(&b.tenths_hpa()))
    );
    // the other dialect takes the other sensor out of the same bytes, whole lines only
    let bytes = board.sent();
    let end = bytes.iter().rposition(|b| *b == b'\n').expect("a line end");
    assert_eq!(
        high_by_dialect(&bytes[..=end]),
        high_by_crate(&lines(&bytes))
    );
    board.off();
}
