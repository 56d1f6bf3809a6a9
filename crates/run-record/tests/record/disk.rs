//! A disk that loses what a real one may lose.

use std::{
    collections::BTreeMap,
    fs, io,
    path::Path,
    sync::{Arc, Mutex, MutexGuard},
};

use run_record::Storage;
use tempfile::TempDir;

/// What happens on a [`SimDisk`], each told to it as it happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    /// A small file, or the first bytes of a file of rows.
    Made,
    Appended,
    Synced,
}

/// How a crash treats the bytes of a file that were appended and not synced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tail {
    /// All of them reached the disk.
    Kept,
    /// None did.
    Lost,
    /// So many per thousand of them did, from the first.
    Torn(u32),
    /// All but some blocks in between, which read as zeros: blocks are written
    /// in any order. The bits say which blocks were written.
    Holes(u64),
    /// The file has its new length, and zeros behind what was synced.
    Zeros,
    /// The file grew, by what never was in it.
    Garbage(u64),
}

/// Bytes of one block. Real ones have 512 or more; small ones make more holes.
const BLOCK: usize = 64;

#[derive(Debug, Default, Clone)]
struct File {
    /// What a program reads.
    live: Vec<u8>,
    /// How much of it is on disk for certain.
    durable: usize,
    failed: bool,
}

#[derive(Debug, Default)]
pub(crate) struct Image {
    files: BTreeMap<String, File>,
    pub(crate) steps: Vec<Step>,
    /// Bytes the disk still takes; `None` for no end.
    pub(crate) room: Option<usize>,
    /// The next write or sync of this kind fails, once.
    pub(crate) fails: Option<Step>,
    /// From so many steps on nothing more reaches the disk: the power is gone.
    pub(crate) power_goes_at: Option<usize>,
    /// A byte was written to a file after it had failed.
    pub(crate) wrote_on_failed: bool,
}

/// A disk in memory; clones share it.
#[derive(Debug, Clone, Default)]
pub(crate) struct SimDisk(Arc<Mutex<Image>>);

impl SimDisk {
    pub(crate) fn image(&self) -> MutexGuard<'_, Image> {
        self.0.lock().unwrap()
    }

    pub(crate) fn live(&self, name: &str) -> Vec<u8> {
        let image = self.image();
        image
            .files
            .get(name)
            .map_or_else(Vec::new, |f| f.live.clone())
    }

    pub(crate) fn names(&self) -> Vec<String> {
        self.image().files.keys().cloned().collect()
    }

    pub(crate) fn syncs(&self) -> usize {
        let image = self.image();
        image.steps.iter().filter(|s| **s == Step::Synced).count()
    }

    /// The folder as it is found after the power was cut now.
    pub(crate) fn after_crash(&self, tail: Tail) -> TempDir {
        let folder = TempDir::new().unwrap();
        for (name, file) in &self.image().files {
            fs::write(folder.path().join(name), found(file, tail)).unwrap();
        }
        folder
    }

    /// A disk with the files of this folder, all of them on it for certain.
    pub(crate) fn of_folder(folder: &Path) -> Self {
        let disk = Self::default();
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let live = fs::read(&path).unwrap();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let file = File {
                durable: live.len(),
                live,
                failed: false,
            };
            disk.image().files.insert(name, file);
        }
        disk
    }
}

fn found(file: &File, tail: Tail) -> Vec<u8> {
    let (safe, loose) = file.live.split_at(file.durable);
    let mut found = safe.to_vec();
    match tail {
        Tail::Kept => found.extend_from_slice(loose),
        Tail::Lost => {}
        Tail::Torn(per_mille) => {
            let kept = loose.len() * per_mille as usize / 1000;
            found.extend_from_slice(&loose[..kept]);
        }
        Tail::Holes(written) => {
            found.extend_from_slice(loose);
            let first = file.durable / BLOCK;
            for (n, block) in (first..=found.len() / BLOCK).enumerate() {
                let from = (block * BLOCK).max(file.durable);
                let to = ((block + 1) * BLOCK).min(found.len());
                if from < to && written >> (n % 64) & 1 == 0 {
                    found[from..to].fill(0);
                }
            }
        }
        Tail::Zeros => found.resize(file.live.len(), 0),
        Tail::Garbage(mut seed) => {
            for _ in loose {
                // xorshift64
                seed ^= seed << 13;
                seed ^= seed >> 7;
                seed ^= seed << 17;
                found.push(seed as u8);
            }
        }
    }
    found
}

impl Image {
    /// True while the power is on; counts the step.
    fn powered(&mut self, step: Step) -> bool {
        self.steps.push(step);
        self.power_goes_at.is_none_or(|at| self.steps.len() <= at)
    }

    fn failure(&mut self, step: Step) -> io::Result<()> {
        if self.fails == Some(step) {
            self.fails = None;
            return Err(io::Error::other("invented failure"));
        }
        Ok(())
    }

    /// Writes as much as there is room for.
    fn write(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let fits = self.room.unwrap_or(usize::MAX).min(bytes.len());
        self.room = self.room.map(|room| room - fits);
        let file = self.files.entry(name.to_owned()).or_default();
        self.wrote_on_failed |= file.failed;
        file.live.extend_from_slice(&bytes[..fits]);
        if fits < bytes.len() {
            file.failed = true;
            return Err(io::ErrorKind::StorageFull.into());
        }
        Ok(())
    }
}

impl Storage for SimDisk {
    fn put(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        self.create(name, bytes)
    }

    fn create(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut image = self.image();
        if image.files.contains_key(name) {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        if !image.powered(Step::Made) {
            return Ok(());
        }
        image.failure(Step::Made)?;
        if image.room.is_some_and(|room| room < bytes.len()) {
            return Err(io::ErrorKind::StorageFull.into());
        }
        image.write(name, bytes)?;
        if let Some(file) = image.files.get_mut(name) {
            file.durable = file.live.len();
        }
        Ok(())
    }

    fn hold(&mut self, name: &str) -> io::Result<()> {
        match self.image().files.contains_key(name) {
            true => Ok(()),
            false => Err(io::ErrorKind::NotFound.into()),
        }
    }

    fn append(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut image = self.image();
        if !image.powered(Step::Appended) {
            return Ok(());
        }
        if let Err(e) = image.failure(Step::Appended) {
            // a part of it may be there
            let _ = image.write(name, &bytes[..bytes.len() / 2]);
            image.files.entry(name.to_owned()).or_default().failed = true;
            return Err(e);
        }
        image.write(name, bytes)
    }

    fn sync(&mut self, name: &str) -> io::Result<()> {
        let mut image = self.image();
        if !image.powered(Step::Synced) {
            return Ok(());
        }
        let failure = image.failure(Step::Synced);
        let file = image.files.entry(name.to_owned()).or_default();
        file.failed |= failure.is_err();
        failure?;
        file.durable = file.live.len();
        Ok(())
    }
}
