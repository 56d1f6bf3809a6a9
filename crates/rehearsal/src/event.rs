//! What the gauge says and what the technician stamps.

use vacuum::{Entry, Mark, MarkKind, Reading, Sensed};

/// One thing that happens at the recorder.
#[derive(Debug, Clone, PartialEq)]
pub struct SimEvent {
    /// Simulated time since the start of the record, s.
    pub t_s: f64,
    /// What happens.
    pub kind: SimKind,
}

/// A reading or a mark.
#[derive(Debug, Clone, PartialEq)]
pub enum SimKind {
    /// The gauge speaks (or, for [`Sensed::Gap`], comes back after silence).
    Reading {
        /// What it says.
        sensed: Sensed,
        /// Temperature beside it, °C.
        temperature_c: Option<f64>,
    },
    /// The technician stamps an act, with a remark that may be empty.
    Mark(MarkKind, String),
    /// A scale says this line; it is no entry of a gauge.
    Line(String),
}

impl SimEvent {
    /// The event as a line of a run.
    #[must_use]
    pub fn entry(&self) -> Entry {
        match &self.kind {
            SimKind::Reading {
                sensed,
                temperature_c,
            } => Entry::Reading(Reading {
                elapsed_s: self.t_s,
                sensed: *sensed,
                temperature_c: *temperature_c,
            }),
            // nothing that a gauge said
            SimKind::Line(_) => Entry::Reading(Reading::gap(self.t_s)),
            SimKind::Mark(kind, note) => Entry::Mark(Mark {
                elapsed_s: self.t_s,
                kind: *kind,
                note: note.clone(),
            }),
        }
    }
}
