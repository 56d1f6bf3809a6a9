//! The terminal of this program: the one place where text is printed, and what tells whether
//! it may be read, and where a person is asked something, line by line ([`Questions`]).
//!
//! Every line is made harmless here: a folder name, a job or a word of somebody else's
//! file may hold what a terminal takes for a command.
//!
//! A command that records must never wait for a terminal. After [`detach`] lines go to a
//! thread of their own, which may be stuck for as long as it likes (a stopped terminal, a
//! full pipe, a reader that does not read); what finds too much waiting is left out, and
//! counted. [`finish`] waits at the end for what is still to be printed, as long as it is
//! taken. Without [`detach`] printing waits, and nothing is left out.
//!
//! # What it never does
//! Know what is said, or let what is said do more to a terminal than fill a line.
//!
//! # Example
//! ```
//! console::say("Recording to runs/2026-03-14");
//! assert_eq!(console::harmless("a\u{1b}[2J"), "a\\u001b[2J");
//! ```

mod foreground;
mod progress;
mod questions;

pub use foreground::{await_foreground, in_foreground};
pub use progress::{Progress, progress};
pub use questions::{Left, Questions, Typed, forward};

use std::{
    borrow::Cow,
    collections::VecDeque,
    fmt::Display,
    io::{self, IsTerminal, Write},
    sync::{Arc, Condvar, Mutex, MutexGuard, OnceLock, PoisonError},
    time::{Duration, Instant},
};

/// Most that waits to be printed, bytes.
const MOST_WAITING: usize = 1 << 20;
/// At the end a lane that took nothing for so long is not waited for.
const GIVE_UP: Duration = Duration::from_secs(1);
/// Where to is full for now, and says so instead of waiting.
const AGAIN: Duration = Duration::from_millis(10);

/// Prints a line to standard output; a closed pipe is no reason to panic.
pub fn say(line: impl Display) {
    print(Stream::Out, format!("{}\n", harmless(&line.to_string())));
}

/// Prints lines to standard output.
pub fn say_lines<L: Display>(lines: impl IntoIterator<Item = L>) {
    lines.into_iter().for_each(say);
}

/// Prints a line that is drawn with sequences for the terminal, which must all be the
/// program's own.
pub fn say_drawn(line: &str) {
    print(Stream::Out, format!("{line}\n"));
}

/// Prints an error or a warning to standard error; a terminal that went away is no
/// reason to panic.
pub fn complain(what: impl Display) {
    let text = format!("dryhold: {}\n", harmless(&what.to_string()));
    print(Stream::Err, text);
}

/// Prints lines to standard error as they are, each made harmless.
pub fn complain_lines(lines: &str) {
    for line in lines.lines() {
        print(Stream::Err, format!("{}\n", harmless(line)));
    }
}

/// Writes over the line on the terminal where nothing waits to be printed, else leaves it
/// out; true if it was written.
pub fn redraw(line: &str, blanks: usize) -> bool {
    let text = format!("\r{}{:blanks$}", harmless(line), "");
    match LANES.get() {
        Some(lanes) => lanes.out.add_if_idle(Stream::Out, text),
        None => {
            print(Stream::Out, text);
            true
        }
    }
}

/// Clears so many columns of the line on the terminal, and prints a line in its place.
pub fn say_over(line: &str, columns: usize) {
    let text = format!("\r{:columns$}\r{}\n", "", harmless(line));
    print(Stream::Out, text);
}

/// Rings the bell, if standard error is a terminal: not into a file or a pipe.
pub fn ring() {
    if io::stderr().is_terminal() {
        print(Stream::Err, "\x07".to_owned());
    }
}

/// From here on nobody who prints waits.
pub fn detach() {
    if LANES.get().is_some() {
        return;
    }
    let out = Arc::new(Lane::default());
    // on one terminal the order counts; a full pipe must not hold up the other
    let err = match same_file() {
        true => Arc::clone(&out),
        false => Arc::new(Lane::default()),
    };
    let mut lanes = vec![Arc::clone(&out)];
    if !Arc::ptr_eq(&out, &err) {
        lanes.push(Arc::clone(&err));
    }
    for lane in lanes {
        let thread = std::thread::Builder::new().name("output".into());
        if thread.spawn(move || lane.run()).is_err() {
            // as before: whoever prints waits
            return;
        }
    }
    let _ = LANES.set(Lanes { out, err });
}

/// Waits for what is still to be printed, as long as it is taken.
pub fn finish() {
    if let Some(lanes) = LANES.get() {
        lanes.out.drain();
        lanes.err.drain();
    }
}

/// A line that does to a terminal nothing but fill it: control characters (ECMA-48, C0 and
/// C1), line ends within it and signs that turn the direction of writing (Unicode
/// annex 9) are shown as `\u001b`, which JSON reads back.
pub fn harmless(line: &str) -> Cow<'_, str> {
    let harms = |c: char| {
        c.is_control() && c != '\t'
            || matches!(
                c,
                '\u{200e}' | '\u{200f}' | '\u{061c}' | '\u{2028}' | '\u{2029}'
            )
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    if !line.contains(harms) {
        return Cow::Borrowed(line);
    }
    let mut shown = String::with_capacity(line.len() + 16);
    for c in line.chars() {
        match harms(c) {
            true => shown.push_str(&format!("\\u{:04x}", u32::from(c))),
            false => shown.push(c),
        }
    }
    Cow::Owned(shown)
}

static LANES: OnceLock<Lanes> = OnceLock::new();

struct Lanes {
    out: Arc<Lane>,
    err: Arc<Lane>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stream {
    Out,
    Err,
}

impl Stream {
    fn write(self, text: &str) -> io::Result<()> {
        match self {
            Self::Out => write_all(&mut io::stdout(), text.as_bytes()),
            Self::Err => write_all(&mut io::stderr(), text.as_bytes()),
        }
    }
}

/// As the library's, but a descriptor that another program made non-blocking is tried
/// again: half a line would be lost.
fn write_all(to: &mut impl Write, mut bytes: &[u8]) -> io::Result<()> {
    let mut flushed = false;
    while !bytes.is_empty() || !flushed {
        let done = match bytes.is_empty() {
            true => to.flush().map(|()| {
                flushed = true;
                0
            }),
            false => to.write(bytes),
        };
        match done {
            Ok(0) if !bytes.is_empty() => return Err(io::ErrorKind::WriteZero.into()),
            Ok(count) => bytes = bytes.get(count..).unwrap_or_default(),
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            Err(e) if e.kind() == io::ErrorKind::WouldBlock => std::thread::sleep(AGAIN),
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

fn print(to: Stream, text: String) {
    let lane = LANES.get().map(|lanes| match to {
        Stream::Out => &lanes.out,
        Stream::Err => &lanes.err,
    });
    match lane {
        Some(lane) => lane.add(to, text),
        None => drop(to.write(&text)),
    }
}

/// What waits to be printed, in order.
#[derive(Debug, Default)]
struct Lane {
    state: Mutex<State>,
    changed: Condvar,
}

#[derive(Debug, Default)]
struct State {
    waiting: VecDeque<(Stream, String)>,
    bytes: usize,
    /// Something is being printed.
    busy: bool,
    /// Pieces printed so far.
    printed: u64,
    /// Lines left out since the last that was taken.
    left_out: u64,
}

impl Lane {
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn add(&self, to: Stream, text: String) {
        let mut state = self.state();
        if state.bytes + text.len() > MOST_WAITING {
            state.left_out += 1;
            return;
        }
        state.take(to, text);
        self.changed.notify_all();
    }

    fn add_if_idle(&self, to: Stream, text: String) -> bool {
        let mut state = self.state();
        let idle = state.is_idle();
        if idle {
            state.take(to, text);
            self.changed.notify_all();
        }
        idle
    }

    /// Prints what comes, for as long as the program runs.
    fn run(&self) {
        let mut state = self.state();
        loop {
            let Some((to, text)) = state.waiting.pop_front() else {
                let waited = self.changed.wait(state);
                state = waited.unwrap_or_else(PoisonError::into_inner);
                continue;
            };
            state.bytes -= text.len();
            state.busy = true;
            drop(state);
            // nobody is there: the next line is tried all the same
            let _ = to.write(&text);
            state = self.state();
            state.busy = false;
            state.printed += 1;
            if state.waiting.is_empty() && state.left_out > 0 {
                let lines = std::mem::take(&mut state.left_out);
                let told =
                    format!("({lines} lines were left out: nothing was printed meanwhile)\n");
                state.take(to, told);
            }
            self.changed.notify_all();
        }
    }

    /// Returns once everything is printed, or nothing moves.
    fn drain(&self) {
        let mut state = self.state();
        let (mut printed, mut since) = (state.printed, Instant::now());
        while !state.is_idle() {
            if state.printed != printed {
                (printed, since) = (state.printed, Instant::now());
            }
            let rest = GIVE_UP.saturating_sub(since.elapsed());
            if rest.is_zero() {
                return;
            }
            let waited = self.changed.wait_timeout(state, rest);
            state = waited.unwrap_or_else(PoisonError::into_inner).0;
        }
    }
}

impl State {
    fn take(&mut self, to: Stream, text: String) {
        self.bytes += text.len();
        self.waiting.push_back((to, text));
    }

    fn is_idle(&self) -> bool {
        self.waiting.is_empty() && !self.busy
    }
}

/// Standard output and standard error are one and the same terminal, file or pipe.
#[cfg(unix)]
fn same_file() -> bool {
    let of = |stat: rustix::fs::Stat| (stat.st_dev, stat.st_ino, stat.st_rdev);
    match (
        rustix::fs::fstat(io::stdout()),
        rustix::fs::fstat(io::stderr()),
    ) {
        (Ok(out), Ok(err)) => of(out) == of(err),
        _ => false,
    }
}

#[cfg(not(unix))]
fn same_file() -> bool {
    io::stdout().is_terminal() && io::stderr().is_terminal()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_can_do_nothing_to_a_terminal() {
        for (line, shown) in [
            ("plain, Küche №7 \t✓", "plain, Küche №7 \t✓"),
            ("\x1b]0;title\x07", "\\u001b]0;title\\u0007"),
            ("\u{9b}2J\x7f", "\\u009b2J\\u007f"),
            ("two\nlines\r", "two\\u000alines\\u000d"),
            ("run-\u{202e}fdp.exe", "run-\\u202efdp.exe"),
        ] {
            assert_eq!(harmless(line), shown);
        }
    }

    #[test]
    fn what_was_shown_is_read_back_from_json() {
        let name = "a\u{9b}\u{202e}\x7fb";
        let line = serde_json::to_string(name).expect("JSON");
        let back: String = serde_json::from_str(&harmless(&line)).expect("still JSON");
        assert_eq!(back, name);
    }

    #[test]
    fn a_lane_that_is_stuck_holds_nobody_up_and_counts_what_it_left_out() {
        let lane = Lane::default();
        let begun = Instant::now();
        let line = "x".repeat(1_000);
        for _ in 0..3_000 {
            lane.add(Stream::Out, line.clone());
        }
        assert!(!lane.add_if_idle(Stream::Out, "\rlive".into()));
        assert!(begun.elapsed() < Duration::from_secs(1));
        {
            let state = lane.state();
            assert!(state.bytes <= MOST_WAITING);
            let lines = state.waiting.len() as u64;
            assert_eq!(lines + state.left_out, 3_000);
        }
        // nobody prints it: it is not waited for without end
        let begun = Instant::now();
        lane.drain();
        let waited = begun.elapsed();
        assert!(waited >= GIVE_UP && waited < 5 * GIVE_UP, "{waited:?}");
    }
}
