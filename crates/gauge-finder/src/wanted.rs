//! What is looked for.

use std::path::PathBuf;

use sensor_reader::{Address, PortSettings};
use vacuum::PressureUnit;

/// What to look for, and what is known already.
#[derive(Debug, Clone)]
pub struct Search {
    /// Where the gauge is.
    pub address: Address,
    /// The only speed to try, bit/s; `None` for the usual ones.
    pub baud: Option<u32>,
    /// Queries may be sent where nothing is recognised by listening.
    pub ask: bool,
    /// Where the dialect is to be written; `None`: a person is asked, or it is not kept.
    pub keep: Option<PathBuf>,
    /// The column of numbers that is the pressure, from 1.
    pub column: Option<usize>,
    /// The unit of the pressure, where the gauge sends none.
    pub unit: Option<PressureUnit>,
    /// The gauge is open to the air at this moment.
    pub open_to_air: bool,
}

impl Search {
    /// A search that knows nothing but where the gauge is.
    #[must_use]
    pub const fn at(address: Address) -> Self {
        Self {
            address,
            baud: None,
            ask: false,
            keep: None,
            column: None,
            unit: None,
            open_to_air: false,
        }
    }

    pub(crate) fn is_serial(&self) -> bool {
        matches!(self.address, Address::Serial(_))
    }

    /// " at 9600 8N1" where there is a port to set, else nothing.
    pub(crate) fn at_settings(&self, port: PortSettings) -> String {
        match self.is_serial() {
            true => format!(" at {port}"),
            false => String::new(),
        }
    }
}
