//! Tests that cannot run here say so where it is seen.
//!
//! A test that needs a program of the system (`openssl`, a browser, a broker) has nothing to
//! do where there is none. The test runner knows no such end: it would say `ok`, and catch
//! what the test prints. So [`skip`] writes past the runner to standard error, with the name
//! of the test, and into the file that the environment variable `DRYHOLD_SKIPPED` names,
//! from which the checks of a change print a list. Where `DRYHOLD_SKIP_NOTHING` is set, as
//! where everything is installed, such a test fails instead.
//!
//! # What it never does
//! Be part of a program: only ever a development dependency.
//!
//! # Example
//! ```no_run
//! fn reads_back_what_openssl_writes() {
//!     if std::process::Command::new("no-such-program").spawn().is_err() {
//!         return skipped_tests::skip("no-such-program is not installed");
//!     }
//! }
//! reads_back_what_openssl_writes();
//! ```

use std::{
    fmt::Display,
    io::{self, Write},
};

/// Names a file; each skipped test adds a line to it.
pub const SKIPPED: &str = "DRYHOLD_SKIPPED";

/// Where this is set, nothing may be skipped.
pub const SKIP_NOTHING: &str = "DRYHOLD_SKIP_NOTHING";

/// Says that the test that runs on this thread is skipped, as a whole or in part, and why.
///
/// # Panics
/// Where nothing may be skipped.
pub fn skip(why: impl Display) {
    let thread = std::thread::current();
    let line = line(thread.name(), &why.to_string());
    let strict = std::env::var_os(SKIP_NOTHING).is_some_and(|set| !set.is_empty());
    assert!(!strict, "{line}, and {SKIP_NOTHING} is set");
    // not by a macro: the test runner would catch it
    let _ = io::stderr().lock().write_all(line.as_bytes());
    if let Some(path) = std::env::var_os(SKIPPED) {
        let mut options = std::fs::OpenOptions::new();
        let file = options.create(true).append(true).open(path);
        // one write: tests run beside each other
        let written = file.and_then(|mut file| file.write_all(line.as_bytes()));
        assert!(written.is_ok(), "the file of {SKIPPED} cannot be written");
    }
}

fn line(test: Option<&str>, why: &str) -> String {
    format!("SKIPPED {}: {why}\n", test.unwrap_or("a test"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_skipped_test_is_one_line_with_its_name() {
        let thread = std::thread::current();
        assert_eq!(
            line(thread.name(), "no openssl"),
            "SKIPPED tests::a_skipped_test_is_one_line_with_its_name: no openssl\n"
        );
    }
}
