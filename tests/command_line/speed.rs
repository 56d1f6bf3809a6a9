//! The recording path at 1,000 readings a second: none is lost.

use std::time::{Duration, Instant};

use crate::{
    gauge::Gauge,
    logger::Logger,
    run::{dryhold, measured, only_run, scratch},
};

const READINGS: u32 = 5000;
const EVERY: Duration = Duration::from_millis(1);

#[test]
fn a_thousand_readings_a_second_for_five_seconds() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    let started = Instant::now();
    for i in 0..READINGS {
        let due = started + EVERY * i;
        std::thread::sleep(due.saturating_duration_since(Instant::now()));
        gauge.say_micron(f64::from(i));
    }
    let took = started.elapsed().as_secs_f64();
    gauge.drain();
    logger.wait_for_rows(READINGS as usize);
    let (ran, rows) = logger.stop();
    ran.expect(0);
    assert!(
        took < 8.0,
        "the test could not speak at 1,000 lines/s: {took} s"
    );

    let said: Vec<f64> = (0..READINGS).map(f64::from).collect();
    assert_eq!(measured(&rows), said);
    assert_eq!(rows.len(), said.len(), "no gap row");
    // stamped when they came, not when they were written
    let span = rows[rows.len() - 1].elapsed_s - rows[0].elapsed_s;
    assert!(
        (span - took).abs() < 0.5,
        "{span} s on record, {took} s spoken"
    );
    let worst = rows.windows(2).map(|w| w[1].elapsed_s - w[0].elapsed_s);
    let worst = worst.fold(0.0, f64::max);
    assert!(worst < 1.0, "two neighbours {worst} s apart");
    dryhold(["verify".as_ref(), only_run(&out).as_os_str()]).expect(0);
}
