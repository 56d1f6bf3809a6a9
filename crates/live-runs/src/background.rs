//! Beginning a recording that no terminal holds.

use std::{
    fs::File,
    io,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::Duration,
};

use crate::{
    error::LiveError,
    folder,
    runs::{self, LiveRun},
};

/// How often it is looked whether the recording has begun.
const LOOK: Duration = Duration::from_millis(50);

/// What a recording said is kept so long.
const KEPT: Duration = Duration::from_secs(7 * 24 * 3_600);

/// A recording that was begun in the background.
#[derive(Debug)]
pub struct Begun {
    /// The recording.
    pub run: LiveRun,
    /// Where what it says is kept.
    pub log: PathBuf,
}

/// Starts this program once more with these arguments, in a session of its own
/// ([`leave_session`] is what it has to call), and waits until its recording goes on.
/// What it says goes to a file of its own. `waits` is called once where it takes long.
///
/// # Errors
/// When it cannot be started, or ends before it records; then with what it said.
pub fn begin_in_background(
    arguments: impl Iterator<Item = std::ffi::OsString>,
    waits: impl FnOnce(u32),
) -> Result<Begun, LiveError> {
    let folder = folder::made()?;
    clear(&folder);
    let log = folder.join(format!("{}.log", std::process::id()));
    let unusable = |what: &Path| {
        let what = what.display().to_string();
        move |why: io::Error| LiveError::Unusable { what, why }
    };
    let out = File::create(&log).map_err(unusable(&log))?;
    let err = out.try_clone().map_err(unusable(&log))?;
    let program = std::env::current_exe().map_err(unusable(Path::new("this program")))?;
    let mut child = Command::new(&program)
        .args(arguments)
        .stdin(Stdio::null())
        .stdout(out)
        .stderr(err)
        .spawn()
        .map_err(unusable(&program))?;
    let process = child.id();
    let socket = folder.join(format!("{process}.sock"));
    // its own number is the one people see
    let kept = folder.join(format!("{process}.log"));
    let log = std::fs::rename(&log, &kept).map_or(log, |()| kept);
    let mut waits = Some(waits);
    for looked in 0_u32.. {
        if let Some(run) = socket.exists().then(|| runs::at(&socket)).flatten() {
            return Ok(Begun { run, log });
        }
        if !matches!(child.try_wait(), Ok(None)) {
            let said = std::fs::read_to_string(&log).unwrap_or_default();
            let _ = std::fs::remove_file(&log);
            let said = said.trim().trim_start_matches("dryhold: ").to_owned();
            return Err(LiveError::NotBegun { said });
        }
        if looked == 60
            && let Some(waits) = waits.take()
        {
            waits(process);
        }
        std::thread::sleep(LOOK);
    }
    Err(LiveError::NoAnswer { process })
}

/// Takes away what recordings said that ended long ago.
fn clear(folder: &Path) {
    let listed = std::fs::read_dir(folder).into_iter().flatten().flatten();
    for path in listed.map(|entry| entry.path()) {
        let is_log = path.extension().is_some_and(|e| e == "log");
        let over = is_log && !path.with_extension("sock").exists();
        let written = path.metadata().and_then(|m| m.modified());
        let old = written.is_ok_and(|at| at.elapsed().is_ok_and(|age| age > KEPT));
        if over && old {
            let _ = std::fs::remove_file(&path);
        }
    }
}

/// Leaves the terminal's session: what becomes of the terminal no longer concerns this
/// program.
///
/// # Errors
/// When the system refuses.
pub fn leave_session() -> io::Result<()> {
    rustix::process::setsid()?;
    Ok(())
}
