//! On systems without such sockets no recording is found.

use std::path::PathBuf;

use crate::error::LiveError;

/// A recording that goes on; there is none on this system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LiveRun {
    /// Name of the run.
    pub name: String,
    /// The run folder.
    pub folder: PathBuf,
    /// The process that records.
    pub process: u32,
}

/// None.
///
/// # Errors
/// None here.
pub fn all() -> Result<Vec<LiveRun>, LiveError> {
    Ok(Vec::new())
}

/// None.
///
/// # Errors
/// Always: none is found on this system.
pub fn find(_name: Option<&str>) -> Result<LiveRun, LiveError> {
    crate::folder::path().and(Err(LiveError::NoneGoesOn))
}

/// Nothing to look at.
///
/// # Errors
/// Always.
pub fn look(_: &LiveRun) -> Result<bool, LiveError> {
    Err(LiveError::NoneGoesOn)
}

/// Nothing to stop.
///
/// # Errors
/// Always.
pub fn stop(_: &LiveRun) -> Result<(), LiveError> {
    Err(LiveError::NoneGoesOn)
}
