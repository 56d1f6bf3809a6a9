//! A gauge that comes back under another name, and strangers under its own.

use std::{path::Path, time::Duration};

use sensor_reader::{Event, GaugeStream, Options};

use crate::{
    bus::{Adapter, Bus},
    gauge::{Gauge, next_within, one_at_a_time},
    replug::{connected, lost, until},
};

const GAUGE: Adapter<'_> = Adapter {
    name: "ttyUSB0",
    socket: "1-1",
    serial: Some("G7"),
    port: 0,
};

fn quick() -> Options {
    Options {
        retry_first: Duration::from_millis(2),
        retry_longest: Duration::from_millis(10),
        ..Options::default()
    }
}

/// Plugs the gauge in, reads one value, pulls it.
async fn read_and_pull(bus: &Bus, gauge: Adapter<'_>, path: &str) -> GaugeStream {
    let mut first = Gauge::new();
    bus.plug(gauge, &first);
    let mut stream = bus.open(path, quick()).await;
    read(&mut stream, &mut first, 500.0).await;
    bus.unplug(gauge, first);
    let event = until(&mut stream, &mut Vec::new(), lost).await;
    assert!(lost(&event));
    stream
}

/// Has the gauge say a pressure and reads it.
async fn read(stream: &mut GaugeStream, gauge: &mut Gauge, micron: f64) {
    gauge.say(&format!("{micron:.1} micron\r\n{micron:.1} micron\r\n"));
    let mut got = Vec::new();
    while got.len() < 2 {
        until(stream, &mut got, |e| matches!(e, Event::Reading { .. })).await;
    }
    assert_eq!(got, [micron, micron]);
}

/// Expects a refusal that says `part`, then quiet.
async fn refused(stream: &mut GaugeStream, part: &str) {
    // while devices come and go other reasons may be told first
    loop {
        match next_within(stream, 5.0).await {
            Event::Waiting { why, .. } if why.contains(part) => break,
            Event::Waiting { .. } => {}
            other => panic!("{other:?} instead of {part}"),
        }
    }
    let more = tokio::time::timeout(Duration::from_millis(100), stream.next()).await;
    assert!(more.is_err(), "{more:?}");
}

async fn back_at(stream: &mut GaugeStream, name: &str) {
    let event = until(stream, &mut Vec::new(), connected).await;
    let Event::Connected { address, .. } = event else {
        unreachable!()
    };
    assert!(address.ends_with(name), "{address}");
}

#[tokio::test]
async fn comes_back_as_another_number_while_a_stranger_has_its_own() {
    let _lock = one_at_a_time().await;
    let bus = Bus::new();
    let mut stream = read_and_pull(&bus, GAUGE, "ttyUSB0").await;
    refused(&mut stream, "Invented adapter, serial number G7").await;
    // same make, same name, even the same socket: another device all the same
    let mut other = Gauge::new();
    let stranger = Adapter {
        serial: Some("H1"),
        ..GAUGE
    };
    bus.plug(stranger, &other);
    other.say("3.0 micron\r\n3.0 micron\r\n");
    refused(&mut stream, "is not the gauge that was read before").await;
    let mut gauge = Gauge::new();
    bus.plug(
        Adapter {
            name: "ttyUSB1",
            socket: "1-4.2",
            ..GAUGE
        },
        &gauge,
    );
    back_at(&mut stream, "ttyUSB1").await;
    read(&mut stream, &mut gauge, 480.0).await;
}

#[tokio::test]
async fn without_a_serial_number_the_socket_counts() {
    let _lock = one_at_a_time().await;
    let bus = Bus::new();
    let nameless = Adapter {
        serial: None,
        ..GAUGE
    };
    let mut stream = read_and_pull(&bus, nameless, "ttyUSB0").await;
    let elsewhere = Gauge::new();
    bus.plug(
        Adapter {
            socket: "1-2",
            ..nameless
        },
        &elsewhere,
    );
    refused(&mut stream, "same USB socket as before").await;
    let mut gauge = Gauge::new();
    bus.plug(
        Adapter {
            name: "ttyUSB5",
            ..nameless
        },
        &gauge,
    );
    back_at(&mut stream, "ttyUSB5").await;
    read(&mut stream, &mut gauge, 480.0).await;
}

#[tokio::test]
async fn adapters_that_share_a_serial_number_are_not_guessed_at() {
    let _lock = one_at_a_time().await;
    let bus = Bus::new();
    let mut stream = read_and_pull(&bus, GAUGE, "ttyUSB0").await;
    // both appear between two attempts, in sockets the gauge was not in
    let (one, two) = (Gauge::new(), Gauge::new());
    let at = |name, socket| Adapter {
        name,
        socket,
        ..GAUGE
    };
    bus.plug_together(&[(at("ttyUSB2", "1-2"), &one), (at("ttyUSB3", "1-3"), &two)]);
    refused(&mut stream, "2 adapters with its serial number").await;
    bus.unplug(at("ttyUSB2", "1-2"), one);
    let mut two = two;
    back_at(&mut stream, "ttyUSB3").await;
    read(&mut stream, &mut two, 480.0).await;
}

#[tokio::test]
async fn the_other_port_of_the_same_adapter_is_not_the_gauge() {
    let _lock = one_at_a_time().await;
    let bus = Bus::new();
    let mut stream = read_and_pull(&bus, GAUGE, "ttyUSB0").await;
    let other = Gauge::new();
    bus.plug(Adapter { port: 1, ..GAUGE }, &other);
    refused(&mut stream, "is not the gauge that was read before").await;
    let mut gauge = Gauge::new();
    bus.plug(
        Adapter {
            name: "ttyUSB1",
            ..GAUGE
        },
        &gauge,
    );
    back_at(&mut stream, "ttyUSB1").await;
    read(&mut stream, &mut gauge, 480.0).await;
}

#[tokio::test]
async fn a_name_of_a_socket_follows_the_socket() {
    let _lock = one_at_a_time().await;
    let bus = Bus::new();
    let name = "serial/by-path/usb-1-1";
    bus.link(name, "ttyUSB0");
    let mut stream = read_and_pull(&bus, GAUGE, name).await;
    let mut spare = Gauge::new();
    let other = Adapter {
        name: "ttyUSB1",
        serial: Some("SPARE"),
        ..GAUGE
    };
    bus.link(name, "ttyUSB1");
    bus.plug(other, &spare);
    back_at(&mut stream, name).await;
    read(&mut stream, &mut spare, 480.0).await;
}

#[tokio::test]
async fn a_name_by_id_that_lags_behind_does_not_mislead() {
    let _lock = one_at_a_time().await;
    let bus = Bus::new();
    let name = "serial/by-id/usb-invented";
    bus.link(name, "ttyUSB0");
    let mut stream = read_and_pull(&bus, GAUGE, name).await;
    let other = Gauge::new();
    bus.plug(
        Adapter {
            serial: Some("H1"),
            ..GAUGE
        },
        &other,
    );
    let mut gauge = Gauge::new();
    bus.plug(
        Adapter {
            name: "ttyUSB1",
            socket: "1-2",
            ..GAUGE
        },
        &gauge,
    );
    back_at(&mut stream, "ttyUSB1").await;
    read(&mut stream, &mut gauge, 480.0).await;
}

#[tokio::test]
async fn an_unplugging_that_the_driver_missed_shows_in_the_silence() {
    let _lock = one_at_a_time().await;
    let bus = Bus::new();
    let mut gauge = Gauge::new();
    bus.plug(GAUGE, &gauge);
    let options = Options {
        silent_after: Duration::from_millis(100),
        ..quick()
    };
    let mut stream = bus.open("ttyUSB0", options).await;
    read(&mut stream, &mut gauge, 500.0).await;
    let silent = next_within(&mut stream, 1.0).await;
    assert!(matches!(silent, Event::Silent { .. }), "{silent:?}");
    // silent but plugged in: nothing more to tell
    let more = tokio::time::timeout(Duration::from_millis(400), stream.next()).await;
    assert!(more.is_err(), "{more:?}");
    bus.forget(GAUGE);
    let event = next_within(&mut stream, 1.0).await;
    assert!(lost(&event), "{event:?}");
    let mut again = Gauge::new();
    let place = Adapter {
        name: "ttyUSB1",
        ..GAUGE
    };
    bus.plug(place, &again);
    back_at(&mut stream, "ttyUSB1").await;
    read(&mut stream, &mut again, 480.0).await;
}

#[tokio::test]
async fn two_hundred_replugs_leak_nothing() {
    let _lock = one_at_a_time().await;
    let bus = Bus::new();
    let mut gauge = Gauge::new();
    let mut place = GAUGE;
    bus.plug(place, &gauge);
    let mut stream = bus.open("ttyUSB0", quick()).await;
    let mut before = None;
    for cycle in 0..200 {
        back_at(&mut stream, place.name).await;
        read(&mut stream, &mut gauge, 500.0).await;
        // measured once everything has settled
        if cycle == 20 {
            before = Some(held());
        }
        gauge.say("49");
        gauge.drain();
        bus.unplug(place, gauge);
        until(&mut stream, &mut Vec::new(), lost).await;
        gauge = Gauge::new();
        place = Adapter {
            name: ["ttyUSB0", "ttyUSB1", "ttyUSB2"][cycle % 3],
            socket: ["1-1", "1-2"][cycle % 2],
            ..GAUGE
        };
        bus.plug(place, &gauge);
    }
    back_at(&mut stream, place.name).await;
    let (before, after) = (before.unwrap(), held());
    assert_eq!(after.descriptors, before.descriptors);
    assert_eq!(after.threads, before.threads);
    if let (Some(before), Some(after)) = (before.resident_kib, after.resident_kib) {
        println!("resident: {before} KiB after 20 cycles, {after} KiB after 200");
        // one leaked read buffer of 16 KiB a cycle would be 2,880 KiB
        assert!(after < before + 1024, "{before} KiB grew to {after} KiB");
    }
}

/// What this process holds; `None` where the system does not tell.
struct Held {
    descriptors: Option<usize>,
    threads: Option<usize>,
    resident_kib: Option<u64>,
}

fn held() -> Held {
    let entries = |folder| Path::new(folder).read_dir().ok().map(Iterator::count);
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let resident = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    Held {
        descriptors: entries("/proc/self/fd"),
        threads: entries("/proc/self/task"),
        resident_kib: resident.and_then(|text| text.trim().strip_suffix(" kB")?.parse().ok()),
    }
}
