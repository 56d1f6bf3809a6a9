//! Texts that many rows share, each written once.

use std::collections::HashMap;

/// Texts by number. Number 0 is "absent".
pub(crate) struct Texts<'a> {
    numbers: HashMap<&'a str, usize>,
    in_order: Vec<Option<&'a str>>,
}

impl<'a> Texts<'a> {
    pub(crate) fn new() -> Self {
        Self {
            numbers: HashMap::new(),
            in_order: vec![None],
        }
    }

    /// The number of a text.
    pub(crate) fn number(&mut self, text: &'a str) -> usize {
        let next = self.in_order.len();
        let number = *self.numbers.entry(text).or_insert(next);
        if number == next {
            self.in_order.push(Some(text));
        }
        number
    }

    /// The number of a text that may be absent.
    pub(crate) fn optional(&mut self, text: Option<&'a str>) -> usize {
        text.map_or(0, |text| self.number(text))
    }

    /// All of them, in the order of their numbers.
    pub(crate) fn into_list(self) -> Vec<Option<&'a str>> {
        self.in_order
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_text_has_one_number() {
        let mut texts = Texts::new();
        assert_eq!(texts.optional(None), 0);
        assert_eq!(texts.number("pass"), 1);
        assert_eq!(texts.number(""), 2);
        assert_eq!(texts.optional(Some("pass")), 1);
        assert_eq!(texts.into_list(), [None, Some("pass"), Some("")]);
    }
}
