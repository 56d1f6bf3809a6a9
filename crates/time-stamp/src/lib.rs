//! Time stamps of RFC 3161: a statement by an authority that some bytes existed at
//! a time, signed by that authority and not by whoever made the bytes.
//!
//! Bytes in, answer out. Nothing here opens a file or a connection, or asks a clock.
//!
//! ```
//! use time_stamp::{Request, Token, Trusted};
//!
//! // asked: this goes to the authority, "application/timestamp-query"
//! let digest = [7; 32];
//! let request = Request::new(digest, Some(1));
//! assert!(request.to_der().is_some());
//!
//! // checked, with the certificates that the reader trusts
//! fn check(answer: &[u8], digest: &[u8; 32], trusted: &Trusted) -> Result<(), time_stamp::Refusal> {
//!     let signed = Token::read(answer)?.signed_over(digest)?;
//!     let root = signed.vouched_for(trusted)?;
//!     println!("existed at {}, said by {}, {root} vouches for it", signed.time(), signed.authority());
//!     Ok(())
//! }
//! ```
//!
//! # What is checked
//!
//! The authority granted the stamp; it covers the SHA-256 that was asked for; its
//! signature (RFC 5652) covers the time and fits the certificate that it names (RFC
//! 5816); that certificate is for time stamps and for nothing else, and was valid at
//! the time of the stamp; and a chain of certificates, each valid then and allowed to
//! sign the next, leads to one that the reader trusts (RFC 5280).
//!
//! # What this crate never does
//!
//! It opens no file and no connection, asks no clock, and believes no certificate that
//! it was not given.
//!
//! # What is not checked
//!
//! Whether a certificate was revoked: that takes a network. The policy of the
//! authority. Names of issuers are compared byte by byte. A certificate with
//! a critical rule that is not known here is refused, limits on names among them.
//! Signatures are RSA (PKCS #1 v1.5) or ECDSA on P-256 and P-384, each with SHA-256,
//! SHA-384 or SHA-512: others are refused by name.

mod asn1;
mod certificate;
mod chain;
mod moment;
mod refusal;
mod request;
mod signature;
mod token;

pub use chain::Trusted;
pub use refusal::{NotACertificate, Refusal};
pub use request::Request;
pub use token::{Signed, Token};

/// Longest answer of an authority that is read, in bytes. A token with a chain of
/// three certificates has about 6,000.
pub const LONGEST: usize = 64 << 10;
