//! What came of reading and judging.

use desk::Row;

/// The rows that were asked for.
pub struct Rows {
    /// Those that are shown.
    pub shown: Vec<Row>,
    /// How the whole is summed up.
    pub closing: String,
    /// Why they are not all, as a sentence.
    pub partial: Option<String>,
    /// What is to be said besides, a line each.
    pub complaints: Vec<String>,
}
