//! Why a logo cannot be printed, and what to do.

/// Why a logo cannot be printed.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LogoError {
    /// The file is too large.
    #[error("it has {bytes} bytes, more than 1 MB: give a smaller picture")]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// The picture has no size, or too many pixels.
    #[error("it is {width} × {height} pixels; it has to have 1 to 4,096 to a side")]
    Dimensions {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// An SVG picture with something in it that is not drawn here.
    #[error("it holds {what}, which is not printed here: {remedy}")]
    NotDrawn {
        /// What, in words.
        what: String,
        /// What to do.
        remedy: &'static str,
    },
    /// Neither PNG nor SVG, or a damaged one.
    #[error("it cannot be read as PNG or SVG ({cause}): save it anew as one of these")]
    Unreadable {
        /// What the reading library said.
        cause: String,
    },
}

impl LogoError {
    /// With what a library says, which may repeat bytes of the picture.
    pub(super) fn unreadable(cause: &dyn std::fmt::Display) -> Self {
        let plain = |c: char| if c.is_control() { ' ' } else { c };
        let cause = cause.to_string().chars().map(plain).take(200).collect();
        Self::Unreadable { cause }
    }
}
