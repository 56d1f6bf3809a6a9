//! A run folder that somebody sent as a zip archive.
//!
//! Input: the bytes of the archive.
//!
//! Promises: a folder of plain files, side by side and within the bounds, with a trace among
//! them, or one line of words; nothing outside that folder; nothing left behind.

use std::fs;

use super::scratch;

/// Longest archive looked at.
const MOST_BYTES: usize = 16_384;
/// What an archive of that size may unpack to: 200 times its size.
const MOST_UNPACKED: u64 = 200 * MOST_BYTES as u64;

/// Checks one input.
pub fn check(data: &[u8]) {
    let data = &data[..data.len().min(MOST_BYTES)];
    scratch::in_folder(|folder| {
        let path = folder.join("given.zip");
        scratch::put(&path, data);
        let is_archive = packed_run::is_archive(&path);
        let unpacked = match packed_run::unpack(&path) {
            Ok(unpacked) => unpacked,
            Err(error) => {
                let said = error.to_string();
                return assert!(!said.is_empty() && !said.contains('\n'), "{said:?}");
            }
        };
        assert!(is_archive || data.windows(8).any(|w| w == b"Content_"));
        let place = unpacked.folder().to_owned();
        let sizes = || -> std::io::Result<Vec<(bool, u64)>> {
            fs::read_dir(&place)?
                .map(|file| {
                    let file = file?.metadata()?;
                    Ok((file.is_file(), file.len()))
                })
                .collect()
        };
        let sizes = sizes().unwrap_or_default();
        assert!(!sizes.is_empty() && sizes.iter().all(|(is_file, _)| *is_file));
        let bytes: u64 = sizes.iter().map(|(_, bytes)| bytes).sum();
        assert!(bytes <= MOST_UNPACKED, "{bytes}");
        assert!(place.join("trace.csv").is_file());
        drop(unpacked);
        assert!(!place.exists(), "left behind");
    });
}
