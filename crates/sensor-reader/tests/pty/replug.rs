//! Unplugging and replugging behind a stable name.

use std::{os::unix::fs::symlink, path::PathBuf, time::Duration};

use sensor_reader::{Address, Dialect, Event, GaugeStream, Options};

use crate::gauge::{Gauge, next_within, one_at_a_time, open};

/// A stable name that a gauge is plugged into and pulled out of.
struct Socket {
    _folder: tempfile::TempDir,
    name: PathBuf,
}

impl Socket {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let name = folder.path().join("gauge");
        Self {
            _folder: folder,
            name,
        }
    }

    fn plug(&self, gauge: &Gauge) {
        symlink(gauge.path(), &self.name).unwrap();
    }

    fn unplug(&self, gauge: Gauge) {
        std::fs::remove_file(&self.name).unwrap();
        drop(gauge);
    }
}

/// Passes over events until one fits; collects the measurements on the way.
pub(crate) async fn until(
    stream: &mut GaugeStream,
    micron: &mut Vec<f64>,
    fits: impl Fn(&Event) -> bool,
) -> Event {
    loop {
        let event = next_within(stream, 10.0).await;
        if let Event::Reading { sample, .. } = &event {
            micron.push(sample.pressure().unwrap().micron().round());
        }
        if fits(&event) {
            return event;
        }
    }
}

pub(crate) fn connected(event: &Event) -> bool {
    matches!(event, Event::Connected { .. })
}

pub(crate) fn lost(event: &Event) -> bool {
    matches!(event, Event::Lost { .. })
}

#[tokio::test]
async fn three_generations_behind_one_name() {
    let _lock = one_at_a_time().await;
    let socket = Socket::new();
    let mut gauge = Gauge::new();
    socket.plug(&gauge);
    let mut stream = open(&socket.name, Options::default()).await;
    let mut micron = Vec::new();
    let mut losses = 0;
    for generation in 0..3 {
        let event = until(&mut stream, &mut micron, connected).await;
        let Event::Connected { connection, .. } = event else {
            unreachable!()
        };
        assert_eq!(connection, generation + 1);
        for i in 0..20 {
            gauge.say(&format!("{}.0 micron\r\n", 1000 + 100 * generation + i));
        }
        // half a line, then the plug is pulled
        gauge.say("9");
        gauge.drain();
        std::thread::sleep(Duration::from_millis(20));
        socket.unplug(gauge);
        let event = until(&mut stream, &mut micron, lost).await;
        losses += 1;
        let Event::Lost { why, .. } = event else {
            unreachable!()
        };
        assert!(why.contains("unplugged"), "{why}");
        // out long enough for several attempts to fail
        tokio::time::sleep(Duration::from_millis(350)).await;
        gauge = Gauge::new();
        socket.plug(&gauge);
    }
    assert_eq!(losses, 3);
    let wanted: Vec<f64> = (0..3)
        .flat_map(|g| (0..20).map(move |i| f64::from(1000 + 100 * g + i)))
        .collect();
    assert_eq!(micron, wanted, "60 of 60, in order");
}

#[tokio::test]
async fn a_gauge_that_comes_back_mid_line_is_not_misread() {
    let _lock = one_at_a_time().await;
    let socket = Socket::new();
    let mut gauge = Gauge::new();
    socket.plug(&gauge);
    let mut stream = open(&socket.name, Options::default()).await;
    let mut micron = Vec::new();
    gauge.say("1234.0 micron\r\n1233.0 micron\r\n12");
    gauge.drain();
    std::thread::sleep(Duration::from_millis(20));
    socket.unplug(gauge);
    until(&mut stream, &mut micron, lost).await;
    let mut gauge = Gauge::new();
    socket.plug(&gauge);
    until(&mut stream, &mut micron, connected).await;
    gauge.say("32.0 micron\r\n1231.0 micron\r\n1230.0 micron\r\n");
    until(&mut stream, &mut micron, |e| {
        matches!(e, Event::Reading { sample, .. }
            if sample.pressure().is_some_and(|p| p.micron() < 1230.5))
    })
    .await;
    assert_eq!(
        micron,
        [1234.0, 1233.0, 1231.0, 1230.0],
        "never 32, never 1232"
    );
}

#[tokio::test]
async fn waits_for_a_gauge_that_is_not_there_yet() {
    let _lock = one_at_a_time().await;
    let socket = Socket::new();
    let options = Options {
        wait_for_gauge: true,
        ..Options::default()
    };
    let mut stream = open(&socket.name, options).await;
    let event = next_within(&mut stream, 1.0).await;
    assert!(
        matches!(&event, Event::Waiting { why, .. } if why.contains("plugged in")),
        "{event:?}"
    );
    let gauge = Gauge::new();
    socket.plug(&gauge);
    assert!(connected(&next_within(&mut stream, 5.0).await));
}

#[tokio::test]
async fn dropping_while_waiting_stops_at_once() {
    let socket = Socket::new();
    let options = Options {
        wait_for_gauge: true,
        ..Options::default()
    };
    let stream = open(&socket.name, options).await;
    tokio::time::sleep(Duration::from_millis(300)).await;
    let start = std::time::Instant::now();
    drop(stream);
    assert!(start.elapsed() < Duration::from_millis(200));
}

#[tokio::test]
async fn a_wrong_dialect_is_loud_and_does_not_stop_the_stream() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let address = Address::Serial(gauge.path().into());
    let dialect = Dialect::builtin("clocked-comma-fields").unwrap();
    let mut stream = GaugeStream::open(&address, &dialect, Options::default())
        .await
        .unwrap();
    gauge.say("500.0 micron\r\n500.0 micron\r\n@1.0,500.0,micron,,ok\r\n");
    let mut micron = Vec::new();
    until(&mut stream, &mut micron, |e| {
        matches!(e, Event::Rejected { .. })
    })
    .await;
    until(&mut stream, &mut micron, |e| {
        matches!(e, Event::Reading { .. })
    })
    .await;
    assert_eq!(micron, [500.0]);
}
