//! The parser of dialect files, and whatever shape it lets through.
//!
//! Input: the TOML text; behind a NUL byte, what a gauge says.
//!
//! Promises: a mistake is told in one line, with the number of a line that the
//! file has; a dialect that is taken is taken again from its own source; and it
//! keeps every promise of a decoder (the same however the bytes are cut, bounded
//! memory, physical pressures), whatever its pattern, curve, scale or units.

use sensor_reader::{Dialect, DialectError};

use super::dialects::decode_every_way;

/// Longest dialect file looked at; the samples have up to 1.4 kB.
const MOST_TEXT: usize = 4096;

/// Most bytes decoded.
const MOST_BYTES: usize = 1024;

/// Checks one input.
pub fn check(data: &[u8]) {
    let end = data.iter().position(|b| *b == 0).unwrap_or(data.len());
    let (text, rest) = data.split_at(end.min(MOST_TEXT));
    let Ok(text) = std::str::from_utf8(text) else {
        return;
    };
    let dialect = match Dialect::from_toml(text, "any.toml") {
        Ok(dialect) => dialect,
        Err(error) => return assert_told(&error, text),
    };
    assert_eq!(dialect.source(), text);
    assert!(!dialect.name().is_empty());
    let bounds = [dialect.under_bound(), dialect.over_bound()];
    bounds
        .into_iter()
        .flatten()
        .for_each(super::dialects::assert_physical);
    let again = Dialect::from_toml(dialect.source(), "any.toml");
    assert!(again.is_ok_and(|d| d.name() == dialect.name() && d.port() == dialect.port()));
    let said = rest.get(1..).unwrap_or_default();
    let said = &said[..said.len().min(MOST_BYTES)];
    decode_every_way(&dialect, said, 7);
}

/// One line, which names a line of the file, unless what is wrong is that
/// something is nowhere in it.
fn assert_told(error: &DialectError, text: &str) {
    let told = error.to_string();
    assert!(!told.contains(['\n', '\r']), "{told:?}");
    assert!(told.starts_with("any.toml"), "{told}");
    let DialectError::Invalid { line, problem, .. } = error else {
        panic!("a text cannot fail like this: {told}");
    };
    match line {
        Some(line) => {
            let lines = text.matches('\n').count() + 1;
            assert!((1..=lines).contains(line), "line {line} of {lines}: {told}");
        }
        None => {
            let nowhere = ["missing", "there is no ", "no "]
                .iter()
                .any(|w| problem.starts_with(w));
            assert!(nowhere, "no line in: {told}");
        }
    }
}
