//! The file that keeps the keys of a page from run to run.

use std::{
    fs,
    io::{self, Write},
    path::Path,
};

use crate::{
    key::Keys,
    private_file::{self, KeptFileError},
};

/// Longest file, bytes: two keys take 76.
const MOST_BYTES: u64 = 1_024;
/// What to do about a file that will not do.
const DO: &str = "delete it, and new keys are made";

/// What others could do with the keys.
const DANGER: &str = "stamp marks";

/// The keys in this file; made, readable for its owner only, where there is no file.
///
/// # Errors
/// Where the file cannot be read or made, can be read by others, or holds something else
/// than two keys that nobody guesses.
pub fn keys_in(path: &Path) -> Result<Keys, KeptFileError> {
    let refused = |why: String| KeptFileError {
        path: path.to_owned(),
        why,
    };
    match private_file::read(path, MOST_BYTES, DANGER, DO).map_err(refused)? {
        Some(text) => Keys::from_text(&text).map_err(|why| refused(format!("{why}; {DO}"))),
        None => {
            let keys = Keys::random().map_err(|e| refused(e.to_string()))?;
            make(path, &keys.to_text()).map_err(|e| refused(plain_file::io_words(&e)))?;
            Ok(keys)
        }
    }
}

fn make(path: &Path, text: &str) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kept_keys_stay_the_same_and_are_for_their_owner() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("page.key");
        let text = |path: &Path| keys_in(path).map(|k| k.to_text());
        let made = text(&path).expect("made");
        assert_eq!(text(&path).expect("read"), made);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let set = |mode| {
                fs::set_permissions(&path, fs::Permissions::from_mode(mode)).expect("set");
            };
            let mode = fs::metadata(&path).expect("there").permissions().mode();
            assert_eq!(mode & 0o077, 0, "{mode:o}");
            for open in [0o644, 0o640, 0o604, 0o620] {
                set(open);
                let told = text(&path).expect_err("open to others").to_string();
                assert!(
                    told.contains("page.key") && told.contains("chmod 600"),
                    "{told}"
                );
                assert!(told.contains(&format!("{open:o}")), "{told}");
            }
            for closed in [0o400, 0o600] {
                set(closed);
                assert_eq!(text(&path).expect("read"), made);
            }
            set(0o600);
        }
        for weak in [
            "view 1234\nmark 5678\n",
            "0123456789abcdef0123456789abcdef\n",
            "",
        ] {
            fs::write(&path, weak).expect("written");
            let told = text(&path).expect_err("weak").to_string();
            assert!(told.contains("page.key") && told.contains(DO), "{told}");
        }
        #[cfg(unix)]
        {
            let pipe = folder.path().join("pipe");
            let made = std::process::Command::new("mkfifo").arg(&pipe).status();
            if made.is_ok_and(|s| s.success()) {
                let told = text(&pipe).expect_err("nobody writes into it").to_string();
                assert!(told.contains("named pipe"), "{told}");
            }
        }
        let none = text(&folder.path().join("none").join("page.key"));
        assert!(none.is_err(), "no such folder");
    }
}
