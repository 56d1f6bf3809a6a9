//! Why nothing could be drawn.

/// Why nothing could be drawn.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReportError {
    /// The drawing library refused the picture.
    #[error("the {what} could not be drawn: {cause}")]
    Drawing {
        /// Which picture.
        what: &'static str,
        /// What the drawing library said.
        cause: String,
    },
}
