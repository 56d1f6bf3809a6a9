//! What curve and sheet of a pressure test are made from.

use findings::{DecayFindings, DecayReason};
use vacuum::{Refrigerant, TestGas};

use super::trace::TestTrace;
use crate::sheet::About;

/// From where the gauge counts, and what the barometer showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Barometer {
    /// The gauge counts from full vacuum.
    NotNeeded,
    /// Measured beside the gauge, line by line.
    Recorded,
    /// Pa, as somebody gave it.
    Given(f64),
    /// Pa, taken because nobody gave it.
    Assumed(f64),
}

/// Everything that curve and sheet of a pressure test are made from.
#[derive(Debug, Clone, Copy)]
pub struct TestSheet<'a> {
    /// The readings and marks.
    pub trace: &'a TestTrace,
    /// What was found in them.
    pub findings: &'a DecayFindings,
    /// The gas that was let in.
    pub gas: TestGas,
    /// From where the gauge counts.
    pub barometer: Barometer,
    /// What the reader of the record has to say of it.
    pub notes: &'a [String],
    /// The job, and where the record came from.
    pub about: About<'a>,
}

impl TestSheet<'_> {
    /// False where nothing shows that the gas was closed in: no loss was measured then.
    pub(super) fn is_closed(&self) -> bool {
        let open = [DecayReason::SupplyOpen, DecayReason::PressureRose];
        !open.iter().any(|r| self.findings.reasons.contains(r))
    }

    /// Smallest leak that the test shows, Pa·m³/s; `None` where it shows nothing of a leak.
    pub(super) fn sight(&self) -> Option<f64> {
        let decay = self.findings.decay.filter(|_| self.is_closed())?;
        decay.detection_limit_pa_m3_per_s
    }

    /// The refrigerant that the system is made for, where it is known.
    pub(super) fn refrigerant(&self) -> Option<&'static Refrigerant> {
        let job = self.about.job_as_judged()?;
        Refrigerant::named(job.refrigerant.as_deref()?)
    }
}
