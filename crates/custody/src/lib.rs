//! Keys that seal, and keys that are trusted: everything about seals that has to do with a
//! person. What a seal is, `run-record` knows.
//!
//! On the side of whoever records: [`KeyChoice`] finds the private key and asks for its
//! passphrase, [`Sealer`] seals when a recording ends, [`Renewal`] when a sheet is drawn anew,
//! [`Stamper`] gets a time stamp. On the side of whoever checks: [`KnownKeys`] reads the public
//! keys that were handed over, [`Registers`] compares the numbers of many seals, [`TimeStamp`]
//! says what a stamp shows.
//!
//! # What it never does
//! Stop a recording because of a key, or let a passphrase or a private key be seen.
//!
//! # Example
//! ```
//! let trusted = custody::KnownKeys::read(&[], &[])?;
//! assert!(trusted.ring().is_empty());
//! # Ok::<(), custody::CustodyError>(())
//! ```

mod advice;
mod ask;
mod dates;
mod error;
mod key_choice;
mod known_keys;
pub mod prompt;
mod registers;
mod sealer;
mod stamper;
mod time_stamps;
mod told;
mod verification_json;
mod verification_words;

pub use dates::stamp;
pub use error::CustodyError;
pub use key_choice::{Asking, KeyChoice, NoKey, Unlocked, own_public_keys};
pub use known_keys::KnownKeys;
pub use registers::Registers;
pub use sealer::{NOTE, Renewal, SEAL, Sealer, tell_place, tell_unsealed, when};
pub use stamper::{StampChoice, Stamper};
pub use time_stamps::{Authorities, TimeStamp};
pub use told::{Checked, cannot_tell_json, cannot_tell_line, told_json, told_lines};
pub use verification_json::{VERIFICATION_SCHEMA, answer_word, verification_json};
pub use verification_words::Counted;
