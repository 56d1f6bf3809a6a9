//! What a person may ask for while a run is recorded.

use vacuum::MarkKind;

/// What a view asks the recorder for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Act {
    /// Stamp this.
    Mark(MarkKind, String),
    /// Take a mark back: the one with this number, or the last that counts.
    Undo(Option<u64>),
    /// Take back the mark with this number, asked for by this device.
    UndoFrom(u64, String),
    /// Stop recording.
    Stop,
    /// Tell this on every screen: something beside the recording does not work.
    Tell(String),
}
