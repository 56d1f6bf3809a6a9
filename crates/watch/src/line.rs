//! Everything about a run that fits on one line: pressure, trend, phase, time to target or
//! hold time left.

use vacuum::{Sensed, is_pump_side};
use wording::{Voice, place_words, say};

use crate::{
    judged::{JudgedNow, PhaseNow, StallNow, TargetNow},
    pace::PaceNow,
    ready::Ready,
    trouble::TroubleNow,
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
    /// What is wrong with the reading: it takes the place of a pressure that is old.
    trouble: Option<String>,
}

impl LineNow {
    /// The judged pressure with its unit as it is shown, what is judged, where the pressure
    /// goes, and what other gauges say.
    pub(crate) fn of(
        voice: &Voice,
        shown: Option<String>,
        judged: &JudgedNow,
        pace: &PaceNow,
        beside: &[Other<'_>],
    ) -> Self {
        let voice = *voice;
        let is_far = beside.iter().any(|(place, _)| is_pump_side(place));
        let beside = beside
            .iter()
            .map(|(place, sensed)| (place_words(&voice, place), value(&voice, *sensed)))
            .collect();
        let Some(pressure) = shown else {
            return Self {
                voice,
                judged: say!(voice, "state-none"),
                beside,
                rest: vec![judged.phase.words(&voice)],
                phase: judged.phase,
                ..Self::default()
            };
        };
        Self {
            voice,
            judged: pressure,
            is_far,
            beside,
            trend: Some(pace.words.clone()).filter(|words| !words.is_empty()),
            rest: rest(&voice, judged),
            phase: judged.phase,
            ..Self::default()
        }
    }

    /// True before the first look at the run.
    pub fn is_empty(&self) -> bool {
        self.judged.is_empty()
    }

    /// The same at the next look; what is not looked at stays.
    pub(crate) fn anew(&self, newer: Self) -> Self {
        Self {
            unreadable: self.unreadable,
            warning: self.warning.clone(),
            ..newer
        }
    }

    /// The same with these words in the place of pressure and phase.
    pub(crate) fn instead(&self, words: String) -> Self {
        Self {
            trouble: Some(words),
            rest: Vec::new(),
            ..self.clone()
        }
    }

    /// The same with what is wrong with the reading now.
    pub(crate) fn with_trouble(&self, trouble: Option<&TroubleNow>) -> Self {
        Self {
            trouble: trouble.map(|trouble| trouble.text.clone()),
            ..self.clone()
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
        let first = self.trouble.clone();
        let trend = trend && first.is_none();
        let mut parts = vec![first.unwrap_or_else(|| self.pressures(beside))];
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

fn rest(voice: &Voice, judged: &JudgedNow) -> Vec<String> {
    match (judged.phase, &judged.hold) {
        (PhaseNow::Hold, Some(hold)) => {
            let clock = say!(voice, "line-hold", clock = hold.clock.as_str());
            vec![clock, hold.answer.clone()]
        }
        (PhaseNow::UnderSupply | PhaseNow::Vented | PhaseNow::Waiting | PhaseNow::Hold, _) => {
            vec![judged.phase.words(voice)]
        }
        (PhaseNow::PullDown, _) => vec![match &judged.stall {
            Some(stall) => stall_words(voice, &judged.target, stall),
            None => forecast_words(voice, &judged.target),
        }],
        (PhaseNow::AtTarget, _) => vec![match judged.ready {
            Ready::Ready => say!(voice, "line-ready"),
            Ready::NotYet => say!(voice, "line-let-pull"),
            Ready::CloseToCeiling => say!(voice, "line-close-to-ceiling"),
        }],
    }
}

/// Time to target in the words of the job.
fn forecast_words(voice: &Voice, target: &TargetNow) -> String {
    if let Some(floor_micron) = target.ends_near_micron {
        let floor = voice.reading(floor_micron);
        return say!(voice, "line-no-target", floor = floor);
    }
    match target.in_s {
        None => say!(voice, "line-no-time"),
        Some((early_s, _, late_s)) => {
            let range = voice.about_range(early_s, late_s);
            say!(voice, "line-target-in", range = range)
        }
    }
}

/// What holds the pull-down up, and what that means for the time to target.
fn stall_words(voice: &Voice, target: &TargetNow, stall: &StallNow) -> String {
    let kind = stall.label.as_str();
    match (stall.kind, target.in_s) {
        ("foaming" | "boil_off" | "ice", _) => say!(voice, "line-stalls", kind = kind),
        ("choked", Some((early_s, _, late_s))) => {
            let range = voice.about_range(early_s, late_s);
            say!(voice, "line-choked", kind = kind, range = range)
        }
        ("choked", None) => format!("{kind}, {}", forecast_words(voice, target)),
        _ => forecast_words(voice, target),
    }
}

#[cfg(test)]
mod tests;
