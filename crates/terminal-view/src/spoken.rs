//! A whole sentence for each thing that happens, each on a line of its own: for a screen
//! reader, for a printer, for whoever listens. Nothing is ever redrawn.

use std::{
    sync::mpsc::{Receiver, RecvTimeoutError},
    time::{Duration, Instant},
};

use watch::{Frame, PhaseNow, Snapshot, Watch, curve::state_words};

use wording::say;

use crate::{keyboard::Input, up::Up};

const LOOK: Duration = Duration::from_millis(200);
/// The status is said so often by itself.
const BY_ITSELF: Duration = Duration::from_secs(120);

/// Speaks until the recording ends.
pub(crate) fn start(watch: Watch, inputs: Receiver<Input>, up: Up) {
    let _ = std::thread::Builder::new()
        .name("spoken".into())
        .spawn(move || {
            speak(watch, &inputs);
            drop(up);
        });
}

fn speak(mut watch: Watch, inputs: &Receiver<Input>) {
    let mut seen = 0;
    let mut said_at: Option<Instant> = None;
    let mut cautioned = String::new();
    loop {
        let asked = match inputs.recv_timeout(LOOK) {
            Ok(Input::Ask) => true,
            Ok(Input::Lost) => return,
            Ok(_) | Err(RecvTimeoutError::Timeout) => false,
            Err(RecvTimeoutError::Disconnected) => {
                // nobody can ask any more; what happens is said all the same
                std::thread::sleep(LOOK);
                false
            }
        };
        match watch.has_changed() {
            Ok(true) => {}
            Ok(false) if !asked => continue,
            Ok(false) => {}
            Err(_) => return,
        }
        let frame = watch.borrow_and_update().clone();
        let due = said_at.is_none_or(|at| at.elapsed() >= BY_ITSELF);
        let mut sentences = news(&frame, &mut seen);
        if (asked || due) && frame.now.version > 0 && frame.now.judged.phase != PhaseNow::Waiting {
            sentences.push(status(&frame.now));
            said_at = Some(Instant::now());
        }
        // the gravest caution of what is done now, once while it stays the same
        let now = &frame.now;
        if !now.order.gravest.is_empty() && now.order.gravest != cautioned {
            cautioned.clone_from(&now.order.gravest);
            let caution = cautioned.as_str();
            sentences.push(say!(now.voice, "screen-caution", caution = caution));
        }
        for sentence in sentences {
            console::say(sentence);
        }
        if frame.now.version > 0 && !frame.now.run.recording {
            return;
        }
    }
}

/// What happened since event number `seen`.
fn news(frame: &Frame, seen: &mut u64) -> Vec<String> {
    let whole = |text: &str| {
        let mut chars = text.chars();
        let first = chars.next().map(|c| c.to_uppercase().to_string());
        let mut text = first.unwrap_or_default() + chars.as_str();
        if !text.ends_with(['.', '?', '!']) {
            text.push('.');
        }
        text
    };
    let mut said = Vec::new();
    match frame.events.after(*seen) {
        Some(events) => said.extend(events.map(|e| whole(&e.text))),
        None => {
            said.push(say!(frame.now.voice, "spoken-more"));
            said.extend(frame.events.all().map(|e| whole(&e.text)));
        }
    }
    *seen = frame.events.last_number();
    said
}

/// How things stand, in sentences.
fn status(now: &Snapshot) -> String {
    let mut words = match (now.pressure.state, now.pressure.micron) {
        ("ok", Some(_)) => format!("{} {}", now.pressure.digits, now.pressure.unit_and_also()),
        (state, _) => state_words(&now.voice, state),
    };
    if !now.pressure.trend.is_empty() {
        words += &format!(", {}", now.pressure.trend);
    }
    let standing = match (&now.judged.hold, now.judged.phase) {
        (Some(hold), _) => say!(
            now.voice,
            "spoken-hold",
            clock = hold.clock.as_str(),
            answer = hold.answer.as_str(),
        ),
        (None, PhaseNow::PullDown) => say!(
            now.voice,
            "spoken-pull-down",
            words = now.judged.target.words.as_str(),
        ),
        (None, phase) => phase.words(&now.voice),
    };
    format!("{words}. {standing}. {}", now.order.advice)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use watch::{EventKind, Events};

    #[test]
    fn each_event_is_said_once_as_a_whole_sentence() {
        let mut events = Events::default();
        events.add(1.0, EventKind::Told, "gauge lost: unplugged; reconnecting");
        events.add(2.0, EventKind::TargetReached, "The target is reached.");
        let mut frame = Frame {
            events: Arc::new(events.clone()),
            ..Frame::default()
        };
        let mut seen = 0;
        assert_eq!(
            news(&frame, &mut seen),
            [
                "Gauge lost: unplugged; reconnecting.",
                "The target is reached."
            ]
        );
        assert_eq!(news(&frame, &mut seen), [""; 0]);
        events.add(3.0, EventKind::Marked, "Marked: note.");
        frame.events = Arc::new(events);
        assert_eq!(news(&frame, &mut seen), ["Marked: note."]);
    }
}
