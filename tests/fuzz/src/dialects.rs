//! Dialects and what any decoder promises.

use std::sync::LazyLock;

use sensor_reader::{Decoded, Decoder, Dialect, Rejected, Sample};
use vacuum::{Pressure, Sensed};

use super::choices::pieces;

/// All dialects that come with the program; every sample is among them.
pub(crate) static ALL: LazyLock<Vec<Dialect>> = LazyLock::new(|| {
    let names = Dialect::builtin_names().into_iter();
    names
        .map(|name| Dialect::builtin(name).unwrap_or_else(|e| panic!("{name}: {e}")))
        .collect()
});

/// The one of `among` that belongs to a byte: the highest hash of name and
/// byte. A new dialect takes a few bytes from each of the others, so that a
/// corpus keeps its meaning.
pub(crate) fn chosen<'a>(
    byte: u8,
    among: impl Iterator<Item = &'a Dialect>,
) -> Option<&'a Dialect> {
    // FNV-1a
    let hash = |name: &str| {
        name.bytes().chain([byte]).fold(0x811C_9DC5_u32, |hash, b| {
            (hash ^ u32::from(b)).wrapping_mul(0x0100_0193)
        })
    };
    among.max_by_key(|dialect| hash(dialect.name()).swap_bytes())
}

/// A finite pressure that is not negative.
pub(crate) fn assert_physical(pressure: Pressure) {
    let pascal = pressure.pa();
    assert!(
        pascal.is_finite() && pascal >= 0.0,
        "a pressure of {pascal} Pa"
    );
}

/// What holds for every sample: physical pressures, and none but of a measurement.
pub(crate) fn assert_sample(sample: &Sample) {
    match sample.sensed {
        Sensed::Measured(pressure) => {
            assert_physical(pressure);
            assert_eq!(sample.pressure(), Some(pressure));
        }
        Sensed::Over(bound) | Sensed::Under(bound) => {
            bound.into_iter().for_each(assert_physical);
            assert_eq!(sample.pressure(), None);
        }
        Sensed::Fault | Sensed::Gap => assert_eq!(sample.pressure(), None),
    }
    for number in [sample.temperature_c, sample.device_s] {
        assert!(number.is_none_or(f64::is_finite), "{sample:?}");
    }
}

/// A rejected line is told in one short line.
pub(crate) fn assert_rejected(rejected: &Rejected) {
    // an escaped character takes at most ten places
    assert!(rejected.line.chars().count() <= 10 * Rejected::MAX_CHARS);
    let text = rejected.to_string();
    assert!(!text.contains(char::is_control), "{text:?}");
    // what the gauge said, why, and a hint
    assert!(text.chars().count() < 3000, "{text}");
}

/// Decodes in one piece, byte by byte and in pieces, from the start of a line
/// and joining in the middle: the same comes out, and holds what is promised.
pub(crate) fn decode_every_way(dialect: &Dialect, bytes: &[u8], seed: u8) -> Vec<Decoded> {
    let decode = |joining: bool, cut: &mut dyn Iterator<Item = &[u8]>| {
        let mut decoder = if joining {
            Decoder::joining(dialect)
        } else {
            Decoder::new(dialect)
        };
        let mut out = Vec::new();
        for piece in cut {
            assert_eq!(decoder.push(piece, &mut out), piece.len());
            let held = decoder.held_bytes();
            let most = Decoder::most_held_bytes(dialect);
            assert!(held <= most, "{held} bytes kept, at most {most} promised");
        }
        decoder.finish(&mut out);
        assert_eq!(
            decoder.held_bytes(),
            0,
            "nothing is kept once it is finished"
        );
        out
    };
    let joined = decode(true, &mut std::iter::once(bytes));
    assert_same(&joined, &decode(true, &mut pieces(bytes, seed)));
    let whole = decode(false, &mut std::iter::once(bytes));
    assert_same(&whole, &decode(false, &mut bytes.chunks(1)));
    assert_same(&whole, &decode(false, &mut pieces(bytes, seed)));
    assert!(whole.len() <= bytes.len() + 2);
    for decoded in whole.iter().chain(&joined) {
        match decoded {
            Decoded::Sample(sample) => assert_sample(sample),
            Decoded::Rejected(rejected) => assert_rejected(rejected),
            Decoded::Busy { .. } | Decoded::Sequence(_) => {}
        }
    }
    whole
}

fn assert_same(one: &[Decoded], other: &[Decoded]) {
    let differ = one.iter().zip(other).find(|(a, b)| a != b);
    assert!(
        differ.is_none(),
        "the chunks change what is read: {differ:?}"
    );
    assert_eq!(one.len(), other.len(), "the chunks change how much is read");
}
