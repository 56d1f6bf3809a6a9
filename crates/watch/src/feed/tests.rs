use super::*;
use vacuum::{MarkKind, PressureUnit};

fn feed() -> Feed {
    Feed::new(None, &Criteria::default())
}

fn reading(elapsed_s: f64, micron: f64) -> Entry {
    let pressure = Pressure::from_micron(micron).expect("a pressure");
    Entry::Reading(Reading::measured(elapsed_s, pressure))
}

#[test]
fn a_view_that_never_looks_costs_and_blocks_nothing() {
    let mut feed = feed();
    let watch = feed.watch(Follow::Closely);
    feed.begin();
    let start = Instant::now();
    for i in 0..5_000_u32 {
        feed.entry(&reading(f64::from(i) / 10.0, 400.0));
        feed.publish_if_due(start + EVERY * 2 * i);
    }
    assert!(watch.has_changed().expect("alive"));
    assert_eq!(watch.borrow().now.gauge.readings, 5_000);
    drop(watch);
    let before = feed.version;
    feed.publish(start);
    assert_eq!(feed.version, before, "nobody looks");
}

#[test]
fn frames_come_no_faster_than_eyes() {
    let mut feed = feed();
    let _watch = feed.watch(Follow::Closely);
    let start = Instant::now();
    for i in 0..1_000_u32 {
        feed.entry(&reading(f64::from(i) / 1_000.0, 400.0));
        feed.publish_if_due(start + Duration::from_millis(1) * i);
    }
    assert!((24..=26).contains(&feed.version), "{}", feed.version);
    assert!(feed.due().is_some());
    // what came last is owed, and comes
    feed.publish_if_due(start + Duration::from_secs(2));
    let newest = feed.frame(start).now.elapsed_s;
    assert!((newest - 0.999).abs() < 1e-9);
}

#[test]
fn a_frame_says_what_was_recorded() {
    let mut feed = feed();
    let watch = feed.watch(Follow::Closely);
    let now = Instant::now();
    feed.heard(now);
    feed.heard(now + Duration::from_secs(1));
    feed.entry(&reading(1.0, 468.4));
    feed.entry(&Entry::Mark(Mark {
        elapsed_s: 2.0,
        kind: MarkKind::PumpSideShut,
        note: String::new(),
    }));
    feed.publish(now + Duration::from_secs(2));
    let frame = watch.borrow().clone();
    assert_eq!(frame.now.pressure.digits, "468");
    assert_eq!(frame.now.pressure.state, "ok");
    assert_eq!(frame.now.marks.len(), 1);
    assert_eq!(frame.now.gauge.age_s, Some(1.0));
    assert!((frame.now.gauge.per_s - 1.0).abs() < 1e-9);
    assert_eq!(frame.history.columns.len(), 1);
    let texts: Vec<&str> = frame.events.all().map(|e| e.text.as_str()).collect();
    assert_eq!(texts, ["Marked: pump-side valve shut."]);
    // and all of it can be sent
    let sent = serde_json::to_value(&*frame.now).expect("JSON");
    assert_eq!(sent["judged"]["phase"], "waiting");
    assert_eq!(sent["marks"][0]["code"], "pump_side_shut");
    assert!(sent["order"]["steps"].is_array());
    assert!(serde_json::to_string(&*frame.history).is_ok());
    let events = serde_json::to_value(&*frame.events).expect("JSON");
    assert_eq!(events[0]["kind"], "marked");
    assert_eq!(events[0]["number"], 1);
}

#[test]
fn the_unit_of_the_sheet_stands_beside_micron() {
    let mut feed = feed();
    feed.voice.unit = PressureUnit::Pascal;
    feed.entry(&reading(1.0, 468.4));
    let now = feed.frame(Instant::now()).now;
    // 468.4 mTorr, 133.322 Pa a Torr (NIST SP 811)
    assert_eq!(now.pressure.also.as_deref(), Some("62.4 Pa"));
    assert_eq!(now.pressure.unit_and_also(), "micron (62.4 Pa)");
}

#[test]
fn a_gauge_that_goes_shows_no_stale_number() {
    let mut feed = feed();
    feed.entry(&reading(1.0, 468.4));
    feed.entry(&Entry::Reading(Reading::gap(9.0)));
    let now = feed.frame(Instant::now()).now;
    assert_eq!(
        (now.pressure.digits.as_str(), now.pressure.state),
        ("—", "gap")
    );
}
