//! The seal of a run: digests of every file, signed.
//!
//! A seal says: these bytes have not changed since whoever holds this key sealed
//! them. It cannot say that the gauge was on the system, that the clock was
//! right, or that this was the appliance. `FORMAT.md` describes `seal.json` to
//! the byte.

mod contents;
mod error;
mod forms;
mod key;
mod key_ring;
mod key_statement;
mod locked;
mod make;
mod own_statements;
mod passphrase;
mod private_file;
mod products;
mod public_key;
mod register;
mod replace;
mod revoked_list;
mod statement;

pub(crate) use contents::{
    Contents, Digesting, FileDigest, SEAL_NAME, STAMP_NAME, STAMPED_SEAL_NAME, contents, digest_of,
    digest_of_record,
};
pub(crate) use statement::{KEPT, NO_ROW, Opened, SealedFile, SealedTrace, open};

pub use contents::{FileKind, Uncovered};
pub use error::{NotAPublicKey, SealError};
pub use key::SealKey;
pub use key_ring::{DoubtfulStatement, KeyRing, KeyRingParts, KeyStanding, KeyStep, KeyTrouble};
pub use key_statement::{
    BadStatement, KeyReplacement, KeyRevocation, KeyStatement, RegisterEnd, read_statements,
    split_statements,
};
pub use make::{SealMoment, is_sealed, record_digest, seal_run};
pub use own_statements::statements_to_hand_on;
pub use passphrase::Passphrase;
pub use products::{
    PlacedProducts, Products, WrittenProducts, check_before_products, seal_products, sealed_product,
};
pub use public_key::PublicKey;
pub use register::RegisterEntry;
pub use replace::{Replaced, replace_key, revoke_key, set_passphrase};
pub use revoked_list::{RevokedKey, RevokedListError, fingerprint, moment, read_revoked_list};
pub use statement::Seal;
