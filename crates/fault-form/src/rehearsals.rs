//! Invented appliances with a known fault.

use crate::{draft::Draft, error::FormError, file::of_text};

/// One invented appliance.
#[derive(Debug)]
pub struct Rehearsal {
    /// Its name.
    pub name: &'static str,
    /// The file of `samples/faults`.
    pub text: &'static str,
}

macro_rules! rehearsals {
    ($($name:literal),+ $(,)?) => {
        [$(Rehearsal {
            name: $name,
            text: include_str!(concat!("../../../samples/faults/", $name, ".toml")),
        }),+]
    };
}

/// All of them.
pub const REHEARSALS: [Rehearsal; 9] = rehearsals![
    "cold-store-after-service",
    "slow-freezer",
    "wet-system",
    "blocked-drier",
    "tired-compressor",
    "generous-charge",
    "hasty-evacuation",
    "dusty-condenser",
    "pinhole-in-the-plate",
];

/// The answers of one.
///
/// # Errors
/// [`FormError::NoRehearsal`].
pub fn rehearsal(name: &str) -> Result<Draft, FormError> {
    let found = REHEARSALS.iter().find(|r| r.name == name);
    let found = found.ok_or_else(|| FormError::NoRehearsal {
        given: crate::text::short(name),
        all: REHEARSALS.map(|r| r.name).join(", "),
    })?;
    of_text(found.text)
}
