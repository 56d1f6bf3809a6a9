//! The gauge behind the pseudo-terminal, opened as any serial port.
//! `loopback.rs` has those of a connection, which every system has.
#![cfg(unix)]

use std::{
    io::{ErrorKind, Read},
    path::Path,
    sync::Mutex,
    time::{Duration, Instant},
};

use rehearsal::{BenchError, Faults, GaugeBench, Line, Pace, Scenario, SimKind, Simulation};

// pseudo-terminals are a scarce thing shared by all tests
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

fn simulation() -> Simulation {
    let scenario = Scenario::named("hold-cut-short").expect("a scenario of that name");
    Simulation::new(scenario, scenario.seed)
}

fn readings() -> usize {
    simulation()
        .filter(|e| matches!(e.kind, SimKind::Reading { .. }))
        .count()
}

/// Reads the port like a logger: reopens when the line drops, until the bench
/// has finished.
fn listen(bench: &GaugeBench, path: &Path) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut buffer = [0; 4096];
    let give_up = Instant::now() + Duration::from_secs(40);
    while !bench.finished() && Instant::now() < give_up {
        let opened = serialport::new(path.to_string_lossy(), 115_200)
            .timeout(Duration::from_millis(20))
            .open();
        let Ok(mut port) = opened else {
            std::thread::sleep(Duration::from_millis(10));
            continue;
        };
        loop {
            let over = bench.finished();
            match port.read(&mut buffer) {
                Ok(0) => break,
                Ok(n) => bytes.extend_from_slice(&buffer[..n]),
                Err(e) if e.kind() == ErrorKind::TimedOut && !over => {}
                Err(_) => break,
            }
        }
    }
    bytes
}

fn gauge_lines(bytes: &[u8]) -> Vec<String> {
    let text = String::from_utf8_lossy(bytes);
    let whole = |l: &&str| l.starts_with("t=") && l.split(' ').count() >= 3;
    text.split("\r\n")
        .filter(whole)
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_line_of_a_run_arrives() {
    let _guard = ONE_AT_A_TIME.lock();
    let mut bench = GaugeBench::open(simulation(), Line::PseudoTerminal, Pace::Unlimited).unwrap();
    let path = bench.path().to_owned();
    let lines = gauge_lines(&listen(&bench, &path));
    bench.join().unwrap();
    assert_eq!(lines.len(), readings());
    assert_eq!(bench.lines_sent() as usize, readings());
    let marks: Vec<_> = bench.marks().iter().collect();
    assert!(marks.len() >= 4);
    assert!(marks.windows(2).all(|w| w[0].t_s <= w[1].t_s));
}

#[test]
fn garbage_split_lines_and_a_pulled_plug_lose_nothing() {
    let _guard = ONE_AT_A_TIME.lock();
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("gauge");
    let faults = Faults {
        garbage: vec![(100.0, b"\xff\x00 noise \x80\r\n".to_vec())],
        unplug: vec![
            (300.0, Duration::from_millis(60)),
            (700.0, Duration::from_millis(60)),
        ],
        split_lines: true,
    };
    let mut bench = GaugeBench::open_with(
        simulation(),
        Line::PseudoTerminal,
        Pace::Unlimited,
        (faults, Some(link.clone())),
    )
    .unwrap();
    let bytes = listen(&bench, &link);
    bench.join().unwrap();
    assert!(bytes.windows(5).any(|w| w == b"noise"));
    assert_eq!(gauge_lines(&bytes).len(), readings());
}

#[test]
fn pace_is_kept() {
    let _guard = ONE_AT_A_TIME.lock();
    let started = Instant::now();
    let mut bench =
        GaugeBench::open(simulation(), Line::PseudoTerminal, Pace::Times(1200.0)).unwrap();
    let path = bench.path().to_owned();
    let lines = gauge_lines(&listen(&bench, &path));
    bench.join().unwrap();
    let wanted = simulation().truth().end_s / 1200.0;
    let took = started.elapsed().as_secs_f64();
    assert!(took > 0.95 * wanted, "{took} s for {wanted} s");
    assert_eq!(lines.len(), readings());
}

#[test]
fn a_bench_nobody_reads_can_be_dropped() {
    let bench = GaugeBench::open(simulation(), Line::PseudoTerminal, Pace::Unlimited).unwrap();
    drop(bench);
}

#[test]
fn bad_settings_are_told() {
    let zero = GaugeBench::open(simulation(), Line::PseudoTerminal, Pace::Times(0.0));
    assert!(matches!(zero, Err(BenchError::Speed { .. })));
    let faults = Faults {
        unplug: vec![(1.0, Duration::ZERO)],
        ..Faults::default()
    };
    let no_link = GaugeBench::open_with(
        simulation(),
        Line::PseudoTerminal,
        Pace::Unlimited,
        (faults, None),
    );
    assert!(matches!(no_link, Err(BenchError::NoLink)));
}
