//! Which column is what in a table that names none, as far as its cells tell it.

use super::{
    cells::{Decimal, parse_number},
    stamp,
};

/// Columns of a table without names, counted from 0.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct ColumnsByContent {
    /// Columns of stamps; where there are none, of numbers that rise from row to row.
    times: Vec<usize>,
    /// Columns of numbers.
    numbers: Vec<usize>,
}

impl ColumnsByContent {
    /// What these rows tell, all cut into the same number of cells.
    pub(crate) fn of(rows: impl Iterator<Item = Vec<Vec<u8>>>) -> Self {
        let rows: Vec<Vec<Vec<u8>>> = rows.collect();
        let Some(width) = rows.first().map(Vec::len).filter(|_| rows.len() > 1) else {
            return Self::default();
        };
        let number = |cell: &[u8]| {
            parse_number(cell, Decimal::Point).or_else(|| parse_number(cell, Decimal::Comma))
        };
        let values = |index: usize| -> Option<Vec<f64>> {
            rows.iter().map(|row| number(row.get(index)?)).collect()
        };
        let is_stamp = |cell: &[u8]| {
            number(cell).is_none() && stamp::parse(cell).is_some_and(|s| s.clock.is_some())
        };
        let stamped = |index: usize| {
            rows.iter()
                .all(|row| row.get(index).is_some_and(|c| is_stamp(c)))
        };
        let rises = |index: usize| {
            values(index).is_some_and(|v| v.windows(2).all(|pair| pair[1] > pair[0]))
        };
        let stamps: Vec<usize> = (0..width).filter(|i| stamped(*i)).collect();
        Self {
            times: match stamps.is_empty() {
                true => (0..width).filter(|i| rises(*i)).collect(),
                false => stamps,
            },
            numbers: (0..width).filter(|i| values(*i).is_some()).collect(),
        }
    }

    /// The time, where one column only can be it.
    pub(crate) fn time(&self) -> Option<usize> {
        match self.times.as_slice() {
            [one] => Some(*one),
            _ => None,
        }
    }

    /// The pressure, where one column only is left for it beside the time, which a person
    /// may have named.
    pub(crate) fn pressure(&self, named_time: Option<usize>) -> Option<usize> {
        let time = named_time.or_else(|| self.time())?;
        let mut left = self.numbers.iter().filter(|index| **index != time);
        match (left.next(), left.next()) {
            (Some(one), None) => Some(*one),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn columns(rows: &[&str]) -> (Option<usize>, Option<usize>) {
        let cut = |row: &&str| row.split(',').map(|c| c.as_bytes().to_vec()).collect();
        let found = ColumnsByContent::of(rows.iter().map(cut));
        (found.time(), found.pressure(None))
    }

    #[test]
    fn one_column_that_can_only_be_it_is_taken() {
        assert_eq!(columns(&["0,900", "1,870", "2,860"]), (Some(0), Some(1)));
        assert_eq!(
            columns(&["900,09:15:00", "901,09:15:01", "902,09:15:02"]),
            (Some(1), Some(0))
        );
        // both rise, as in a hold: a person has to say which is which
        assert_eq!(columns(&["0,900", "1,910", "2,920"]), (None, None));
        // two columns are left
        assert_eq!(columns(&["0,900,21", "1,870,21"]), (Some(0), None));
        assert_eq!(columns(&["0,900"]), (None, None));
    }
}
