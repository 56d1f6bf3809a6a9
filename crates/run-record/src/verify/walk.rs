//! One file of a trace walked line by line: are its lines those that were
//! sealed, and if not, which is the first that is another? Without a seal: do its
//! rows follow from each other?
//!
//! Byte-exact, unlike the reader: a line end that an editor changed is a change.
//! What the files of a trace make together is the reader's business.

use std::{
    collections::BTreeMap,
    io::{self, BufReader},
    path::Path,
};

use plain_file::Links;

use crate::{
    link::Link,
    parts::{file_name, header_row_of, read_line},
    seal::{Digesting, FileDigest, KEPT, NO_ROW, SealedTrace},
    trace::RowParts,
};

use super::findings::{RowChange, RowChangeKind};

/// Most lines of which a seal keeps a part of the link.
const MOST_KEPT: usize = 1 << 16;

/// What a walk along one file found.
#[derive(Debug)]
pub(crate) struct Walked {
    /// The first change, were the file not as it was sealed.
    pub(crate) change: Option<RowChange>,
    pub(crate) digest: FileDigest,
    /// What a seal keeps of it.
    pub(crate) kept: SealedTrace,
}

/// Walks along one file of a trace.
///
/// `seed` is the link before its first row, where it is known; `sealed` is what a
/// seal keeps of it. The links of rows with the numbers in `wanted` are put there.
pub(crate) fn walk(
    path: &Path,
    seed: Option<Link>,
    sealed: Option<&SealedTrace>,
    wanted: &mut BTreeMap<u64, Option<Link>>,
) -> io::Result<Walked> {
    let file = plain_file::open(path, Links::Refuse)?;
    let mut reader = BufReader::with_capacity(1 << 16, Digesting::new(file));
    let mut line = Vec::new();
    read_line(&mut reader, &mut line)?;
    let mut walk = Walk::new(seed, sealed, wanted);
    walk.header(&line, header_row_of(&file_name(path)));
    loop {
        line.clear();
        read_line(&mut reader, &mut line)?;
        if line.is_empty() {
            break;
        }
        walk.line(&line);
    }
    walk.end();
    Ok(Walked {
        change: walk.change,
        digest: reader.into_inner().digest(),
        kept: walk.kept,
    })
}

struct Walk<'a> {
    sealed: Option<&'a SealedTrace>,
    wanted: &'a mut BTreeMap<u64, Option<Link>>,
    kept: SealedTrace,
    /// Link before the row that comes next; `None` where nobody knows.
    before: Option<Link>,
    /// The same one row earlier, while rows fit.
    before_that: Option<Link>,
    /// Number the next row has to have, where it is known.
    expected: Option<u64>,
    /// Last line whose link is known to be the sealed one.
    known: u64,
    change: Option<RowChange>,
    /// What was kept of the link of the row that should stand at the change.
    should_be: Option<Vec<u8>>,
    /// First of the lines without a row's shape since the last whole row.
    damaged: Option<u64>,
    /// Link in the last whole row.
    last_link: Option<Link>,
}

impl<'a> Walk<'a> {
    fn new(
        seed: Option<Link>,
        sealed: Option<&'a SealedTrace>,
        wanted: &'a mut BTreeMap<u64, Option<Link>>,
    ) -> Self {
        let before = sealed.map(|s| s.seed).or(seed);
        Self {
            sealed,
            wanted,
            kept: SealedTrace::start(before.unwrap_or_else(|| Link::seed(b"", b""))),
            before,
            before_that: None,
            expected: None,
            known: 0,
            change: None,
            should_be: None,
            damaged: None,
            last_link: before,
        }
    }

    fn header(&mut self, line: &[u8], wanted: &[u8]) {
        let text = line.strip_suffix(b"\n").unwrap_or(line);
        if text == wanted && text.len() < line.len() {
            return;
        }
        let plain = text.strip_suffix(b"\r").unwrap_or(text);
        self.found(
            0,
            match plain == wanted {
                true => RowChangeKind::LineEnd,
                false => RowChangeKind::Header,
            },
        );
    }

    fn line(&mut self, line: &[u8]) {
        self.kept.lines += 1;
        let text = line.strip_suffix(b"\n").unwrap_or(line);
        let whole = text.len() < line.len();
        let parts = RowParts::cut(text).filter(|parts| {
            // a last row without its line end is whole only if its link says so
            whole
                || self
                    .last_link
                    .is_some_and(|l| l.next(parts.text).as_bytes() == parts.link)
        });
        let Some(parts) = parts else {
            self.no_row();
            return;
        };
        if let Some(first) = self.damaged.take()
            && self.sealed.is_none()
        {
            // whole rows behind it: no torn end
            self.found(first, RowChangeKind::Damaged);
        }
        if self.change.is_none() {
            self.compare(&parts, whole);
        } else {
            self.look_behind(&parts);
        }
        self.keep(&parts);
    }

    /// Takes a line that is no row.
    fn no_row(&mut self) {
        let line = self.kept.lines;
        self.damaged.get_or_insert(line);
        if let Some(sealed) = self.sealed {
            let was_none = match sealed.kept(line) {
                Some(kept) => kept == NO_ROW.as_bytes(),
                None => sealed.rows < sealed.lines,
            };
            if line > sealed.lines {
                self.found(line, RowChangeKind::Appended);
            } else if !was_none {
                self.found(line, RowChangeKind::Damaged);
            }
        }
        (self.before, self.before_that) = (None, None);
        self.keep_link(NO_ROW);
    }

    /// Is this row the one that should stand here?
    fn compare(&mut self, parts: &RowParts<'_>, whole: bool) {
        let line = self.kept.lines;
        let should_be = self.sealed.and_then(|s| s.kept(line));
        if self.sealed.is_some_and(|s| line > s.lines) {
            self.found(line, RowChangeKind::Appended);
            return;
        }
        if should_be == Some(NO_ROW.as_bytes()) {
            // it was no row and is one now: the digest says whether that is news
            self.before = None;
            return;
        }
        let is_kept = |link: &[u8]| should_be.is_none_or(|kept| link.get(..KEPT) == Some(kept));
        let computed = self.before.map(|before| before.next(parts.text));
        let fits = computed.is_none_or(|link| link.as_bytes() == parts.link);
        if self.before.is_none() && line == 1 {
            self.found(line, RowChangeKind::JobMissing);
            return;
        }
        if fits && is_kept(parts.link) {
            if !whole && self.sealed.is_some() {
                self.found(line, RowChangeKind::LineEnd);
            }
            if should_be.is_some() {
                self.known = line;
            }
            self.before_that = self.before;
            self.before = parts.link();
            self.expected = parts.seq.map(|n| n + 1);
            return;
        }
        self.should_be = should_be.map(<[u8]>::to_vec);
        let kind = self.kind(parts, line, computed, should_be);
        let (from, to) = match kind {
            // the row before was put in, and its link made to fit
            RowChangeKind::Inserted => (line - 1, line - 1),
            // links made anew may reach back to the last row that is known
            _ if self.sealed.is_some() => (self.known + 1, line),
            _ => (line, line),
        };
        self.change = Some(RowChange {
            from: from + 1,
            to: to + 1,
            kind,
        });
    }

    fn kind(
        &self,
        parts: &RowParts<'_>,
        line: u64,
        computed: Option<Link>,
        should_be: Option<&[u8]>,
    ) -> RowChangeKind {
        let Some(computed) = computed else {
            return RowChangeKind::Changed;
        };
        if computed.as_bytes() == parts.link {
            return RowChangeKind::Remade;
        }
        if parts.link.strip_suffix(b"\r") == Some(computed.as_bytes()) {
            return RowChangeKind::LineEnd;
        }
        if should_be == Some(&computed.as_bytes()[..KEPT]) {
            return RowChangeKind::Link;
        }
        let follows_earlier = self
            .before_that
            .is_some_and(|link| link.next(parts.text).as_bytes() == parts.link);
        // the same row once more follows from there as well
        let is_repeated = parts.link() == self.before;
        if follows_earlier && !is_repeated && line > self.known + 1 {
            return RowChangeKind::Inserted;
        }
        match (parts.seq, self.expected) {
            (Some(seq), Some(expected)) if seq > expected => RowChangeKind::Dropped {
                missing: seq - expected,
            },
            (Some(seq), Some(expected)) if seq < expected => RowChangeKind::OutOfPlace,
            (Some(seq), None) if line == 1 && seq > 1 && self.sealed.is_none() => {
                RowChangeKind::Dropped { missing: seq - 1 }
            }
            _ if line == 1 && self.sealed.is_none() => RowChangeKind::FirstRow,
            _ => RowChangeKind::Changed,
        }
    }

    /// Later rows say more about the first change.
    fn look_behind(&mut self, parts: &RowParts<'_>) {
        let Some(change) = &mut self.change else {
            return;
        };
        match change.kind {
            // the row that was missed turns up later
            RowChangeKind::Dropped { .. } if parts.seq.is_some() && parts.seq == self.expected => {
                change.kind = RowChangeKind::Moved;
            }
            // the row that should stand there follows it
            RowChangeKind::Remade | RowChangeKind::Changed | RowChangeKind::OutOfPlace
                if self.kept.lines == change.to
                    && self.should_be.is_some()
                    && self.should_be.as_deref() == parts.link.get(..KEPT) =>
            {
                change.kind = RowChangeKind::Inserted;
            }
            _ => {}
        }
    }

    fn keep(&mut self, parts: &RowParts<'_>) {
        self.kept.rows += 1;
        let link = parts.link();
        self.last_link = link;
        if let Some(link) = link {
            self.kept.last_link = link;
            self.kept.last_line = self.kept.lines;
        }
        self.kept.last_utc = std::str::from_utf8(parts.utc).ok().map(str::to_owned);
        if let Some(wanted) = parts.seq.and_then(|seq| self.wanted.get_mut(&seq)) {
            *wanted = link;
        }
        let text = link.map_or_else(|| NO_ROW.to_owned(), |l| l.to_string());
        self.keep_link(&text);
    }

    fn keep_link(&mut self, text: &str) {
        let kept = &mut self.kept;
        if !kept.lines.is_multiple_of(kept.every) {
            return;
        }
        kept.links.extend(text.chars().take(KEPT));
        if kept.links.len() > MOST_KEPT * KEPT {
            kept.every *= 2;
            let pairs = kept.links.as_bytes().chunks_exact(2 * KEPT);
            let second = pairs.flat_map(|pair| &pair[KEPT..]).map(|b| char::from(*b));
            kept.links = second.collect();
        }
    }

    /// Remembers a change at a line below the header (0 is the header), if it is
    /// the first.
    fn found(&mut self, line: u64, kind: RowChangeKind) {
        let (from, to) = (line + 1, line + 1);
        self.change.get_or_insert(RowChange { from, to, kind });
    }

    fn end(&mut self) {
        let Some(sealed) = self.sealed else {
            return;
        };
        let lines = self.kept.lines;
        if lines < sealed.lines {
            let missing = sealed.lines - lines;
            self.found(lines + 1, RowChangeKind::CutOff { missing });
        }
        // only looked at when the file is not as it was sealed: what is left is
        // a line that was no row
        let line = self.damaged.unwrap_or(sealed.lines + 1);
        self.found(line, RowChangeKind::TornEnd);
    }
}
