//! Everything about a run that fits on one line: pressure, trend, phase, time to target or
//! hold time left.

use findings::{Live, Phase, RiseKind, Stall, StallKind};
use vacuum::{Sensed, is_pump_side};
use wording::{Voice, phase_words, place_words, say};

use crate::{
    judged::PhaseNow,
    words::{TREND_S, answer_words, forecast_words, trend_words},
};

/// Another gauge or channel and the last it said.
pub type Other<'a> = (&'a str, Option<Sensed>);

/// The parts of the line, each with its words.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LineNow {
    /// How it speaks.
    voice: Voice,
    /// The judged pressure, or that there is none yet.
    judged: String,
    /// Another gauge at the pump stands beside a judged pressure.
    is_far: bool,
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
    pub fn of(voice: &Voice, live: &Live, beside: &[Other<'_>]) -> Self {
        let voice = *voice;
        let is_far = beside.iter().any(|(place, _)| is_pump_side(place));
        let beside = beside
            .iter()
            .map(|(place, sensed)| (place_words(&voice, place), value(&voice, *sensed)))
            .collect();
        let Some(pressure) = live.pressure_micron else {
            return Self {
                voice,
                judged: say!(voice, "state-none"),
                beside,
                rest: vec![phase_words(&voice, live.phase)],
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
            voice,
            judged: voice.reading(pressure),
            is_far,
            beside,
            trend: live.trend_micron_per_min.filter(|_| settled).map(|trend| {
                if still {
                    say!(voice, "trend-steady")
                } else {
                    trend_words(&voice, trend, pressure)
                }
            }),
            rest: rest(&voice, live),
            phase: live.phase.into(),
            ..Self::default()
        }
    }

    /// True before the first look at the run.
    pub fn is_empty(&self) -> bool {
        self.judged.is_empty()
    }

    /// The same at the next look; what is not looked at stays.
    pub(crate) fn anew(&self, voice: &Voice, live: &Live, beside: &[Other<'_>]) -> Self {
        Self {
            unreadable: self.unreadable,
            warning: self.warning.clone(),
            ..Self::of(voice, live, beside)
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
            let count = self.voice.count(self.unreadable);
            let unreadable = say!(self.voice, "line-unreadable", count = count);
            line = [line, unreadable].join(" · ");
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
        if self.is_far {
            words = say!(self.voice, "line-far", pressure = words);
        }
        for (place, value) in self.beside.iter().take(MOST) {
            words.push_str(&format!(", {place} {value}"));
        }
        words
    }
}

fn value(voice: &Voice, sensed: Option<Sensed>) -> String {
    match sensed {
        None => "—".to_owned(),
        Some(Sensed::Measured(p)) => voice.reading_number(p.micron()),
        Some(Sensed::Over(_)) => say!(voice, "line-over"),
        Some(Sensed::Under(_)) => say!(voice, "line-under"),
        Some(Sensed::Fault) => say!(voice, "line-fault"),
        Some(Sensed::Gap) => say!(voice, "line-lost"),
    }
}

fn rest(voice: &Voice, live: &Live) -> Vec<String> {
    match live.phase {
        Phase::Waiting => vec![phase_words(voice, live.phase)],
        Phase::PullDown => vec![match &live.stall {
            Some(stall) => stall_words(voice, live, stall),
            None => forecast_words(voice, live),
        }],
        Phase::AtTarget => vec![say!(voice, "line-at-target")],
        Phase::Hold => {
            let left = live.hold_left_s.unwrap_or(0.0);
            let clock = if left > 0.0 {
                say!(voice, "line-hold-left", time = voice.about(left))
            } else {
                say!(voice, "line-hold-enough")
            };
            let rise = live.rise.as_ref();
            let answer = rise.map(|rise| answer_words(voice, live, rise, live.held_s));
            std::iter::once(clock).chain(answer).collect()
        }
    }
}

/// What holds the pull-down up, and what that means for the time to target.
fn stall_words(voice: &Voice, live: &Live, stall: &Stall) -> String {
    let kind = wording::stall_words(voice, stall.kind);
    match stall.kind {
        StallKind::Foaming | StallKind::BoilOff | StallKind::Ice => {
            say!(voice, "line-stalls", kind = kind)
        }
        StallKind::Floor => forecast_words(voice, live),
        StallKind::Choked => match live.to_target {
            Some(f) => {
                let range = voice.about_range(f.early_s, f.late_s);
                say!(voice, "line-choked", kind = kind, range = range)
            }
            None => format!("{kind}, {}", forecast_words(voice, live)),
        },
    }
}

#[cfg(test)]
mod tests;
