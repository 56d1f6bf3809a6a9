//! A gauge recorded beside the judged one, and the file its rows are in.

use vacuum::GaugeIdentity;

/// What the file name of a [`Companion`] begins with.
pub(crate) const BESIDE_PREFIX: &str = "beside-";

/// A gauge, or a further channel of one, recorded beside the judged gauge:
/// a table `[[beside]]` of `job.toml`, and a file `beside-<name>.csv` whose rows
/// have the columns of `trace.csv`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Companion {
    /// Short name, a part of the file's name: letters, digits, `-` and `_`
    /// ("pump-side", "channel-2"). [`Companion::file_name`] makes it fit.
    pub name: String,
    /// Where it sits, in words for a person ("pump side").
    pub place: String,
    /// Name of its dialect.
    pub dialect: Option<String>,
    /// Where it was connected, as given.
    pub port: Option<String>,
    /// Which gauge it is.
    pub gauge: GaugeIdentity,
}

impl Companion {
    /// The file its rows are in; never a path out of the folder.
    #[must_use]
    pub fn file_name(&self) -> String {
        let keep = |c: char| {
            if c.is_ascii_alphanumeric() || c == '_' {
                c
            } else {
                '-'
            }
        };
        let name: String = self.name.chars().take(40).map(keep).collect();
        format!("{BESIDE_PREFIX}{name}.csv")
    }
}
