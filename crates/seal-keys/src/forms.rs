//! The forms of values in files of keys and seals: bytes as hexadecimal characters,
//! moments.

use chrono::{DateTime, SecondsFormat, Utc};

/// Bytes as lower-case hexadecimal characters.
///
/// ```
/// use seal_keys::forms::{hex, hex_bytes};
///
/// assert_eq!(hex(&[0x0a, 0xff]), "0aff");
/// assert_eq!(hex_bytes::<2>(b"0aff"), Some([0x0a, 0xff]));
/// assert_eq!(hex_bytes::<2>(b"0AFF"), None);
/// ```
#[must_use]
pub fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write;
    let mut out = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        // writing into a String cannot fail
        let _ = write!(out, "{byte:02x}");
    }
    out
}

/// The bytes of exactly `2 N` lower-case hexadecimal characters.
#[must_use]
pub fn hex_bytes<const N: usize>(text: &[u8]) -> Option<[u8; N]> {
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

/// A moment in UTC with milliseconds (RFC 3339).
#[must_use]
pub fn stamp(at: DateTime<Utc>) -> String {
    at.to_rfc3339_opts(SecondsFormat::Millis, true)
}

/// The moment of such a text, whatever its zone; `None` for any other text.
#[must_use]
pub fn moment(text: &str) -> Option<DateTime<Utc>> {
    let at = DateTime::parse_from_rfc3339(text).ok()?;
    Some(at.with_timezone(&Utc))
}
