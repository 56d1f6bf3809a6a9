//! Everything said about one run.

use vacuum::Criteria;

use crate::{
    auxiliary::AuxiliaryFindings,
    certainty::{Certainty, PassWorth},
    charge::Charge,
    data::DataSummary,
    finding::{Finding, Statement},
    further::FurtherCriterion,
    hold::Hold,
    pulldown::Pulldown,
    rise::RiseKind,
    verdict::{Reason, Verdict},
};

/// One pull-down plus its hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// The pull-down; absent when the record starts isolated.
    pub pulldown: Option<Pulldown>,
    /// The hold; absent when none was found.
    pub hold: Option<Hold>,
}

/// Everything said about one run.
///
/// ```
/// use findings::{DataSummary, Findings, Verdict};
/// use vacuum::Criteria;
///
/// let findings = Findings {
///     verdict: Verdict::NotProven,
///     reasons: Vec::new(),
///     criteria: Criteria::common_practice(),
///     further: Vec::new(),
///     rounds: Vec::new(),
///     judged: None,
///     findings: Vec::new(),
///     data: DataSummary::default(),
///     auxiliary: Vec::new(),
///     charge: None,
/// };
/// // no hold was judged, and only a pass is worth something
/// assert!(findings.judged_hold().is_none() && findings.pass().is_none());
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Findings {
    /// Verdict of the hold that counts ([`Findings::judged`]).
    pub verdict: Verdict,
    /// Why it is not a pass.
    pub reasons: Vec<Reason>,
    /// What it was judged against.
    pub criteria: Criteria,
    /// What the criteria ask for besides target, hold and ceiling, each with what was
    /// measured; nothing was where no hold was found.
    pub further: Vec<FurtherCriterion>,
    /// Rounds in order.
    pub rounds: Vec<Round>,
    /// The place in `rounds` of the hold that the verdict speaks of: the last one, or the
    /// last complete one where a later one never got anywhere. `None` without a hold.
    pub judged: Option<usize>,
    /// Findings in order of time.
    pub findings: Vec<Finding>,
    /// What went in.
    pub data: DataSummary,
    /// Gauges and channels recorded beside the judged one; empty where there are
    /// none, or where they were not read.
    pub auxiliary: Vec<AuxiliaryFindings>,
    /// The charge that was weighed in after it, or typed; `None` where there is none. It
    /// changes nothing about the verdict.
    pub charge: Option<Box<Charge>>,
}

impl Findings {
    /// The round that the verdict speaks of; the last one where none has a hold.
    #[must_use]
    pub fn judged_round(&self) -> Option<&Round> {
        let judged = self.judged.and_then(|place| self.rounds.get(place));
        judged.or(self.rounds.last())
    }

    /// The hold that the verdict speaks of.
    #[must_use]
    pub fn judged_hold(&self) -> Option<&Hold> {
        self.judged_round()?.hold.as_ref()
    }

    /// What a pass is worth; `None` where the verdict is another one.
    #[must_use]
    pub fn pass(&self) -> Option<PassWorth> {
        if self.verdict != Verdict::Pass {
            return None;
        }
        let leak = self.findings.iter().rev().find_map(|f| match &f.statement {
            Statement::PassWithLeak(leak) => Some(*leak),
            _ => None,
        });
        let rise = self.judged_hold().map(|hold| &hold.rise);
        Some(
            match (leak, rise.map(|rise| (rise.kind, rise.certainty()))) {
                (Some(leak), _) => PassWorth::WithLeak(leak),
                (None, Some((RiseKind::None | RiseKind::Moisture, Certainty::Stated(_)))) => {
                    PassWorth::Plain
                }
                (None, Some((RiseKind::None | RiseKind::Moisture, _))) => {
                    PassWorth::CauseNotCertain
                }
                (None, _) => PassWorth::CauseUnknown,
            },
        )
    }
}
