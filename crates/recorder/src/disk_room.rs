//! How much room a disk has.

use std::path::Path;

/// Free room on the disk of this folder, or of the nearest folder above it that is there,
/// bytes; `None` where the system does not tell.
pub fn free_bytes(folder: &Path) -> Option<u64> {
    let there = folder.ancestors().find(|f| f.is_dir());
    let folder = there.unwrap_or(Path::new("."));
    #[cfg(unix)]
    return rustix::fs::statvfs(folder)
        .ok()
        .map(|disk| disk.f_bavail.saturating_mul(disk.f_frsize));
    #[cfg(not(unix))]
    {
        let _ = folder;
        None
    }
}
