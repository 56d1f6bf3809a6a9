//! A gauge that speaks only when asked, on a real device path.

use sensor_reader::{Address, Dialect, Event, GaugeStream, Options};

use crate::gauge::{Gauge, next_within, one_at_a_time};

#[tokio::test]
async fn asked_by_address_through_a_port() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let address = Address::Serial(gauge.path().into());
    let dialect = Dialect::builtin("polled-mantissa-exponent").unwrap();
    let source = dialect.source().replace("every_ms = 500", "every_ms = 40");
    let dialect = Dialect::from_toml(&source, "faster.toml").unwrap();
    let mut stream = GaugeStream::open(&address, &dialect, Options::default())
        .await
        .unwrap();
    let talker = std::thread::spawn(move || {
        for line in ["0751231020u\r", "0751221020t\r", "0751211020s\r"] {
            assert_eq!(gauge.hear(4), b"?07\r");
            gauge.say(line);
        }
        // two queries in vain, then an answer
        assert_eq!(gauge.hear(8), b"?07\r?07\r");
        gauge.say("0751201020r\r");
        gauge.drain();
        gauge
    });
    let mut pascal = Vec::new();
    while pascal.len() < 4 {
        match next_within(&mut stream, 10.0).await {
            Event::Reading { sample, .. } => pascal.push(sample.pressure().unwrap().pa()),
            Event::Connected { .. } => {}
            other => panic!("{other:?}"),
        }
    }
    for (found, wanted) in pascal.iter().zip([512.3, 512.2, 512.1, 512.0]) {
        assert!((found - wanted).abs() < 1e-9, "{pascal:?}");
    }
    drop(talker.join());
}
