//! How far a long work is, on a terminal.

use std::io::{self, IsTerminal};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// A bar on standard error with rate and time left; nothing at all where that is no terminal.
#[derive(Debug)]
pub struct Progress(ProgressBar);

/// Draws a bar for so many things.
#[must_use]
pub fn progress(count: usize, things: &str) -> Progress {
    let target = match io::stderr().is_terminal() {
        true => ProgressDrawTarget::stderr_with_hz(8),
        false => ProgressDrawTarget::hidden(),
    };
    let bar = ProgressBar::with_draw_target(Some(count as u64), target);
    let form = format!("{{bar:24}} {{pos}} of {{len}} {things}, {{per_sec}}, {{eta}} left");
    if let Ok(style) = ProgressStyle::with_template(&form) {
        bar.set_style(style);
    }
    Progress(bar)
}

impl Progress {
    /// One more is done.
    pub fn step(&self) {
        self.0.inc(1);
    }
}

impl Drop for Progress {
    /// Leaves the line to whoever prints next.
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
