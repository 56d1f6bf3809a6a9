//! Odd rows: where they stand, and what is wrong with them.

use super::TableReader;
use crate::{cut::name_of, row::cell, rows::lines_inside, sample::is_number};

/// Line ends in one row from which on a quotation mark must have been left open.
const MOST_LINES: u64 = 50;

impl TableReader {
    /// Why the row just read cannot be a row of this table, if so.
    pub(super) fn misshapen(&self) -> Option<&'static str> {
        if self.layout.splits_numbers()
            && self.record.len() > self.layout.names.len()
            && self
                .record
                .iter()
                .skip(self.layout.names.len())
                .any(is_number)
        {
            return Some("the row has more numbers than there are columns");
        }
        // a short row has not so many
        let long = self.record.as_slice().len() as u64 > MOST_LINES;
        if long && lines_inside(&self.record) > MOST_LINES {
            return Some("the row has too many lines");
        }
        None
    }

    /// True for a last row without a line end whose last number is shorter than
    /// the one above it.
    pub(super) fn may_be_cut(&self) -> bool {
        if !self.rows.is_cut_off() {
            return false;
        }
        let last = self.record.len().saturating_sub(1);
        if last != self.layout.pressure.index && last != self.layout.time.index {
            return false;
        }
        let decimals = |cell: &[u8]| {
            let mark = cell.iter().rposition(|b| matches!(b, b'.' | b','));
            mark.map_or(0, |at| cell.len() - at)
        };
        let (now, above) = (
            cell(&self.record, Some(last)),
            cell(&self.previous, Some(last)),
        );
        let digits = |cell: &[u8]| cell.first().is_some_and(u8::is_ascii_digit);
        let shorter = if decimals(above) > 0 {
            decimals(now) < decimals(above)
        } else {
            now.len() < above.len()
        };
        digits(now) && digits(above) && shorter
    }

    /// Why a row with text for its time is no mistake in the data.
    pub(super) fn excuse_for_text(&self) -> Option<&'static str> {
        // a row of units was joined to the names
        let is_name = |index: usize| {
            let text = name_of(cell(&self.record, Some(index)));
            let text = text.trim_matches(['\u{feff}', '(', ')', '[', ']']);
            self.layout
                .names
                .get(index)
                .is_some_and(|n| !text.is_empty() && n.contains(text))
        };
        if self.record.as_slice().contains(&0) {
            Some("the row is damaged")
        } else if is_name(self.layout.time.index) && is_name(self.layout.pressure.index) {
            Some("the header row is repeated")
        } else {
            None
        }
    }
}
