//! Gauges over TCP on the loopback, and recorded captures.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

use std::{
    io::Write,
    net::{TcpListener, TcpStream},
    time::Duration,
};

use sensor_reader::{Address, Dialect, Event, GaugeStream, Options, RejectReason};

fn dialect() -> Dialect {
    Dialect::builtin("number-unit-line").unwrap()
}

async fn next(stream: &mut GaugeStream) -> Event {
    tokio::time::timeout(Duration::from_secs(10), stream.next())
        .await
        .expect("an event in time")
        .expect("the stream goes on")
}

fn send(to: &mut TcpStream, from: usize, count: usize) {
    let text: String = (from..from + count)
        .map(|i| format!("{}.0 micron\n", 10_000 + i))
        .collect();
    to.write_all(text.as_bytes()).unwrap();
}

#[tokio::test]
async fn tcp_reads_loses_and_reconnects() {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = Address::parse(&format!("tcp://{}", listener.local_addr().unwrap())).unwrap();
    let server = std::thread::spawn(move || {
        for generation in 0..3 {
            let (mut peer, _) = listener.accept().unwrap();
            send(&mut peer, generation * 2000, 2000);
        }
    });
    let mut stream = GaugeStream::open(&address, &dialect(), Options::default())
        .await
        .unwrap();
    let (mut micron, mut lost, mut connected) = (Vec::new(), 0, 0);
    while lost < 3 {
        match next(&mut stream).await {
            Event::Reading { sample, .. } => {
                micron.push(sample.pressure().unwrap().micron().round() as usize);
            }
            Event::Lost { why, .. } => {
                assert!(why.contains("closed"), "{why}");
                lost += 1;
            }
            Event::Connected { connection, .. } => {
                connected += 1;
                assert_eq!(connection, connected);
            }
            Event::Waiting { .. } => {}
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(connected, 3);
    assert_eq!(micron, (10_000..16_000).collect::<Vec<_>>());
    server.join().unwrap();
}

/// A serial server that loses its power says nothing; its connection looks
/// alive. The reader calls again by itself, less and less often.
#[tokio::test]
async fn a_peer_that_went_without_a_word_is_called_again() {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = Address::parse(&format!("tcp://{}", listener.local_addr().unwrap())).unwrap();
    let server = std::thread::spawn(move || {
        let (mut first, _) = listener.accept().unwrap();
        send(&mut first, 0, 3);
        // from here on it swallows everything and never hangs up; twice
        let (second, _) = listener.accept().unwrap();
        let calls = std::time::Instant::now();
        let (mut third, _) = listener.accept().unwrap();
        let patience = calls.elapsed();
        send(&mut third, 3, 3);
        (first, second, third, patience)
    });
    let options = Options {
        silent_after: Duration::from_millis(100),
        renew_after: Duration::from_millis(400),
        retry_first: Duration::from_millis(10),
        ..Options::default()
    };
    let mut stream = GaugeStream::open(&address, &dialect(), options)
        .await
        .unwrap();
    let (mut micron, mut lost) = (Vec::new(), Vec::new());
    while micron.len() < 5 {
        match next(&mut stream).await {
            Event::Reading { sample, .. } => {
                micron.push(sample.pressure().unwrap().micron().round() as usize);
            }
            Event::Lost { why, .. } => lost.push(why),
            Event::Connected { .. } | Event::Silent { .. } => {}
            // the first line of a new connection waits for the next
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(micron, [10_000, 10_001, 10_002, 10_003, 10_004]);
    assert_eq!(lost.len(), 2, "{lost:?}");
    assert!(lost[0].contains("does not answer any more"), "{lost:?}");
    let (.., patience) = server.join().unwrap();
    assert!(
        patience > Duration::from_millis(700),
        "the second was given twice as long: {patience:?}"
    );
}

#[tokio::test]
async fn nobody_listening_is_explained() {
    // bound and dropped at once: the port is free again
    let port = TcpListener::bind("127.0.0.1:0")
        .unwrap()
        .local_addr()
        .unwrap()
        .port();
    let address = Address::parse(&format!("tcp://127.0.0.1:{port}")).unwrap();
    let opened = GaugeStream::open(&address, &dialect(), Options::default()).await;
    let error = opened.expect_err("refused").to_string();
    assert!(error.contains("switched on"), "{error}");
}

#[tokio::test]
async fn a_capture_is_read_to_its_end_and_ends() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("x.capture");
    std::fs::write(&path, "12.0 micron\n1234.0 micron\nOVER\n99").unwrap();
    let address = Address::parse(&format!("file:{}", path.display())).unwrap();
    let mut stream = GaugeStream::open(&address, &dialect(), Options::default())
        .await
        .unwrap();
    let mut events = Vec::new();
    while let Some(event) = stream.next().await {
        events.push(event);
    }
    assert!(
        matches!(
            events.as_slice(),
            [
                Event::Connected { connection: 1, .. },
                // a capture starts at the start of a line: the short first line counts
                Event::Reading { .. },
                Event::Reading { .. },
                Event::Reading { .. },
                Event::Rejected { rejected, .. },
                Event::Ended,
            ] if rejected.why == RejectReason::CutAtEnd
        ),
        "{events:#?}"
    );
    assert!(stream.next().await.is_none());
}

#[tokio::test]
async fn missing_captures_and_folders_are_explained() {
    let folder = tempfile::tempdir().unwrap();
    for (path, part) in [
        (folder.path().join("none"), "check the path"),
        (folder.path().to_owned(), "folder"),
    ] {
        let opened = GaugeStream::open(&Address::File(path), &dialect(), Options::default()).await;
        let error = opened.expect_err(part).to_string();
        assert!(error.contains(part), "{error}");
    }
}
