//! What cannot be written or read ends the measurement with words: it ships nothing.

use std::fmt::Debug;

use crate::print::say;

/// The value, or the end of the program.
pub(crate) trait OrEnd<T> {
    /// The value; without one the program says what is missing and ends.
    fn or_end(self, what: &str) -> T;
}

impl<T, E: Debug> OrEnd<T> for Result<T, E> {
    fn or_end(self, what: &str) -> T {
        self.unwrap_or_else(|why| {
            say(&format!("no {what}: {why:?}"));
            std::process::exit(1)
        })
    }
}

impl<T> OrEnd<T> for Option<T> {
    fn or_end(self, what: &str) -> T {
        self.ok_or("nothing").or_end(what)
    }
}
