//! The time stamp of a seal: asked for after sealing.

use std::path::{Path, PathBuf};

use console::say;
use run_record::{SealStamp, SealToStamp, StampError, Stamping, put_file};
use time_stamp::Request;

use crate::{
    ask::{Address, PATIENCE, ask},
    dates::stamp as date,
    error::CustodyError,
    sealer::clock_words,
};

/// Whether and how a seal gets a time stamp; at most one of them.
#[derive(Debug, Clone, Default)]
pub struct StampChoice {
    /// Ask this authority (`http://…`).
    pub ask: Option<String>,
    /// Write the request into this file.
    pub write_request: Option<PathBuf>,
    /// Take the answer from this file.
    pub take_answer: Option<PathBuf>,
}

/// What is to be done for the time stamp of each run.
enum Way {
    Ask(Address, String),
    Write(PathBuf),
    Take(PathBuf),
}

/// Stamps seals in the way that was asked for.
pub struct Stamper(Option<Way>);

impl Stamper {
    /// Reads what was asked for, for so many runs.
    pub fn of(asked: &StampChoice, runs: usize) -> Result<Self, CustodyError> {
        let one = |option: &str, path: &PathBuf| match runs {
            1 => Ok(path.clone()),
            _ => Err(CustodyError::usage(format!(
                "{option} is for one run: name one run folder"
            ))),
        };
        let way = if let Some(url) = &asked.ask {
            let address = Address::parse(url)
                .map_err(|why| CustodyError::usage(format!("--timestamp {url}: {why}")))?;
            Some(Way::Ask(address, url.clone()))
        } else if let Some(path) = &asked.write_request {
            Some(Way::Write(one("--timestamp-request", path)?))
        } else if let Some(path) = &asked.take_answer {
            Some(Way::Take(one("--timestamp-answer", path)?))
        } else {
            None
        };
        Ok(Self(way))
    }

    /// True when this run is sealed and only its time stamp is asked for: that takes no
    /// key.
    pub fn is_all_for(&self, run: &Path) -> bool {
        self.0.is_some() && run_record::is_sealed(run)
    }

    /// Stamps the seal of a run.
    ///
    /// # Errors
    /// Why there is no stamp; the seal is as it was.
    pub fn stamp(&self, run: &Path) -> Result<(), CustodyError> {
        self.0.as_ref().map_or(Ok(()), |way| way.go(run))
    }
}

impl Way {
    fn go(&self, run: &Path) -> Result<(), CustodyError> {
        let failed = |e: StampError| CustodyError::other(e);
        let found = match self {
            Self::Take(_) => SealToStamp::as_asked(run),
            Self::Ask(..) | Self::Write(_) => SealToStamp::of(run),
        };
        let seal = match found.map_err(failed)? {
            Stamping::Needed(seal) => seal,
            Stamping::Done(stamp) => {
                say(format!(
                    "{}: it has a time stamp already, {}; nothing to do.",
                    run.display(),
                    date(stamp.time)
                ));
                return Ok(());
            }
        };
        let stamp = match self {
            Self::Ask(address, url) => {
                let no_stamp = |why: &dyn std::fmt::Display| {
                    CustodyError::other(format!(
                        "{}: it is sealed, but has no time stamp. {url}: {why}. Try again later: \
                         dryhold seal {} --timestamp {url}",
                        run.display(),
                        run.display()
                    ))
                };
                let nonce = getrandom::u64().map_err(|e| no_stamp(&e))?;
                let request = request(&seal, Some(nonce))?;
                say(format!(
                    "Asking {url} for a time stamp, for at most {} s.",
                    PATIENCE.as_secs()
                ));
                let answer = ask(address, request, PATIENCE).map_err(|why| no_stamp(&why))?;
                seal.keep(&answer, Some(nonce)).map_err(|e| no_stamp(&e))?
            }
            Self::Write(path) => return write_request(&seal, run, path),
            Self::Take(path) => {
                let most = time_stamp::LONGEST as u64;
                let answer = plain_file::read(path, most, plain_file::Links::Follow);
                let answer = answer.map_err(|e| {
                    let why = plain_file::io_words(&e);
                    CustodyError::other(format!("{}: {why}", path.display()))
                })?;
                // the request may be long gone, and with it its number
                seal.keep(&answer, None).map_err(failed)?
            }
        };
        tell(run, &stamp);
        Ok(())
    }
}

fn request(seal: &SealToStamp, nonce: Option<u64>) -> Result<Vec<u8>, CustodyError> {
    Request::new(seal.digest(), nonce)
        .to_der()
        .ok_or_else(|| CustodyError::other("the request for a time stamp cannot be put into words"))
}

/// Writes a request to be carried to a computer with a network.
fn write_request(seal: &SealToStamp, run: &Path, path: &Path) -> Result<(), CustodyError> {
    // no number: whoever takes the answer would not know it, and an older stamp of this
    // seal is no worse
    let bytes = request(seal, None)?;
    seal.keep_for_later().map_err(CustodyError::other)?;
    let folder = path.parent().filter(|folder| *folder != Path::new(""));
    let name = path.file_name().ok_or_else(|| {
        CustodyError::usage(format!(
            "--timestamp-request {}: name a file",
            path.display()
        ))
    })?;
    put_file(
        folder.unwrap_or(Path::new(".")),
        &name.to_string_lossy(),
        &bytes,
    )?;
    for line in [
        format!("Request for a time stamp written to {}.", path.display()),
        "On a computer with a network, send it to a time-stamp authority, for instance:".into(),
        format!(
            "  curl -H \"Content-Type: application/timestamp-query\" --data-binary @{} -o \
             answer.tsr URL",
            path.display()
        ),
        "and bring the answer back:".into(),
        format!(
            "  dryhold seal {} --timestamp-answer answer.tsr",
            run.display()
        ),
    ] {
        say(line);
    }
    Ok(())
}

/// Says what a new stamp says.
fn tell(run: &Path, stamp: &SealStamp) {
    say(format!(
        "{}: time stamp of {}, said to be by {}.",
        run.display(),
        date(stamp.time),
        stamp.authority
    ));
    clock_words(stamp)
        .iter()
        .for_each(|line| say(format!("  {line}")));
    say("  It lies in the run folder (seal.tsr, stamped-seal.json): hand both on with the record.");
    say("  Whoever checks it needs the authority's certificate: verify --timestamp-root FILE");
}
