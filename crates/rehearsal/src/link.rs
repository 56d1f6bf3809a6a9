//! The symbolic link behind which a simulated gauge can be unplugged.

use std::{
    io,
    os::unix::fs::symlink,
    path::{Path, PathBuf},
};

/// Puts the link in place in one step, so that no reader finds half of it.
pub(crate) fn place_link(link: &Path, device: &Path) -> io::Result<()> {
    let mut fresh = link.as_os_str().to_owned();
    fresh.push(".new");
    let fresh = PathBuf::from(fresh);
    match std::fs::remove_file(&fresh) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(e),
        _ => {}
    }
    symlink(device, &fresh)?;
    std::fs::rename(&fresh, link)
}
