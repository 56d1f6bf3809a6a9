//! Why there is no number.

use std::fmt;

use vacuum::Refrigerant;

/// Why a substance cannot be had.
#[derive(Debug, Clone, PartialEq)]
pub enum NoTable {
    /// Nobody calls a refrigerant this.
    Unknown {
        /// What was given, cut to 40 characters.
        given: String,
        /// What may have been meant, the likeliest first.
        near: Vec<&'static Refrigerant>,
    },
    /// The refrigerant is known, but its saturation is not.
    NoData(&'static Refrigerant),
}

impl fmt::Display for NoTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown { given, near } if near.is_empty() => write!(
                f,
                "\"{given}\" is not a refrigerant that is known: give the designation on the \
                 nameplate, for instance R-600a"
            ),
            Self::Unknown { given, near } => {
                let near: Vec<&str> = near.iter().map(|r| r.designation).collect();
                write!(
                    f,
                    "\"{given}\" is not a refrigerant that is known: did you mean {}?",
                    near.join(", ")
                )
            }
            Self::NoData(refrigerant) => write!(
                f,
                "there are no densities and pressures of {} here: take them from its maker's \
                 data sheet",
                refrigerant.designation
            ),
        }
    }
}

impl std::error::Error for NoTable {}

/// A state that the table of a substance does not hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutsideTable {
    /// A temperature.
    Temperature {
        /// The substance.
        designation: &'static str,
        /// What was asked for, °C.
        celsius: f64,
        /// The coldest in the table, °C.
        lowest_c: f64,
        /// The warmest in the table, °C.
        highest_c: f64,
        /// Its critical temperature, °C, where the table ends because of it.
        critical_c: Option<f64>,
    },
    /// A pressure.
    Pressure {
        /// The substance.
        designation: &'static str,
        /// What was asked for, Pa absolute.
        pa: f64,
        /// The lowest in the table, Pa absolute.
        lowest_pa: f64,
        /// The highest in the table, Pa absolute.
        highest_pa: f64,
    },
    /// There is no vapour at this pressure: it condenses.
    Condenses {
        /// The substance.
        designation: &'static str,
        /// Temperature, °C.
        celsius: f64,
        /// What was asked for, Pa absolute.
        pa: f64,
        /// Pressure of the dew point there, Pa absolute.
        dew_pa: f64,
    },
}

impl fmt::Display for OutsideTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Temperature {
                designation,
                celsius,
                highest_c,
                critical_c: Some(critical_c),
                ..
            } if celsius > highest_c => write!(
                f,
                "{designation} at {celsius:.1} °C: it has no liquid above its critical \
                 temperature, {critical_c:.1} °C, and the table ends at {highest_c:.1} °C"
            ),
            Self::Temperature {
                designation,
                celsius,
                lowest_c,
                highest_c,
                ..
            } => write!(
                f,
                "{designation} at {celsius:.1} °C: its table reaches from {lowest_c:.0} to \
                 {highest_c:.1} °C"
            ),
            Self::Pressure {
                designation,
                pa,
                lowest_pa,
                highest_pa,
            } => write!(
                f,
                "{designation} at {:.3} bar absolute: its table reaches from {:.3} to {:.1} bar \
                 absolute",
                pa / 1e5,
                lowest_pa / 1e5,
                highest_pa / 1e5
            ),
            Self::Condenses {
                designation,
                celsius,
                pa,
                dew_pa,
            } => write!(
                f,
                "{designation} at {:.3} bar absolute and {celsius:.1} °C is no vapour: it \
                 condenses from {:.3} bar absolute on",
                pa / 1e5,
                dew_pa / 1e5
            ),
        }
    }
}

impl std::error::Error for OutsideTable {}
