use std::{io::Write, net::TcpListener, path::Path};

use chrono::{DateTime, TimeDelta, Utc};
use sensor_reader::{Address, GaugeStream, Options};

use super::*;
use crate::clock::fake::FakeClock;

/// A row of `trace.csv`.
struct Row {
    elapsed_s: f64,
    utc: DateTime<Utc>,
    micron: Option<f64>,
    state: String,
    note: String,
}

fn rows(folder: &Path) -> Vec<Row> {
    let text = std::fs::read_to_string(folder.join("trace.csv")).expect("trace.csv");
    let row = |line: &str| {
        let fields: Vec<&str> = line.split(',').collect();
        Row {
            elapsed_s: fields[1].parse().expect("a time"),
            utc: fields[2].parse().expect("a time stamp"),
            micron: fields[3].parse().ok(),
            state: fields[5].to_owned(),
            note: fields[7].trim_matches('"').to_owned(),
        }
    };
    text.lines().skip(1).map(row).collect()
}

/// A program without anybody at it.
struct Nobody;

impl Operator for Nobody {
    fn warn(&self, words: &str) {
        panic!("{words}");
    }

    fn stands_still(&self, words: &str) {
        panic!("{words}");
    }

    fn tell(&self, words: &str) {
        panic!("{words}");
    }

    fn gives_up(&self) -> std::pin::Pin<Box<dyn Future<Output = ()> + '_>> {
        Box::pin(std::future::pending())
    }
}

/// Records a gauge that says 30 values; `act` is called before each.
fn record(computer: &FakeClock, act: impl Fn(usize) + Send + 'static) -> Vec<Row> {
    let folder = tempfile::tempdir().expect("a folder");
    let dialect = Dialect::builtin("number-unit-line").expect("it ships");
    let header = RunHeader {
        software: "test".into(),
        ..RunHeader::default()
    };
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("tcp://{}", listener.local_addr().expect("its number"));
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime");
    let recorded = runtime.block_on(async {
        let address = Address::parse(&address).expect("an address");
        let gauge = GaugeStream::open(&address, &dialect, Options::default())
            .await
            .expect("connected");
        let (mut line, _) = listener.accept().expect("called");
        let (said_all, stop) = tokio::sync::oneshot::channel::<()>();
        let talker = std::thread::spawn(move || {
            line.write_all(b"\r\n").expect("said");
            for i in 0..30 {
                act(i);
                std::thread::sleep(Duration::from_millis(20));
                line.write_all(format!("{}.0 micron\r\n", 500 + i).as_bytes())
                    .expect("said");
            }
            std::thread::sleep(Duration::from_millis(100));
            said_all.send(()).expect("recorded");
            line
        });
        let time = TimeLine::start(dialect.clock(), Box::new(computer.clone()));
        let (settings, companions) = (Settings::default(), Companions::default());
        let recorder = Recorder::start_by(time, folder.path(), &header, settings, companions)
            .unwrap_or_else(|_| panic!("a recorder"));
        let (_keyboard, marks) = tokio::sync::mpsc::unbounded_channel();
        let stopped = async {
            let _ = stop.await;
        };
        let recorded = recorder
            .record(
                Gauges::new(gauge, None),
                Marks::asked_for(marks),
                std::sync::Arc::new(Nobody),
                stopped,
                || false,
            )
            .await
            .unwrap_or_else(|_| panic!("a record"));
        drop(talker.join().expect("the gauge"));
        recorded
    });
    rows(&recorded.run.folder)
}

#[test]
fn a_clock_set_mid_run_does_not_move_elapsed_time() {
    let computer = FakeClock::new(true);
    let hand = computer.clone();
    let rows = record(&computer, move |i| match i {
        10 => hand.set(TimeDelta::hours(5)),
        20 => hand.set(TimeDelta::hours(-9)),
        _ => {}
    });
    let readings: Vec<&Row> = rows.iter().filter(|r| r.micron.is_some()).collect();
    assert_eq!(readings.len(), 30, "none is lost");
    for pair in rows.windows(2) {
        let step = pair[1].elapsed_s - pair[0].elapsed_s;
        assert!((0.0..1.0).contains(&step), "{step} s");
    }
    // the time stamps follow the clock, the times do not
    let ahead_h = |r: &Row| {
        let stamp = (r.utc - rows[0].utc).as_seconds_f64();
        (stamp - (r.elapsed_s - rows[0].elapsed_s)) / 3_600.0
    };
    for (i, wanted) in [
        (0, 0.0),
        (7, 0.0),
        (12, 5.0),
        (17, 5.0),
        (22, -4.0),
        (29, -4.0),
    ] {
        let found = ahead_h(readings[i]);
        assert!((found - wanted).abs() < 0.001, "{i}: {found} h");
    }
    let notes: Vec<&str> = rows
        .iter()
        .map(|r| r.note.as_str())
        .filter(|n| !n.is_empty())
        .collect();
    assert_eq!(notes.len(), 2, "{notes:?}");
    for (note, part) in notes.iter().zip(["set forward by 5 h", "set back by"]) {
        assert!(note.contains(part), "{note}");
        assert!(
            note.ends_with("counted on a clock that does not jump"),
            "{note}"
        );
    }
}

#[test]
fn a_computer_that_slept_owes_a_gap() {
    let computer = FakeClock::new(true);
    let lid = computer.clone();
    let rows = record(&computer, move |i| {
        if i == 15 {
            lid.sleep(Duration::from_secs(1_200));
        }
    });
    let gap = rows.iter().position(|r| r.state == "gap").expect("a gap");
    assert!(
        rows[gap + 1].note.contains("slept for 20 min"),
        "{}",
        rows[gap + 1].note
    );
    let asleep = rows[gap + 1].elapsed_s - rows[gap].elapsed_s;
    assert!((asleep - 1_200.0).abs() < 1.0, "{asleep} s");
    let stamp = (rows[gap + 1].utc - rows[gap].utc).as_seconds_f64();
    assert!((stamp - asleep).abs() < 0.1, "{stamp} s");
}
