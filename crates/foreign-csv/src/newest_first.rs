//! The rows of a table that runs newest first, kept in memory to be given oldest
//! first.

use csv::ByteRecord;

/// Most memory that rows may take, bytes: a day at 10 readings a second takes half of
/// it.
const MOST_BYTES: usize = 64 << 20;

/// Rows in memory, one behind the other: number, count of cells, length of each cell,
/// then the cells.
#[derive(Debug, Default)]
pub(crate) struct KeptRows {
    bytes: Vec<u8>,
    /// Where each row begins.
    starts: Vec<u32>,
}

/// There is no room for another row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Full {
    /// Rows that found room.
    pub(crate) rows: usize,
    pub(crate) most_mb: usize,
}

impl KeptRows {
    /// Keeps a row, the number of which is `row`.
    pub(crate) fn push(&mut self, row: u64, record: &ByteRecord) -> Result<(), Full> {
        let start = self.bytes.len();
        let full = Full {
            rows: self.starts.len(),
            most_mb: MOST_BYTES >> 20,
        };
        self.starts.push(u32::try_from(start).map_err(|_| full)?);
        put_number(row, &mut self.bytes);
        put_number(record.len() as u64, &mut self.bytes);
        for cell in record {
            put_number(cell.len() as u64, &mut self.bytes);
        }
        self.bytes.extend_from_slice(record.as_slice());
        let used = self.bytes.len() + size_of_val(self.starts.as_slice());
        if used > MOST_BYTES { Err(full) } else { Ok(()) }
    }

    /// Takes the row kept last; its number. `None` when there is none left.
    pub(crate) fn pop(&mut self, record: &mut ByteRecord) -> Option<u64> {
        let start = self.starts.pop()? as usize;
        let mut head = &self.bytes[start..];
        let row = take_number(&mut head);
        let cells = take_number(&mut head);
        let mut rest = head;
        for _ in 0..cells {
            take_number(&mut rest);
        }
        record.clear();
        for _ in 0..cells {
            let (cell, behind) = rest.split_at(take_number(&mut head) as usize);
            record.push_field(cell);
            rest = behind;
        }
        self.bytes.truncate(start);
        Some(row)
    }
}

/// Seven bits a byte, the lowest first; the highest bit says that more follow.
fn put_number(mut number: u64, out: &mut Vec<u8>) {
    while number >= 0x80 {
        out.push(number as u8 | 0x80);
        number >>= 7;
    }
    out.push(number as u8);
}

/// The number at the front, which [`put_number`] has written.
fn take_number(bytes: &mut &[u8]) -> u64 {
    let mut number = 0;
    for shift in (0..64).step_by(7) {
        let Some((byte, rest)) = bytes.split_first() else {
            break;
        };
        *bytes = rest;
        number |= u64::from(byte & 0x7f) << shift;
        if byte & 0x80 == 0 {
            break;
        }
    }
    number
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn rows_come_back_from_the_last_to_the_first(
            rows in prop::collection::vec(
                (any::<u64>(), prop::collection::vec(prop::collection::vec(any::<u8>(), 0..300), 0..6)),
                0..20,
            ),
        ) {
            let mut kept = KeptRows::default();
            for (row, cells) in &rows {
                kept.push(*row, &ByteRecord::from(cells.clone())).unwrap();
            }
            let mut record = ByteRecord::new();
            for (row, cells) in rows.iter().rev() {
                prop_assert_eq!(kept.pop(&mut record), Some(*row));
                prop_assert_eq!(&record, &ByteRecord::from(cells.clone()));
            }
            prop_assert_eq!(kept.pop(&mut record), None);
        }
    }

    #[test]
    fn memory_has_an_end() {
        let mut kept = KeptRows::default();
        let record = ByteRecord::from(vec![vec![b'5'; 1 << 20]]);
        let full = (0..).find_map(|row| kept.push(row, &record).err());
        assert_eq!(
            full,
            Some(Full {
                rows: 63,
                most_mb: 64
            })
        );
    }
}
