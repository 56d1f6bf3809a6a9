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
