//! The link of a row: what ties it to the row before it.

use std::fmt;

use sha2::{Digest, Sha256};

/// Length of a link in the file: 16 hexadecimal characters (64 bits).
pub(crate) const LINK_LEN: usize = 16;

/// One link: the first 16 hexadecimal characters of a SHA-256.
///
/// The chain starts from `SHA-256(header row ‖ hex SHA-256 of job.toml)`; each
/// row then carries `SHA-256(previous link ‖ row without its link and the comma
/// before it)`. SHA-256: FIPS 180-4.
///
/// What it shows: any row changed, dropped, inserted or swapped by someone who
/// did not recompute every later link. What it cannot show: rows cut off the
/// very end, or a chain recomputed from scratch. Those need a seal that keeps
/// the last link.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Link([u8; LINK_LEN]);

impl Link {
    /// The link before the first row.
    #[must_use]
    pub fn seed(header_row: &[u8], job_toml: &[u8]) -> Self {
        let mut digest = [0; 64];
        hex(&Sha256::digest(job_toml), &mut digest);
        Self::of(header_row, &digest)
    }

    /// The link before the first row of a gauge recorded beside the judged one:
    /// `SHA-256(header row ‖ "," ‖ file name ‖ hex SHA-256 of job.toml)`. The
    /// file name is in it so that two traces cannot change places.
    #[must_use]
    pub fn seed_beside(file_name: &str, header_row: &[u8], job_toml: &[u8]) -> Self {
        Self::seed(&[header_row, b",", file_name.as_bytes()].concat(), job_toml)
    }

    /// The link of a row, given the link before it and the row's text up to,
    /// but without, the comma before its link.
    #[must_use]
    pub fn next(&self, row: &[u8]) -> Self {
        Self::of(&self.0, row)
    }

    fn of(first: &[u8], second: &[u8]) -> Self {
        let digest = Sha256::new()
            .chain_update(first)
            .chain_update(second)
            .finalize();
        let mut out = [0; LINK_LEN];
        hex(&digest[..LINK_LEN / 2], &mut out);
        Self(out)
    }

    /// Takes the text of a link as it stands in a file; `None` when it has not
    /// the shape of one.
    #[must_use]
    pub fn from_text(text: &[u8]) -> Option<Self> {
        let bytes: [u8; LINK_LEN] = text.try_into().ok()?;
        bytes
            .iter()
            .all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
            .then_some(Self(bytes))
    }

    /// The 16 characters.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; LINK_LEN] {
        &self.0
    }
}

impl fmt::Display for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&String::from_utf8_lossy(&self.0))
    }
}

impl fmt::Debug for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Link({self})")
    }
}

fn hex(bytes: &[u8], out: &mut [u8]) {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    for (b, pair) in bytes.iter().zip(out.chunks_exact_mut(2)) {
        pair[0] = DIGITS[usize::from(b >> 4)];
        pair[1] = DIGITS[usize::from(b & 15)];
    }
}
