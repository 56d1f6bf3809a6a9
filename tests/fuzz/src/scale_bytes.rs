//! The decoder of every dialect of a scale that comes with the program.
//!
//! Input: which dialect, how the bytes are cut, then what the scale says.
//!
//! Promises: those of every decoder, and: a sample of a scale is a mass, finite and within
//! what a scale can show; it never has a pressure.

use std::sync::LazyLock;

use scale_reader::{ScaleDialect, weighing};
use sensor_reader::{Decoded, Dialect};

use super::{
    choices::Choices,
    dialects::{chosen, decode_every_way},
};

/// Longest input looked at: several of the longest lines.
const MOST_BYTES: usize = 4096;
/// A scale shows no more, g: as [`vacuum::Mass`].
const MOST_G: f64 = 1e6;

static ALL: LazyLock<Vec<Dialect>> = LazyLock::new(|| {
    let load = |name| ScaleDialect::load(name).unwrap_or_else(|e| panic!("{name}: {e}"));
    let names = ScaleDialect::builtin_names().into_iter();
    names.map(|name| load(name).dialect().clone()).collect()
});

/// Checks one input.
pub fn check(data: &[u8]) {
    let mut choices = Choices::new(data);
    let (which, seed) = (choices.byte(), choices.byte());
    let Some(dialect) = chosen(which, ALL.iter()) else {
        return;
    };
    for decoded in decode_every_way(dialect, choices.take(MOST_BYTES), seed) {
        let Decoded::Sample(sample) = decoded else {
            continue;
        };
        assert_eq!(sample.pressure(), None, "{sample:?}");
        let Some(said) = weighing(&sample, 0.0) else {
            panic!("a scale that does not weigh: {sample:?}");
        };
        let mass_g = said.on_scale_g();
        assert!(mass_g.is_none_or(|g| g.abs() <= MOST_G), "{said:?}");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The oracle is not blind: the captures that come with the program are weighed.
    #[test]
    fn a_line_of_each_shape_is_weighed() {
        for dialect in ALL.iter() {
            let line: &[u8] = match dialect.name() {
                "weight-word-line" => b"#4812.6 g steady\r\n",
                _ => b"<+0028.655;+0000.000;2;S>56\r\n",
            };
            let weighed = decode_every_way(dialect, line, 0)
                .iter()
                .any(|d| matches!(d, Decoded::Sample(s) if weighing(s, 0.0).is_some()));
            assert!(weighed, "{}", dialect.name());
        }
    }
}
