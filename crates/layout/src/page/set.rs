//! Several tests in one document.

use super::{
    Typeset,
    compose::{compose, number},
};
use crate::{Draft, ReportError};

/// Sets tests one after the other, each from the head of a page, on the paper of the first;
/// pages are numbered where there are several.
///
/// # Errors
/// [`ReportError::Drawing`] when a picture cannot be drawn.
pub fn set(drafts: &[Draft<'_>]) -> Result<Typeset, ReportError> {
    let mut whole: Option<Typeset> = None;
    let mut of_page = Vec::new();
    for draft in drafts {
        let before = of_page.len();
        let mut one = compose(draft, before)?;
        of_page.extend(std::iter::repeat_n(&draft.contents, one.pages));
        match &mut whole {
            None => whole = Some(one),
            Some(whole) => {
                one.parts.iter_mut().for_each(|part| part.turn(before));
                whole.parts.append(&mut one.parts);
                whole.pages += one.pages;
            }
        }
    }
    let mut whole = whole.unwrap_or(Typeset {
        size: super::size(vacuum::Paper::A4),
        pages: 0,
        parts: Vec::new(),
    });
    let pages = whole.pages;
    if pages > 1 {
        let numbered = of_page.into_iter().enumerate();
        let numbers = numbered.map(|(at, contents)| number(contents, at, pages, whole.size));
        whole.parts.extend(numbers);
    }
    Ok(whole)
}
