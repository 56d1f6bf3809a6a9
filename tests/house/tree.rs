//! The tree as it lies on the disk, and what cargo says of it.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use serde_json::Value;

/// Folders that building and trying out leave behind; git ignores them.
pub(crate) const LEFT_BEHIND: [&str; 3] = ["target", "runs", "rehearsals"];

pub(crate) fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .find(|dir| dir.join("clippy.toml").is_file() && dir.join("crates").is_dir())
        .expect("the workspace above this package")
        .to_owned()
}

/// Every file below `folder` with one of the extensions, build output left out.
pub(crate) fn files(folder: &Path, extensions: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut waiting = vec![folder.to_owned()];
    while let Some(folder) = waiting.pop() {
        for entry in fs::read_dir(&folder).expect("a readable folder") {
            let path = entry.expect("a readable entry").path();
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let extension = path.extension().unwrap_or_default().to_string_lossy();
            if path.is_dir() {
                if !name.starts_with('.') && !LEFT_BEHIND.contains(&&*name) {
                    waiting.push(path);
                }
            } else if extensions.contains(&&*extension) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

pub(crate) fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// The path as seen from the top.
pub(crate) fn shown(path: &Path) -> String {
    path.strip_prefix(top())
        .unwrap_or(path)
        .display()
        .to_string()
}

/// What cargo says of the workspace.
pub(crate) fn metadata() -> Value {
    cargo_metadata(&["--no-deps", "--offline"])
}

pub(crate) fn cargo_metadata(arguments: &[&str]) -> Value {
    let output = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
        .args(["metadata", "--format-version", "1"])
        .args(arguments)
        .current_dir(top())
        .output()
        .expect("cargo metadata runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).expect("JSON")
}
