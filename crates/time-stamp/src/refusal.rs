//! Why a time stamp is not believed.

use chrono::{DateTime, Utc};

/// Why an answer of an authority is no time stamp of what it should be.
///
/// Names and texts of an authority come from anybody. Here they are short and without
/// control characters.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
#[allow(missing_docs)]
pub enum Refusal {
    #[error("it has {bytes} bytes, and no time stamp has more than 65,536")]
    TooLong { bytes: usize },
    #[error("it is no time stamp of RFC 3161 ({what} cannot be read)")]
    NotATimeStamp { what: &'static str },
    #[error("the time-stamp authority refused: {why}")]
    NotGranted { why: String },
    #[error("it was made for something else: the digest in it is another")]
    OtherDigest,
    #[error("it was not made for this request: the random number in it is another")]
    OtherNonce,
    #[error("the digest in it is no SHA-256")]
    NotSha256,
    #[error("it uses {what}, which this version does not know")]
    NotKnown { what: String },
    #[error("it is not signed in the way of a time stamp: {what}")]
    NotSigned { what: &'static str },
    #[error("its signature does not fit its text")]
    WrongSignature,
    #[error("the certificate of whoever signed it is not in it")]
    NoCertificate,
    #[error("it was signed for another certificate than the one that is in it")]
    OtherCertificate,
    #[error("the certificate of \"{name}\" is not one for time stamps only")]
    NotForTimeStamps { name: String },
    #[error(
        "the certificate of \"{name}\" was not valid at the time of the stamp ({at}), only from \
         {from} to {to}"
    )]
    NotValidThen {
        name: String,
        at: DateTime<Utc>,
        from: DateTime<Utc>,
        to: DateTime<Utc>,
    },
    #[error("the certificate of \"{name}\" may not vouch for another one")]
    MayNotIssue { name: String },
    #[error(
        "the certificate of \"{name}\" has a rule that must be kept and that this version does \
         not know ({rule})"
    )]
    UnknownRule { name: String, rule: String },
    #[error("no certificate that was given vouches for \"{name}\"")]
    NotTrusted { name: String },
}

/// Why bytes given as certificates are none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "this holds no certificate that can be read: give a file that begins with \
     -----BEGIN CERTIFICATE-----, or its binary form (DER)"
)]
pub struct NotACertificate;

/// Longest name or text of an authority that is passed on, in characters.
const LONGEST_TEXT: usize = 120;

/// A name or text that came from outside, on one line and not too long.
pub(crate) fn shown(text: &[u8]) -> String {
    let text = String::from_utf8_lossy(text);
    let harmless = text.chars().map(|c| if c.is_control() { ' ' } else { c });
    let mut harmless = harmless.take(LONGEST_TEXT + 1).collect::<String>();
    if harmless.chars().count() > LONGEST_TEXT {
        harmless.pop();
        harmless.push('…');
    }
    harmless.trim().to_owned()
}
