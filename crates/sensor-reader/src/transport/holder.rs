//! Which program holds a port.

use std::{fmt, path::Path};

use super::system::{SystemFiles, harmless};

/// A program that has a port open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holder {
    /// What the program calls itself, at most 15 bytes on Linux.
    pub name: String,
    /// Its process number.
    pub process: u32,
}

impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} (process {})", self.name, self.process)
    }
}

impl Holder {
    /// Who has the device at `path` open; `None` if nobody, or if the system
    /// does not tell this user.
    pub(crate) fn of(system: &SystemFiles, path: &Path) -> Option<Self> {
        let processes = system.processes();
        // the lock is seen across users, the open files only of one's own
        let process = locker(&processes, path).or_else(|| opener(&processes, path))?;
        let name = std::fs::read(processes.join(process.to_string()).join("comm")).ok();
        let name = match harmless(&name.unwrap_or_default()) {
            name if name.is_empty() => "a program".to_owned(),
            name => name,
        };
        Some(Self { name, process })
    }

    /// True if it is this very program.
    #[must_use]
    pub fn is_this_program(&self) -> bool {
        self.process == std::process::id()
    }
}

/// The process that locked the device, by the system's list of locks.
#[cfg(target_os = "linux")]
fn locker(processes: &Path, path: &Path) -> Option<u32> {
    use std::os::unix::fs::MetadataExt;
    let device = std::fs::metadata(path).ok()?;
    let locks = std::fs::read_to_string(processes.join("locks")).ok()?;
    let (major, minor) = (
        rustix::fs::major(device.dev()),
        rustix::fs::minor(device.dev()),
    );
    locker_in(&locks, &format!("{major:02x}:{minor:02x}:{}", device.ino()))
}

#[cfg(not(target_os = "linux"))]
fn locker(_: &Path, _: &Path) -> Option<u32> {
    None
}

/// Finds the process in lines such as
/// `1: FLOCK  ADVISORY  WRITE 1234 00:05:88 0 EOF` (man page proc_locks(5)).
/// Whoever waits for a lock has an arrow in the second place and is not meant.
#[cfg(target_os = "linux")]
fn locker_in(locks: &str, file: &str) -> Option<u32> {
    locks.lines().find_map(|line| {
        let mut words = line.split_ascii_whitespace().skip(1);
        if words.next()? != "FLOCK" {
            return None;
        }
        let process: u32 = words.nth(2)?.parse().ok()?;
        // 0: a process outside this container
        (words.next()? == file && process > 0).then_some(process)
    })
}

/// A process that has the device open, as far as this user may see.
fn opener(processes: &Path, path: &Path) -> Option<u32> {
    let device = path.canonicalize().ok()?;
    let numbered = processes.read_dir().ok()?.flatten().filter_map(|entry| {
        let process: u32 = entry.file_name().to_str()?.parse().ok()?;
        Some((process, entry.path().join("fd")))
    });
    let mut openers = numbered.filter(|(_, files)| {
        let Ok(files) = files.read_dir() else {
            return false;
        };
        files
            .flatten()
            .any(|file| file.path().read_link().is_ok_and(|to| to == device))
    });
    openers.next().map(|(process, _)| process)
}

#[cfg(target_os = "linux")]
#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn list_of_locks() {
        let text = "1: POSIX  ADVISORY  WRITE 11 00:05:88 0 EOF\n\
                    2: FLOCK  ADVISORY  WRITE 12 00:05:89 0 EOF\n\
                    broken\n\
                    3: FLOCK  ADVISORY  WRITE 13 00:05:88 0 EOF\n\
                    3: -> FLOCK  ADVISORY  WRITE 14 00:05:88 0 EOF\n";
        assert_eq!(locker_in(text, "00:05:88"), Some(13));
        assert_eq!(locker_in(text, "00:05:90"), None);
        let outside = "1: FLOCK  ADVISORY  WRITE 0 00:05:88 0 EOF\n";
        assert_eq!(locker_in(outside, "00:05:88"), None);
    }

    #[test]
    fn an_open_file_names_its_program() {
        let file = tempfile::NamedTempFile::new().unwrap();
        let holder = Holder::of(&SystemFiles::default(), file.path()).unwrap();
        assert!(holder.is_this_program() && !holder.name.is_empty());
        assert!(holder.to_string().contains("(process "), "{holder}");
        let path = file.into_temp_path();
        assert_eq!(Holder::of(&SystemFiles::default(), &path), None);
    }
}
