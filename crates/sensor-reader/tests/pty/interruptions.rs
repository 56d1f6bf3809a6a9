//! A gauge that is handled while it is being read.

use sensor_reader::{Event, Options};

use crate::{
    gauge::{Gauge, next_within, one_at_a_time, open},
    replug::{connected, until},
};

#[tokio::test]
async fn another_unit_mid_run_keeps_the_pressure() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let mut stream = open(gauge.path(), Options::default()).await;
    gauge.say("750.0 micron\r\n750.0 micron\r\n");
    // 750.06 micron, 0.75006 torr and 1 mbar are the same pressure
    gauge.say("99.9918 Pa\r\n0.99992 mbar\r\n0.75 torr\r\n");
    let mut micron = Vec::new();
    while micron.len() < 5 {
        until(&mut stream, &mut micron, |e| {
            matches!(e, Event::Reading { .. } | Event::Rejected { .. })
        })
        .await;
    }
    assert_eq!(micron, [750.0; 5]);
}

#[tokio::test]
async fn a_restarting_gauge_costs_its_greeting_and_no_more() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let mut stream = open(gauge.path(), Options::default()).await;
    until(&mut stream, &mut Vec::new(), connected).await;
    gauge.say("500.0 micron\r\n499.0 micron\r\n49");
    // the power dips: line noise, then the greeting, then values again
    gauge.say_bytes(b"\x00\x00\xFF");
    gauge.say("gauge ready, version 2\r\nOVER\r\n498.0 micron\r\n497.0 micron\r\n");
    let (mut micron, mut rejected, mut over) = (Vec::new(), 0, 0);
    while micron.len() < 4 {
        match next_within(&mut stream, 5.0).await {
            Event::Reading { sample, .. } => match sample.pressure() {
                Some(p) => micron.push(p.micron().round()),
                None => over += 1,
            },
            Event::Rejected { .. } => rejected += 1,
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(micron, [500.0, 499.0, 498.0, 497.0], "never 49");
    assert_eq!((rejected, over), (1, 1));
}
