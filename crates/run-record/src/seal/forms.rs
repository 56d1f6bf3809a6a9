//! The forms of values in the files of this module: bytes as hexadecimal characters,
//! moments.

use chrono::{DateTime, SecondsFormat, Utc};

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

/// A moment in UTC with milliseconds (RFC 3339).
pub(super) fn stamp(at: DateTime<Utc>) -> String {
    at.to_rfc3339_opts(SecondsFormat::Millis, true)
}

/// The moment of such a text, whatever its zone.
pub(super) fn moment(text: &str) -> Option<DateTime<Utc>> {
    let at = DateTime::parse_from_rfc3339(text).ok()?;
    Some(at.with_timezone(&Utc))
}
