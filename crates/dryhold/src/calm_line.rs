//! The live line: pressure, trend, phase, time to target or hold time left.

use std::time::{Duration, Instant};

use analyser::{Live, PassWorth, Phase, Rise, RiseKind, Stall, StallKind};
use vacuum::{Pressure, PressureUnit, Sensed};
use wording::{Voice, phase_words};

use crate::{beside::PUMP_SIDE, output};

/// Where it is no terminal, a line is printed this often.
const PLAIN: Duration = Duration::from_secs(30);

/// Columns reckoned with where the terminal does not tell.
const USUAL_COLUMNS: usize = 80;

/// How far back the trend looks, s.
pub(crate) const TREND_S: f64 = 30.0;

/// Prints one calm line and keeps it up to date.
#[derive(Debug)]
pub(crate) struct CalmLine {
    terminal: bool,
    /// Something else has the screen.
    quiet: bool,
    /// Columns the line fills now.
    filled: usize,
    last: Option<(Instant, Option<Phase>)>,
    told: Vec<String>,
    suppressed: u64,
    warning: Option<String>,
}

impl CalmLine {
    pub(crate) fn new(terminal: bool) -> Self {
        Self {
            terminal,
            quiet: false,
            filled: 0,
            last: None,
            told: Vec::new(),
            suppressed: 0,
            warning: None,
        }
    }

    /// Says nothing while something else has the screen.
    pub(crate) fn set_quiet(&mut self, quiet: bool) {
        self.quiet = quiet;
    }

    /// Puts a warning before everything else, until it is taken away.
    pub(crate) fn warn(&mut self, warning: Option<String>) {
        self.warning = warning;
    }

    /// Shows where the run stands; `beside` is what other gauges and channels say.
    pub(crate) fn show(&mut self, live: &Live, beside: &[Other<'_>], rejected: u64) {
        if self.quiet {
            return;
        }
        let room = if self.terminal {
            columns() - 1
        } else {
            usize::MAX
        };
        let mut line = fitted(live, beside, room);
        if rejected > 0 {
            line.push_str(&format!(" · {rejected} unreadable"));
        }
        if let Some(warning) = &self.warning {
            line = format!("{warning} · {line}");
        }
        if self.terminal {
            // the last column stays free: writing there would wrap
            let columns = columns().saturating_sub(1);
            let line = shortened(&line, columns);
            let width = line.chars().count();
            let pad = self.filled.min(columns).saturating_sub(width);
            if output::redraw(&line, pad) {
                self.filled = width;
            }
            return;
        }
        let due = self
            .last
            .is_none_or(|(at, phase)| at.elapsed() >= PLAIN || phase != Some(live.phase));
        if due {
            output::say(line);
            self.last = Some((Instant::now(), Some(live.phase)));
        }
    }

    /// Says something that stays on the screen.
    pub(crate) fn tell(&mut self, what: &str) {
        if self.quiet {
            return;
        }
        if self.terminal {
            let filled = std::mem::take(&mut self.filled);
            return output::say_over(what, filled.min(columns().saturating_sub(1)));
        }
        output::say(what);
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
        if self.terminal && self.filled > 0 {
            output::say("");
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

/// A pressure as a gauge would show it: no tenths from 10 micron up.
pub(crate) fn micron(value: f64) -> String {
    if (9.95..99.5).contains(&value) {
        return format!("{value:.0} micron");
    }
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

/// A range of times; the unit once where both ends share it.
pub(crate) fn span(early_s: f64, late_s: f64) -> String {
    let (early, late) = (minutes(early_s), minutes(late_s));
    match (early.split_once(' '), late.split_once(' ')) {
        (Some((from, a)), Some((_, b))) if a == b => format!("{from} to {late}"),
        _ => format!("{early} to {late}"),
    }
}

/// Place of another gauge or channel, and the last it said.
pub(crate) type Other<'a> = (&'a str, Option<Sensed>);

/// The line in `room` columns if it can be: what comes first may be read off the
/// gauge, what comes last is what to do.
fn fitted(live: &Live, beside: &[Other<'_>], room: usize) -> String {
    let length = |line: &String| line.chars().count();
    let full = describe(live, beside);
    if length(&full) <= room {
        return full;
    }
    let steady = Live {
        trend_micron_per_min: None,
        ..live.clone()
    };
    let without_trend = describe(&steady, beside);
    if length(&without_trend) <= room || beside.is_empty() {
        return without_trend;
    }
    describe(&steady, &[])
}

/// The judged pressure, named where another stands beside it.
fn pressures(judged: &str, beside: &[Other<'_>]) -> String {
    /// More would push what to do off the line.
    const MOST: usize = 2;
    let mut words = if beside.iter().any(|(place, _)| *place == PUMP_SIDE) {
        format!("far {judged}")
    } else {
        judged.to_owned()
    };
    for (place, sensed) in beside.iter().take(MOST) {
        let value = match sensed {
            None => "—".to_owned(),
            Some(Sensed::Measured(p)) => {
                let shown = micron(p.micron());
                shown.trim_end_matches(" micron").to_owned()
            }
            Some(Sensed::Over(_)) => "over".to_owned(),
            Some(Sensed::Under(_)) => "under".to_owned(),
            Some(Sensed::Fault) => "fault".to_owned(),
            Some(Sensed::Gap) => "lost".to_owned(),
        };
        words.push_str(&format!(", {place} {value}"));
    }
    words
}

/// Everything on one line of 79 columns in all but rare cases.
fn describe(live: &Live, beside: &[Other<'_>]) -> String {
    let Some(pressure) = live.pressure_micron else {
        return format!(
            "{} · {}",
            pressures("no reading yet", beside).replacen("far no", "no", 1),
            phase_words(&Voice::default(), live.phase)
        );
    };
    let mut parts = vec![pressures(&micron(pressure), beside)];
    // the trend looks back half a minute: right after isolation it still shows
    // the pump
    let settled = live.held_s.is_none_or(|held| held > TREND_S);
    if let Some(trend) = live.trend_micron_per_min.filter(|_| settled) {
        let still = live.phase == Phase::Hold
            && live.rise.as_ref().is_some_and(|r| r.kind == RiseKind::None);
        parts.push(if still {
            "steady".into()
        } else {
            trend_words(trend, pressure)
        });
    }
    match live.phase {
        Phase::Waiting => parts.push(phase_words(&Voice::default(), live.phase)),
        Phase::PullDown => parts.push(match &live.stall {
            Some(stall) => stall_words(live, stall),
            None => forecast_words(live),
        }),
        Phase::AtTarget => {
            parts.push("at target: shut pump-side valve, then stop pump".into());
        }
        Phase::Hold => {
            let left = live.hold_left_s.unwrap_or(0.0);
            parts.push(if left > 0.0 {
                format!("hold, {} left", minutes(left))
            } else {
                "hold, long enough".into()
            });
            let rise = live.rise.as_ref();
            parts.extend(rise.map(|rise| answer_words(live, rise, live.held_s)));
        }
    }
    parts.join(" · ")
}

/// What holds the pull-down up, and what that means for the time to target.
fn stall_words(live: &Live, stall: &Stall) -> String {
    match stall.kind {
        StallKind::Foaming | StallKind::BoilOff | StallKind::Ice => {
            let kind = wording::stall_words(&Voice::default(), stall.kind);
            format!("{kind}, no forecast meanwhile")
        }
        StallKind::Floor => forecast_words(live),
        StallKind::Choked => match live.to_target {
            Some(f) => format!("choked flow, target in {}", span(f.early_s, f.late_s)),
            None => format!("choked flow, {}", forecast_words(live)),
        },
    }
}

/// Time to target in the words of the job.
pub(crate) fn forecast_words(live: &Live) -> String {
    if let Some(rate) = live.not_at_this_rate {
        return format!(
            "no target at this rate: ends near {}",
            micron(rate.floor_micron)
        );
    }
    match live.to_target {
        None => "pull-down, no time to target yet".into(),
        Some(f) => format!("pull-down, target in {}", span(f.early_s, f.late_s)),
    }
}

/// The running answer of a hold, in one breath: that it will not pass, that it passes by
/// the rule though a leak is indicated, or what the rise comes from and how sure that is.
/// How sure, and what a pass is worth, the analyser decides; the words are the catalogue's.
pub(crate) fn answer_words(live: &Live, rise: &Rise, held_s: Option<f64>) -> String {
    let voice = &Voice::default();
    match (&live.early, live.findings.pass()) {
        (Some(early), _) => wording::will_not_pass_words(voice, early),
        (None, Some(PassWorth::WithLeak(_))) => wording::headline(voice, &live.findings),
        (None, _) => wording::running_answer(voice, rise, held_s),
    }
}

/// Micron per minute with two digits: the trend of half a minute has no more.
pub(crate) fn trend_words(trend: f64, pressure: f64) -> String {
    // a change of less than a per cent a minute is steady
    if trend.abs() < (0.01 * pressure).max(0.5) {
        return "steady".into();
    }
    let direction = if trend > 0.0 { "rising" } else { "falling" };
    let size = trend.abs();
    let step = 10_f64.powf((size.log10().floor() - 1.0).max(0.0));
    let rounded = (size / step).round() * step;
    let shown = match rounded {
        r if r < 10.0 => format!("{size:.1}"),
        r if r < 1_000.0 => format!("{r:.0}"),
        r => micron(r).trim_end_matches(" micron").to_owned(),
    };
    format!("{direction} {shown}/min")
}

#[cfg(test)]
mod tests;
