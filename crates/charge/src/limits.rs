//! How much of a refrigerant that burns an appliance may hold.

use vacuum::Refrigerant;

/// What kind of appliance a limit is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Appliance {
    /// In households.
    Household,
    /// In shops and kitchens.
    Commercial,
}

impl Appliance {
    /// The word in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Household => "household",
            Self::Commercial => "commercial",
        }
    }
}

/// A limit of the charge of one circuit. Local codes decide; these are figures to ask about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChargeLimit {
    /// The standard it is remembered of.
    pub standard: &'static str,
    /// What it is for.
    pub appliance: Appliance,
    /// The limit, g.
    pub g: f64,
    /// True for a figure that is remembered, whose text was not seen.
    pub is_from_memory: bool,
}

/// IEC 60335-2-24, household refrigerating appliances.
const HOUSEHOLD: ChargeLimit = ChargeLimit {
    standard: "IEC 60335-2-24",
    appliance: Appliance::Household,
    g: 150.0,
    is_from_memory: true,
};

/// IEC 60335-2-89, commercial appliances, refrigerants of group A3.
const COMMERCIAL_A3: ChargeLimit = ChargeLimit {
    standard: "IEC 60335-2-89",
    appliance: Appliance::Commercial,
    g: 500.0,
    is_from_memory: true,
};

/// The same for groups A2 and A2L.
const COMMERCIAL_A2: ChargeLimit = ChargeLimit {
    standard: "IEC 60335-2-89",
    appliance: Appliance::Commercial,
    g: 1_200.0,
    is_from_memory: true,
};

/// Limits for a refrigerant that burns, the lowest first; none for one that does not.
///
/// The limit of IEC 60335-2-89 is 13 times the lower flammability limit in a cubic metre, but
/// at most these figures; where the room is small it is lower.
#[must_use]
pub fn charge_limits(refrigerant: &Refrigerant) -> &'static [ChargeLimit] {
    match refrigerant.safety_group {
        "A3" => &[HOUSEHOLD, COMMERCIAL_A3],
        "A2" | "A2L" => &[HOUSEHOLD, COMMERCIAL_A2],
        _ => &[],
    }
}
