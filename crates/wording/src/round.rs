//! A pull-down with its stalls, and a hold.

use findings::{Hold, Pulldown, Round, Stall};

use crate::{
    Voice,
    clause::sentence,
    labels::{basis_phrase, stall_advice, stall_words},
    say,
};

/// The lowest pressure of a pull-down, and whether it reached the target.
#[must_use]
pub fn pulldown_words(voice: &Voice, pulldown: &Pulldown) -> (String, String) {
    let lowest = pulldown.lowest_micron.map_or_else(
        || say!(voice, "nothing-measured"),
        |lowest| voice.pressure(lowest),
    );
    let reached = pulldown.reached_target_s.map_or_else(
        || say!(voice, "target-not-reached"),
        |s| {
            let moment = voice.moment(s);
            say!(voice, "target-reached-at", moment = moment)
        },
    );
    (lowest, reached)
}

/// From which pressure to which a hold went.
#[must_use]
pub fn from_to(voice: &Voice, hold: &Hold) -> Option<String> {
    let (from, to) = hold.start_micron.zip(hold.end_micron)?;
    let (from, to) = (voice.pressure(from), voice.pressure(to));
    Some(say!(voice, "from-to", from = from, to = to))
}

pub(crate) fn round_lines(voice: &Voice, round: &Round) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(pulldown) = &round.pulldown {
        let (lowest, reached) = pulldown_words(voice, pulldown);
        lines.push(say!(
            voice,
            "pulldown-line",
            time = voice.duration(pulldown.end_s - pulldown.start_s),
            lowest = lowest,
            reached = reached
        ));
        let stalls = pulldown.stalls.iter();
        lines.extend(stalls.map(|stall| stall_sentence(voice, stall)));
    }
    lines.extend(round.hold.as_ref().map(|hold| hold_sentence(voice, hold)));
    lines
}

/// What the hold did, with times and pressures.
#[must_use]
pub fn hold_sentence(voice: &Voice, hold: &Hold) -> String {
    let mut figures = vec![voice.held(hold.duration_s)];
    figures.extend(from_to(voice, hold));
    if let Some(highest) = hold.highest_micron {
        figures.push(say!(voice, "highest", pressure = voice.pressure(highest)));
    }
    say!(
        voice,
        "hold-line",
        figures = figures.join(", "),
        moment = voice.moment(hold.isolated_at_s),
        basis = basis_phrase(voice, hold.basis)
    )
}

/// A stall: kind, time, level.
#[must_use]
pub fn stall_fact(voice: &Voice, stall: &Stall) -> String {
    say!(
        voice,
        "stall-line",
        kind = stall_words(voice, stall.kind),
        from = voice.moment(stall.start_s),
        to = voice.moment(stall.end_s),
        level = stall_level(voice, stall)
    )
}

/// The level of a stall: it hunts or creeps, so two digits are what it has.
#[must_use]
pub fn stall_level(voice: &Voice, stall: &Stall) -> String {
    voice.rough_pressure(stall.level_micron)
}

/// A stall with its advice.
#[must_use]
pub fn stall_sentence(voice: &Voice, stall: &Stall) -> String {
    let advice = sentence(&stall_advice(voice, stall.kind));
    format!("{} {advice}", stall_fact(voice, stall))
}
