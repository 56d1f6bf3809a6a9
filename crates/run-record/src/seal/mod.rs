//! The seal of a run: digests of every file, signed.
//!
//! A seal says: these bytes have not changed since whoever holds this key sealed
//! them. It cannot say that the gauge was on the system, that the clock was
//! right, or that this was the appliance. `FORMAT.md` describes `seal.json` to
//! the byte.

mod contents;
mod error;
mod key;
mod make;
mod statement;

pub(crate) use contents::{
    Digesting, FileDigest, SEAL_NAME, contents, digest_of, digest_of_record, is_trace_name,
};
pub(crate) use statement::{KEPT, NO_ROW, Opened, SealedFile, SealedTrace, open};

pub use contents::FileKind;
pub use error::{NotAPublicKey, SealError};
pub use key::{PublicKey, SealKey};
pub use make::{SealMoment, is_sealed, record_digest, renew_products, seal_run};
pub use statement::Seal;
