//! One calm line that is kept up to date, and what happens printed above it.

use std::{
    io::IsTerminal,
    time::{Duration, Instant},
};

use watch::{EventKind, Frame, PhaseNow, Snapshot, Watch};
use wording::say;

use crate::{line_keys::TypedNow, terminal, text, up::Up};

/// The line is renewed so often.
const EVERY: Duration = Duration::from_secs(1);

/// Where it is no terminal, a line is printed this often.
const PLAIN: Duration = Duration::from_secs(30);

/// Columns reckoned with where the terminal does not tell.
const USUAL_COLUMNS: usize = 80;

/// Shows a recording until it ends.
pub(crate) async fn show(mut watch: Watch, mut typed: Option<TypedNow>, up: Up) {
    let mut line = CalmLine::new(std::io::stdout().is_terminal());
    let mut tick = tokio::time::interval(EVERY);
    let mut seen = 0;
    let mut drawn = false;
    loop {
        let (gone, due) = tokio::select! {
            changed = watch.changed() => (changed.is_err(), !drawn),
            _ = tick.tick() => (false, true),
            // an echo does not wait for the next reading
            () = changed(&mut typed) => (false, true),
        };
        let typing = typed.as_ref().map(|t| t.borrow().clone());
        let typing = typing.unwrap_or_default();
        let frame = watch.borrow_and_update().clone();
        if frame.now.version > 0 {
            news(&frame, &mut seen).for_each(|text| line.tell(text));
            let over = !frame.now.run.recording;
            // an event may come before the first look at the run
            let looked = !frame.now.line.is_empty();
            if looked && (due || over) {
                line.caution(&frame.now);
                line.show(&frame.now, &typing);
                drawn = true;
            }
            if over {
                break;
            }
        }
        if gone {
            break;
        }
    }
    line.end();
    if typed.is_some() {
        terminal::leave();
    }
    drop(up);
}

/// Completes when what is typed has changed; never where nobody types.
async fn changed(typed: &mut Option<TypedNow>) {
    let changed = match typed {
        Some(typed) => typed.changed().await,
        None => std::future::pending().await,
    };
    if changed.is_err() {
        // the keyboard is gone
        std::future::pending().await
    }
}

/// The reading, and behind it what is being typed: the end of it where it is long.
fn with_typed(reading: &str, typed: &str, columns: usize) -> String {
    if typed.is_empty() {
        return text::shortened(reading, columns);
    }
    let reading = text::shortened(reading, columns / 2);
    let room = columns.saturating_sub(text::width(&reading) + 4);
    let from = text::width(typed).saturating_sub(room);
    let end: String = typed.chars().skip(from).collect();
    format!("{reading} > {end}_")
}

/// What the recorder says and was not printed yet. What the curve shows is on the line.
fn news<'a>(frame: &'a Frame, seen: &mut u64) -> impl Iterator<Item = &'a str> {
    let since = (*seen).max(frame.now.past_events);
    *seen = frame.events.last_number();
    let all = frame.events.all().filter(move |e| e.number > since);
    all.filter(|e| is_printed(e.kind)).map(|e| e.text.as_str())
}

const fn is_printed(kind: EventKind) -> bool {
    match kind {
        EventKind::GaugeLost
        | EventKind::GaugeBack
        | EventKind::DiskTrouble
        | EventKind::DiskFine
        | EventKind::Marked
        | EventKind::Withdrawn
        | EventKind::Told => true,
        EventKind::TargetReached
        | EventKind::StallFound
        | EventKind::StallEnded
        | EventKind::HoldBegan
        | EventKind::HoldPassed
        | EventKind::HoldPassedWithLeak
        | EventKind::HoldFailed
        | EventKind::HoldWillNotPass
        | EventKind::OrderBroken => false,
    }
}

/// Prints one calm line and keeps it up to date.
#[derive(Debug)]
struct CalmLine {
    terminal: bool,
    /// Columns the line fills now.
    filled: usize,
    last: Option<(Instant, PhaseNow)>,
    /// The gravest caution that was said last.
    cautioned: String,
}

impl CalmLine {
    fn new(terminal: bool) -> Self {
        Self {
            terminal,
            filled: 0,
            last: None,
            cautioned: String::new(),
        }
    }

    /// Shows where the run stands.
    fn show(&mut self, now: &Snapshot, typed: &str) {
        if self.terminal {
            // the last column stays free: writing there would wrap
            let columns = columns() - 1;
            let line = with_typed(&now.line.words(columns), typed, columns);
            let width = text::width(&line);
            let pad = self.filled.min(columns).saturating_sub(width);
            if console::redraw(&line, pad) {
                self.filled = width;
            }
            return;
        }
        let phase = now.line.phase;
        let due = self
            .last
            .is_none_or(|(at, last)| at.elapsed() >= PLAIN || last != phase);
        if due {
            console::say(now.line.words(usize::MAX));
            self.last = Some((Instant::now(), phase));
        }
    }

    /// Says the gravest caution of what is done now, once while it stays the same.
    fn caution(&mut self, now: &Snapshot) {
        let gravest = &now.order.gravest;
        if gravest.is_empty() || *gravest == self.cautioned {
            return;
        }
        self.cautioned.clone_from(gravest);
        let words = say!(now.voice, "screen-caution", caution = gravest.as_str());
        self.tell(&words);
    }

    /// Says something that stays on the screen.
    fn tell(&mut self, what: &str) {
        if self.terminal {
            let mut filled = std::mem::take(&mut self.filled);
            // the terminal would break words
            for line in text::wrapped(what, columns() - 1) {
                console::say_over(&line, std::mem::take(&mut filled).min(columns() - 1));
            }
            return;
        }
        console::say(what);
    }

    /// Leaves the line.
    fn end(&mut self) {
        if self.terminal && self.filled > 0 {
            console::say("");
        }
        self.filled = 0;
    }
}

/// Width of the terminal, asked anew every time: windows are resized.
fn columns() -> usize {
    terminal_size::terminal_size()
        .map_or(USUAL_COLUMNS, |(width, _)| usize::from(width.0))
        .max(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_stands_beside_the_reading() {
        let reading = "180 micron · rising 32/min · hold, 7 min left";
        assert_eq!(with_typed(reading, "", 79), reading);
        assert_eq!(
            with_typed(reading, "hose swap", 79),
            "180 micron · rising 32/min · hold, 7 … > hose swap_"
        );
        for columns in 10..80 {
            let long = "a remark that is longer than any line ".repeat(4);
            let line = with_typed(reading, &long, columns);
            assert!(text::width(&line) <= columns, "{columns}: {line}");
            assert!(line.ends_with('_') && line.contains(" > "), "{line}");
        }
    }
}
