use crate::PressureUnit;

/// Who says in which unit the pressures of a record were.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum UnitBasis {
    /// The gauge's own lines, or the header or cells of the file.
    Stated,
    /// The dialect: the gauge sends numbers without a unit.
    Dialect,
    /// Whoever reads the file, by an option.
    Option,
}

impl UnitBasis {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stated => "stated",
            Self::Dialect => "dialect",
            Self::Option => "option",
        }
    }

    /// True where the record does not state the unit itself.
    #[must_use]
    pub const fn is_assumed(self) -> bool {
        matches!(self, Self::Dialect | Self::Option)
    }
}

/// The unit in which the pressures of a record came, before they were turned into
/// micron, and who says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct RecordUnit {
    /// The unit.
    pub unit: PressureUnit,
    /// Who says so.
    pub basis: UnitBasis,
}
