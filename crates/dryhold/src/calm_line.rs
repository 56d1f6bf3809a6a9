//! The live line: pressure, trend, phase, time to target or hold time left.

use std::{
    io::Write,
    time::{Duration, Instant},
};

use analyser::{Live, Phase, RiseKind};
use vacuum::{Pressure, PressureUnit};

/// Where it is no terminal, a line is printed this often.
const PLAIN: Duration = Duration::from_secs(30);

/// Prints one calm line and keeps it up to date.
#[derive(Debug)]
pub(crate) struct CalmLine {
    terminal: bool,
    width: usize,
    last: Option<(Instant, Option<Phase>)>,
    told: Vec<String>,
    suppressed: u64,
}

impl CalmLine {
    pub(crate) fn new(terminal: bool) -> Self {
        Self {
            terminal,
            width: 0,
            last: None,
            told: Vec::new(),
            suppressed: 0,
        }
    }

    /// Shows where the run stands.
    pub(crate) fn show(&mut self, live: &Live, rejected: u64) {
        let mut line = describe(live);
        if rejected > 0 {
            line.push_str(&format!(" · {rejected} unreadable lines"));
        }
        if self.terminal {
            let width = line.chars().count();
            let pad = self.width.saturating_sub(width);
            self.width = width;
            let mut out = std::io::stdout();
            let _ = write!(out, "\r{line}{:pad$}", "");
            let _ = out.flush();
            return;
        }
        let due = self
            .last
            .is_none_or(|(at, phase)| at.elapsed() >= PLAIN || phase != Some(live.phase));
        if due {
            crate::outcome::say(line);
            self.last = Some((Instant::now(), Some(live.phase)));
        }
    }

    /// Says something that stays on the screen.
    pub(crate) fn tell(&mut self, what: &str) {
        if self.terminal {
            let _ = write!(std::io::stdout(), "\r{:w$}\r", "", w = self.width);
            self.width = 0;
        }
        crate::outcome::say(what);
    }

    /// Says something at most once, and only the first few such things.
    pub(crate) fn tell_once(&mut self, what: &str) {
        if self.told.len() >= 3 || self.told.iter().any(|t| t == what) {
            self.suppressed += 1;
            return;
        }
        self.told.push(what.to_owned());
        self.tell(what);
    }

    /// Leaves the line.
    pub(crate) fn end(&mut self) {
        if self.terminal && self.width > 0 {
            crate::outcome::say("");
        }
        self.width = 0;
    }
}

fn micron(value: f64) -> String {
    Pressure::from_micron(value.max(0.0)).map_or_else(
        |_| "—".into(),
        |p| p.display(PressureUnit::Micron).to_string(),
    )
}

/// Minutes, or hours when long, in words.
pub(crate) fn minutes(seconds: f64) -> String {
    if seconds < 90.0 {
        format!("{seconds:.0} s")
    } else if seconds < 5_400.0 {
        format!("{:.0} min", seconds / 60.0)
    } else {
        format!("{:.1} h", seconds / 3_600.0)
    }
}

fn describe(live: &Live) -> String {
    let mut parts = Vec::new();
    parts.push(
        live.pressure_micron
            .map_or_else(|| "no reading yet".into(), micron),
    );
    if let Some(trend) = live.trend_micron_per_min {
        parts.push(trend_words(trend, live.pressure_micron.unwrap_or(0.0)));
    }
    parts.push(live.phase.label().to_owned());
    match live.phase {
        Phase::Waiting => {}
        Phase::PullDown => parts.push(match live.to_target {
            Some(f) => match f.late_s {
                Some(late) => format!("target in {} to {}", minutes(f.early_s), minutes(late)),
                None => format!(
                    "target in {} at the earliest, perhaps never",
                    minutes(f.early_s)
                ),
            },
            None => "no time to target yet".into(),
        }),
        Phase::AtTarget => parts
            .push("when you are ready: shut the pump-side valve first, then stop the pump".into()),
        Phase::Hold => {
            let left = live.hold_left_s.unwrap_or(0.0);
            parts.push(if left > 0.0 {
                format!("{} of hold left", minutes(left))
            } else {
                "hold long enough".into()
            });
            if let Some(rise) = &live.rise {
                parts.push(match rise.kind {
                    RiseKind::Unclear => match rise.decide_after_s.zip(live.held_s) {
                        Some((after, held)) if after > held => {
                            format!(
                                "cause not clear yet, about {} more to tell",
                                minutes(after - held)
                            )
                        }
                        _ => RiseKind::Unclear.label().into(),
                    },
                    kind => kind.label().into(),
                });
            }
        }
    }
    if let Some(stall) = &live.stall {
        parts.push(format!("stalled: {}", stall.kind.label()));
    }
    parts.join(" · ")
}

fn trend_words(trend: f64, pressure: f64) -> String {
    // a change of less than a per cent a minute is steady
    if trend.abs() < (0.01 * pressure).max(0.5) {
        "steady".into()
    } else if trend > 0.0 {
        format!("rising {}/min", micron(trend))
    } else {
        format!("falling {}/min", micron(-trend))
    }
}
