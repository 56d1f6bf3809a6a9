/// The check value of a line: CRC-16, polynomial 1021 hex, start FFFF hex, not
/// reflected, no final inversion.
///
/// The published check value of these parameters, over `123456789`, is 29B1 hex
/// (catalogue entry CRC-16/IBM-3740; compared with the `crc` crate in the tests).
/// Found for certain are any one or two wrong bits of a line, and any burst of up
/// to 16 wrong bits in front of the check value. (Three are certain only there: one
/// wrong bit in a letter of the check value can change several bits of what it means.)
/// Of other damage one in 65536 fits by chance, before the grammar is asked.
///
/// ```
/// assert_eq!(node_line::crc16(b"123456789"), 0x29B1);
/// ```
#[must_use]
pub const fn crc16(bytes: &[u8]) -> u16 {
    let mut crc = 0xFFFF;
    let mut i = 0;
    while i < bytes.len() {
        crc ^= (bytes[i] as u16) << 8;
        let mut bit = 0;
        while bit < 8 {
            let overflows = crc & 0x8000 != 0;
            crc <<= 1;
            if overflows {
                crc ^= 0x1021;
            }
            bit += 1;
        }
        i += 1;
    }
    crc
}
