//! The stream of one viewer.

use std::{
    collections::VecDeque,
    convert::Infallible,
    time::{Duration, Instant},
};

use axum::response::sse::Event;
use futures_util::{Stream, stream};
use tokio::sync::watch;

use crate::{hub::Published, places::Place};

/// Without anything new, `now` is repeated so often: the page knows by it that it is
/// not cut off.
const BEAT: Duration = Duration::from_secs(2);
/// The curve is sent no more often than this; between, the page draws on from `now`.
const CURVE_EVERY: Duration = Duration::from_secs(5);
/// What the browser waits before it comes again.
const COME_AGAIN: Duration = Duration::from_secs(1);

/// The last thing a viewer has seen: run and number.
pub(crate) type Seen = Option<(u64, u64)>;

/// Reads `RUN.NUMBER`.
pub(crate) fn seen(text: &str) -> Seen {
    let (run, number) = text.trim().split_once('.')?;
    Some((run.parse().ok()?, number.parse().ok()?))
}

struct Viewer {
    receiver: watch::Receiver<Published>,
    run: Option<u64>,
    number: u64,
    curve: Option<(u64, Instant)>,
    waiting: VecDeque<Event>,
    /// Given back when the browser goes.
    place: Place,
}

/// Everything from now on, beginning with what was missed.
pub(crate) fn of(
    receiver: watch::Receiver<Published>,
    hello: &str,
    seen: Seen,
    place: Place,
) -> impl Stream<Item = Result<Event, Infallible>> + use<> {
    let mut viewer = Viewer {
        receiver,
        run: seen.map(|(run, _)| run),
        number: seen.map_or(0, |(_, number)| number),
        curve: None,
        waiting: VecDeque::new(),
        place,
    };
    let hello = Event::default().event("hello").data(hello);
    viewer.waiting.push_back(hello.retry(COME_AGAIN));
    viewer.fill(Instant::now());
    stream::unfold(viewer, |mut viewer| async move {
        // asked for more: what went before was taken
        viewer.place.active();
        loop {
            if let Some(event) = viewer.waiting.pop_front() {
                return Some((Ok(event), viewer));
            }
            if let Ok(Err(_)) = tokio::time::timeout(BEAT, viewer.receiver.changed()).await {
                return None;
            }
            viewer.place.active();
            viewer.fill(Instant::now());
        }
    })
}

impl Viewer {
    /// Puts what this viewer lacks in line.
    fn fill(&mut self, now: Instant) {
        let published = self.receiver.borrow_and_update().clone();
        if published.now.is_empty() {
            return;
        }
        let event = |kind: &str, data: &str| Event::default().event(kind).data(data);
        if self.run != Some(published.run) {
            if self.run.replace(published.run).is_some() {
                self.waiting.push_back(event("anew", "{}"));
            }
            (self.number, self.curve) = (0, None);
        }
        self.waiting.push_back(event("now", &published.now));
        let (version, curve) = &published.curve;
        let due = self.curve.is_none_or(|(sent, at)| {
            sent != *version && now.saturating_duration_since(at) >= CURVE_EVERY
        });
        if due && !curve.is_empty() {
            self.curve = Some((*version, now));
            self.waiting.push_back(event("curve", curve));
        }
        let missed = match published.after(self.number) {
            Some(missed) => missed,
            None => {
                // a first look shows what is kept, and misses nothing
                if self.number > 0 {
                    self.waiting.push_back(event("missed", "{}"));
                }
                &published.happened
            }
        };
        for happened in missed {
            let id = format!("{}.{}", published.run, happened.number);
            let event = event("happened", &happened.text).id(id);
            self.waiting.push_back(event);
            self.number = happened.number;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        hub::Happened,
        places::{Leaves, Places, Who},
    };
    use axum::response::{IntoResponse, Sse};
    use futures_util::StreamExt;
    use std::net::IpAddr;

    fn published(run: u64, numbers: std::ops::RangeInclusive<u64>) -> Published {
        Published {
            run,
            now: "{\"now\":1}".into(),
            curve: (1, "{\"curve\":1}".into()),
            happened: numbers
                .map(|number| Happened {
                    number,
                    text: format!("{{\"n\":{number}}}").into(),
                })
                .collect(),
        }
    }

    /// What a viewer is sent before it waits, and after each of the others.
    async fn sent(seen: Seen, all: &[Published]) -> String {
        let (sender, receiver) = watch::channel(all[0].clone());
        let places = Places::new(1, Leaves::Oldest);
        let who = Who::Address(IpAddr::from([127, 0, 0, 1]));
        let place = places.enter(who, &Default::default(), 0);
        let stream = of(receiver, "{}", seen, place.expect("a place"));
        let response = Sse::new(stream).into_response();
        let mut data = response.into_body().into_data_stream();
        let mut text = String::new();
        for next in all[1..].iter().map(Some).chain([None]) {
            while let Ok(Some(Ok(chunk))) =
                tokio::time::timeout(Duration::from_millis(50), data.next()).await
            {
                text.push_str(std::str::from_utf8(&chunk).expect("UTF-8"));
            }
            if let Some(next) = next {
                sender.send_replace(next.clone());
            }
        }
        text
    }

    fn count(text: &str, event: &str) -> usize {
        text.matches(&format!("event: {event}\n")).count()
    }

    #[tokio::test]
    async fn a_first_look_gets_everything_once() {
        let text = sent(None, &[published(1, 1..=3), published(1, 1..=4)]).await;
        let kinds = ["hello", "now", "curve", "happened", "missed", "anew"];
        assert_eq!(kinds.map(|k| count(&text, k)), [1, 2, 1, 4, 0, 0], "{text}");
        assert!(text.contains("id: 1.4\n"), "{text}");
    }

    #[tokio::test]
    async fn who_was_away_gets_what_it_missed() {
        let text = sent(seen("1.2"), &[published(1, 1..=5)]).await;
        assert_eq!(count(&text, "happened"), 3, "{text}");
        assert!(!text.contains("id: 1.2\n") && text.contains("id: 1.3\n"));
        assert_eq!((count(&text, "now"), count(&text, "curve")), (1, 1));
    }

    #[tokio::test]
    async fn who_was_away_too_long_is_told_so() {
        let text = sent(seen("1.2"), &[published(1, 100..=299)]).await;
        assert_eq!((count(&text, "missed"), count(&text, "happened")), (1, 200));
    }

    #[tokio::test]
    async fn another_run_begins_anew() {
        let text = sent(seen("1.200"), &[published(2, 1..=2), published(3, 1..=1)]).await;
        assert_eq!((count(&text, "anew"), count(&text, "happened")), (2, 3));
        assert_eq!(count(&text, "curve"), 2, "{text}");
    }

    #[test]
    fn rubbish_was_never_seen() {
        for text in ["", "1", "1.", ".1", "a.b", "-1.2", "1.2.3"] {
            assert_eq!(seen(text), None, "{text}");
        }
        assert_eq!(seen(" 7.12 "), Some((7, 12)));
    }
}
