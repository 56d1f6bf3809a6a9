//! Recognition on a port.

use std::{path::Path, time::Duration};

use sensor_reader::listen::{Conclusion, try_port};

use crate::gauge::{Gauge, one_at_a_time};

#[tokio::test]
async fn a_talking_port_is_recognised() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let path = gauge.path().to_owned();
    let talker = std::thread::spawn(move || {
        std::thread::sleep(Duration::from_millis(100));
        for i in 0..20 {
            gauge.say(&format!("@{i}.000,512.3,micron,21.4,ok\r\n"));
        }
        gauge
    });
    let found = try_port(Path::new(&path), &[9600, 19_200], |_| {})
        .await
        .unwrap();
    assert_eq!(found.trials.len(), 1, "recognised at the first speed");
    let best = found.best().unwrap();
    assert_eq!(best.hearing.conclusion, Conclusion::Recognised);
    assert_eq!(
        best.hearing.candidates[0].dialect.name(),
        "clocked-comma-fields"
    );
    assert_eq!(best.port.baud, 9600);
    drop(talker.join());
}

#[tokio::test]
async fn a_silent_port_is_called_silent() {
    let _lock = one_at_a_time().await;
    let gauge = Gauge::new();
    let found = try_port(Path::new(gauge.path()), &[9600], |_| {})
        .await
        .unwrap();
    let best = found.best().unwrap();
    assert_eq!(best.hearing.conclusion, Conclusion::Silence);
    assert!(best.hearing.candidates.is_empty());
}

#[tokio::test]
async fn a_port_that_is_not_there_is_an_error() {
    let error = try_port(Path::new("/dev/no-such-port"), &[9600], |_| {})
        .await
        .unwrap_err();
    assert!(error.to_string().contains("plugged in"), "{error}");
}
