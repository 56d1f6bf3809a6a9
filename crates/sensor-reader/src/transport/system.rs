//! Where the operating system tells about its devices.

use std::path::{Path, PathBuf};

/// Longest chain of links followed to a device.
const MOST_LINKS: usize = 8;

/// The folders in which the operating system keeps its devices (`dev`) and what
/// it knows about them (`sys`, `proc`). Where they are missing, as on systems
/// other than Linux, nothing is found and paths are taken as they are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SystemFiles {
    root: PathBuf,
}

impl Default for SystemFiles {
    /// Those of this computer.
    fn default() -> Self {
        Self::under(Path::new("/"))
    }
}

impl SystemFiles {
    /// Those under another root, for instance a host's folders mounted into a
    /// container.
    #[must_use]
    pub fn under(root: &Path) -> Self {
        Self {
            root: root.to_owned(),
        }
    }

    pub(crate) fn device(&self, name: &str) -> PathBuf {
        self.root.join("dev").join(name)
    }

    pub(crate) fn terminals(&self) -> PathBuf {
        self.root.join("sys/class/tty")
    }

    pub(crate) fn processes(&self) -> PathBuf {
        self.root.join("proc")
    }

    /// Links named after what a device says about itself.
    pub(crate) fn names_by_id(&self) -> PathBuf {
        self.root.join("dev/serial/by-id")
    }

    /// Links named after the socket a device sits in.
    pub(crate) fn names_by_socket(&self) -> PathBuf {
        self.root.join("dev/serial/by-path")
    }

    /// The system's name of the terminal a path leads to, such as `ttyUSB0`;
    /// `None` if it leads to none in `dev` itself.
    pub(crate) fn terminal_name(&self, path: &Path) -> Option<String> {
        let dev = self.root.join("dev").canonicalize().ok()?;
        let mut path = path.to_owned();
        for _ in 0..MOST_LINKS {
            let folder = path.parent()?.canonicalize().ok()?;
            if folder == dev {
                return Some(path.file_name()?.to_str()?.to_owned());
            }
            path = folder.join(path.read_link().ok()?);
        }
        None
    }
}

/// Text that a device or a program says about itself, without characters that
/// could steer the terminal on which it is shown.
pub(crate) fn harmless(text: &[u8]) -> String {
    String::from_utf8_lossy(text)
        .chars()
        .filter(|c| !c.is_control())
        .collect::<String>()
        .trim()
        .to_owned()
}

#[cfg(unix)]
#[cfg(test)]
mod tests {
    use std::{fs, os::unix::fs::symlink};

    use super::*;

    #[test]
    fn no_text_steers_the_terminal() {
        assert_eq!(harmless(b" a\x1b[2Jb\r\n\xff"), "a[2Jb\u{fffd}");
    }

    #[test]
    fn links_are_followed_to_the_name_in_dev() {
        let folder = tempfile::tempdir().unwrap();
        let root = folder.path();
        fs::create_dir_all(root.join("dev/serial/by-id")).unwrap();
        fs::write(root.join("dev/ttyUSB3"), "").unwrap();
        let by_id = root.join("dev/serial/by-id/usb-gauge");
        symlink("../../ttyUSB3", &by_id).unwrap();
        let own = root.join("my-gauge");
        symlink(&by_id, &own).unwrap();
        let circle = root.join("circle");
        symlink(&circle, &circle).unwrap();
        let system = SystemFiles::under(root);
        for path in [&root.join("dev/ttyUSB3"), &by_id, &own] {
            assert_eq!(system.terminal_name(path).as_deref(), Some("ttyUSB3"));
        }
        for path in [&circle, &root.join("nothing"), &PathBuf::from("COM3")] {
            assert_eq!(system.terminal_name(path), None);
        }
    }
}
