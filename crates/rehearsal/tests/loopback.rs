//! The gauge behind a connection of this computer, as it speaks where there are no
//! pseudo-terminals.

use std::{
    io::{ErrorKind, Read},
    net::TcpStream,
    time::{Duration, Instant},
};

use rehearsal::{Faults, GaugeBench, Line, Pace, Scenario, SimKind, Simulation};

fn simulation() -> Simulation {
    let scenario = Scenario::named("hold-cut-short").expect("a scenario of that name");
    Simulation::new(scenario, scenario.seed)
}

fn readings() -> usize {
    let is_reading = |e: &rehearsal::SimEvent| matches!(e.kind, SimKind::Reading { .. });
    simulation().filter(is_reading).count()
}

/// Reads as a logger does: connects again when the line drops, until the bench has finished.
fn listen(bench: &GaugeBench) -> Vec<u8> {
    let path = bench.path().display().to_string();
    let address = path.strip_prefix("tcp://").expect("an address");
    let (mut bytes, mut buffer) = (Vec::new(), [0; 4096]);
    let give_up = Instant::now() + Duration::from_secs(60);
    while !bench.finished() && Instant::now() < give_up {
        let Ok(mut stream) = TcpStream::connect(address) else {
            std::thread::sleep(Duration::from_millis(10));
            continue;
        };
        let patience = Some(Duration::from_millis(20));
        stream.set_read_timeout(patience).expect("a time-out");
        loop {
            let over = bench.finished();
            match stream.read(&mut buffer) {
                Ok(0) => break,
                Ok(n) => bytes.extend_from_slice(&buffer[..n]),
                Err(e) if matches!(e.kind(), ErrorKind::TimedOut | ErrorKind::WouldBlock) => {
                    if over {
                        break;
                    }
                }
                Err(_) => break,
            }
        }
    }
    bytes
}

fn gauge_lines(bytes: &[u8]) -> usize {
    let text = String::from_utf8_lossy(bytes);
    let whole = |l: &&str| l.starts_with("t=") && l.split(' ').count() >= 3;
    text.split("\r\n").filter(whole).count()
}

#[test]
fn every_line_of_a_run_arrives() {
    let mut bench = GaugeBench::open(simulation(), Line::Loopback, Pace::Unlimited).expect("open");
    let heard = listen(&bench);
    bench.join().expect("to the end");
    assert_eq!(gauge_lines(&heard), readings());
    assert_eq!(bench.lines_sent() as usize, readings());
    assert!(bench.marks().iter().count() >= 4);
}

#[test]
fn garbage_split_lines_and_a_pulled_plug_lose_nothing() {
    let faults = Faults {
        garbage: vec![(100.0, b"\xff\x00 noise \x80\r\n".to_vec())],
        unplug: vec![
            (300.0, Duration::from_millis(60)),
            (700.0, Duration::from_millis(60)),
        ],
        split_lines: true,
    };
    let bench = GaugeBench::open_with(
        simulation(),
        Line::Loopback,
        Pace::Unlimited,
        (faults, None),
    );
    let mut bench = bench.expect("open");
    let heard = listen(&bench);
    bench.join().expect("to the end");
    assert!(heard.windows(5).any(|w| w == b"noise"));
    assert_eq!(gauge_lines(&heard), readings());
}

#[test]
fn a_bench_nobody_reads_can_be_dropped() {
    let bench = GaugeBench::open(simulation(), Line::Loopback, Pace::Unlimited).expect("open");
    drop(bench);
}
