//! Real device paths: pseudo-terminal pairs in place of hardware.
//!
//! A pty stores the speed but does not enforce it, and is always 8N1, so these
//! tests say nothing about parity, and about speed only where the far end looks
//! up how the port is set and garbles what it says accordingly.
#![cfg(unix)]
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

mod asking;
mod bus;
mod emulated;
mod gauge;
mod identity;
mod interruptions;
mod listening;
mod replug;
mod settings;

use std::time::{Duration, Instant};

use gauge::{Gauge, next_within, one_at_a_time, open};
use sensor_reader::{Address, Dialect, Event, GaugeStream, Options, Sample};

/// Reads until `count` readings came; fails on anything that costs a line.
async fn readings(stream: &mut GaugeStream, count: usize) -> Vec<(Instant, Sample)> {
    let mut got = Vec::with_capacity(count);
    while got.len() < count {
        match next_within(stream, 10.0).await {
            Event::Reading { arrived, sample } => got.push((arrived, sample)),
            Event::Connected { .. } => {}
            other => panic!("after {} of {count}: {other:?}", got.len()),
        }
    }
    got
}

/// Line `i` of a run of distinct values of equal length.
fn line(i: usize) -> String {
    format!("{:07.1} micron\r\n", 10_000.0 + i as f64)
}

fn check_order(got: &[(Instant, Sample)]) {
    for (i, (_, sample)) in got.iter().enumerate() {
        let micron = sample.pressure().expect("a measurement").micron();
        assert!(
            (micron - 10_000.0 - i as f64).abs() < 1e-6,
            "line {i}: {micron}"
        );
    }
    assert!(
        got.windows(2).all(|w| w[0].0 <= w[1].0),
        "arrivals in order"
    );
}

#[tokio::test]
async fn a_thousand_lines_at_a_thousand_per_second() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let mut stream = open(gauge.path(), Options::default()).await;
    let talker = std::thread::spawn(move || {
        let start = Instant::now();
        for i in 0..1000 {
            let due = start + Duration::from_millis(i as u64);
            std::thread::sleep(due.saturating_duration_since(Instant::now()));
            gauge.say(&line(i));
        }
        gauge
    });
    let got = readings(&mut stream, 1000).await;
    check_order(&got);
    let took = (got[999].0 - got[0].0).as_secs_f64();
    assert!((0.9..3.0).contains(&took), "arrival times span {took} s");
    drop(talker.join());
}

#[tokio::test]
async fn twenty_thousand_lines_without_pacing() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let mut stream = open(gauge.path(), Options::default()).await;
    let talker = std::thread::spawn(move || {
        (0..20_000).for_each(|i| gauge.say(&line(i)));
        gauge
    });
    check_order(&readings(&mut stream, 20_000).await);
    drop(talker.join());
}

#[tokio::test]
async fn a_slow_consumer_costs_nothing() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let mut stream = open(gauge.path(), Options::default()).await;
    // more than the stream keeps by itself: the rest must wait, not vanish
    const LINES: usize = 18_000;
    let start = Instant::now();
    let talker = std::thread::spawn(move || {
        (0..LINES).for_each(|i| gauge.say(&line(i)));
        gauge
    });
    // the consumer's thread is blocked as by a slow disk
    std::thread::sleep(Duration::from_millis(1500));
    let mut got = Vec::new();
    let mut batch = Vec::new();
    while got.len() < LINES {
        assert!(stream.next_batch(&mut batch, 512).await > 0);
        for event in batch.drain(..) {
            match event {
                Event::Reading { arrived, sample } => got.push((arrived, sample)),
                // the stream was full: what waited in the port is kept, without a time
                Event::Paused { until, waited, .. } => {
                    assert!(got.len() >= 16_000, "only {} kept by itself", got.len());
                    got.extend(waited.into_iter().map(|sample| (until, sample)));
                }
                Event::Connected { .. } => {}
                other => panic!("{other:?}"),
            }
        }
    }
    check_order(&got);
    let first_half = got[8000].0 - start;
    assert!(
        first_half < Duration::from_millis(1200),
        "stamped on arrival, not on consumption: {first_half:?}"
    );
    drop(talker.join());
}

#[tokio::test]
async fn garbage_is_reported_and_the_rest_is_read() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let mut stream = open(gauge.path(), Options::default()).await;
    gauge.say(&line(0));
    gauge.say(&line(1));
    gauge.say_bytes(b"\x00\xFF\xFEnoise\x80\r\n");
    gauge.say_bytes(&[b'#'; 5000]);
    gauge.say_bytes(b"\r\n");
    let (head, tail) = (&line(2)[..4], &line(2)[4..]);
    gauge.say(head);
    std::thread::sleep(Duration::from_millis(20));
    gauge.say(tail);
    let (mut micron, mut rejected) = (Vec::new(), 0);
    while micron.len() < 3 {
        match next_within(&mut stream, 5.0).await {
            Event::Reading { sample, .. } => {
                micron.push(sample.pressure().unwrap().micron().round());
            }
            Event::Rejected { .. } => rejected += 1,
            Event::Connected { .. } => {}
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(micron, [10_000.0, 10_001.0, 10_002.0]);
    assert_eq!(rejected, 2, "one per bad line, the over-long one included");
}

#[tokio::test]
async fn the_first_line_keeps_its_own_arrival_time() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let mut stream = open(gauge.path(), Options::default()).await;
    let said = Instant::now();
    gauge.say(&line(0));
    tokio::time::sleep(Duration::from_millis(400)).await;
    gauge.say(&line(1));
    let got = readings(&mut stream, 2).await;
    assert!(got[0].0 - said < Duration::from_millis(200));
    assert!(got[1].0 - said >= Duration::from_millis(400));
}

#[tokio::test]
async fn silence_is_told_once_until_a_line_comes() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let options = Options {
        silent_after: Duration::from_millis(150),
        ..Options::default()
    };
    let mut stream = open(gauge.path(), options).await;
    assert!(matches!(
        next_within(&mut stream, 1.0).await,
        Event::Connected { .. }
    ));
    assert!(matches!(
        next_within(&mut stream, 1.0).await,
        Event::Silent { .. }
    ));
    // half a line does not break the silence, and it is not told again
    gauge.say("123");
    let more = tokio::time::timeout(Duration::from_millis(500), stream.next()).await;
    assert!(more.is_err(), "{more:?}");
    gauge.say("45.0 micron\r\n12344.0 micron\r\n");
    readings(&mut stream, 2).await;
    assert!(matches!(
        next_within(&mut stream, 1.0).await,
        Event::Silent { .. }
    ));
}

#[tokio::test]
async fn a_port_in_use_is_explained_and_released_on_drop() {
    let _lock = one_at_a_time().await;
    let gauge = Gauge::new();
    let first = open(gauge.path(), Options::default()).await;
    let address = Address::Serial(gauge.path().into());
    let dialect = Dialect::builtin("number-unit-line").unwrap();
    let again = GaugeStream::open(&address, &dialect, Options::default()).await;
    let error = again.expect_err("held by the first").to_string();
    assert!(error.contains("in use by"), "{error}");
    #[cfg(target_os = "linux")]
    assert!(
        error.contains("this program already; each gauge needs a port of its own"),
        "{error}"
    );
    drop(first);
    open(gauge.path(), Options::default()).await;
}

#[cfg(target_os = "linux")]
#[tokio::test]
async fn the_program_that_holds_a_port_is_named() {
    let _lock = one_at_a_time().await;
    let gauge = Gauge::new();
    // a program of our own that locks the device and keeps it
    let mut other = std::process::Command::new("flock")
        .args([gauge.path(), "cat"])
        .stdin(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let address = Address::Serial(gauge.path().into());
    let dialect = Dialect::builtin("number-unit-line").unwrap();
    let mut complaint = String::new();
    for _ in 0..100 {
        let opened = GaugeStream::open(&address, &dialect, Options::default()).await;
        match opened {
            Ok(stream) => drop(stream),
            Err(error) => {
                complaint = error.to_string();
                break;
            }
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    drop(other.stdin.take());
    other.wait().unwrap();
    let wanted = format!(
        "another program, flock (process {}); close that program",
        other.id()
    );
    assert!(complaint.contains(&wanted), "{complaint}");
    open(gauge.path(), Options::default()).await;
}

#[tokio::test]
async fn paths_that_are_no_ports_are_explained() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("x.capture");
    std::fs::write(&file, "1 micron\n").unwrap();
    let dialect = Dialect::builtin("number-unit-line").unwrap();
    for (path, part) in [
        (folder.path().join("ttyUSB7"), "plugged in"),
        (file, "write file:"),
        (folder.path().to_owned(), "folder"),
    ] {
        let opened = GaugeStream::open(&Address::Serial(path), &dialect, Options::default()).await;
        let error = opened.expect_err(part).to_string();
        assert!(error.contains(part), "{part}: {error}");
    }
}

#[tokio::test]
async fn dropping_a_pending_next_loses_nothing() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let mut stream = open(gauge.path(), Options::default()).await;
    let talker = std::thread::spawn(move || {
        for i in 0..500 {
            gauge.say(&line(i));
            std::thread::sleep(Duration::from_micros(300));
        }
        gauge
    });
    let mut got = Vec::new();
    let mut tick = tokio::time::interval(Duration::from_micros(500));
    let mut dropped = 0;
    while got.len() < 500 {
        tokio::select! {
            biased;
            _ = tick.tick() => dropped += 1,
            event = stream.next() => match event {
                Some(Event::Reading { arrived, sample }) => got.push((arrived, sample)),
                Some(Event::Connected { .. }) => {}
                other => panic!("{other:?}"),
            }
        }
    }
    assert!(dropped > 50, "the test must have cancelled: {dropped}");
    check_order(&got);
    drop(talker.join());
}
