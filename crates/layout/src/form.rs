//! Where a curve stands, and how large it is there.

/// Where the picture will stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// On its own: carries verdict, reason and identity.
    Standalone,
    /// On the sheet, which says these things itself.
    OnSheet,
    /// On the sheet as it is printed, which gives it so many pixels of height.
    OnPaper(u16),
}

/// Sizes of a form, px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dimensions {
    /// Width of the whole.
    pub width: f64,
    /// Height of the whole, or of the plot when the header decides the whole.
    pub height: f64,
    /// Rows of flags that there is room for above the plot.
    pub flag_rows: usize,
}

impl Form {
    /// How large the picture is there.
    #[must_use]
    pub fn dimensions(self) -> Dimensions {
        match self {
            Self::Standalone => Dimensions {
                width: 960.0,
                height: 350.0,
                flag_rows: 6,
            },
            Self::OnSheet => Dimensions {
                width: 800.0,
                height: 280.0,
                flag_rows: 4,
            },
            Self::OnPaper(height) => Dimensions {
                width: 800.0,
                height: f64::from(height),
                flag_rows: 4,
            },
        }
    }
}
