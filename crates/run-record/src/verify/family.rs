//! The files of one trace together: `trace.csv` and the parts that continue it.

use std::{collections::BTreeMap, path::Path};

use super::findings::{RowChange, RowChangeKind};
use crate::{
    chain::{BreakKind, ChainBreak, ChainStatus},
    error::RecordError,
    link::Link,
    parts::{PartRead, TornTail, file_name, first_and_number},
    run::RunReader,
    trace::TRACE_NAME,
};

/// The files of each trace that is there, in order: the judged one first. A part
/// without the file it continues is no trace.
pub(crate) fn families_of(names: &[String]) -> Vec<Vec<&str>> {
    let mut families: BTreeMap<(bool, String), BTreeMap<u32, &str>> = BTreeMap::new();
    for name in names {
        if let Some((first, number)) = first_and_number(name) {
            let family = families.entry((first != TRACE_NAME, first)).or_default();
            family.insert(number, name);
        }
    }
    let whole = families.into_values().filter(|f| f.contains_key(&1));
    whole.map(|family| family.into_values().collect()).collect()
}

/// What the files of one trace make together.
pub(super) struct Family {
    pub(super) first: String,
    pub(super) chain: ChainStatus,
    pub(super) rows: u64,
    pub(super) torn: Option<TornTail>,
    pub(super) last_link: Option<Link>,
    pub(super) parts: Vec<PartRead>,
}

impl Family {
    /// The first change in this file by the links alone. The walk sees one file
    /// and looks closer; the reader knows which rows count.
    pub(super) fn change(&self, name: &str, walked: Option<RowChange>) -> Option<RowChange> {
        match &self.chain {
            ChainStatus::Broken(b) if b.file == name => {
                Some(walked.unwrap_or_else(|| RowChange::of(b)))
            }
            // no link covers the line end of the header
            _ => walked.filter(|w| w.from == 1 && w.kind == RowChangeKind::LineEnd),
        }
    }
}

pub(super) fn broken_header(file: &str) -> ChainStatus {
    ChainStatus::Broken(ChainBreak {
        file: file.to_owned(),
        row: 1,
        kind: BreakKind::Header,
    })
}

/// Reads a trace over these files of a run folder, looking at shapes and links only.
/// A format number that this version does not know is taken for one only where the
/// seal does not show that somebody wrote it afterwards.
pub(super) fn read_family(
    folder: &Path,
    names: &[&str],
    is_sealed: bool,
    job_is_edited: bool,
) -> Result<Family, RecordError> {
    let mut paths = names.iter().map(|name| folder.join(name));
    let first = paths.next().unwrap_or_default();
    let name = file_name(&first);
    let mut family = Family {
        chain: broken_header(&name),
        first: name,
        rows: 0,
        torn: None,
        last_link: None,
        parts: Vec::new(),
    };
    let mut reader = match RunReader::open_parts(&first, paths, true) {
        Ok(reader) => reader,
        Err(e) if e.is_not_a_run() && (is_sealed || has_bytes(&first)) => return Ok(family),
        Err(e) if e.is_newer() && job_is_edited => {
            family.chain = ChainStatus::Broken(ChainBreak {
                file: family.first.clone(),
                row: 2,
                kind: BreakKind::FirstRow,
            });
            return Ok(family);
        }
        Err(e) => return Err(e),
    };
    reader.read_links()?;
    let summary = reader.summary();
    family.chain = summary.chain;
    family.rows = summary.rows;
    family.torn = summary.torn_tail;
    family.last_link = reader.last_link();
    family.parts = reader.parts().to_vec();
    Ok(family)
}

/// An empty file says nothing; one with another header was changed.
fn has_bytes(path: &Path) -> bool {
    std::fs::metadata(path).is_ok_and(|m| m.len() > 0)
}
