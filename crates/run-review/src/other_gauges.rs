//! Reads back what was recorded beside the judged gauge.

use std::path::Path;

use analyser::{Analyser, Auxiliary};
use report::Trace;
use run_record::{ImportOptions, RecordError, RunHeader, Source, Summary};
use vacuum::{Entry, GaugeIdentity};

/// What a person is told of how a record is read. Whoever asks a person for what a record
/// does not say knows how it is given, and adds that.
#[derive(Debug, Clone, Copy)]
pub struct Advice {
    /// An error, in one line.
    pub error: fn(&RecordError) -> String,
    /// How it was read, for a person to confirm.
    pub notes: fn(&Summary) -> Vec<String>,
}

impl Default for Advice {
    fn default() -> Self {
        Self {
            error: RecordError::to_string,
            notes: |summary| summary.notes.clone(),
        }
    }
}

/// Whether the points for drawing are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Draw {
    /// They are.
    Yes,
    /// They are not.
    No,
}

/// One of them, as far as it could be read.
pub struct OtherGauge {
    place: String,
    gauge: GaugeIdentity,
    trace: Trace,
    /// To be compared with the judged gauge; taken once that is done.
    pub(crate) compared: Option<Auxiliary>,
}

impl OtherGauge {
    /// For curve and sheet.
    pub fn drawn(&self) -> report::Companion<'_> {
        report::Companion {
            place: &self.place,
            gauge: &self.gauge,
            trace: &self.trace,
        }
    }
}

/// Reads every companion of the run whose rows are in `judged`, and notes for a
/// person. One that cannot be read costs itself only: the judged record does not
/// need it. A companion reviewed by itself has none.
pub(crate) fn read(
    judged: &Path,
    header: &RunHeader,
    analyser: &Analyser,
    draw: Draw,
    advice: &Advice,
) -> (Vec<OtherGauge>, Vec<String>) {
    let folder = judged.parent().unwrap_or(Path::new("."));
    let mut all = Vec::new();
    let mut notes = Vec::new();
    let is_judged = |file: String| judged.ends_with(file);
    if header
        .beside
        .iter()
        .any(|named| is_judged(named.file_name()))
    {
        return (all, notes);
    }
    for named in &header.beside {
        let mut companion = OtherGauge {
            place: named.place.clone(),
            gauge: named.gauge.clone(),
            trace: Trace::default(),
            compared: None,
        };
        let mut beside = analyser.auxiliary(&named.name, &named.place);
        let path = folder.join(named.file_name());
        let read = rows(&path, |entry| {
            if let Entry::Reading(reading) = entry {
                beside.push(reading);
            }
            if draw == Draw::Yes {
                companion.trace.push(entry);
            }
        });
        match read {
            Ok(note) => notes.extend(note.map(|n| format!("{}: {n}", named.place))),
            Err(e) => notes.push(format!("{}: {}", named.place, (advice.error)(&e))),
        }
        // what could be read is compared, even if the file broke off
        companion.compared = Some(beside);
        all.push(companion);
    }
    (all, notes)
}

/// Hands over every row; gives what there is to say about the end of the file.
fn rows(path: &Path, mut take: impl FnMut(&Entry)) -> Result<Option<String>, RecordError> {
    let mut source = Source::open(path, &ImportOptions::default())?;
    while let Some(entry) = source.next_entry()? {
        take(&entry);
    }
    Ok(source.summary().torn_tail.map(|torn| torn.to_string()))
}
