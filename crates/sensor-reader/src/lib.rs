//! Reads vacuum gauges that speak over a wire: serial ports, TCP byte streams,
//! recorded captures.
//!
//! - A [`Dialect`] says what a gauge's output looks like. It is a TOML file;
//!   several come with the crate ([`Dialect::builtin_names`]), named by shape.
//! - A [`Decoder`] turns bytes into [`Sample`]s: no I/O, no clock, the same
//!   output however the bytes are cut, bounded memory, no input that stops it.
//! - A [`GaugeStream`] keeps a gauge connected through unplugging and silence
//!   and gives [`Event`]s with monotonic arrival times.
//! - [`ports`] lists serial ports; [`listen`] finds out which dialect a gauge
//!   speaks, and at what speed.
//!
//! # Example
//! ```
//! use sensor_reader::{Address, Dialect, Event, GaugeStream, Options};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! # let folder = tempfile::tempdir()?;
//! # let path = folder.path().join("evening.capture");
//! # std::fs::write(&path, "812.0 micron\r\n640.5 micron\r\nOVER\r\n")?;
//! # let text = format!("file:{}", path.display());
//! # let text = text.as_str();
//! # tokio::runtime::Builder::new_current_thread().build()?.block_on(async {
//! // text is "/dev/ttyUSB0", "tcp://192.0.2.7:4000" or "file:evening.capture"
//! let address = Address::parse(text)?;
//! let dialect = Dialect::load("number-unit-line")?;
//! let mut gauge = GaugeStream::open(&address, &dialect, Options::default()).await?;
//! let mut lowest_micron = f64::INFINITY;
//! while let Some(event) = gauge.next().await {
//!     match event {
//!         Event::Reading { sample, .. } => {
//!             // over, under and fault are no measurements and give no pressure
//!             if let Some(pressure) = sample.pressure() {
//!                 lowest_micron = lowest_micron.min(pressure.micron());
//!             }
//!         }
//!         Event::Rejected { rejected, .. } => eprintln!("{rejected}"),
//!         Event::Lost { why, .. } => eprintln!("lost: {why}"),
//!         _ => {}
//!     }
//! }
//! assert!((lowest_micron - 640.5).abs() < 1e-9);
//! # Ok(()) })
//! # }
//! ```
//!
//! # A gauge of your own
//! Any shape is described by a dialect: text lines by a pattern, a delimiter or
//! columns; binary frames; Modbus registers; asked or not. The keys are listed
//! in `samples/dialects/README.md`. Without I/O, a [`Decoder`] is enough:
//!
//! ```
//! use sensor_reader::{Decoded, Decoder, Dialect};
//!
//! let dialect = Dialect::from_toml(
//!     r#"
//! name = "tenths-of-a-pascal"
//! speaks = "frames"
//! [frame]
//! sync = '\xA5'
//! length = 4
//! [fields]
//! value = { at = 2, as = "u16" }
//! checksum = { at = 4 }
//! [value]
//! unit = "Pa"
//! scale = 0.1
//! [checksum]
//! kind = "sum-8"
//! from = 2
//! to = 3
//! "#,
//!     "tenths.toml",
//! )?;
//! let mut out = Vec::new();
//! Decoder::new(&dialect).push(b"\xA5\x13\x88\x9B", &mut out);
//! let [Decoded::Sample(sample)] = out.as_slice() else { panic!("{out:?}") };
//! assert_eq!(sample.pressure().map(|p| p.pa().round()), Some(500.0));
//! # Ok::<(), sensor_reader::DialectError>(())
//! ```
//!
//! # What this crate does not do
//! It keeps no record, judges nothing and prints nothing. To a gauge it sends
//! the query its dialect spells out, or a Modbus request to read registers, and
//! never anything else; a dialect without a query sends nothing
//! ([`Dialect::asks`]). Pressures that count from the barometer ("inches of
//! vacuum", psig) are refused: without the barometer they say nothing about a
//! vacuum.

#![forbid(unsafe_code)]

mod access;
mod address;
mod ask;
mod checksum;
mod curve;
mod decoder;
mod dialect;
mod field_text;
mod find;
mod framer;
mod frames;
pub mod listen;
mod number;
mod ports;
mod sample;
mod sequence;
mod state;
mod stream;
pub mod transport;
mod understand;
mod usb;
mod value;
mod weight;

pub use address::{Address, AddressError};
pub use checksum::ChecksumKind;
pub use decoder::Decoder;
pub use dialect::{Channel, Clock, Dialect, DialectError, FlowControl, Parity, PortSettings};
pub use ports::{PortInfo, PortsError, ports};
pub use sample::{Decoded, RejectReason, Rejected, Sample};
pub use sequence::SequenceBreak;
pub use stream::{Event, GaugeStream, Options};
pub use transport::TransportError;
pub use usb::UsbIdentity;
