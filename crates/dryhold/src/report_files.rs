//! `dryhold report`: writes the curve, the sheet and the findings.

use std::{
    io::Write,
    path::{Path, PathBuf},
};

use crate::{
    arguments::ReportArguments,
    judged::{self, Draw},
    outcome::{Failure, Outcome, say},
    products, seal,
};

/// Draws one record.
pub(crate) fn run(arguments: &ReportArguments) -> Result<Outcome, Failure> {
    let import = arguments.import.options()?;
    let judged = judged::judge(&arguments.path, &import, &arguments.judging, Draw::Yes)?;
    let spoken = arguments.voice.choices(judged.started_utc.as_deref());
    let out = match &arguments.out {
        Some(out) => out.clone(),
        None => default_folder(&arguments.path, judged.is_run),
    };
    let renewal = seal::Renewal::prepare(&arguments.path, &out, &arguments.choice)?;
    let key = renewal.as_ref().map(seal::Renewal::key);
    let made = products::make(&judged, &out, &spoken, &arguments.sheet, key)?;
    for path in made.paths() {
        say(path.display());
    }
    // what was made counts, even where not all of it could be
    if let Some(why) = made.unsealed {
        return Err(why);
    }
    if renewal.is_some() {
        say("The seal of the run covers them now; what it says of the record is as before.");
    }
    match made.failure {
        Some(failure) => Err(failure),
        None => Ok(Outcome::Done),
    }
}

/// The run folder itself; for a foreign CSV a folder beside where we stand.
fn default_folder(path: &Path, is_run: bool) -> PathBuf {
    if is_run {
        if path.is_dir() {
            return path.to_owned();
        }
        return path.parent().map_or_else(PathBuf::new, Path::to_owned);
    }
    let stem = path
        .file_stem()
        .map_or_else(|| "record".into(), |s| s.to_string_lossy());
    PathBuf::from(format!("{stem}-report"))
}

/// Writes a file so that a reader sees the old one or the new one, never half.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new()
        .prefix(".unfinished-")
        .tempfile_in(folder)?;
    file.write_all(bytes)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // temporary files are private; a report is to be handed on
        file.as_file()
            .set_permissions(std::fs::Permissions::from_mode(0o644))?;
    }
    file.as_file().sync_all()?;
    file.persist(path).map_err(|e| e.error)?;
    Ok(())
}
