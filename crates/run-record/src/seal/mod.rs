//! The seal of a run: digests of every file, signed.
//!
//! A seal says: these bytes have not changed since whoever holds this key sealed
//! them. It cannot say that the gauge was on the system, that the clock was
//! right, or that this was the appliance. `FORMAT.md` describes `seal.json` to
//! the byte.

mod contents;
mod error;
mod make;
mod products;
mod statement;

pub(crate) use contents::{
    Contents, Digesting, FileDigest, SEAL_NAME, STAMP_NAME, STAMPED_SEAL_NAME, contents, digest_of,
    digest_of_record,
};
pub(crate) use statement::{KEPT, NO_ROW, Opened, SealedFile, SealedTrace, open};

pub use contents::{FileKind, Uncovered};
pub use error::SealError;
pub use make::{SealMoment, is_sealed, record_digest, seal_run};
pub use products::{
    PlacedProducts, Products, WrittenProducts, check_before_products, seal_products, sealed_product,
};
pub use statement::Seal;
