//! A record judged as what it is, whatever kind of test that is.

use findings::Verdict;
use report::{Companion, Test};
use wording::Voice;

use crate::{
    blank_off::JudgedBlankOff,
    decay::JudgedDecay,
    judge::Judged,
    origin::{Chosen, Origin},
    other_gauges::Advice,
};

/// A record with what was found in it, by the kind of test.
pub enum JudgedTest {
    /// Vacuum: pull-down and hold.
    Evacuation(Box<Judged>),
    /// Dry gas under pressure.
    Pressure(Box<JudgedDecay>),
    /// Pump, hoses and gauge alone.
    BlankOff(Box<JudgedBlankOff>),
}

impl JudgedTest {
    /// The answer.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        match self {
            Self::Evacuation(judged) => judged.findings.verdict,
            Self::Pressure(judged) => judged.findings.verdict,
            Self::BlankOff(judged) => judged.findings.verdict,
        }
    }

    /// Where it came from, and what the record says of itself.
    #[must_use]
    pub fn origin(&self) -> &Origin {
        match self {
            Self::Evacuation(judged) => &judged.origin,
            Self::Pressure(judged) => &judged.origin,
            Self::BlankOff(judged) => &judged.origin,
        }
    }

    /// When the record began, RFC 3339 in UTC, where it says so.
    #[must_use]
    pub fn started_utc(&self) -> Option<&str> {
        self.origin().started_utc.as_deref()
    }

    /// The other gauges, as they are drawn.
    pub(crate) fn companions(&self) -> Vec<Companion<'_>> {
        match self {
            Self::Evacuation(judged) => judged.companions(),
            Self::Pressure(_) | Self::BlankOff(_) => Vec::new(),
        }
    }

    /// What curve and sheet are made from, with what was chosen about them and these beside
    /// it.
    pub(crate) fn drawn<'a>(
        &'a self,
        chosen: Chosen<'a>,
        beside: &'a [Companion<'a>],
        made_by: &'a str,
    ) -> Test<'a> {
        match self {
            Self::Evacuation(judged) => Test::Evacuation(judged.sheet(chosen, beside, made_by)),
            Self::Pressure(judged) => Test::Pressure(judged.sheet(chosen, made_by)),
            Self::BlankOff(judged) => Test::BlankOff(judged.sheet(chosen, made_by)),
        }
    }

    /// Takes the rig's own leak off that of an evacuation, where a blank-off test of the rig
    /// lies beside it ([`Judged::take_rig_off`]).
    pub fn take_rig_off(&mut self, advice: &Advice) {
        if let Self::Evacuation(judged) = self {
            judged.take_rig_off(advice);
        }
    }

    /// The review as a technician reads it.
    #[must_use]
    pub fn lines(&self, voice: &Voice) -> Vec<String> {
        match self {
            Self::Evacuation(judged) => judged.lines(voice),
            Self::Pressure(judged) => judged.lines(voice),
            Self::BlankOff(judged) => judged.lines(voice),
        }
    }

    /// The review as JSON, one line.
    #[must_use]
    pub fn json(&self) -> String {
        match self {
            Self::Evacuation(judged) => judged.json(),
            Self::Pressure(judged) => judged.json(),
            Self::BlankOff(judged) => judged.json(),
        }
    }
}
