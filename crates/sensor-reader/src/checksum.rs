//! Checksums that gauges put behind a line.

use crc::{CRC_8_SMBUS, CRC_16_IBM_3740, CRC_16_MODBUS, Crc};

static CRC8: Crc<u8> = Crc::<u8>::new(&CRC_8_SMBUS);
static MODBUS: Crc<u16> = Crc::<u16>::new(&CRC_16_MODBUS);
static CCITT: Crc<u16> = Crc::<u16>::new(&CRC_16_IBM_3740);

/// How the check value of a line is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ChecksumKind {
    /// Sum of all bytes, lowest eight bits.
    Sum8,
    /// Sum of all bytes modulo 64, plus 64: always a printable character.
    SumMod64Plus64,
    /// Exclusive or of all bytes.
    Xor8,
    /// CRC-8, polynomial 0x07, start 0x00 (SMBus packet error code).
    Crc8,
    /// CRC-16 as in the Modbus serial-line specification: polynomial 0x8005
    /// reflected, start 0xFFFF.
    Crc16Modbus,
    /// CRC-16 with the CCITT polynomial 0x1021, start 0xFFFF, not reflected.
    Crc16Ccitt,
}

impl ChecksumKind {
    /// Every kind, in the order they are listed to a person.
    pub const ALL: [Self; 6] = [
        Self::Sum8,
        Self::SumMod64Plus64,
        Self::Xor8,
        Self::Crc8,
        Self::Crc16Modbus,
        Self::Crc16Ccitt,
    ];

    /// The word in a dialect file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sum8 => "sum-8",
            Self::SumMod64Plus64 => "sum-mod-64-plus-64",
            Self::Xor8 => "xor-8",
            Self::Crc8 => "crc-8",
            Self::Crc16Modbus => "crc-16-modbus",
            Self::Crc16Ccitt => "crc-16-ccitt",
        }
    }

    /// Reads the word back.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.word() == word)
    }

    /// The check value over `bytes`; 0 to 255 for the eight-bit kinds.
    #[must_use]
    pub fn compute(self, bytes: &[u8]) -> u16 {
        match self {
            Self::Sum8 => u16::from(sum(bytes)),
            // 64 divides 256, so the sum may wrap first
            Self::SumMod64Plus64 => u16::from(sum(bytes) % 64 + 64),
            Self::Xor8 => u16::from(bytes.iter().fold(0_u8, |x, b| x ^ b)),
            Self::Crc8 => u16::from(CRC8.checksum(bytes)),
            Self::Crc16Modbus => MODBUS.checksum(bytes),
            Self::Crc16Ccitt => CCITT.checksum(bytes),
        }
    }

    /// Bytes of the check value itself.
    #[must_use]
    pub const fn width_bytes(self) -> usize {
        match self {
            Self::Sum8 | Self::SumMod64Plus64 | Self::Xor8 | Self::Crc8 => 1,
            Self::Crc16Modbus | Self::Crc16Ccitt => 2,
        }
    }
}

fn sum(bytes: &[u8]) -> u8 {
    bytes.iter().fold(0, |sum, b| sum.wrapping_add(*b))
}

/// How the check value is written in the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum ChecksumText {
    Hex,
    Decimal,
    /// The bare byte or bytes.
    Binary,
}

/// Which bytes a checksum covers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Cover {
    /// Between marks in the text.
    Marks {
        /// From behind the first occurrence of this (empty: from the line's start).
        after: Vec<u8>,
        /// To before the last occurrence of this in front of the check value
        /// (empty: right up to the check value).
        before: Vec<u8>,
    },
    /// From one byte, counted from 0, to before another.
    Bytes(usize, usize),
}

/// The checksum of a line shape: what is computed, over which bytes, and how it
/// is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ChecksumRule {
    pub(crate) kind: ChecksumKind,
    pub(crate) text: ChecksumText,
    /// A 16-bit value in hex has its low byte first.
    pub(crate) low_byte_first: bool,
    pub(crate) cover: Cover,
}

impl ChecksumRule {
    /// The bytes covered, given the line and where its check value starts.
    fn covered<'l>(&self, line: &'l [u8], check_at: usize) -> Option<&'l [u8]> {
        let head = line.get(..check_at)?;
        let (after, before) = match &self.cover {
            Cover::Marks { after, before } => (after, before),
            Cover::Bytes(from, to) => return line.get(*from..*to),
        };
        let start = match after.as_slice() {
            [] => 0,
            mark => find(head, mark)? + mark.len(),
        };
        let end = match before.as_slice() {
            [] => head.len(),
            mark => rfind(head, mark)?,
        };
        head.get(start..end)
    }

    /// The value as written, as a number.
    fn written(&self, text: &[u8]) -> Option<u16> {
        let in_order = |value: u16| {
            if self.low_byte_first && self.kind.width_bytes() == 2 {
                value.swap_bytes()
            } else {
                value
            }
        };
        if self.text == ChecksumText::Binary {
            return match *text {
                [value] if self.kind.width_bytes() == 1 => Some(value.into()),
                [first, second] if self.kind.width_bytes() == 2 => {
                    Some(in_order(u16::from_be_bytes([first, second])))
                }
                _ => None,
            };
        }
        let text = std::str::from_utf8(text).ok()?.trim();
        let plain = |c: u8| c.is_ascii_hexdigit();
        if text.is_empty() || !text.bytes().all(plain) {
            return None;
        }
        match self.text {
            ChecksumText::Decimal => text.parse().ok(),
            _ => u16::from_str_radix(text, 16).ok().map(in_order),
        }
    }

    /// Checks a line. `Err` carries the value that would have been right, or
    /// `None` when the covered range or the written value cannot be made out.
    pub(crate) fn check(&self, line: &[u8], at: usize, text: &[u8]) -> Result<(), Option<u16>> {
        let wanted = self.kind.compute(self.covered(line, at).ok_or(None)?);
        if self.written(text) == Some(wanted) {
            Ok(())
        } else {
            Err(Some(wanted))
        }
    }
}

fn find(hay: &[u8], needle: &[u8]) -> Option<usize> {
    hay.windows(needle.len()).position(|w| w == needle)
}

fn rfind(hay: &[u8], needle: &[u8]) -> Option<usize> {
    hay.windows(needle.len()).rposition(|w| w == needle)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_check_values_over_123456789() {
        // Check values as published in the CRC parameter catalogue carried by
        // the crate `crc-catalog` (the `check` field of each entry); the literals
        // beside them are the same values from memory.
        let check = b"123456789";
        assert_eq!(ChecksumKind::Crc8.compute(check), 0xF4);
        assert_eq!(CRC_8_SMBUS.check, 0xF4);
        assert_eq!(ChecksumKind::Crc16Modbus.compute(check), 0x4B37);
        assert_eq!(CRC_16_MODBUS.check, 0x4B37);
        assert_eq!(ChecksumKind::Crc16Ccitt.compute(check), 0x29B1);
        assert_eq!(CRC_16_IBM_3740.check, 0x29B1);
    }

    #[test]
    fn modbus_worked_example() {
        // Modbus over Serial Line V1.02, appendix B: frame 02 07, CRC 0x1241,
        // sent 41 12 (from memory).
        assert_eq!(ChecksumKind::Crc16Modbus.compute(&[0x02, 0x07]), 0x1241);
    }

    #[test]
    fn sum_and_xor_by_hand() {
        // 0x31 + 0x32 + 0x33 = 0x96; 0x31 ^ 0x32 ^ 0x33 = 0x30
        assert_eq!(ChecksumKind::Sum8.compute(b"123"), 0x96);
        assert_eq!(ChecksumKind::Xor8.compute(b"123"), 0x30);
        assert_eq!(ChecksumKind::Sum8.compute(&[0xFF, 0x02]), 1);
        // 150 = 2 · 64 + 22, and 22 + 64 = 86, the letter V
        let printable = ChecksumKind::SumMod64Plus64;
        assert_eq!(printable.compute(b"123"), u16::from(b'V'));
        // 257 = 4 · 64 + 1
        assert_eq!(printable.compute(&[0xFF, 0x02]), 65);
    }

    #[test]
    fn range_excludes_marks_and_low_byte_first_swaps() {
        let mut rule = ChecksumRule {
            kind: ChecksumKind::Crc16Modbus,
            text: ChecksumText::Hex,
            low_byte_first: false,
            cover: Cover::Marks {
                after: b"$".to_vec(),
                before: b"*".to_vec(),
            },
        };
        let line = b"$123456789*4B37";
        assert_eq!(rule.check(line, 11, b"4B37"), Ok(()));
        assert_eq!(rule.check(line, 11, b"4b37"), Ok(()));
        assert_eq!(rule.check(line, 11, b"374B"), Err(Some(0x4B37)));
        rule.low_byte_first = true;
        assert_eq!(rule.check(line, 11, b"374B"), Ok(()));
        assert_eq!(rule.check(b"123456789*374B", 10, b"374B"), Err(None));
    }

    #[test]
    fn bare_bytes_and_a_counted_range() {
        let mut rule = ChecksumRule {
            kind: ChecksumKind::Crc16Modbus,
            text: ChecksumText::Binary,
            low_byte_first: true,
            cover: Cover::Bytes(1, 10),
        };
        let frame = b"\xA5123456789\x37\x4B";
        assert_eq!(rule.check(frame, 10, &frame[10..]), Ok(()));
        rule.low_byte_first = false;
        assert_eq!(rule.check(frame, 10, &frame[10..]), Err(Some(0x4B37)));
        assert_eq!(rule.check(frame, 10, &frame[10..11]), Err(Some(0x4B37)));
        rule.cover = Cover::Bytes(1, 99);
        assert_eq!(rule.check(frame, 10, &frame[10..]), Err(None));
    }
}
