//! How sure an answer is, in words: as a fact with its odds, as a tendency without a
//! figure, or not at all. Which of them it is, [`Rise::certainty`] decides for every view.

use findings::{Certainty, Odds, Rise, RiseKind};

use super::labels::rise_words;
use crate::{Voice, say};

/// The cause of a rise, a clause: "straight rise: leak", "tends to a leak; not certain
/// yet", "cause of the rise not clear yet".
#[must_use]
pub fn cause_words(voice: &Voice, rise: &Rise) -> String {
    match rise.certainty() {
        Certainty::Stated(_) | Certainty::Unclear => rise_words(voice, rise.kind),
        Certainty::Tendency => tendency(voice, rise.kind),
    }
}

/// True where the cause is said as a fact.
pub(crate) fn is_stated(rise: &Rise) -> bool {
    matches!(rise.certainty(), Certainty::Stated(_))
}

/// How often such an answer is right; nothing where none is stated.
pub(crate) fn odds_sentence(voice: &Voice, rise: &Rise) -> Option<String> {
    match rise.certainty() {
        Certainty::Stated(odds) => Some(say!(voice, "rise-odds", odds = of_100(odds))),
        Certainty::Tendency | Certainty::Unclear => None,
    }
}

/// The running answer of a hold, short, for a line of a screen. `held_s` is how long it
/// lasts, s.
#[must_use]
pub fn running_answer(voice: &Voice, rise: &Rise, held_s: Option<f64>) -> String {
    match rise.certainty() {
        Certainty::Stated(odds) => {
            let cause = short_cause(voice, rise.kind);
            match rise.kind {
                RiseKind::None => cause,
                _ => say!(voice, "live-odds", cause = cause, odds = of_100(odds)),
            }
        }
        Certainty::Tendency => tendency(voice, rise.kind),
        Certainty::Unclear => match rise.decide_after_s.zip(held_s) {
            Some((after, held)) if after > held => {
                let more = voice.to_go(after - held);
                say!(voice, "live-unclear-more", more = more)
            }
            _ => say!(voice, "live-unclear"),
        },
    }
}

/// How sure it is that a hold will not pass, for a line of a screen.
#[must_use]
pub fn will_not_pass_words(voice: &Voice, early: &findings::EarlyAnswer) -> String {
    let id = if early.leak {
        "live-will-not-pass-leak"
    } else {
        "live-will-not-pass"
    };
    say!(voice, id, odds = odds_of(early.confidence))
}

/// The odds of a probability that is high enough to be said.
pub(super) fn odds_of(probability: f64) -> String {
    of_100(Odds::of(probability).unwrap_or(Odds::Over90))
}

fn of_100(odds: Odds) -> String {
    odds.of_100().to_string()
}

fn short_cause(voice: &Voice, kind: RiseKind) -> String {
    let id = match kind {
        RiseKind::None => "rise-none",
        RiseKind::Leak => "live-leak",
        RiseKind::Moisture => "live-moisture",
        RiseKind::LeakAndMoisture => "live-leak-and-moisture",
        RiseKind::Unclear => "live-unclear",
    };
    say!(voice, id)
}

fn tendency(voice: &Voice, kind: RiseKind) -> String {
    let id = match kind {
        RiseKind::None => "tends-none",
        RiseKind::Leak => "tends-leak",
        RiseKind::Moisture => "tends-moisture",
        RiseKind::LeakAndMoisture => "tends-leak-and-moisture",
        RiseKind::Unclear => "live-unclear",
    };
    say!(voice, id)
}
