//! What is said of a run: plain data, units in the names.
//!
//! The analyser makes it, and the report, a live view and the JSON file read it: none of
//! them needs to know how it was judged.
//!
//! Absent knowledge is `None`, never zero. Intervals are 95 %.
//!
//! ```
//! use findings::{Estimate, Finding, Statement, Verdict};
//!
//! let rate = Estimate { value: 1.2, low: 1.0, high: 1.4 };
//! // micron/min to micron/s
//! assert!((rate.scaled(1.0 / 60.0).value - 0.02).abs() < 1e-12);
//!
//! assert_eq!(Verdict::NotProven.word(), "not_proven");
//! assert_eq!(Finding::at(12.0, Statement::StartsIsolated).code(), "starts_isolated");
//! ```
//!
//! # What this crate does not do
//! It judges nothing, reads and writes nothing, and makes no sentences: words are made
//! where they are printed. The only words here are the codes of the JSON file.

mod auxiliary;
mod blank_off;
mod certainty;
mod charge;
mod data;
mod decay;
mod estimate;
mod finding;
mod further;
mod hold;
mod leak_question;
mod live;
mod pulldown;
mod rise;
mod run;
mod verdict;

pub use auxiliary::{AuxiliaryFindings, AuxiliaryHold, Pair};
pub use blank_off::{
    BlankOffFindings, BlankOffNotice, BlankOffReason, FloorGrew, RigFloor, RigHistory, RigNames,
    RigRise,
};
pub use certainty::{Certainty, LeakIndicated, Odds, PassWorth};
pub use charge::{Charge, ChargeBasis, ChargeNotice, ChargePhase};
pub use data::{DataSummary, Gap, LeftOut};
pub use decay::{
    Decay, DecayCriteria, DecayFindings, DecayLive, DecayNotice, DecayPhase, DecayReason,
};
pub use estimate::Estimate;
pub use finding::{Ambient, FarSide, Finding, ShowsTooLittle, Statement};
pub use further::FurtherCriterion;
pub use hold::{
    CouldShow, EarlyAnswer, Hold, IsolationBasis, LeakThroughput, OperatingLoss, SmallestLeak,
    TimeRange,
};
pub use leak_question::{LeakAnswer, LeakOrShortCharge};
pub use live::{Forecast, Live, NotAtThisRate, Phase};
pub use pulldown::{Pulldown, Stall, StallEnd, StallKind};
pub use rise::{EVIDENCE, Rise, RiseCurve, RiseKind, Saturating, root_growth};
pub use run::{Findings, Round};
pub use verdict::{Reason, Verdict};
