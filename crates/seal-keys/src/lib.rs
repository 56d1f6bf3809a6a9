//! The keys that seal records: made once, kept private, locked with a passphrase,
//! replaced, revoked; the register of what each has sealed; and what whoever checks
//! records believes of them.
//!
//! - [`SealKey`] is the private key of a shop, an Ed25519 key (RFC 8032) in a file of its
//!   own; [`PublicKey`] is its other half.
//! - [`RegisterEntry`] is the place of a run in the register beside the key: every run
//!   that a key seals gets the next number.
//! - [`replace_key`] and [`revoke_key`] write a [`KeyStatement`] of what became of a key,
//!   [`read_statements`] reads them.
//! - [`KeyRing`] weighs keys, statements and a list of revoked keys
//!   ([`read_revoked_list`]), and says how a key stands.
//!
//! `FORMAT.md` beside the crate `run-record` describes the files byte for byte.
//!
//! ```
//! use seal_keys::{KeyRing, KeyRingParts, PublicKey, SealKey};
//!
//! # let folder = tempfile::tempdir()?;
//! let (key, made) = SealKey::load_or_make(&folder.path().join("own/key.pem"))?;
//! assert!(made);
//! let signature = key.sign(b"invented 1\ntext");
//! let public = PublicKey::parse(&key.public().to_hex())?;
//! assert!(public.has_signed(b"invented 1\ntext", &signature));
//! assert!(!public.has_signed(b"invented 1\nanother", &signature));
//!
//! let given = KeyRingParts {
//!     given: vec![public],
//!     ..KeyRingParts::default()
//! };
//! let ring = KeyRing::new(given, chrono::Utc::now());
//! assert_eq!(ring.knows(&public), Some(true));
//! assert_eq!(ring.standing(&public, None).trouble, None);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What this crate never does
//! It knows no record and no seal, prints no secret, and names no option of a program:
//! what is missing is data ([`KeyProblem`]).

mod error;
pub mod forms;
mod key;
mod key_ring;
mod key_statement;
mod locked;
mod own_statements;
mod passphrase;
mod private_file;
mod public_key;
mod register;
mod replace;
mod revoked_list;

pub use error::{KeyError, KeyProblem, NotAPublicKey};
pub use key::SealKey;
pub use key_ring::{
    DoubtfulStatement, KeyRing, KeyRingParts, KeyStanding, KeyStep, KeyTrouble, SealFacts,
};
pub use key_statement::{
    BadStatement, KeyReplacement, KeyRevocation, KeyStatement, RegisterEnd, read_statements,
    split_statements,
};
pub use own_statements::statements_to_hand_on;
pub use passphrase::Passphrase;
pub use public_key::PublicKey;
pub use register::RegisterEntry;
pub use replace::{Replaced, replace_key, revoke_key, set_passphrase};
pub use revoked_list::{RevokedKey, RevokedListError, fingerprint, moment, read_revoked_list};
