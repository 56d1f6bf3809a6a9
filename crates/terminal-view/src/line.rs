//! One calm line that is kept up to date, and what happens printed above it.

use std::{
    io::IsTerminal,
    time::{Duration, Instant},
};

use watch::{EventKind, Frame, PhaseNow, Snapshot, Watch};

use crate::up::Up;

/// The line is renewed so often.
const EVERY: Duration = Duration::from_secs(1);

/// Where it is no terminal, a line is printed this often.
const PLAIN: Duration = Duration::from_secs(30);

/// Columns reckoned with where the terminal does not tell.
const USUAL_COLUMNS: usize = 80;

/// Shows a recording until it ends.
pub(crate) async fn show(mut watch: Watch, up: Up) {
    let mut line = CalmLine::new(std::io::stdout().is_terminal());
    let mut tick = tokio::time::interval(EVERY);
    let mut seen = 0;
    let mut drawn = false;
    loop {
        let (gone, due) = tokio::select! {
            changed = watch.changed() => (changed.is_err(), !drawn),
            _ = tick.tick() => (false, true),
        };
        let frame = watch.borrow_and_update().clone();
        if frame.now.version > 0 {
            news(&frame, &mut seen).for_each(|text| line.tell(text));
            let over = !frame.now.run.recording;
            // an event may come before the first look at the run
            let looked = !frame.now.line.is_empty();
            if looked && (due || over) {
                line.show(&frame.now);
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
    drop(up);
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
}

impl CalmLine {
    fn new(terminal: bool) -> Self {
        Self {
            terminal,
            filled: 0,
            last: None,
        }
    }

    /// Shows where the run stands.
    fn show(&mut self, now: &Snapshot) {
        if self.terminal {
            // the last column stays free: writing there would wrap
            let columns = columns() - 1;
            let line = shortened(&now.line.words(columns), columns);
            let width = line.chars().count();
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

    /// Says something that stays on the screen.
    fn tell(&mut self, what: &str) {
        if self.terminal {
            let filled = std::mem::take(&mut self.filled);
            return console::say_over(what, filled.min(columns() - 1));
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

/// `line` in at most `columns` characters, its cut shown.
fn shortened(line: &str, columns: usize) -> String {
    if line.chars().count() <= columns {
        return line.to_owned();
    }
    let mut short: String = line.chars().take(columns.saturating_sub(1)).collect();
    short.push('…');
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_never_exceeds_the_terminal() {
        for columns in [1, 2, 20, 79, 200] {
            let short = shortened("180 micron · rising 32/min · hold, 7 min left", columns);
            assert!(short.chars().count() <= columns, "{columns}: {short}");
        }
        assert_eq!(shortened("abc", 3), "abc");
        assert_eq!(shortened("abcd", 3), "ab…");
    }
}
