//! The key that seals: made once, kept private, shown by its fingerprint.

use std::{
    fmt, fs,
    io::{self, Write},
    path::Path,
};

use ed25519_dalek::{
    Signature, Signer, SigningKey, VerifyingKey,
    pkcs8::{
        DecodePrivateKey, DecodePublicKey, EncodePrivateKey, EncodePublicKey, KeypairBytes,
        spki::der::pem::LineEnding,
    },
};
use plain_file::Links;
use sha2::{Digest, Sha256};

use super::{
    error::{NotAPublicKey, SealError, SealProblem},
    register::{Register, RegisterEntry},
};
use crate::whole_file::sync_folder;

/// A key file is a few hundred bytes.
const LARGEST_KEY_FILE: u64 = 64 * 1024;

/// The private key of a shop: an Ed25519 key (RFC 8032) in a file of its own.
///
/// The file is PKCS #8 in PEM, as `openssl genpkey -algorithm ed25519` makes it.
/// It belongs to its owner alone: one that others may read is refused.
///
/// Beside it lies its register of runs (`register.csv`): every run it seals gets the
/// next number there.
pub struct SealKey {
    key: SigningKey,
    register: Register,
}

impl SealKey {
    /// Reads a key.
    ///
    /// # Errors
    /// When it is not there ([`SealError::is_key_missing`]), is no key, or may
    /// be read by others.
    pub fn load(path: &Path) -> Result<Self, SealError> {
        let unreadable = |e: io::Error| {
            let problem = match e.kind() {
                io::ErrorKind::NotFound => SealProblem::KeyMissing,
                _ => SealProblem::KeyUnreadable(e),
            };
            SealError::new(path, problem)
        };
        let file = plain_file::open(path, Links::Follow).map_err(unreadable)?;
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = file.metadata().map_err(unreadable)?.permissions().mode() & 0o777;
            if mode & 0o077 != 0 {
                return Err(SealError::new(path, SealProblem::KeyOpen { mode }));
            }
        }
        let not_a_key = || SealError::new(path, SealProblem::NotAKey);
        let bytes = plain_file::read_at_most(file, LARGEST_KEY_FILE).map_err(unreadable)?;
        let text = std::str::from_utf8(&bytes).map_err(|_| not_a_key())?;
        let key = SigningKey::from_pkcs8_pem(text).map_err(|_| not_a_key())?;
        Ok(Self::at(path, key))
    }

    fn at(path: &Path, key: SigningKey) -> Self {
        let fingerprint = PublicKey(key.verifying_key()).fingerprint();
        Self {
            key,
            register: Register::beside(path, fingerprint),
        }
    }

    /// Reads the key, or makes one there when there is none; says whether it
    /// was made.
    ///
    /// A new key is on the disk, in a file only its owner may read (mode 0600)
    /// in a folder only its owner may enter (mode 0700), before this returns.
    ///
    /// # Errors
    /// As [`SealKey::load`]; or when it cannot be made.
    pub fn load_or_make(path: &Path) -> Result<(Self, bool), SealError> {
        match Self::load(path) {
            Err(e) if e.is_key_missing() => {}
            found => return found.map(|key| (key, false)),
        }
        let mut seed = [0; 32];
        getrandom::fill(&mut seed).map_err(|e| {
            let cause = e.to_string();
            SealError::new(path, SealProblem::NoRandom { cause })
        })?;
        let key = Self::at(path, SigningKey::from_bytes(&seed));
        match key.keep(path) {
            Ok(()) => Ok((key, true)),
            // another program made it in the same moment: that one counts
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => Ok((Self::load(path)?, false)),
            Err(e) => Err(SealError::new(path, SealProblem::KeyNotKept(e))),
        }
    }

    /// Writes the key whole, never over another.
    fn keep(&self, path: &Path) -> io::Result<()> {
        let folder = path.parent().unwrap_or(Path::new("."));
        make_private_folder(folder)?;
        // the plain form without the public key, which every tool reads
        let bytes = KeypairBytes {
            secret_key: self.key.to_bytes(),
            public_key: None,
        };
        let text = bytes
            .to_pkcs8_pem(LineEnding::LF)
            .map_err(|e| io::Error::other(e.to_string()))?;
        // temporary files are private from the first moment
        let mut file = tempfile::Builder::new()
            .prefix(".writing-")
            .tempfile_in(folder)?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        file.persist_noclobber(path).map_err(|e| e.error)?;
        sync_folder(folder)
    }

    /// The public half, for whoever checks seals.
    #[must_use]
    pub fn public(&self) -> PublicKey {
        PublicKey(self.key.verifying_key())
    }

    pub(super) fn sign(&self, bytes: &[u8]) -> [u8; 64] {
        self.key.sign(bytes).to_bytes()
    }

    /// Gives a run its place in the register beside this key; `None` where that cannot
    /// be written. A seal without a place says so.
    pub(super) fn enter(&self, run: &str, record_sha256: &str) -> Option<RegisterEntry> {
        self.register.enter(run, record_sha256).ok()
    }
}

impl fmt::Debug for SealKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // never the secret
        write!(f, "SealKey({})", self.public().fingerprint())
    }
}

/// Makes a folder that only its owner may enter; one that exists stays as it is.
fn make_private_folder(folder: &Path) -> io::Result<()> {
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

/// The public half of a key: enough to check a seal, not to make one.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct PublicKey(VerifyingKey);

impl PublicKey {
    /// Takes 64 hexadecimal characters, or the text of a PEM file
    /// (SubjectPublicKeyInfo, RFC 8410); blanks and line ends around it do not
    /// matter.
    ///
    /// # Errors
    /// When it is neither.
    pub fn parse(text: &str) -> Result<Self, NotAPublicKey> {
        let text = text.trim();
        if text.starts_with("-----BEGIN") {
            return VerifyingKey::from_public_key_pem(text)
                .map(Self)
                .map_err(|_| NotAPublicKey);
        }
        Self::from_hex(&text.to_ascii_lowercase()).ok_or(NotAPublicKey)
    }

    /// Reads a file in one of the forms of [`PublicKey::parse`].
    ///
    /// # Errors
    /// [`io::ErrorKind::InvalidData`] when it holds no public key, else whatever
    /// the disk says.
    pub fn read(path: &Path) -> io::Result<Self> {
        let text = plain_file::read_text(path, LARGEST_KEY_FILE, Links::Follow)?;
        Self::parse(&text).map_err(|e| io::Error::new(io::ErrorKind::InvalidData, e))
    }

    /// Exactly 64 lower-case hexadecimal characters.
    pub(super) fn from_hex(text: &str) -> Option<Self> {
        let bytes = hex_bytes::<32>(text.as_bytes())?;
        VerifyingKey::from_bytes(&bytes).ok().map(Self)
    }

    /// 64 lower-case hexadecimal characters.
    #[must_use]
    pub fn to_hex(&self) -> String {
        hex(self.0.as_bytes())
    }

    /// As a PEM file, for other programs; `None` if it cannot be encoded.
    #[must_use]
    pub fn to_pem(&self) -> Option<String> {
        self.0.to_public_key_pem(LineEnding::LF).ok()
    }

    /// Short enough to be read out over the telephone: the first 80 bits of the
    /// SHA-256 of the key's 32 bytes, as five groups of four.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let digest = hex(&Sha256::digest(self.0.as_bytes())[..10]);
        let groups: Vec<&str> = (0..5).map(|i| &digest[4 * i..4 * i + 4]).collect();
        groups.join("-")
    }

    /// True when this key signed these bytes. Strict: of the many readings of
    /// RFC 8032 section 5.1.7 the one that leaves no room (no weak keys, one
    /// form of each signature).
    pub(super) fn has_signed(&self, bytes: &[u8], signature: &[u8; 64]) -> bool {
        self.0
            .verify_strict(bytes, &Signature::from_bytes(signature))
            .is_ok()
    }
}

impl fmt::Debug for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "PublicKey({})", self.to_hex())
    }
}

/// Lower-case hexadecimal characters.
pub(crate) fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write;
    let mut out = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        // writing into a String cannot fail
        let _ = write!(out, "{byte:02x}");
    }
    out
}

/// The bytes of exactly `2 N` lower-case hexadecimal characters.
pub(crate) fn hex_bytes<const N: usize>(text: &[u8]) -> Option<[u8; N]> {
    let digit = |c: u8| match c {
        b'0'..=b'9' => Some(c - b'0'),
        b'a'..=b'f' => Some(c - b'a' + 10),
        _ => None,
    };
    if text.len() != 2 * N {
        return None;
    }
    let mut out = [0; N];
    for (byte, pair) in out.iter_mut().zip(text.chunks_exact(2)) {
        *byte = digit(pair[0])? << 4 | digit(pair[1])?;
    }
    Some(out)
}

#[cfg(test)]
mod tests;
