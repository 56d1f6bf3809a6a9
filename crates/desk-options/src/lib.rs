//! What is asked of a desk on a command line, and the rows that it makes.
//!
//! ```
//! use clap::Parser;
//! use desk_options::DeskOptions;
//!
//! #[derive(Parser)]
//! struct Arguments {
//!     #[command(flatten)]
//!     desk: DeskOptions,
//! }
//!
//! let given = "- claims --where verdict=fail --sort -lowest --part 2/4";
//! let given = Arguments::try_parse_from(given.split(' '))?;
//! assert!(given.desk.is_part());
//! assert!(Arguments::try_parse_from("- claims --where nothing=1".split(' ')).is_err());
//! # Ok::<(), clap::Error>(())
//! ```
//!
//! # What this crate does not do
//! It prints nothing, judges nothing, and knows no terminal.

mod error;
mod files;
mod list;
mod part;
mod rows;

use std::{
    io::{BufRead, BufReader},
    path::PathBuf,
    sync::atomic::AtomicBool,
};

use clap::Args;
use custody::KnownKeys;
use desk::{
    Cache, Condition, Making, Measure, RepeatDays, Row, SortBy, Thing, flag_across, part_of,
    read_json_lines, rows_of, walk, without_flags_across,
};
use etcetera::BaseStrategy;
use plain_file::io_words;
use run_record::JobFile;
use run_review::{Advice, all_cores};
use vacuum::Criteria;

pub use error::DeskError;
pub use files::Made;
pub use list::ListOptions;
use part::Part;
pub use rows::Rows;

/// Many records as one table; to be flattened into the arguments of a command.
#[derive(Debug, Args)]
pub struct DeskOptions {
    /// Run folders, zip archives of them, CSV files, or folders with these in them; - reads
    /// such paths from standard input, one a line
    #[arg(value_name = "PATH", required_unless_present = "join")]
    paths: Vec<PathBuf>,
    /// Public keys of the shops that are trusted: a file, a folder of such files (SHOP.pem), or
    /// 64 hexadecimal characters; may be given again
    #[arg(long, value_name = "FILE|DIR|HEX")]
    public_key: Vec<String>,
    /// List of keys that are not to be trusted any more
    #[arg(long, value_name = "FILE")]
    revoked: Vec<PathBuf>,
    /// The desk's own criteria, as the [criteria] of a job file: softer ones are flagged
    /// [default: 500 micron, 10 minutes, 500 micron; common practice]
    #[arg(long, value_name = "FILE")]
    rule: Option<PathBuf>,
    /// The same serial number again within so many days is flagged
    #[arg(long, value_name = "DAYS", default_value_t = RepeatDays::default().0)]
    repeat_days: u32,
    /// Records that are judged at once [default: as many as there are cores]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    jobs: Option<u16>,
    /// Writes the table as CSV, in cells that no spreadsheet runs
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Writes the table as one HTML page that any browser opens: to sort, filter and print,
    /// with the curve of each record and a link to its sheet
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Writes the table as Parquet, one row a record; rounds go into FILE-rounds.parquet
    #[cfg(feature = "parquet")]
    #[arg(long, value_name = "FILE")]
    parquet: Option<PathBuf>,
    /// Writes the readings too, one list a record, into FILE-traces.parquet
    #[cfg(feature = "parquet")]
    #[arg(long, requires = "parquet")]
    parquet_traces: bool,
    /// Prints one JSON object a record instead of the table
    #[arg(long)]
    json: bool,
    /// Order of the rows: a column, with - in front downwards, for instance -lowest_micron;
    /// flags puts the gravest first [default: the order of the paths]
    #[arg(long, value_name = "COLUMN", allow_hyphen_values = true)]
    sort: Option<SortBy>,
    /// Only rows of which this holds: a column, one of = != < <= > >= ~ (holds) !~, a value;
    /// for instance verdict=fail, flags~copied, lowest>500; may be given again
    #[arg(long = "where", value_name = "CONDITION")]
    conditions: Vec<Condition>,
    /// Only part I of N of the records, for instance 2/8, without what only all of them
    /// together show: join the parts for that
    #[arg(long, value_name = "I/N")]
    part: Option<Part>,
    /// Joins what --json printed, of all parts in their order, instead of reading records
    #[arg(long, value_name = "FILE", num_args = 1.., conflicts_with_all = ["paths", "part"])]
    join: Vec<PathBuf>,
    /// Leaves technician and customer out, everywhere
    #[arg(long)]
    no_personal_data: bool,
    /// Folder in which rows of unchanged records are kept; may be deleted at any time
    /// [default: in the user's cache folder]
    #[arg(long, value_name = "DIR", conflicts_with = "no_cache")]
    cache: Option<PathBuf>,
    /// Judges every record anew, and keeps no rows
    #[arg(long)]
    no_cache: bool,
}

impl DeskOptions {
    /// True for one part of several.
    #[must_use]
    pub fn is_part(&self) -> bool {
        self.part.is_some()
    }

    /// True where JSON is to be printed instead of the table.
    #[must_use]
    pub fn json(&self) -> bool {
        self.json
    }

    /// True where technician and customer are left out.
    #[must_use]
    pub fn no_personal_data(&self) -> bool {
        self.no_personal_data
    }

    /// Makes the rows. `begin` is told how many records there are, `seen` every one that is
    /// done; `stop` ends it with those that are.
    ///
    /// # Errors
    /// When a key, the rule or a file to join cannot be read.
    pub fn rows(
        &self,
        advice: Advice,
        stop: &AtomicBool,
        begin: impl FnOnce(usize),
        mut seen: impl FnMut(),
    ) -> Result<Rows, DeskError> {
        let mut made = match self.join.is_empty() {
            true => self.read(advice, stop, begin, &mut seen)?,
            false => self.joined()?,
        };
        match self.part {
            Some(_) => made.shown.iter_mut().for_each(without_flags_across),
            None => flag_across(&mut made.shown, RepeatDays(self.repeat_days)),
        }
        let holds = |row: &Row| self.conditions.iter().all(|condition| condition.holds(row));
        let wanted = made.shown.iter().filter(|row| holds(row)).count();
        made.closing = desk::closing_line(&made.shown, wanted);
        made.shown.retain(holds);
        if let Some(sort) = self.sort {
            sort.sort(&mut made.shown);
        }
        Ok(made)
    }

    /// Writes the files that were asked for.
    ///
    /// # Errors
    /// When one cannot be written.
    pub fn write_files(&self, rows: &Rows, made: Made<'_>) -> Result<(), DeskError> {
        if let Some(path) = &self.csv {
            files::csv(path, rows)?;
        }
        if let Some(path) = &self.html {
            files::page(path, rows, made, self.no_personal_data)?;
        }
        #[cfg(feature = "parquet")]
        if let Some(path) = &self.parquet {
            files::parquet(path, rows, made, self.no_personal_data)?;
            if self.parquet_traces {
                files::traces(path, rows, made)?;
            }
        }
        Ok(())
    }

    fn read(
        &self,
        advice: Advice,
        stop: &AtomicBool,
        begin: impl FnOnce(usize),
        seen: &mut impl FnMut(),
    ) -> Result<Rows, DeskError> {
        let measure = Measure {
            keys: KnownKeys::read(&self.public_key, &self.revoked)
                .map_err(|e| DeskError::Usage(e.to_string()))?,
            rule: self.rule()?,
            no_personal_data: self.no_personal_data,
            advice,
        };
        let mut complaints: Vec<String> = measure
            .keys
            .ring()
            .doubtful()
            .iter()
            .map(|statement| format!("a statement is not believed: {statement}"))
            .collect();
        let cache = self.open_cache(&measure, &mut complaints);
        let things = self.things()?;
        begin(things.len());
        let making = Making {
            measure: &measure,
            cache: cache.as_ref(),
            threads: self.jobs.map_or_else(all_cores, usize::from),
            stop,
        };
        let rows = rows_of(&things, &making, |_| seen());
        Ok(Rows {
            partial: (rows.len() < things.len()).then(|| {
                let (done, all) = (rows.len(), things.len());
                format!("stopped: {done} of {all} records were read.")
            }),
            shown: rows,
            closing: String::new(),
            complaints,
        })
    }

    fn rule(&self) -> Result<Criteria, DeskError> {
        let Some(path) = &self.rule else {
            return Ok(Criteria::common_practice());
        };
        let file = JobFile::read(path).map_err(|e| DeskError::Usage(format!("--rule {e}")))?;
        file.criteria.ok_or_else(|| {
            let path = path.display();
            DeskError::Usage(format!("--rule {path}: there is no [criteria] table in it"))
        })
    }

    /// A cache that cannot be had costs time only.
    fn open_cache(&self, measure: &Measure, complaints: &mut Vec<String>) -> Option<Cache> {
        if self.no_cache {
            return None;
        }
        let usual = || {
            let strategy = etcetera::choose_base_strategy().ok()?;
            Some(strategy.cache_dir().join("dryhold").join("desk"))
        };
        let folder = self.cache.clone().or_else(usual)?;
        // revoked keys and statements are part of the ring, and so of the key of a row
        match Cache::open(&folder, measure, b"") {
            Ok(cache) => Some(cache),
            Err(e) => {
                let (folder, why) = (folder.display(), io_words(&e));
                complaints.push(format!("rows are not kept: {folder}: {why}"));
                None
            }
        }
    }

    fn things(&self) -> Result<Vec<Thing>, DeskError> {
        let mut paths = Vec::new();
        for path in &self.paths {
            if path.as_os_str() == "-" {
                for line in std::io::stdin().lock().lines() {
                    let line = line.map_err(|e| {
                        DeskError::Other(format!("standard input: {}", io_words(&e)))
                    })?;
                    paths.extend(Some(line).filter(|l| !l.is_empty()).map(PathBuf::from));
                }
            } else {
                paths.push(path.clone());
            }
        }
        let things = walk(&paths);
        Ok(match self.part {
            Some(part) => part_of(things, part.number, part.of),
            None => things,
        })
    }

    fn joined(&self) -> Result<Rows, DeskError> {
        let mut all = Rows {
            shown: Vec::new(),
            closing: String::new(),
            partial: None,
            complaints: Vec::new(),
        };
        let mut partial = Vec::new();
        for path in &self.join {
            let wrong = |why: String| DeskError::Usage(format!("--join {}: {why}", path.display()));
            let file = plain_file::open(path, plain_file::Links::Follow);
            let file = file.map_err(|e| wrong(io_words(&e)))?;
            let (rows, missing) = read_json_lines(BufReader::new(file)).map_err(wrong)?;
            all.shown.extend(rows);
            partial.extend(missing);
        }
        if self.no_personal_data {
            all.shown.iter_mut().for_each(Row::drop_personal_data);
        }
        all.partial = (!partial.is_empty()).then(|| partial.join(" "));
        Ok(all)
    }
}
