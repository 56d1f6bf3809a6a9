//! The public half of a key.

use std::{fmt, io, path::Path};

use ed25519_dalek::{
    Signature, VerifyingKey,
    pkcs8::{DecodePublicKey, EncodePublicKey, spki::der::pem::LineEnding},
};
use plain_file::Links;
use sha2::{Digest, Sha256};

use super::{
    error::NotAPublicKey,
    forms::{hex, hex_bytes},
};

/// A key file is a few hundred bytes.
pub(crate) const LARGEST_KEY_FILE: u64 = 64 * 1024;

/// The public half of a key: enough to check a seal, not to make one.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct PublicKey(pub(crate) VerifyingKey);

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

    /// Takes exactly 64 lower-case hexadecimal characters; `None` for any other text.
    #[must_use]
    pub fn from_hex(text: &str) -> Option<Self> {
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
    /// form of each signature). Whatever is signed begins with a line that says what
    /// it is, so that a signature of one thing never passes for one of another.
    #[must_use]
    pub fn has_signed(&self, bytes: &[u8], signature: &[u8; 64]) -> bool {
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
