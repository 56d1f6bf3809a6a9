//! What criteria ask for besides target, hold and ceiling, and what was measured.

use findings::{Findings, FurtherCriterion, Reason};
use vacuum::AccessSides;

use crate::{Voice, say};

/// One further criterion in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FurtherWords {
    /// Its name, for the first column of a table.
    pub name: String,
    /// What is required.
    pub required: String,
    /// What was measured, or that it is not shown.
    pub measured: String,
    /// Whether it is met; `None` where the record does not show it.
    pub is_met: Option<bool>,
}

/// A further criterion in words.
#[must_use]
pub fn further_words(voice: &Voice, criterion: &FurtherCriterion) -> FurtherWords {
    let (name, required, measured) = match *criterion {
        FurtherCriterion::PumpOn { least_min, on_s } => (
            say!(voice, "criterion-pump-on"),
            say!(voice, "asked-pump-on", minutes = voice.plain(least_min, 4)),
            on_s.map(|s| voice.held(s)),
        ),
        FurtherCriterion::Rise {
            most_micron,
            rose_micron,
        } => (
            say!(voice, "criterion-rise"),
            say!(voice, "asked-rise", rise = voice.limit(most_micron)),
            rose_micron.map(|rose| voice.pressure_beside(rose.max(0.0), most_micron)),
        ),
        FurtherCriterion::Steady {
            last_min,
            within_micron,
            moved_micron,
        } => (
            say!(voice, "criterion-steady"),
            say!(
                voice,
                "asked-steady",
                within = voice.limit(within_micron),
                minutes = voice.plain(last_min, 4)
            ),
            moved_micron.map(|moved| {
                let moved = voice.pressure_beside(moved, within_micron);
                say!(voice, "measured-moved", moved = moved)
            }),
        ),
        FurtherCriterion::BelowRepeat {
            above_micron,
            highest_micron,
        } => (
            say!(voice, "criterion-repeat"),
            say!(voice, "asked-repeat", pressure = voice.limit(above_micron)),
            highest_micron.map(|highest| {
                let highest = voice.pressure_beside(highest, above_micron);
                say!(voice, "highest", pressure = highest)
            }),
        ),
        FurtherCriterion::EarlierRounds { asked, met } => (
            say!(voice, "criterion-rounds"),
            say!(voice, "asked-rounds", rounds = asked),
            Some(say!(voice, "measured-rounds", met = met, rounds = asked)),
        ),
        FurtherCriterion::BothSides { sides } => (
            say!(voice, "entry-sides"),
            say!(voice, "sides-both"),
            sides.map(|sides| match sides {
                AccessSides::One => say!(voice, "sides-one"),
                AccessSides::Both => say!(voice, "sides-both"),
            }),
        ),
        FurtherCriterion::Ambient { above_c, ambient_c } => (
            say!(voice, "entry-ambient"),
            say!(voice, "asked-ambient", c = voice.plain(above_c, 3)),
            ambient_c.map(|c| say!(voice, "room", c = voice.plain(c, 3))),
        ),
        _ => Default::default(),
    };
    FurtherWords {
        name,
        required,
        measured: measured.unwrap_or_else(|| say!(voice, "met-not-shown")),
        is_met: criterion.is_met(),
    }
}

/// What is required, a criterion after the other: "Ambient: above 2 °C; …".
pub(crate) fn required<'a>(
    voice: &Voice,
    all: impl IntoIterator<Item = &'a FurtherCriterion>,
) -> String {
    let words = all.into_iter().map(|c| further_words(voice, c));
    let lines = words.map(|w| say!(voice, "labelled", name = w.name, text = w.required));
    lines.collect::<Vec<_>>().join(&say!(voice, "clause-break"))
}

/// The further criterion behind a reason, with what was measured.
pub(crate) fn behind(findings: &Findings, reason: Reason) -> Option<&FurtherCriterion> {
    let unmet = |c: &&FurtherCriterion| c.reason() == reason && c.is_met() != Some(true);
    findings.further.iter().find(unmet)
}
