//! Files and folders that are for their owner alone.

use std::{
    fs::{self, File},
    io,
    path::Path,
};

/// The mode of a file, where others than its owner may do anything with it.
#[cfg(unix)]
pub(crate) fn open_to_others(file: &File) -> io::Result<Option<u32>> {
    use std::os::unix::fs::PermissionsExt;
    let mode = file.metadata()?.permissions().mode() & 0o777;
    Ok((mode & 0o077 != 0).then_some(mode))
}

/// Elsewhere a file in the owner's own folder is the owner's by the rules of that folder.
#[cfg(not(unix))]
pub(crate) fn open_to_others(_: &File) -> io::Result<Option<u32>> {
    Ok(None)
}

/// Makes a folder that only its owner may enter; one that exists stays as it is.
pub(crate) fn make_private_folder(folder: &Path) -> io::Result<()> {
    if let Some(above) = folder.parent() {
        fs::create_dir_all(above)?;
    }
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt;
        builder.mode(0o700);
    }
    match builder.create(folder) {
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => Ok(()),
        other => other,
    }
}

/// The folder of a file, also where it is named without one.
pub(crate) fn folder_of(path: &Path) -> &Path {
    let folder = path.parent().filter(|f| !f.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}
