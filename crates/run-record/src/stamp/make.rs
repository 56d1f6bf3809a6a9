//! Asking for the time stamp of a seal, and keeping it.

use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use time_stamp::{Token, Trusted};

use super::{
    SealStamp, StampCheck, agrees, check_stamp,
    error::{StampError, StampProblem},
    read,
};
use crate::{
    run_folder::put_file,
    seal::{SEAL_NAME, STAMP_NAME, STAMPED_SEAL_NAME, Seal},
    verify::{Answer, LARGEST_SEAL, run_folder, verify},
};

/// The seal of a run that is to be stamped.
#[derive(Debug, Clone)]
pub struct SealToStamp {
    folder: PathBuf,
    seal: Seal,
    bytes: Vec<u8>,
}

/// What there is to do for the time stamp of a run.
#[derive(Debug, Clone)]
pub enum Stamping {
    /// Its seal has none.
    Needed(Box<SealToStamp>),
    /// Its seal has one.
    Done(SealStamp),
}

impl SealToStamp {
    /// What there is to do for a run folder, with its seal as it is now.
    ///
    /// No key is needed: whoever has a sealed record can have its seal stamped.
    ///
    /// # Errors
    /// When there is no seal, the record is not as it was sealed, or there is a stamp
    /// that does not fit.
    pub fn of(path: &Path) -> Result<Stamping, StampError> {
        let problem = |problem| StampError::new(path, problem);
        let folder = run_folder(path).map_err(|e| problem(e.into()))?;
        let found = verify(&folder).map_err(|e| problem(e.into()))?;
        match found.answer(false) {
            Answer::AsSealed | Answer::ProductChanged => {}
            Answer::NotSealed | Answer::SealMissing => {
                return Err(problem(StampProblem::NotSealed));
            }
            _ => {
                let what = found.changes().into_iter().next();
                let what = what.unwrap_or_else(|| found.to_string());
                return Err(problem(StampProblem::NotAsSealed { what }));
            }
        }
        match check_stamp(&folder, &found, &Trusted::none()) {
            StampCheck::Absent | StampCheck::Asked => {}
            StampCheck::NotChecked(stamp) | StampCheck::Checked(stamp) => {
                return Ok(Stamping::Done(stamp));
            }
            StampCheck::DoesNotFit { why } => {
                return Err(problem(StampProblem::OldOneDoesNotFit { why }));
            }
        }
        let bytes = read(&folder, SEAL_NAME, LARGEST_SEAL).ok().flatten();
        let (Some(bytes), Some(seal)) = (bytes, found.seal.seal()) else {
            return Err(problem(StampProblem::NotSealed));
        };
        Ok(Stamping::Needed(Box::new(Self {
            seal: seal.clone(),
            folder,
            bytes,
        })))
    }

    /// As [`of`](Self::of), for a request that was made before: the seal as it was then,
    /// where it was kept.
    ///
    /// # Errors
    /// As [`of`](Self::of).
    pub fn as_asked(path: &Path) -> Result<Stamping, StampError> {
        let mut found = Self::of(path)?;
        if let Stamping::Needed(seal) = &mut found {
            let kept = read(&seal.folder, STAMPED_SEAL_NAME, LARGEST_SEAL);
            let kept = kept.ok().flatten();
            if let Some(kept) = kept.filter(|kept| agrees(kept, &seal.seal).is_ok()) {
                seal.bytes = kept;
            }
        }
        Ok(found)
    }

    /// SHA-256 of the seal (FIPS 180-4), which is all that an authority learns.
    #[must_use]
    pub fn digest(&self) -> [u8; 32] {
        Sha256::digest(&self.bytes).into()
    }

    /// Keeps the seal as it is now beside itself, for a request whose answer comes
    /// later.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn keep_for_later(&self) -> Result<(), StampError> {
        put_file(&self.folder, STAMPED_SEAL_NAME, &self.bytes)
            .map_err(|e| StampError::new(&self.folder, e))
    }

    /// Checks the answer of an authority and keeps it in the run folder, with the seal
    /// that it is over. `nonce` is the random number of the request, where it is known.
    ///
    /// # Errors
    /// When it is no time stamp of this seal, or cannot be written. Then the folder has
    /// none.
    pub fn keep(&self, answer: &[u8], nonce: Option<u64>) -> Result<SealStamp, StampError> {
        let refused = |e| StampError::new(&self.folder, StampProblem::Refused(e));
        let token = Token::read(answer).map_err(refused)?;
        if let Some(nonce) = nonce {
            token.answers(nonce).map_err(refused)?;
        }
        let signed = token.signed_over(&self.digest()).map_err(refused)?;
        // first what the stamp is over: without a stamp it says nothing
        self.keep_for_later()?;
        put_file(&self.folder, STAMP_NAME, answer).map_err(|e| StampError::new(&self.folder, e))?;
        Ok(SealStamp::of(&signed, &self.seal, true))
    }
}
