//! What lies in a run folder, and which of it is the record.

use std::{
    fmt, fs,
    io::{self, Read},
    path::Path,
};

use plain_file::{Links, one_line};
use seal_keys::forms::hex;
use sha2::{Digest, Sha256};

use crate::{header::JOB_NAME, parts::is_trace_name};

/// File name of the seal inside a run folder.
pub(crate) const SEAL_NAME: &str = "seal.json";

/// The answer of a time-stamp authority to a request for a stamp of the seal.
pub(crate) const STAMP_NAME: &str = "seal.tsr";

/// The seal as it was stamped. `seal.json` is written again when products are made
/// anew, and this is not.
pub(crate) const STAMPED_SEAL_NAME: &str = "stamped-seal.json";

/// Files made from the record, which can be made from it again.
const PRODUCTS: [&str; 6] = [
    "findings.json",
    "curve.svg",
    "curve.png",
    "curve-small.png",
    "sheet.html",
    "sheet.pdf",
];

/// What a file of a run folder is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// Ground truth: `job.toml` and the traces.
    Record,
    /// Made from the record: findings, curve, sheet.
    Product,
    /// Anything else that lay in the folder when it was sealed, a photograph for
    /// instance.
    Attached,
}

impl FileKind {
    /// Its word in `seal.json` and in JSON output.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Record => "record",
            Self::Product => "product",
            Self::Attached => "attached",
        }
    }

    pub(crate) fn from_word(word: &str) -> Option<Self> {
        [Self::Record, Self::Product, Self::Attached]
            .into_iter()
            .find(|kind| kind.word() == word)
    }

    /// By its name, which is all that decides.
    pub(crate) fn of(name: &str) -> Self {
        if name == JOB_NAME || is_trace_name(name) {
            Self::Record
        } else if is_product_name(name) {
            Self::Product
        } else {
            Self::Attached
        }
    }
}

/// True for a name that a person may take for that of a product: whatever its case,
/// its extension, and blanks around it. "sheet.PDF" and "sheet.htm" are opened in
/// good faith like the sheet itself.
fn is_product_name(name: &str) -> bool {
    let stem = |name: &str| {
        let name = name.trim_matches(|c: char| c.is_whitespace() || c == '.');
        let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
        stem.trim_end().to_lowercase()
    };
    let wanted = stem(name);
    PRODUCTS.iter().any(|product| stem(product) == wanted)
}

/// True for a name that stays in its folder whatever system reads it.
pub(crate) fn is_plain_name(name: &str) -> bool {
    !name.is_empty()
        && name != "."
        && name != ".."
        && !name.contains(|c: char| matches!(c, '/' | '\\' | ':') || c.is_control())
}

/// Something in a run folder that no seal covers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Uncovered {
    /// Its name, as it can be shown on one line.
    pub name: String,
    /// What it is where it is no plain file: "a link to /x", "a folder".
    pub what: Option<String>,
}

impl fmt::Display for Uncovered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.what {
            Some(what) => write!(f, "{} ({what})", self.name),
            None => f.write_str(&self.name),
        }
    }
}

/// What a seal may cover and what it cannot.
#[derive(Debug, Default)]
pub(crate) struct Contents {
    /// Names of plain files, in the order of their bytes.
    pub(crate) files: Vec<String>,
    /// Folders, links, pipes, hidden files, names that are no text.
    pub(crate) others: Vec<Uncovered>,
}

/// Lists a run folder; the seal and what time-stamps it are left out: they cannot be
/// in the seal, and are checked by themselves. A link is no file of the
/// folder, whatever it leads to: that can change while the folder does not.
pub(crate) fn contents(folder: &Path) -> io::Result<Contents> {
    let mut found = Contents::default();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name();
        let shown = one_line(&name);
        if [SEAL_NAME, STAMP_NAME, STAMPED_SEAL_NAME].contains(&shown.as_str()) {
            continue;
        }
        let is_file = entry.file_type()?.is_file();
        let may_be_sealed = |n: &&str| is_file && is_plain_name(n) && !n.starts_with('.');
        match name.to_str().filter(may_be_sealed) {
            Some(name) => found.files.push(name.to_owned()),
            None => found.others.push(Uncovered {
                what: (!is_file).then(|| what_is(&entry.path())),
                name: shown,
            }),
        }
    }
    found.files.sort();
    found.others.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(found)
}

/// What stands there, on one line.
fn what_is(path: &Path) -> String {
    plain_file::what_is(path).map_or_else(|_| "no file".into(), |what| one_line(&what))
}

/// Length and SHA-256 (FIPS 180-4) of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct FileDigest {
    pub(crate) bytes: u64,
    pub(crate) sha256: String,
}

/// A reader that digests what passes through.
pub(crate) struct Digesting<R> {
    inner: R,
    bytes: u64,
    state: Sha256,
}

impl<R: Read> Digesting<R> {
    pub(crate) fn new(inner: R) -> Self {
        Self {
            inner,
            bytes: 0,
            state: Sha256::new(),
        }
    }

    pub(crate) fn digest(self) -> FileDigest {
        FileDigest {
            bytes: self.bytes,
            sha256: hex(&self.state.finalize()),
        }
    }
}

impl<R: Read> Read for Digesting<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(out)?;
        self.state.update(&out[..count]);
        self.bytes += count as u64;
        Ok(count)
    }
}

impl FileDigest {
    /// Of bytes in memory.
    pub(crate) fn of(bytes: &[u8]) -> Self {
        Self {
            bytes: bytes.len() as u64,
            sha256: hex(&Sha256::digest(bytes)),
        }
    }
}

/// Digests a plain file of a run folder.
pub(crate) fn digest_of(path: &Path) -> io::Result<FileDigest> {
    let mut file = Digesting::new(plain_file::open(path, Links::Refuse)?);
    let mut buffer = vec![0; 1 << 16];
    while file.read(&mut buffer)? > 0 {}
    Ok(file.digest())
}

/// The digest of a record as a whole: the SHA-256 of what `sha256sum` prints for
/// its files in the order of their names, one line
/// `<64 hexadecimal characters><blank><blank><name><LF>` each.
pub(crate) fn digest_of_record<'a>(files: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    let mut lines: Vec<(&str, &str)> = files.collect();
    lines.sort_unstable();
    let mut state = Sha256::new();
    for (name, sha256) in lines {
        state.update(format!("{sha256}  {name}\n"));
    }
    hex(&state.finalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_file_is_goes_by_its_name() {
        for name in [
            "job.toml",
            "trace.csv",
            "trace.2.csv",
            "trace.17.csv",
            "beside-pump-side.csv",
            "beside-x.2.csv",
        ] {
            assert_eq!(FileKind::of(name), FileKind::Record, "{name}");
        }
        for name in PRODUCTS {
            assert_eq!(FileKind::of(name), FileKind::Product, "{name}");
        }
        for name in [
            "sheet.PDF",
            "Sheet.pdf",
            "sheet.htm",
            " sheet.pdf ",
            "sheet.pdf.",
            "sheet",
            "findings.JSON",
            "CURVE-SMALL.png",
        ] {
            assert_eq!(FileKind::of(name), FileKind::Product, "{name:?}");
        }
        for name in ["trace.x.csv", "my-trace.csv", "photo.jpg", "Job.toml"] {
            assert_eq!(FileKind::of(name), FileKind::Attached, "{name}");
        }
    }

    #[test]
    fn a_name_never_leads_out_of_the_folder() {
        for name in [
            "", ".", "..", "../x", "a/b", "a\\b", "C:x", "/etc", "a\0", "a\nb",
        ] {
            assert!(!is_plain_name(name), "{name:?}");
        }
        for name in ["job.toml", "Foto 1.jpg", "…", "a..b"] {
            assert!(is_plain_name(name), "{name:?}");
        }
    }
}
