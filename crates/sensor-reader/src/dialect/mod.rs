//! What a gauge's output looks like, read from a TOML file.

mod builtin;
mod channels;
mod error;
mod exchange;
mod file;
mod meaning;
mod parse;
mod place;
mod plain;
mod port;
mod shape;
mod sum;
mod terms;
mod weight;

use std::{path::Path, sync::Arc};

use crate::find::Field;

pub use channels::Channel;
pub use error::DialectError;
use plain_file::Links;
pub use port::{Clock, FlowControl, Parity, PortSettings};
use shape::Inner;
pub(crate) use shape::{FrameRule, Framing, RegisterRule, Shape, Terminator};
pub(crate) use terms::{Terms, Weighs};
use vacuum::{Pressure, PressureUnit};

/// A dialect file is far smaller.
const MOST_BYTES: u64 = 1 << 20;

/// One way in which gauges speak: port settings, what is sent, the shape of
/// lines, frames or registers, words and units.
///
/// Always valid once it exists: it says where the value stands, and every value
/// gets a unit of absolute pressure. Cheap to clone.
///
/// ```
/// use sensor_reader::Dialect;
/// let dialect = Dialect::from_toml(
///     "name = 'mine'\n[line]\npattern = '^P=(?<value>[0-9.]+)$'\n[value]\nunit = 'Pa'\n",
///     "mine.toml",
/// )?;
/// assert_eq!(dialect.port().to_string(), "9600 8N1");
/// # Ok::<(), sensor_reader::DialectError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Dialect {
    inner: Arc<Inner>,
}

impl Dialect {
    /// Reads a dialect from TOML text; `origin` names the file in errors.
    ///
    /// # Errors
    /// [`DialectError::Invalid`] with file, line, what is wrong and what to do.
    pub fn from_toml(text: &str, origin: &str) -> Result<Self, DialectError> {
        Self::parsed(text, origin, None)
    }

    fn parsed(text: &str, origin: &str, air: Option<Pressure>) -> Result<Self, DialectError> {
        parse::parse(text, origin, air).map(|inner| Self {
            inner: Arc::new(inner),
        })
    }

    /// A dialect that comes with this crate, by name.
    ///
    /// # Errors
    /// [`DialectError::UnknownName`] listing the names there are.
    pub fn builtin(name: &str) -> Result<Self, DialectError> {
        Self::shipped(name, None)
    }

    fn shipped(name: &str, air: Option<Pressure>) -> Result<Self, DialectError> {
        let (file, text) = builtin::find(name).ok_or_else(|| DialectError::UnknownName {
            name: name.to_owned(),
            known: Self::builtin_names().join(", "),
        })?;
        Self::parsed(text, file, air)
    }

    /// Names of the dialects that come with this crate, in alphabetical order.
    #[must_use]
    pub fn builtin_names() -> Vec<&'static str> {
        builtin::names().collect()
    }

    /// A dialect by built-in name or by path of a TOML file.
    ///
    /// A built-in name wins over a file of the same name in the current folder;
    /// write `./name` to mean the file.
    ///
    /// # Errors
    /// As [`Dialect::builtin`] and [`Dialect::from_toml`];
    /// [`DialectError::Read`] when the file cannot be read, [`DialectError::IsAScale`] when it
    /// is of a scale.
    pub fn load(file_or_name: &str) -> Result<Self, DialectError> {
        Self::loaded(file_or_name, None)
    }

    /// The same for a test under pressure: the unit that the dialect fixes, and units that
    /// lines carry, may count from air of this pressure (`bar gauge`, `psi gauge`). Samples
    /// are absolute all the same. Units listed under `[units]` have to be absolute.
    ///
    /// # Errors
    /// As [`Dialect::load`].
    pub fn load_under_pressure(
        file_or_name: &str,
        barometer: Pressure,
    ) -> Result<Self, DialectError> {
        Self::loaded(file_or_name, Some(barometer))
    }

    fn loaded(file_or_name: &str, air: Option<Pressure>) -> Result<Self, DialectError> {
        if builtin::find(file_or_name).is_some() {
            return Self::shipped(file_or_name, air);
        }
        let looks_like_path = file_or_name.ends_with(".toml")
            || file_or_name.contains(std::path::is_separator)
            || Path::new(file_or_name).exists();
        if !looks_like_path {
            return Self::shipped(file_or_name, air);
        }
        let text = plain_file::read_text(Path::new(file_or_name), MOST_BYTES, Links::Follow)
            .map_err(|cause| DialectError::Read {
                path: file_or_name.into(),
                cause,
            })?;
        let dialect = Self::parsed(&text, file_or_name, air)?;
        match dialect.is_scale() {
            true => Err(DialectError::IsAScale {
                name: dialect.inner.name.clone(),
            }),
            false => Ok(dialect),
        }
    }

    /// The dialect's name, as the record carries it.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.inner.name
    }

    /// What it is for, in a sentence; possibly empty.
    #[must_use]
    pub fn description(&self) -> &str {
        &self.inner.description
    }

    /// How the serial port must be set.
    #[must_use]
    pub fn port(&self) -> PortSettings {
        self.inner.port
    }

    /// Whose clock counts.
    #[must_use]
    pub fn clock(&self) -> Clock {
        self.shape().clock
    }

    /// The longest line in bytes, terminator not counted; the length of a
    /// binary frame; the bytes of a block of registers.
    #[must_use]
    pub fn max_line_bytes(&self) -> usize {
        self.shape().max_bytes()
    }

    /// The unit assumed when the line carries none; `None` if every line must
    /// carry its own.
    #[must_use]
    pub fn fixed_unit(&self) -> Option<PressureUnit> {
        self.shape().terms.fixed_unit
    }

    /// True where readings may have been made absolute with a barometer: the fixed unit
    /// counts from the air, or lines carry units that may.
    #[must_use]
    pub fn may_count_from_air(&self) -> bool {
        let terms = self.shape().terms;
        let known = terms.around.is_some() || self.carries_barometer();
        terms.air.is_some() || (known && terms.fixed_unit.is_none())
    }

    /// True where a line carries the barometer beside the pressure: what counts from the air
    /// is made absolute with it.
    #[must_use]
    pub fn carries_barometer(&self) -> bool {
        self.shape().has(Field::Barometer)
    }

    /// The pressure at and above which the gauge is over range, if stated.
    #[must_use]
    pub fn over_bound(&self) -> Option<Pressure> {
        self.shape().terms.over
    }

    /// The pressure at and below which the gauge is under range, if stated.
    #[must_use]
    pub fn under_bound(&self) -> Option<Pressure> {
        self.shape().terms.under
    }

    /// The channel that is judged, where lines carry a channel:
    /// [`Sample::channel`](crate::Sample::channel) of its readings.
    #[must_use]
    pub fn channel(&self) -> Option<&str> {
        self.shape().channels.judged()
    }

    /// The channels that are recorded beside the judged one: those the dialect
    /// lists if it says `record = "all"`, none otherwise.
    #[must_use]
    pub fn further_channels(&self) -> &[Channel] {
        self.shape().channels.recorded_beside()
    }

    /// The same dialect, giving the readings of every channel it lists.
    ///
    /// # Errors
    /// [`DialectError::NoFurtherChannel`] when it lists none beside the judged one.
    pub fn recording_all(&self) -> Result<Self, DialectError> {
        let mut inner = Inner::clone(&self.inner);
        if inner.shape.channels.record_all() {
            let inner = Arc::new(inner);
            return Ok(Self { inner });
        }
        Err(DialectError::NoFurtherChannel { name: inner.name })
    }

    /// True if the gauge speaks only when asked, so that reading it means
    /// sending to it: the query of the dialect, or a Modbus request to read
    /// registers, and nothing else.
    #[must_use]
    pub fn asks(&self) -> bool {
        self.shape().ask.is_some() || self.is_modbus()
    }

    /// True if it is no gauge but a scale (`measures = "mass"`): its samples carry
    /// [`Sample::weighed`](crate::Sample::weighed) and never a pressure.
    #[must_use]
    pub fn is_scale(&self) -> bool {
        self.shape().weighs.is_some()
    }

    /// True if the gauge is read as Modbus registers.
    #[must_use]
    pub fn is_modbus(&self) -> bool {
        matches!(self.shape().framing, Framing::Registers(_))
    }

    /// What is sent to ask for a reading, where the dialect has a query of its own.
    #[must_use]
    pub fn query(&self) -> Option<&[u8]> {
        self.shape().ask.as_ref().map(|ask| ask.send.as_slice())
    }

    /// The TOML text it was read from.
    #[must_use]
    pub fn source(&self) -> &str {
        &self.inner.source
    }

    pub(crate) fn shape(&self) -> &Shape {
        &self.inner.shape
    }
}
