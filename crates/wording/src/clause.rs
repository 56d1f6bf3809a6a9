//! From a clause to a sentence.

/// Makes a clause a sentence: capital letter, full stop.
#[must_use]
pub fn sentence(clause: &str) -> String {
    let mut chars = clause.chars();
    let first: String = chars
        .next()
        .map(|c| c.to_uppercase().collect())
        .unwrap_or_default();
    let mut out = format!("{first}{}", chars.as_str());
    if !out.ends_with(['.', '!', '?', '…']) {
        out.push('.');
    }
    out
}
