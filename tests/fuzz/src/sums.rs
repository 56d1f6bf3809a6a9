//! Check values, bit by bit: nothing is shared with the readers under test.

/// CRC with the high bit first: polynomial and start; CRC-8 is 07 from 00,
/// CRC-16/IBM-3740 is 1021 from FFFF.
pub(crate) fn crc(bytes: &[u8], width: u32, polynomial: u32, start: u32) -> u32 {
    let top = 1 << (width - 1);
    let mask = (top << 1) - 1;
    bytes.iter().fold(start, |crc, byte| {
        let crc = crc ^ (u32::from(*byte) << (width - 8));
        (0..8).fold(crc, |crc, _| {
            let shifted = crc << 1;
            (if crc & top == 0 {
                shifted
            } else {
                shifted ^ polynomial
            }) & mask
        })
    })
}

/// CRC-16/MODBUS: low bit first, polynomial A001, from FFFF.
pub(crate) fn crc_modbus(bytes: &[u8]) -> u16 {
    bytes.iter().fold(0xFFFF, |crc, byte| {
        (0..8).fold(crc ^ u16::from(*byte), |crc, _| {
            if crc & 1 == 0 {
                crc >> 1
            } else {
                (crc >> 1) ^ 0xA001
            }
        })
    })
}

/// The bytes added up, modulo 256.
pub(crate) fn sum(bytes: &[u8]) -> u8 {
    bytes.iter().fold(0, |sum, byte| sum.wrapping_add(*byte))
}
