//! A gauge that counts its lines, and one that says it is busy.

use std::time::Duration;

use node_line::{Decimal, Line, Unit, Uptime, Value, encode};

use crate::{
    gauge::Gauge,
    logger::Logger,
    run::{measured, scratch},
};

/// A line of the gauge node.
fn node_line(sequence: u16, milliseconds: u64, micron: u32) -> Vec<u8> {
    let line = Line {
        sequence,
        uptime: Uptime::from_milliseconds(milliseconds).expect("in range"),
        value: Value::Measured(Decimal::new(micron, 0).expect("in range")),
        unit: Unit::Micron,
        temperature_tenths_c: None,
        high: None,
        barometer: None,
    };
    let mut room = [0; node_line::LONGEST];
    encode(&line, &mut room).expect("it fits").to_vec()
}

#[test]
fn lost_lines_repeats_and_a_restart_are_told_and_time_goes_on() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let logger = Logger::start_on(&port, "node-line", &out, &[]);
    gauge.await_reader();
    let mut said = Vec::new();
    let mut say = |sequence: u16, milliseconds, again: bool| {
        let micron = 900 - said.len() as u32;
        let bytes = node_line(sequence, milliseconds, micron);
        said.push(f64::from(micron));
        gauge.say_bytes(&bytes);
        if again {
            gauge.say_bytes(&bytes);
        }
        std::thread::sleep(Duration::from_millis(5));
    };
    // two lost, one twice, then 40 ever and again, more often than is told
    (0..10).for_each(|i| say(i, 1000 + 100 * u64::from(i), false));
    (12..20).for_each(|i| say(i, 1000 + 100 * u64::from(i), i == 15));
    (0..10).for_each(|i| say(60 + 41 * i, 9000 + 4100 * u64::from(i), false));
    // restarted, at 0 and by its clock
    (0..10).for_each(|i| say(i, 100 * u64::from(i), false));
    gauge.drain();
    logger.wait_for_rows(said.len());
    let (ran, rows) = logger.stop();
    let ran = ran.expect(0);
    assert_eq!(
        measured(&rows),
        said,
        "and the repeated line gives one reading"
    );
    assert!(rows.windows(2).all(|w| w[0].elapsed_s <= w[1].elapsed_s));
    // 20..59 and nine times 40
    let closing = "402 lines lost on the way by the gauge's own count (unreadable ones included), \
                   1 line came twice, the gauge was restarted once";
    assert!(ran.out.contains(closing), "{}", ran.out);
    assert!(!ran.out.contains("unreadable line left"), "{}", ran.out);
    let told = ran.out.matches("lost on the way;").count();
    assert_eq!(told, 3, "not line by line: {}", ran.out);
    assert!(ran.out.contains("shows 2 lines lost"), "{}", ran.out);
    assert!(ran.out.contains("its count began anew"), "{}", ran.out);
}

#[test]
fn a_busy_gauge_is_no_unreadable_one() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let logger = Logger::start_on(&port, "channel-tagged-fields", &out, &[]);
    gauge.await_reader();
    // the last two characters are the XOR of those behind the !
    gauge.say("!2;512.3;Pa;OK;2C\r\n");
    for _ in 0..4 {
        gauge.say("!2;99;Pa;WAIT;08\r\n");
    }
    gauge.say("!2;0.667;mbar;OK;03\r\n");
    gauge.drain();
    logger.wait_for_rows(2);
    let (ran, rows) = logger.stop();
    let ran = ran.expect(0);
    assert_eq!(rows.len(), 2, "{rows:?}");
    assert!(
        ran.out.contains("2 readings recorded in 2 rows."),
        "{}",
        ran.out
    );
}
