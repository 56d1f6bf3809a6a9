//! Reads scales: what comes over the wire as masses, with the word of the scale whether they
//! stand still.
//!
//! A scale is an instrument like a gauge: its bytes are cut, checked and timed by
//! `sensor_reader`, which opens the port, notices silence and connects again. What is
//! particular to a scale is here: its dialects, named by shape, and [`weighing`], which takes
//! the mass out of a sample.
//!
//! ```
//! use scale_reader::{ScaleDialect, weighing};
//! use sensor_reader::{Decoded, Decoder};
//!
//! let scale = ScaleDialect::load("weight-word-line")?;
//! let mut out = Vec::new();
//! Decoder::new(scale.dialect()).push(b"#4812.6 g steady\r\n", &mut out);
//! let [Decoded::Sample(sample)] = out.as_slice() else { panic!("{out:?}") };
//! let weighing = weighing(sample, 12.0).expect("a scale weighs");
//! assert_eq!(weighing.on_scale_g(), Some(4812.6));
//! assert_eq!(weighing.word(), "stable");
//! # Ok::<(), sensor_reader::DialectError>(())
//! ```
//!
//! # What it does not do
//! Record, judge, print; send anything but the query of a dialect.

use std::path::Path;

use plain_file::Links;
use sensor_reader::{Dialect, DialectError, Sample};
use vacuum::Weighing;

/// A dialect file is far smaller.
const MOST_BYTES: u64 = 1 << 20;

macro_rules! embed {
    ($($name:literal),* $(,)?) => {
        [$((
            $name,
            concat!($name, ".toml"),
            include_str!(concat!("../../../samples/scales/", $name, ".toml")),
        )),*]
    };
}

/// Name, file name and text, in alphabetical order.
const BUILTIN: [(&str, &str, &str); 2] = embed!["weight-fields-sum", "weight-word-line"];

/// A dialect of a scale, so that none is taken for that of a gauge. Cheap to clone.
#[derive(Debug, Clone)]
pub struct ScaleDialect(Dialect);

impl ScaleDialect {
    /// A dialect by the name of one that comes with this crate, or by the path of a TOML
    /// file; `samples/scales/README.md` says what stands in it.
    ///
    /// # Errors
    /// [`DialectError::UnknownName`] listing the names there are, [`DialectError::Read`],
    /// [`DialectError::Invalid`] with file and line, and [`DialectError::NotAScale`] for a
    /// dialect of a gauge.
    pub fn load(file_or_name: &str) -> Result<Self, DialectError> {
        let shipped = BUILTIN.iter().find(|(name, ..)| *name == file_or_name);
        if let Some((_, file, text)) = shipped {
            return Self::from_toml(text, file);
        }
        let path = Path::new(file_or_name);
        let looks_like_path = file_or_name.ends_with(".toml")
            || file_or_name.contains(std::path::is_separator)
            || path.exists();
        if !looks_like_path {
            return Err(DialectError::UnknownName {
                name: file_or_name.to_owned(),
                known: Self::builtin_names().join(", "),
            });
        }
        let text = plain_file::read_text(path, MOST_BYTES, Links::Follow).map_err(|cause| {
            DialectError::Read {
                path: path.to_owned(),
                cause,
            }
        })?;
        Self::from_toml(&text, file_or_name)
    }

    /// Reads a dialect from TOML text; `origin` names the file in errors.
    ///
    /// # Errors
    /// [`DialectError::Invalid`] and [`DialectError::NotAScale`].
    pub fn from_toml(text: &str, origin: &str) -> Result<Self, DialectError> {
        let dialect = Dialect::from_toml(text, origin)?;
        match dialect.is_scale() {
            true => Ok(Self(dialect)),
            false => Err(DialectError::NotAScale {
                name: dialect.name().to_owned(),
            }),
        }
    }

    /// Names of the dialects that come with this crate, in alphabetical order.
    #[must_use]
    pub fn builtin_names() -> Vec<&'static str> {
        BUILTIN.iter().map(|(name, ..)| *name).collect()
    }

    /// What reads it: for a [`Decoder`](sensor_reader::Decoder) or a
    /// [`GaugeStream`](sensor_reader::GaugeStream).
    #[must_use]
    pub fn dialect(&self) -> &Dialect {
        &self.0
    }
}

/// What a sample of a scale says, at `elapsed_s` seconds; `None` for a sample of a gauge.
#[must_use]
pub fn weighing(sample: &Sample, elapsed_s: f64) -> Option<Weighing> {
    sample
        .weighed
        .map(|weighed| Weighing { elapsed_s, weighed })
}
