//! Where the gauge was connected last, so that it need not be said again: `last-gauge.toml`
//! in the folder where programs keep data.

use std::{io, path::PathBuf};

use etcetera::BaseStrategy;
use plain_file::Links;
use whole_file::Put;

/// The file below the folder where programs keep data.
const FILE: &str = "dryhold/last-gauge.toml";
/// It is far smaller.
const MOST_BYTES: u64 = 1 << 16;

/// A gauge as it was connected.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LastGauge {
    /// Its port, by the name that stays the same when it is plugged in again.
    pub port: String,
    /// Dialect file, or name of a built-in dialect.
    pub dialect: String,
    /// Speed in bit/s instead of the dialect's.
    pub baud: Option<u32>,
}

fn path() -> Option<PathBuf> {
    let strategy = etcetera::choose_base_strategy().ok()?;
    Some(strategy.data_dir().join(FILE))
}

/// Keeps it.
///
/// # Errors
/// When it cannot be written; without a home folder nothing is kept.
pub fn keep(gauge: &LastGauge) -> io::Result<()> {
    let Some(path) = path() else { return Ok(()) };
    if let Some(folder) = path.parent() {
        whole_file::make_private_folder(folder)?;
    }
    let mut table = toml::Table::new();
    table.insert("port".into(), gauge.port.clone().into());
    table.insert("dialect".into(), gauge.dialect.clone().into());
    if let Some(baud) = gauge.baud {
        table.insert("baud".into(), i64::from(baud).into());
    }
    let text = format!("# The gauge of the last recording.\n{table}");
    whole_file::write(&path, text.as_bytes(), Put::Private)
}

/// What is kept; nothing where there is none, or where it cannot be read.
#[must_use]
pub fn kept() -> Option<LastGauge> {
    let text = plain_file::read_text(&path()?, MOST_BYTES, Links::Follow).ok()?;
    let table: toml::Table = text.parse().ok()?;
    let words = |key: &str| table.get(key)?.as_str().map(str::to_owned);
    let baud = table.get("baud").and_then(toml::Value::as_integer);
    Some(LastGauge {
        port: words("port")?,
        dialect: words("dialect")?,
        baud: baud.and_then(|b| u32::try_from(b).ok()),
    })
}

impl LastGauge {
    /// What is given, and what of it was left out as it was last time; `None` where that
    /// does not make a gauge. A format belongs to its port: a port that is another one
    /// brings none with it.
    #[must_use]
    pub fn completed(
        port: Option<&str>,
        dialect: Option<&str>,
        baud: Option<u32>,
        last: Option<Self>,
    ) -> Option<Self> {
        if let (Some(port), Some(dialect)) = (port, dialect) {
            return Some(Self {
                port: port.to_owned(),
                dialect: dialect.to_owned(),
                baud,
            });
        }
        let last = last.filter(|last| port.is_none_or(|port| port == last.port))?;
        let same = dialect.is_none_or(|dialect| dialect == last.dialect);
        Some(Self {
            port: last.port,
            dialect: dialect.map_or(last.dialect, str::to_owned),
            baud: baud.or(last.baud.filter(|_| same)),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_out_is_as_it_was_last_time() {
        let last = LastGauge {
            port: "/dev/serial/by-id/invented".into(),
            dialect: "number-unit-line".into(),
            baud: Some(4_800),
        };
        let completed =
            |port, dialect| LastGauge::completed(port, dialect, None, Some(last.clone()));
        assert_eq!(completed(None, None), Some(last.clone()));
        let port = Some("/dev/serial/by-id/invented");
        assert_eq!(completed(port, None), Some(last.clone()));
        let other = completed(None, Some("other.toml")).expect("a gauge");
        assert_eq!((other.dialect.as_str(), other.baud), ("other.toml", None));
        assert_eq!(completed(Some("/dev/other"), None), None, "which format?");
        let both = completed(Some("/dev/other"), Some("x")).expect("a gauge");
        assert_eq!((both.port.as_str(), both.baud), ("/dev/other", None));
        assert_eq!(LastGauge::completed(None, None, None, None), None);
    }
}
