//! What was found, in words.

use std::fmt;

use super::findings::{
    Answer, FileChange, FileChangeKind, RowChange, RowChangeKind, SealCheck, Verification,
};
use crate::seal::FileKind;

impl fmt::Display for RowChange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (row, to) = (self.from, self.to);
        if row < to {
            return write!(
                f,
                "the first change is among rows {row} to {to} (they are not the rows that were sealed)"
            );
        }
        write!(f, "row {row}: ")?;
        let rows = |n: u64| if n == 1 { "row" } else { "rows" };
        match self.kind {
            RowChangeKind::Header => f.write_str("the header row was changed"),
            RowChangeKind::JobMissing => {
                f.write_str("there is no job.toml to read, so the rows cannot be tied to their job")
            }
            RowChangeKind::FirstRow => f.write_str("this first row or job.toml was changed"),
            RowChangeKind::Changed => f.write_str("its text was changed"),
            RowChangeKind::Link => {
                f.write_str("its link was changed; the readings in it are those recorded")
            }
            RowChangeKind::LineEnd => f.write_str(
                "its line end was changed, as happens when an editor or a spreadsheet saves the file",
            ),
            RowChangeKind::Damaged => {
                f.write_str("it is damaged: it has not the nine columns of a row")
            }
            RowChangeKind::Dropped { missing } => {
                let rows = rows(missing);
                write!(f, "{missing} {rows} that stood here {} gone", are(missing))
            }
            RowChangeKind::Moved => f.write_str("rows have changed places from here on"),
            RowChangeKind::Inserted => f.write_str("it was put in"),
            RowChangeKind::OutOfPlace => {
                f.write_str("it stands where another should: put in, repeated or moved")
            }
            RowChangeKind::Remade => f.write_str(
                "it is not the row that was sealed, and its link was made anew to fit",
            ),
            RowChangeKind::CutOff { missing } => {
                let rows = rows(missing);
                write!(
                    f,
                    "the file ends before it; {missing} sealed {rows} {} missing at the end",
                    are(missing)
                )
            }
            RowChangeKind::Appended => {
                f.write_str("it was added behind the last row that was sealed")
            }
            RowChangeKind::Differs => f.write_str(
                "an earlier file says something else under the same number: one of the two was \
                 written afterwards",
            ),
            RowChangeKind::TornEnd => {
                f.write_str("what a power cut left here is not as it was sealed")
            }
        }
    }
}

fn are(count: u64) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

impl fmt::Display for FileChange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = &self.name;
        match (&self.change, self.kind) {
            (FileChangeKind::Changed, FileKind::Product) => {
                write!(f, "{name} is not the one that was sealed")
            }
            (FileChangeKind::Changed, _) => write!(f, "{name} was changed"),
            (FileChangeKind::Missing, FileKind::Product) => {
                write!(f, "{name} was sealed and is not here; it can be made again")
            }
            (FileChangeKind::Missing, _) => write!(f, "{name} is missing"),
            (FileChangeKind::Added, FileKind::Product) => {
                write!(
                    f,
                    "{name} is not covered by the seal: nobody vouches for it"
                )
            }
            (FileChangeKind::Added, _) => write!(f, "{name} was added"),
            (FileChangeKind::NotAFile { what }, _) => {
                write!(f, "{name} is {what}, not a file of this folder")
            }
        }
    }
}

impl Verification {
    /// Everything that is not as it was, most telling first: a sentence each,
    /// naming file and row.
    #[must_use]
    pub fn changes(&self) -> Vec<String> {
        let mut out = Vec::new();
        if let SealCheck::Broken { why } = &self.seal {
            out.push(format!("seal.json was changed: {why}"));
        }
        for trace in &self.traces {
            if let Some(change) = &trace.change {
                out.push(format!("{}, {change}", trace.file));
            }
        }
        for file in &self.files {
            let is_told = self
                .traces
                .iter()
                .any(|t| t.file == file.name && t.change.is_some())
                && file.change == FileChangeKind::Changed;
            let harmless = file.kind == FileKind::Product && file.change == FileChangeKind::Missing;
            if !is_told && !harmless {
                out.push(file.to_string());
            }
        }
        out
    }
}

impl fmt::Display for Verification {
    /// One line: the answer and the first thing that is wrong.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let first = self.changes().into_iter().next().unwrap_or_default();
        let rows = self.rows;
        match self.answer(false) {
            Answer::AsSealed => write!(f, "unchanged since it was sealed, {rows} rows"),
            Answer::ProductChanged => write!(f, "{first}; the record itself is unchanged"),
            Answer::Altered => write!(f, "altered: {first}"),
            Answer::CannotTell => {
                f.write_str("the seal is in a format that this version does not know")
            }
            Answer::KeyRevoked | Answer::KeyReplaced => match &self.key.trouble {
                Some(trouble) => write!(f, "{trouble}"),
                None => Ok(()),
            },
            Answer::NotSealed | Answer::SealMissing | Answer::OtherKey => {
                write!(f, "not sealed; its {rows} rows follow from each other")
            }
        }?;
        match &self.torn_tail {
            Some(torn) => write!(f, "; {torn}"),
            None => Ok(()),
        }
    }
}
