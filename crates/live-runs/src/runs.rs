//! Which recordings go on.

use std::{
    io::{BufRead, BufReader, Read},
    os::unix::net::UnixStream,
    path::{Path, PathBuf},
    time::Duration,
};

use crate::{
    error::LiveError,
    folder,
    message::{self, Wants},
};

/// A recording answers within so long.
const PATIENCE: Duration = Duration::from_secs(3);
/// The longest answer.
const MOST_BYTES: u64 = 16_384;

/// A recording that goes on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LiveRun {
    /// Name of the run: that of its folder.
    pub name: String,
    /// The run folder.
    pub folder: PathBuf,
    /// The process that records.
    pub process: u32,
    pub(crate) socket: PathBuf,
}

/// All recordings of this user that go on, by name.
///
/// # Errors
/// When no home folder is known.
pub fn all() -> Result<Vec<LiveRun>, LiveError> {
    let Ok(listed) = std::fs::read_dir(folder::path()?) else {
        return Ok(Vec::new());
    };
    let sockets = listed.filter_map(Result::ok).map(|entry| entry.path());
    let mut runs: Vec<LiveRun> = sockets.filter_map(|path| at(&path)).collect();
    runs.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(runs)
}

/// The recording that is meant: by its name, a part of it, or its folder; without a name
/// the only one.
///
/// # Errors
/// When there is none, or more than one that may be meant.
pub fn find(name: Option<&str>) -> Result<LiveRun, LiveError> {
    one_of(all()?, name)
}

fn one_of(all: Vec<LiveRun>, name: Option<&str>) -> Result<LiveRun, LiveError> {
    let names = |runs: &[LiveRun]| {
        let names: Vec<&str> = runs.iter().map(|run| run.name.as_str()).collect();
        names.join(", ")
    };
    if all.is_empty() {
        return Err(LiveError::NoneGoesOn);
    }
    let every = names(&all);
    let folder = name.and_then(|name| Path::new(name).canonicalize().ok());
    let is = |run: &LiveRun| match name {
        None => true,
        Some(name) => run.name == name || folder.as_ref() == Some(&run.folder),
    };
    let has = |run: &LiveRun| name.is_some_and(|name| run.name.contains(name));
    let (exact, rest): (Vec<_>, Vec<_>) = all.into_iter().partition(is);
    let mut meant = match exact.is_empty() {
        true => rest.into_iter().filter(has).collect(),
        false => exact,
    };
    match (meant.pop(), meant.is_empty()) {
        (Some(run), true) => Ok(run),
        (Some(run), false) => {
            meant.push(run);
            Err(LiveError::Several {
                names: names(&meant),
            })
        }
        (None, _) => Err(LiveError::NoneOfThatName {
            name: name.unwrap_or_default().to_owned(),
            others: every,
        }),
    }
}

/// The recording behind a socket; one that nobody listens at is taken away.
pub(crate) fn at(socket: &Path) -> Option<LiveRun> {
    let process = socket.file_stem()?.to_str()?.parse().ok()?;
    if socket.extension()? != "sock" {
        return None;
    }
    let stream = match UnixStream::connect(socket) {
        Ok(stream) => stream,
        Err(e) if e.kind() == std::io::ErrorKind::ConnectionRefused => {
            let _ = std::fs::remove_file(socket);
            return None;
        }
        Err(_) => return None,
    };
    let (name, folder) = ask(&stream, Wants::Name)?;
    Some(LiveRun {
        name,
        folder,
        process,
        socket: socket.to_owned(),
    })
}

fn ask(stream: &UnixStream, wants: Wants) -> Option<(String, PathBuf)> {
    stream.set_read_timeout(Some(PATIENCE)).ok()?;
    message::greet(stream, wants, &[]).ok()?;
    let mut answer = String::new();
    BufReader::new(stream.take(MOST_BYTES))
        .read_line(&mut answer)
        .ok()?;
    let (name, folder) = answer.trim_end_matches('\n').split_once('\t')?;
    Some((name.to_owned(), folder.into()))
}

/// Asks a recording for its end, and waits until its program has sealed, judged and drawn
/// and ended.
///
/// # Errors
/// When it does not answer.
pub fn stop(run: &LiveRun) -> Result<(), LiveError> {
    let no_answer = || LiveError::NoAnswer {
        process: run.process,
    };
    let mut stream = UnixStream::connect(&run.socket).map_err(|_| no_answer())?;
    ask(&stream, Wants::Stop).ok_or_else(no_answer)?;
    stream.set_read_timeout(None).map_err(|_| no_answer())?;
    let mut rest = [0; 64];
    while matches!(stream.read(&mut rest), Ok(1..)) {}
    Ok(())
}

impl LiveRun {
    /// True while it goes on.
    #[must_use]
    pub fn goes_on(&self) -> bool {
        at(&self.socket).is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(name: &str) -> LiveRun {
        LiveRun {
            name: name.into(),
            folder: Path::new("/nowhere").join(name),
            process: 1,
            socket: PathBuf::new(),
        }
    }

    #[test]
    fn a_run_is_meant_by_name_by_part_or_alone() {
        let all = || vec![run("20260314T091500Z-J-1"), run("20260314T101500Z-J-12")];
        let found = |name| {
            one_of(all(), name)
                .map(|run| run.name)
                .map_err(|e| e.to_string())
        };
        assert_eq!(found(Some("T1015")), Ok("20260314T101500Z-J-12".into()));
        assert_eq!(
            found(Some("20260314T091500Z-J-1")),
            Ok("20260314T091500Z-J-1".into())
        );
        let several = found(Some("J-1")).expect_err("two");
        assert!(
            several.contains("J-1") && several.contains("J-12"),
            "{several}"
        );
        assert!(found(None).is_err());
        let none = found(Some("J-3")).expect_err("none");
        assert!(none.contains("no recording called J-3"), "{none}");
        assert_eq!(
            one_of(vec![run("only")], None).map(|r| r.name).ok(),
            Some("only".into())
        );
        let nothing = one_of(Vec::new(), None).expect_err("none").to_string();
        assert_eq!(nothing, "no recording goes on on this computer");
    }
}
