//! Port settings, and whose clock counts.

/// Parity bit of a serial port.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Parity {
    /// No parity bit.
    None,
    /// Even parity.
    Even,
    /// Odd parity.
    Odd,
}

/// How gauge and computer tell each other to wait.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum FlowControl {
    /// Not at all, as nearly all gauges do.
    #[default]
    None,
    /// By the RTS and CTS lines of the plug.
    Hardware,
    /// By the characters XON and XOFF.
    Software,
}

impl FlowControl {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::None, Self::Hardware, Self::Software];

    /// The word in a dialect file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Hardware => "hardware",
            Self::Software => "software",
        }
    }
}

/// How a serial port is set: speed, frame of one character, flow control.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct PortSettings {
    /// Speed, bit/s; 1 to 4 000 000.
    pub baud: u32,
    /// Data bits of one character, 5 to 8.
    pub data_bits: u8,
    /// Parity bit.
    pub parity: Parity,
    /// Stop bits, 1 or 2.
    pub stop_bits: u8,
    /// Flow control.
    pub flow_control: FlowControl,
}

impl Default for PortSettings {
    /// 9600 bit/s, 8 data bits, no parity, 1 stop bit, no flow control.
    fn default() -> Self {
        Self {
            baud: 9600,
            data_bits: 8,
            parity: Parity::None,
            stop_bits: 1,
            flow_control: FlowControl::None,
        }
    }
}

impl std::fmt::Display for PortSettings {
    /// As a technician writes it: `9600 8N1`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let parity = match self.parity {
            Parity::None => 'N',
            Parity::Even => 'E',
            Parity::Odd => 'O',
        };
        write!(
            f,
            "{} {}{parity}{}",
            self.baud, self.data_bits, self.stop_bits
        )
    }
}

/// Whose clock gives the time of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Clock {
    /// The monotonic clock of this computer, at the arrival of the line.
    #[default]
    Host,
    /// The `seconds` field, counted by the gauge.
    Device,
}
