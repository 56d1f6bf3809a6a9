use std::path::PathBuf;

/// Why a dialect could not be loaded.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DialectError {
    /// The file cannot be read.
    #[error("cannot read the dialect file {}: {cause}; check the path and its permissions", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        cause: std::io::Error,
    },
    /// No dialect of that name comes with this program.
    #[error(
        "there is no dialect called \"{name}\"; use one of {known}, or give the path of a .toml file"
    )]
    UnknownName {
        /// The name as given.
        name: String,
        /// The names there are, separated by commas.
        known: String,
    },
    /// Every channel is to be recorded, but the dialect lists no further one.
    #[error(
        "the dialect {name} lists no channel beside the judged one; write the others under \
         [channels] in its file, each with its place: 1 = {{ place = \"pump side\" }}"
    )]
    NoFurtherChannel {
        /// The dialect.
        name: String,
    },
    /// The dialect is of a scale, where one of a gauge is wanted.
    #[error(
        "the dialect {name} is of a scale, not of a gauge: give it with --scale-dialect, and the \
         gauge's own here"
    )]
    IsAScale {
        /// The dialect.
        name: String,
    },
    /// The dialect is of a gauge, where one of a scale is wanted.
    #[error(
        "the dialect {name} is of a gauge, not of a scale: a dialect of a scale says \
         measures = \"mass\" above its first table"
    )]
    NotAScale {
        /// The dialect.
        name: String,
    },
    /// The file is not a valid dialect.
    #[error("{origin}{}: {problem}; {fix}", line.map(|n| format!(", line {n}")).unwrap_or_default())]
    Invalid {
        /// The file.
        origin: String,
        /// Line in the file, from 1, where it can be pinned down.
        line: Option<usize>,
        /// What is wrong.
        problem: String,
        /// What to do about it.
        fix: String,
    },
}
