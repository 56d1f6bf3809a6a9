//! Frames of the live model as what a page is sent.

use std::{sync::Arc, time::Duration};

use serde::Serialize;
use watch::{Curve, Events, Frame, Snapshot, Watch};

use crate::{Happened, Published, Publisher};

/// While nobody looks, the page is brought up to date so often.
const UNSEEN: Duration = Duration::from_secs(1);

/// Relays frames until recording ends, then lets go.
pub async fn relay(mut watch: Watch, publisher: Publisher, run: u64) {
    let mut last = Last::default();
    loop {
        let frame = watch.borrow_and_update().clone();
        // before the first frame there is nothing to say
        if frame.now.version > 0 {
            publisher.publish(last.published(run, &frame));
            if !frame.now.run.recording {
                return;
            }
        }
        if publisher.viewers() == 0 {
            let over = watch.wait_for(|f| f.now.version > 0 && !f.now.run.recording);
            let _ = tokio::time::timeout(UNSEEN, over).await;
        }
        if watch.changed().await.is_err() {
            // the session went without a last frame
            let mut now = Snapshot::clone(&frame.now);
            now.run.recording = false;
            let now = Arc::new(now);
            publisher.publish(last.published(run, &Frame { now, ..frame }));
            return;
        }
    }
}

/// What was made of the last frame, for what has not changed since.
#[derive(Default)]
struct Last {
    curve: (u64, Arc<str>),
    events: u64,
    happened: Arc<[Happened]>,
}

impl Last {
    fn published(&mut self, run: u64, frame: &Frame) -> Published {
        if self.curve.1.is_empty() || self.curve.0 != frame.history.version {
            self.curve = (frame.history.version, json(&CurveWire::of(&frame.history)));
        }
        if self.events != frame.events.last_number() {
            self.events = frame.events.last_number();
            self.happened = happened(&frame.events);
        }
        Published {
            run,
            now: json(&*frame.now),
            curve: self.curve.clone(),
            happened: Arc::clone(&self.happened),
        }
    }
}

fn happened(events: &Events) -> Arc<[Happened]> {
    events
        .all()
        .map(|e| Happened {
            number: e.number,
            text: json(e),
        })
        .collect()
}

/// One line of JSON. What cannot be said is left unsaid: a page is no reason to stop.
fn json(what: &impl Serialize) -> Arc<str> {
    serde_json::to_string(what).unwrap_or_default().into()
}

/// The curve as short as it can be said: a screen needs no more digits.
#[derive(Serialize)]
struct CurveWire {
    version: u64,
    /// From and to, s; lowest and highest, micron; whether the line breaks before it.
    columns: Vec<(f64, f64, f64, f64, bool)>,
    /// State, from, to.
    away: Vec<(&'static str, f64, f64)>,
    extent_s: (f64, f64),
}

impl CurveWire {
    fn of(curve: &Curve) -> Self {
        let columns = curve.columns.iter().map(|c| {
            let (from, to) = (tenths(c.from_s), tenths(c.to_s));
            (from, to, four_digits(c.low), four_digits(c.high), c.broken)
        });
        let away = curve.away.iter();
        Self {
            version: curve.version,
            columns: columns.collect(),
            away: away
                .map(|a| (a.state, tenths(a.from_s), tenths(a.to_s)))
                .collect(),
            extent_s: curve.extent_s,
        }
    }
}

fn tenths(s: f64) -> f64 {
    (s * 10.0).round() / 10.0
}

fn four_digits(micron: f64) -> f64 {
    if micron == 0.0 || !micron.is_finite() {
        return micron;
    }
    let digits = 3 - micron.abs().log10().floor() as i32;
    // powers of ten below one are not exact: divide by the inverse instead
    match digits {
        0.. => {
            let by = 10_f64.powi(digits);
            (micron * by).round() / by
        }
        _ => {
            let by = 10_f64.powi(-digits);
            (micron / by).round() * by
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Instant;
    use vacuum::{Criteria, Entry, Pressure, Reading};
    use watch::{EventKind, Feed, Follow};

    fn entry(elapsed_s: f64, micron: f64) -> Entry {
        let pressure = Pressure::from_micron(micron).expect("a pressure");
        Entry::Reading(Reading::measured(elapsed_s, pressure))
    }

    /// A day's curve, 720 columns with their hair.
    fn a_day() -> Frame {
        let mut feed = Feed::new(None, &Criteria::default());
        for i in 0..86_400_u32 {
            let wobble = f64::from(i * 7919 % 101) / 7.0;
            feed.entry(&entry(f64::from(i) + 0.123, 468.123_456 + wobble));
        }
        let _watch = feed.watch(Follow::Closely);
        feed.event(EventKind::Told, "Something.");
        feed.frame(Instant::now())
    }

    #[test]
    fn what_a_viewer_is_sent_is_small() {
        let frame = a_day();
        let published = Last::default().published(1, &frame);
        let (now, curve) = (published.now.len(), published.curve.1.len());
        assert!(now < 3_000, "{now} bytes ten times a second");
        assert!(curve < 32_000, "{curve} bytes every five seconds");
        assert!(curve > 10_000, "a whole curve: {curve}");
        assert!(!published.now.contains('\n') && !published.curve.1.contains('\n'));
    }

    #[test]
    fn what_has_not_changed_is_not_said_anew() {
        let frame = a_day();
        let mut last = Last::default();
        let (first, second) = (last.published(1, &frame), last.published(1, &frame));
        assert!(Arc::ptr_eq(&first.curve.1, &second.curve.1));
        assert!(Arc::ptr_eq(&first.happened, &second.happened));
        assert_eq!(first.happened.len(), 1);
    }

    #[test]
    fn numbers_keep_four_digits() {
        for (given, kept) in [
            (468.123_4, 468.1),
            (749_812.0, 749_800.0),
            (0.012_345, 0.012_35),
            (0.0, 0.0),
            (10_000.0, 10_000.0),
        ] {
            let shown = serde_json::to_string(&four_digits(given)).expect("a number");
            assert_eq!(shown, serde_json::to_string(&kept).expect("a number"));
        }
    }

    #[tokio::test]
    async fn a_session_that_goes_leaves_an_ended_page() {
        let (sender, watch) = tokio::sync::watch::channel(a_day());
        let page = crate::Page::serve(
            crate::Options {
                reach: crate::Reach::Loopback,
                port: 0,
                keys: crate::Keys::random().expect("random"),
                stamps: None,
                certificate: None,
            },
            |_, _| true,
        )
        .expect("a page");
        drop(sender);
        let relayed = relay(watch, page.publisher(), 1);
        tokio::time::timeout(Duration::from_secs(5), relayed)
            .await
            .expect("it lets go");
    }

    #[test]
    fn events_keep_their_numbers() {
        let mut events = Events::default();
        events.add(1.0, EventKind::Told, "one");
        events.add(2.0, EventKind::GaugeLost, "two");
        let all = happened(&events);
        let numbers: Vec<u64> = all.iter().map(|h| h.number).collect();
        assert_eq!(numbers, [1, 2]);
        let event: serde_json::Value = serde_json::from_str(&all[1].text).expect("JSON");
        assert_eq!(event["kind"], "gauge_lost");
    }
}
