//! Where recordings that go on are found.

use std::path::PathBuf;

use etcetera::BaseStrategy;

use crate::error::LiveError;

/// The folder below the one where programs keep data.
const FOLDER: &str = "dryhold/recording";

/// The folder of the sockets; made, and private, where it is not there yet.
#[cfg(unix)]
pub(crate) fn made() -> Result<PathBuf, LiveError> {
    let folder = path()?;
    whole_file::make_private_folder(&folder).map_err(|why| LiveError::Unusable {
        what: folder.display().to_string(),
        why,
    })?;
    Ok(folder)
}

/// The same, wherever it is.
pub(crate) fn path() -> Result<PathBuf, LiveError> {
    let strategy = etcetera::choose_base_strategy().map_err(|_| LiveError::NoHome)?;
    Ok(strategy.data_dir().join(FOLDER))
}
