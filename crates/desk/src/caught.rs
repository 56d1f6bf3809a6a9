//! One record must never end the work on the others, not even by a mistake of this program.

use std::{
    cell::Cell,
    panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook},
    sync::Once,
};

thread_local! {
    /// True while a panic of this thread is handed over as a reason.
    static IS_CAUGHT: Cell<bool> = const { Cell::new(false) };
}

/// What `work` gives; what it panicked with, in words, where it did. Nothing is printed of it.
///
/// # Errors
/// The words of the panic.
pub(crate) fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let usual = take_hook();
        set_hook(Box::new(move |panic| {
            if !IS_CAUGHT.get() {
                usual(panic);
            }
        }));
    });
    let before = IS_CAUGHT.replace(true);
    let result = catch_unwind(AssertUnwindSafe(work));
    IS_CAUGHT.set(before);
    result.map_err(|panic| {
        let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
        text.or_else(|| panic.downcast_ref::<String>().cloned())
            .unwrap_or_else(|| "no reason given".to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::caught;

    #[test]
    fn a_panic_becomes_words() {
        assert_eq!(caught(|| 7), Ok(7));
        let none: Vec<u8> = Vec::new();
        let words = caught(|| none[3]).expect_err("a panic");
        assert!(words.contains("index out of bounds"), "{words}");
    }
}
