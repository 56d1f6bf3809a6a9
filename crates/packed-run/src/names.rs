//! Names in an archive: which are those of a run folder.

use std::path::Path;

/// Longest name of a file, bytes.
const LONGEST: usize = 200;

/// What a name in an archive is.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Name {
    /// A file, alone or in one folder.
    File {
        folder: Option<String>,
        name: String,
    },
    /// A folder by itself.
    Folder(String),
    /// What a system adds on its own.
    LeftOut,
}

impl Name {
    /// What the bytes of a name say; in words why they are refused.
    pub(crate) fn of(raw: &[u8], is_folder: bool) -> Result<Self, &'static str> {
        let text = std::str::from_utf8(raw)
            .map_err(|_| "its name is not UTF-8: pack the folder again under a plain name")?;
        // some programs write the sign that separates folders on their system
        if text.contains('\\') {
            return Err("its name has a backslash: pack the folder again with another program");
        }
        if text.starts_with('/') || text.contains(':') {
            return Err("its name leads out of the folder");
        }
        let mut parts: Vec<&str> = text.split('/').collect();
        if is_folder || parts.last() == Some(&"") {
            parts.pop();
        }
        // "./trace.csv", as some programs write it
        if parts.len() > 1 && parts.first() == Some(&".") {
            parts.remove(0);
        }
        if parts.is_empty() {
            return Err("no file of a run has such a name");
        }
        if parts.contains(&"..") {
            return Err("its name leads out of the folder");
        }
        let odd = |part: &&str| {
            part.is_empty()
                || *part == "."
                || part.len() > LONGEST
                || part.ends_with(['.', ' '])
                || part
                    .chars()
                    .any(|c| c.is_control() || "<>|?*\"".contains(c))
        };
        if parts.first() == Some(&"__MACOSX") {
            return Ok(Self::LeftOut);
        }
        if parts.iter().any(odd) {
            return Err("no file of a run has such a name");
        }
        let left_out = |name: &str| matches!(name, ".DS_Store" | "Thumbs.db" | "desktop.ini");
        match parts.as_slice() {
            [folder] if is_folder => Ok(Self::Folder((*folder).to_owned())),
            [.., name] if !is_folder && left_out(name) => Ok(Self::LeftOut),
            [name] if !is_folder => Ok(Self::File {
                folder: None,
                name: (*name).to_owned(),
            }),
            [folder, name] if !is_folder => Ok(Self::File {
                folder: Some((*folder).to_owned()),
                name: (*name).to_owned(),
            }),
            _ => Err("it lies in a folder inside a folder: pack one run folder alone"),
        }
    }
}

/// The files of one run folder in an archive.
#[derive(Debug, Default)]
pub(crate) struct Names {
    files: Vec<(usize, String)>,
    folder: Option<Option<String>>,
}

impl Names {
    /// Adds the file at this place of the archive.
    pub(crate) fn add(
        &mut self,
        index: usize,
        folder: Option<String>,
        name: String,
    ) -> Result<(), &'static str> {
        if *self.folder.get_or_insert_with(|| folder.clone()) != folder {
            return Err("the archive holds several folders: pack each run into its own");
        }
        // on some systems upper and lower case are one
        let same = |known: &String| known.to_lowercase() == name.to_lowercase();
        if self.files.iter().any(|(_, known)| same(known)) {
            return Err("this name is in the archive twice");
        }
        self.files.push((index, name));
        Ok(())
    }

    /// The files, by their place in the archive.
    pub(crate) fn files(&self) -> &[(usize, String)] {
        &self.files
    }

    /// How the folder is called: as in the archive, else as the archive.
    pub(crate) fn folder(&self, archive: &Path) -> String {
        let stem = || {
            archive
                .file_stem()
                .map(|s| s.to_string_lossy().into_owned())
        };
        let named = self.folder.clone().flatten().or_else(stem);
        named.unwrap_or_else(|| "run".into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_a_run_folder_are_taken() {
        let file = |folder: Option<&str>, name: &str| {
            Ok(Name::File {
                folder: folder.map(str::to_owned),
                name: name.to_owned(),
            })
        };
        assert_eq!(Name::of(b"trace.csv", false), file(None, "trace.csv"));
        assert_eq!(Name::of(b"./trace.csv", false), file(None, "trace.csv"));
        assert_eq!(
            Name::of("2026-Küche/job.toml".as_bytes(), false),
            file(Some("2026-Küche"), "job.toml")
        );
        assert_eq!(Name::of(b"run/", true), Ok(Name::Folder("run".into())));
        for left_out in ["__MACOSX/run/._trace.csv", "run/.DS_Store", "Thumbs.db"] {
            assert_eq!(Name::of(left_out.as_bytes(), false), Ok(Name::LeftOut));
        }
    }

    #[test]
    fn names_that_lead_elsewhere_or_are_odd_are_refused() {
        for (name, words) in [
            ("../trace.csv", "leads out"),
            ("run/../../x", "leads out"),
            ("/etc/x", "leads out"),
            ("C:x", "leads out"),
            ("run\\..\\x", "backslash"),
            ("a/b/c", "folder inside a folder"),
            ("a//b", "no file of a run"),
            ("a/.", "no file of a run"),
            ("trace.csv ", "no file of a run"),
            ("a\u{1b}[2J", "no file of a run"),
            ("", "no file of a run"),
        ] {
            let why = Name::of(name.as_bytes(), false).expect_err(name);
            assert!(why.contains(words), "{name}: {why}");
        }
        assert!(Name::of(b"tr\xe4ce.csv", false).is_err());
        assert!(Name::of(b"a/b/", true).is_err());
        let mut names = Names::default();
        let add = |names: &mut Names, folder: Option<&str>, name: &str| {
            names.add(0, folder.map(str::to_owned), name.to_owned())
        };
        assert_eq!(add(&mut names, Some("a"), "trace.csv"), Ok(()));
        assert!(add(&mut names, Some("a"), "Trace.csv").is_err());
        assert!(add(&mut names, Some("b"), "job.toml").is_err());
        assert!(add(&mut names, None, "job.toml").is_err());
        assert_eq!(names.folder(Path::new("x.zip")), "a");
        assert_eq!(Names::default().folder(Path::new("a/x.zip")), "x");
    }
}
