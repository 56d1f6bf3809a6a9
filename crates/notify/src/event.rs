//! Which events are worth calling somebody, and an event as one line of JSON.

use serde::Serialize;
use watch::{Event, EventKind, Frame, Snapshot};

/// True for what is worth calling somebody.
pub(crate) const fn calls(kind: EventKind) -> bool {
    match kind {
        EventKind::TargetReached
        | EventKind::StallFound
        | EventKind::HoldPassed
        | EventKind::HoldPassedWithLeak
        | EventKind::HoldFailed
        | EventKind::HoldWillNotPass
        | EventKind::GaugeLost
        | EventKind::GaugeBack
        | EventKind::DiskTrouble
        | EventKind::DiskFine
        | EventKind::OrderBroken => true,
        EventKind::StallEnded
        | EventKind::HoldBegan
        | EventKind::Marked
        | EventKind::Withdrawn
        | EventKind::Told => false,
    }
}

/// What a command or a broker is given: one line of JSON.
#[derive(Debug, Serialize)]
struct EventLine<'a> {
    event: EventKind,
    number: u64,
    at_s: f64,
    text: &'a str,
    grave: bool,
    run: &'a str,
    folder: &'a str,
    job: &'a str,
    invented: bool,
    pressure_state: &'a str,
    pressure_micron: Option<f64>,
}

/// An event with what belongs to it, as one line of JSON.
pub(crate) fn json(now: &Snapshot, event: &Event) -> Option<String> {
    let line = EventLine {
        event: event.kind,
        number: event.number,
        at_s: event.at_s,
        text: &event.text,
        grave: event.kind.is_grave(),
        run: &now.run.name,
        folder: &now.run.folder,
        job: &now.run.job,
        invented: now.run.invented,
        pressure_state: now.pressure.state,
        pressure_micron: now.pressure.micron,
    };
    serde_json::to_string(&line).ok()
}

/// What is worth calling somebody and was not seen yet.
pub(crate) fn news<'a>(frame: &'a Frame, last: &mut u64) -> Vec<&'a Event> {
    let since = std::mem::replace(last, frame.events.last_number());
    let all = frame.events.all();
    all.filter(|e| e.number > since && calls(e.kind)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;
    use watch::Events;

    #[test]
    fn each_event_calls_once_and_remarks_never() {
        let mut events = Events::default();
        events.add(1.0, EventKind::Marked, "Marked.");
        events.add(2.0, EventKind::TargetReached, "Reached.");
        let mut frame = Frame {
            events: Arc::new(events.clone()),
            ..Frame::default()
        };
        let mut last = 0;
        let kinds = |all: Vec<&Event>| all.iter().map(|e| e.kind).collect::<Vec<_>>();
        assert_eq!(kinds(news(&frame, &mut last)), [EventKind::TargetReached]);
        assert_eq!(kinds(news(&frame, &mut last)), []);
        events.add(3.0, EventKind::GaugeLost, "Lost.");
        frame.events = Arc::new(events);
        assert_eq!(kinds(news(&frame, &mut last)), [EventKind::GaugeLost]);
    }
}
