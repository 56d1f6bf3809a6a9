//! Everything about a run that fits on one line: pressure, trend, phase, time to target or
//! hold time left.

use findings::{Live, Phase, RiseKind, Stall, StallKind};
use vacuum::{Sensed, is_pump_side};
use wording::{Voice, phase_words};

use crate::{
    judged::PhaseNow,
    words::{TREND_S, answer_words, forecast_words, trend_words},
};

/// Another gauge or channel and the last it said.
pub type Other<'a> = (&'a str, Option<Sensed>);

/// The parts of the line, each with its words.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LineNow {
    /// The judged pressure, or that there is none yet.
    judged: String,
    /// Place and value of other gauges and channels.
    beside: Vec<(String, String)>,
    /// Where the pressure goes; the first part to leave out where there is little room.
    trend: Option<String>,
    /// Phase, what to do, how a hold stands.
    rest: Vec<String>,
    /// Where the job stands.
    pub phase: PhaseNow,
    /// Lines of all gauges that were not understood.
    pub unreadable: u64,
    /// What has to stand before everything else.
    pub warning: Option<String>,
}

impl LineNow {
    /// What a look at a run says, and what other gauges say.
    pub fn of(live: &Live, beside: &[Other<'_>]) -> Self {
        let beside = beside
            .iter()
            .map(|(place, sensed)| ((*place).to_owned(), value(*sensed)))
            .collect();
        let Some(pressure) = live.pressure_micron else {
            return Self {
                judged: "no reading yet".into(),
                beside,
                rest: vec![phase_words(&Voice::default(), live.phase)],
                phase: live.phase.into(),
                ..Self::default()
            };
        };
        // the trend looks back half a minute: right after isolation it still shows
        // the pump
        let settled = live.held_s.is_none_or(|held| held > TREND_S);
        let still = live.phase == Phase::Hold
            && live.rise.as_ref().is_some_and(|r| r.kind == RiseKind::None);
        Self {
            judged: Voice::default().reading(pressure),
            beside,
            trend: live.trend_micron_per_min.filter(|_| settled).map(|trend| {
                if still {
                    "steady".into()
                } else {
                    trend_words(trend, pressure)
                }
            }),
            rest: rest(live),
            phase: live.phase.into(),
            ..Self::default()
        }
    }

    /// True before the first look at the run.
    pub fn is_empty(&self) -> bool {
        self.judged.is_empty()
    }

    /// The same at the next look; what is not looked at stays.
    pub(crate) fn anew(&self, live: &Live, beside: &[Other<'_>]) -> Self {
        Self {
            unreadable: self.unreadable,
            warning: self.warning.clone(),
            ..Self::of(live, beside)
        }
    }

    /// The line in `room` columns if it can be: what comes first may be read off the
    /// gauge, what comes last is what to do.
    pub fn words(&self, room: usize) -> String {
        let fits = |line: &String| line.chars().count() <= room;
        let full = self.joined(true, true);
        if fits(&full) {
            return self.framed(full);
        }
        let without_trend = self.joined(false, true);
        if fits(&without_trend) || self.beside.is_empty() {
            return self.framed(without_trend);
        }
        self.framed(self.joined(false, false))
    }

    fn framed(&self, line: String) -> String {
        let mut line = line;
        if self.unreadable > 0 {
            line.push_str(&format!(" · {} unreadable", self.unreadable));
        }
        match &self.warning {
            Some(warning) => format!("{warning} · {line}"),
            None => line,
        }
    }

    fn joined(&self, trend: bool, beside: bool) -> String {
        let mut parts = vec![self.pressures(beside)];
        parts.extend(self.trend.clone().filter(|_| trend));
        parts.extend(self.rest.iter().cloned());
        parts.join(" · ")
    }

    /// The judged pressure, named where another stands beside it.
    fn pressures(&self, beside: bool) -> String {
        /// More would push what to do off the line.
        const MOST: usize = 2;
        let mut words = self.judged.clone();
        if !beside {
            return words;
        }
        let measured = !self.judged.starts_with("no ");
        if measured && self.beside.iter().any(|(place, _)| is_pump_side(place)) {
            words.insert_str(0, "far ");
        }
        for (place, value) in self.beside.iter().take(MOST) {
            words.push_str(&format!(", {place} {value}"));
        }
        words
    }
}

fn value(sensed: Option<Sensed>) -> String {
    match sensed {
        None => "—".to_owned(),
        Some(Sensed::Measured(p)) => Voice::default().reading_number(p.micron()),
        Some(Sensed::Over(_)) => "over".to_owned(),
        Some(Sensed::Under(_)) => "under".to_owned(),
        Some(Sensed::Fault) => "fault".to_owned(),
        Some(Sensed::Gap) => "lost".to_owned(),
    }
}

fn rest(live: &Live) -> Vec<String> {
    match live.phase {
        Phase::Waiting => vec![phase_words(&Voice::default(), live.phase)],
        Phase::PullDown => vec![match &live.stall {
            Some(stall) => stall_words(live, stall),
            None => forecast_words(live),
        }],
        Phase::AtTarget => vec!["at target: shut pump-side valve, then stop pump".into()],
        Phase::Hold => {
            let left = live.hold_left_s.unwrap_or(0.0);
            let clock = if left > 0.0 {
                format!("hold, {} left", Voice::default().about(left))
            } else {
                "hold, long enough".into()
            };
            let rise = live.rise.as_ref();
            let answer = rise.map(|rise| answer_words(live, rise, live.held_s));
            std::iter::once(clock).chain(answer).collect()
        }
    }
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
            Some(f) => format!(
                "choked flow, target in {}",
                Voice::default().about_range(f.early_s, f.late_s)
            ),
            None => format!("choked flow, {}", forecast_words(live)),
        },
    }
}

#[cfg(test)]
mod tests;
