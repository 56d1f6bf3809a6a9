//! The decoder of every dialect that comes with the program.
//!
//! Input: which dialect, how the bytes are cut, whether they are dressed, then
//! what the gauge says. Dressed, they become values and states of well-formed
//! lines with a right checksum, which random bytes never have.
//!
//! Promises: the same readings however the bytes are cut; a bounded number of
//! bytes kept inside; every pressure finite and not negative; **a value whose
//! state is not ok never comes out as a measurement**.

use sensor_reader::Decoded;
use vacuum::Sensed;

use super::{
    choices::Choices,
    dialects::{ALL, chosen, decode_every_way},
    said,
};

/// Longest input looked at: several of the longest lines.
const MOST_BYTES: usize = 4096;

/// Checks one input.
pub fn check(data: &[u8]) {
    let mut choices = Choices::new(data);
    let (which, seed, dressed) = (choices.byte(), choices.byte(), choices.byte() & 1 == 1);
    let Some(dialect) = chosen(which, ALL.iter()) else {
        return;
    };
    if !dressed {
        let bytes = choices.take(MOST_BYTES);
        decode_every_way(dialect, bytes, seed);
        return;
    }
    while !choices.is_empty() {
        let Some(line) = said::line(dialect.name(), &mut choices) else {
            return;
        };
        let read = decode_every_way(dialect, &line.bytes, seed);
        if line.is_ok {
            continue;
        }
        let measured = read
            .iter()
            .find(|d| matches!(d, Decoded::Sample(s) if matches!(s.sensed, Sensed::Measured(_))));
        assert!(
            measured.is_none(),
            "{}: \"{}\" does not say that all is well, but gives {measured:?}",
            dialect.name(),
            line.bytes.escape_ascii()
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bytes that differ from seed to seed, small ones often.
    fn some_bytes(seed: u32) -> Vec<u8> {
        let mut state = seed.wrapping_mul(2_654_435_761) | 1;
        let byte = || {
            state ^= state << 13;
            state ^= state >> 17;
            state ^= state << 5;
            let byte = (state >> 8) as u8;
            if state & 3 == 0 { byte } else { byte % 4 }
        };
        std::iter::repeat_with(byte).take(32).collect()
    }

    /// The oracle is not blind: where it says that all is well, lines are read.
    #[test]
    fn dressed_lines_are_read_where_all_is_well() {
        let mut telling = 0;
        for dialect in ALL.iter() {
            let name = dialect.name();
            if said::line(name, &mut Choices::new(b"")).is_none() {
                continue;
            }
            telling += 1;
            let measured = |seed| {
                let bytes = some_bytes(seed);
                let line = said::line(name, &mut Choices::new(&bytes));
                line.is_some_and(|line| {
                    let read = decode_every_way(dialect, &line.bytes, 0);
                    let one =
                        matches!(read.as_slice(), [Decoded::Sample(s)] if s.pressure().is_some());
                    line.is_ok && one
                })
            };
            assert!((1..3000).any(measured), "{name}");
        }
        assert_eq!(telling, 11);
    }
}
