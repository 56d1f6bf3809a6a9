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

    #[test]
    fn dressed_lines_are_read_where_all_is_well() {
        // a check that the oracle is not blind: its lines are well-formed
        for dialect in ALL.iter() {
            // 512 or the like as value, then zeros: the first state, which is ok
            let Some(line) = said::line(dialect.name(), &mut Choices::new(b"\x05\x01\x02\x03"))
            else {
                continue;
            };
            let read = decode_every_way(dialect, &line.bytes, 0);
            let name = dialect.name();
            let shown = line.bytes.escape_ascii();
            assert!(line.is_ok, "{name}: {shown}");
            assert!(
                matches!(read.as_slice(), [Decoded::Sample(s)] if s.pressure().is_some()),
                "{name}: {shown}: {read:?}"
            );
        }
    }
}
