//! Rows counted while a table is read.

/// Most rejected rows that are listed one by one.
const REJECTED_LISTED: usize = 50;

/// Rows after which the share of those not understood is checked before the end.
const EARLY_CHECK: u64 = 10_000;

/// A row left out, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RejectedRow {
    /// Row, counted from 1 as an editor counts lines.
    pub row: u64,
    /// Why, in words.
    pub reason: String,
}

/// Why a table is refused as a whole, although its rows could be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TallyProblem {
    /// There is no row at all.
    #[error("there is a header but no row below it: nothing was recorded")]
    NoRows,
    /// No row gave a reading or a mark.
    #[error("none of the {rows} rows can be used; row {}: {}", .first.row, .first.reason)]
    NothingUsable {
        /// Rows below the header.
        rows: u64,
        /// The first row left out.
        first: RejectedRow,
    },
    /// More than a fifth of the rows was not understood.
    #[error(
        "{not_understood} of {rows} rows ({:.0} %) were not understood, too many to trust the rest; the first is row {}: {}. Correct or delete such rows",
        100.0 * *.not_understood as f64 / (*.rows).max(1) as f64, .first.row, .first.reason
    )]
    NotUnderstood {
        /// Rows not understood.
        not_understood: u64,
        /// Rows read so far.
        rows: u64,
        /// The first of those not understood.
        first: RejectedRow,
    },
}

/// Counts the rows of a table while it is read. See the example of the
/// [crate](crate).
#[derive(Debug, Clone, Default)]
pub struct Tally {
    rows: u64,
    used: u64,
    rejected: u64,
    /// Of those, rows in which something was not understood.
    not_understood: u64,
    first_not_understood: Option<RejectedRow>,
    rejected_rows: Vec<RejectedRow>,
}

impl Tally {
    /// Counts a row that was read.
    #[inline]
    pub fn row(&mut self) {
        self.rows += 1;
    }

    /// Counts a row that gave a reading or a mark.
    #[inline]
    pub fn used(&mut self) {
        self.used += 1;
    }

    /// Counts a row left out; `reason` is asked for the first 50 of them.
    pub fn reject(&mut self, row: u64, reason: impl FnOnce() -> String) {
        self.rejected += 1;
        if self.rejected_rows.len() < REJECTED_LISTED {
            let reason = reason();
            self.rejected_rows.push(RejectedRow { row, reason });
        }
    }

    /// Leaves out `count` rows from `row` on because something in them was not
    /// understood. The first of them was counted by [`Tally::row`] already.
    pub fn not_understood(&mut self, row: u64, count: u64, reason: String) {
        self.rows += count - 1;
        self.rejected += count - 1;
        self.not_understood += count;
        self.first_not_understood
            .get_or_insert_with(|| RejectedRow {
                row,
                reason: reason.clone(),
            });
        self.reject(row, || reason);
    }

    /// Refuses a long table early where more than half of it is not understood.
    ///
    /// # Errors
    /// [`TallyProblem::NotUnderstood`], from 10,000 rows on.
    pub fn check_so_far(&self) -> Result<(), TallyProblem> {
        if self.rows >= EARLY_CHECK && self.not_understood * 2 > self.rows {
            return self.check_share();
        }
        Ok(())
    }

    /// Where more than a fifth of the rows was not understood, the rest may have
    /// been misread too.
    fn check_share(&self) -> Result<(), TallyProblem> {
        match &self.first_not_understood {
            Some(first) if self.not_understood * 5 > self.rows => {
                Err(TallyProblem::NotUnderstood {
                    not_understood: self.not_understood,
                    rows: self.rows,
                    first: first.clone(),
                })
            }
            _ => Ok(()),
        }
    }

    /// To be asked at the end of the table: one without a usable row, or one that was
    /// mostly not understood, is an error and not a short record.
    ///
    /// # Errors
    /// Any [`TallyProblem`].
    pub fn check_end(&self) -> Result<(), TallyProblem> {
        if self.used > 0 {
            return self.check_share();
        }
        match self.rejected_rows.first() {
            Some(first) => Err(TallyProblem::NothingUsable {
                rows: self.rows,
                first: first.clone(),
            }),
            None => Err(TallyProblem::NoRows),
        }
    }

    /// Rows read, below the header.
    #[must_use]
    pub fn rows(&self) -> u64 {
        self.rows
    }

    /// Rows that gave a reading or a mark.
    #[must_use]
    pub fn used_rows(&self) -> u64 {
        self.used
    }

    /// Rows left out.
    #[must_use]
    pub fn rejected(&self) -> u64 {
        self.rejected
    }

    /// The first 50 rows left out, in the order of the file.
    #[must_use]
    pub fn rejected_rows(&self) -> Vec<RejectedRow> {
        let mut rows = self.rejected_rows.clone();
        // a row that waits for the rows behind it is left out after them
        rows.sort_by_key(|r| r.row);
        rows
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tally(used: u64, not_understood: u64) -> Tally {
        let mut tally = Tally::default();
        for _ in 0..used {
            tally.row();
            tally.used();
        }
        for row in 0..not_understood {
            tally.row();
            tally.not_understood(row, 1, "text".into());
        }
        tally
    }

    #[test]
    fn more_than_a_fifth_not_understood_is_refused() {
        assert_eq!(tally(4, 1).check_end(), Ok(()));
        let problem = tally(7, 2).check_end().unwrap_err();
        assert_eq!(
            problem.to_string(),
            "2 of 9 rows (22 %) were not understood, too many to trust the rest; the first is \
             row 0: text. Correct or delete such rows"
        );
    }

    #[test]
    fn a_long_table_is_refused_before_its_end_only_when_half_is_not_understood() {
        assert_eq!(tally(7_000, 3_000).check_so_far(), Ok(()));
        assert!(tally(4_000, 6_000).check_so_far().is_err());
        assert_eq!(tally(1, 9_000).check_so_far(), Ok(()));
    }

    #[test]
    fn nothing_usable_and_no_rows_are_told_apart() {
        assert_eq!(tally(0, 0).check_end(), Err(TallyProblem::NoRows));
        assert!(matches!(
            tally(0, 2).check_end(),
            Err(TallyProblem::NothingUsable { rows: 2, .. })
        ));
    }

    #[test]
    fn at_most_fifty_rows_are_listed_and_all_are_counted() {
        let mut tally = Tally::default();
        for row in (0..80).rev() {
            tally.reject(row, || "cut".into());
        }
        assert_eq!(tally.rejected(), 80);
        let rows = tally.rejected_rows();
        assert_eq!((rows.len(), rows[0].row, rows[49].row), (50, 30, 79));
    }
}
