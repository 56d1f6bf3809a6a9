//! One row of the table.

use crate::{
    code::FaultCode,
    observed::{LEVELS, Sign},
};

/// The source of the figures of a sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Direction: common practice, no source. Figures: counted on simulated appliances of
    /// even seeds (`scorecard fault-weights`), none below 4 of 100.
    Simulated,
    /// Common practice, no source.
    CommonPractice,
}

impl Source {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Simulated => {
                "common practice, no source; figures counted on simulated appliances"
            }
            Self::CommonPractice => "common practice, no source",
        }
    }
}

/// One sign with every fault, in the order of [`FaultCode::ALL`].
#[derive(Debug)]
pub(crate) struct Row {
    pub(crate) sign: Sign,
    pub(crate) source: Source,
    pub(crate) of_100: [[u8; LEVELS]; 9],
}

impl Row {
    /// How likely a level is with a fault, 0 to 1.
    pub(crate) fn likelihood(&self, code: FaultCode, level: usize) -> f64 {
        let levels = &self.of_100[code.place()];
        let sum: u32 = levels.iter().map(|n| u32::from(*n)).sum();
        f64::from(levels[level]) / f64::from(sum)
    }
}
