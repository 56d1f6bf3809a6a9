//! Text in so much room.

/// The text, or its beginning with "…" where it is longer than `most` characters.
pub(crate) fn cut(text: &str, most: usize) -> String {
    match text.chars().count() <= most {
        true => text.to_owned(),
        false => text
            .chars()
            .take(most.saturating_sub(1))
            .chain(['…'])
            .collect(),
    }
}
