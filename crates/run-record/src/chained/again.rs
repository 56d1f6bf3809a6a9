//! Files of rows that somebody else removed are written again.

use std::{io, time::Instant};

use super::{ChainedTrace, MOST_TAKEN};
use crate::{
    backlog::RETRY_AFTER,
    notice::DiskNotice,
    parts::part_name,
    storage::{Disturbance, Disturbed, Storage},
};

impl ChainedTrace {
    /// An earlier part, to which nothing is added any more, is written again.
    pub(super) fn earlier_part_is_gone(
        &mut self,
        storage: &mut dyn Storage,
        found: &Disturbed,
        now: Instant,
    ) {
        let name = &found.name;
        let renewed = storage.renew(name, name, b"");
        let into = renewed.is_ok().then_some(name.as_str());
        self.notices.push(DiskNotice::disturbed(found, into));
        if let Some(retry_at) = retry_of_a_part(&renewed, now) {
            self.owed.push((name.clone(), retry_at));
        }
    }

    /// Writes earlier parts again that are gone, once there is room and their name is free.
    pub(crate) fn write_owed(&mut self, storage: &mut dyn Storage, now: Instant) {
        let (what, mut written) = (Disturbance::Gone, Vec::new());
        self.owed.retain_mut(|(name, retry_at)| {
            if now < *retry_at {
                return true;
            }
            let renewed = storage.renew(name, name, b"");
            if renewed.is_ok() {
                written.push(name.clone());
            }
            let again = retry_of_a_part(&renewed, now);
            again.map(|at| *retry_at = at).is_some()
        });
        for name in written {
            let found = Disturbed { name, what };
            (self.notices).push(DiskNotice::disturbed(&found, Some(&found.name)));
        }
    }

    /// The part that tells all takes the first name, which others had, once it is free:
    /// a record is looked for under that name.
    pub(crate) fn take_first_name(&mut self, storage: &mut dyn Storage) {
        let Some(whole) = &self.whole else {
            return;
        };
        // while others have the name this fails, and is tried again
        if storage.rename(whole, &self.first).is_ok() {
            if self.file.as_ref() == Some(whole) {
                self.file = Some(self.first.clone());
            }
            self.whole = None;
            let (name, what) = (self.first.clone(), Disturbance::Gone);
            let found = Disturbed { name, what };
            (self.notices).push(DiskNotice::disturbed(&found, Some(&found.name)));
        }
    }

    /// Tells all that stood in a file that is gone again, under its name or, where
    /// somebody else took that, in the next part; gives the name.
    pub(super) fn renew(&mut self, storage: &mut dyn Storage, gone: &str) -> io::Result<String> {
        let was_whole = self.whole.as_deref() == Some(gone);
        let first = was_whole.then(|| self.first.clone());
        for name in first.into_iter().chain([gone.to_owned()]) {
            match storage.renew(gone, &name, self.backlog.first()) {
                Ok(()) => {
                    self.whole = self.whole.take().filter(|_| name != self.first);
                    return Ok(name);
                }
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
                Err(e) => return Err(e),
            }
        }
        let from = self.number + 1;
        for number in from..from + MOST_TAKEN {
            let name = part_name(&self.first, number);
            match storage.renew(gone, &name, self.backlog.first()) {
                Ok(()) => {
                    self.number = number;
                    if was_whole || gone == self.first {
                        self.whole = Some(name.clone());
                    }
                    return Ok(name);
                }
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
                Err(e) => return Err(e),
            }
        }
        Err(io::ErrorKind::AlreadyExists.into())
    }
}

/// When to write an earlier part again; `None`: it was, or nothing is left of it.
fn retry_of_a_part(renewed: &io::Result<()>, now: Instant) -> Option<Instant> {
    match renewed.as_ref().map_err(io::Error::kind) {
        Ok(()) | Err(io::ErrorKind::UnexpectedEof) => None,
        Err(io::ErrorKind::AlreadyExists) => Some(now),
        Err(_) => Some(now + RETRY_AFTER),
    }
}
