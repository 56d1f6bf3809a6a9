//! What curve and sheet of a blank-off test are made from.

use findings::{BlankOffFindings, Findings, Pulldown, Round};
use layout::Trace;

use crate::sheet::About;

/// Everything that curve and sheet of a blank-off test are made from.
#[derive(Debug, Clone, Copy)]
pub struct BlankOffSheet<'a> {
    /// The readings and marks.
    pub trace: &'a Trace,
    /// What was found in them.
    pub findings: &'a BlankOffFindings,
    /// The job, and where the record came from.
    pub about: About<'a>,
}

impl BlankOffSheet<'_> {
    /// The reasons of the verdict, which stands beside them, in one sentence.
    pub(super) fn reason(&self) -> String {
        let words = wording::blank_off_reasons(&self.about.voice(), self.findings);
        wording::sentence(&words)
    }
}

/// What a curve shows of a vacuum: limits, one round, what went in. No sentence is made from
/// it.
pub(super) fn drawn(found: &BlankOffFindings) -> Findings {
    let hold = found.rise.as_ref().map(|rise| rise.hold.clone());
    let pulldown = found.floor.map(|floor| Pulldown {
        start_s: floor.pumped_s.0,
        end_s: floor.pumped_s.1,
        reached_target_s: None,
        lowest_micron: None,
        stalls: Vec::new(),
    });
    Findings {
        verdict: found.verdict,
        reasons: Vec::new(),
        criteria: found.criteria.clone(),
        further: Vec::new(),
        judged: hold.is_some().then_some(0),
        rounds: vec![Round { pulldown, hold }],
        findings: Vec::new(),
        data: found.data.clone(),
        auxiliary: Vec::new(),
        charge: None,
    }
}
