//! The command line: pure values, nothing opened.

use std::path::PathBuf;

use analyser::Settings;
use clap::{Args, Parser, Subcommand, ValueEnum};
use foreign_csv::{ImportOptions, TimeUnit};
use vacuum::{AccessSides, Criteria, Job, Refrigerant};

use crate::{
    headless::HeadlessArguments,
    job::JobArguments,
    key::{KeyArguments, KeyChoice},
    list::ListArguments,
    nudge::NudgeArguments,
    outcome::{Failure, Outcome},
    output::{complain_lines, harmless},
    page::PageArguments,
    ranges,
    sheet_options::SheetOptions,
    stamp::StampArguments,
    view::{attach, choice::ViewKind, look_back::ShowArguments},
    voice_options::VoiceArguments,
};

/// Watches the evacuation of a repaired sealed system and judges the hold.
#[derive(Debug, Parser)]
#[command(name = "dryhold", version, about, after_help = CAUTIONS)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

const CAUTIONS: &str = "\
Licensed practice, the maker's instructions and local codes decide. Recover \
refrigerant, keep flames away from flammable ones, nitrogen only through a \
regulator, never energise a compressor under vacuum, protect eyes and hands.

Exit status: 0 done (review: pass), 10 review: fail, 11 review: not proven, \
12 verify: not as it was sealed, 2 usage, 1 any other error.";

/// Prints what the command line was refused for, or the help that was asked for.
pub(crate) fn say_refusal(refused: &clap::Error) -> Outcome {
    let outcome = match refused.use_stderr() {
        true => Outcome::Usage,
        false => Outcome::Done,
    };
    // a file name with a dash in front gets here too, whatever else is in it
    let harmful = |a: std::ffi::OsString| harmless(&a.to_string_lossy()) != a.to_string_lossy();
    match std::env::args_os().any(harmful) {
        true => complain_lines(&refused.render().to_string()),
        // in colours, where there are any
        false => drop(refused.print()),
    }
    outcome
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Plays an invented system and gauge through the whole job, no hardware needed
    Rehearse(RehearseArguments),
    /// Lists serial ports
    Ports,
    /// Tries speeds and dialects on a port and says what speaks there
    Listen(ListenArguments),
    /// Asks for the data of a job, remembers those of the shop
    Job(JobArguments),
    /// Records a gauge until stopped
    Log(Box<LogArguments>),
    /// Judges run folders or any CSV with a time and a pressure column
    Review(ReviewArguments),
    /// Shows a finished run on the whole screen, forwards and backwards
    Show(ShowArguments),
    /// Lists runs by date, job and verdict, the newest first
    List(ListArguments),
    /// Draws the curve and the sheet
    Report(ReportArguments),
    /// Checks that nobody touched a record, with nothing but its folder
    Verify(VerifyArguments),
    /// Seals a run folder that has no seal yet, after a power cut for instance
    Seal(SealArguments),
    /// Shows the public key to hand to whoever checks your records; replaces, revokes or
    /// locks the private one
    Key(Box<KeyArguments>),
    /// Draws the picture on its input; not for people
    #[command(name = crate::picture_process::COMMAND, hide = true)]
    DrawPicture,
}

#[derive(Debug, Args)]
pub(crate) struct RehearseArguments {
    /// Which rehearsal (see --list)
    #[arg(long, value_name = "NAME", default_value = "small-leak")]
    pub(crate) scenario: String,
    /// Simulated seconds per second, or "max" [default: 300, with --watch 20]
    #[arg(long, value_name = "X", value_parser = parse_speed)]
    speed: Option<Speed>,
    /// Shows it on the whole screen as a recording is shown, slowly enough to be watched;
    /// keys stamp marks
    #[arg(long)]
    watch: bool,
    /// Where the run folder goes
    #[arg(long, value_name = "DIR", default_value = "rehearsals")]
    pub(crate) out: PathBuf,
    /// Another throw of the dice
    #[arg(long, value_name = "N")]
    pub(crate) seed: Option<u64>,
    /// Lists the rehearsals
    #[arg(long)]
    pub(crate) list: bool,
    #[command(flatten)]
    pub(crate) page: PageArguments,
    #[command(flatten)]
    pub(crate) sealing: SealingArguments,
}

impl LogArguments {
    /// What shows the recording.
    pub(crate) fn view(&self) -> ViewKind {
        let plain = self.plain.then_some(ViewKind::Line);
        attach::chosen(plain.or(self.view), ViewKind::Full)
    }
}

impl RehearseArguments {
    /// How fast it plays: slowly enough to be watched, if it is.
    pub(crate) fn speed(&self) -> Speed {
        let usual = if self.watch { 20.0 } else { 300.0 };
        self.speed.unwrap_or(Speed::Times(usual))
    }

    /// What shows it.
    pub(crate) fn view(&self) -> ViewKind {
        let watch = self.watch.then_some(ViewKind::Full);
        attach::chosen(watch, ViewKind::Line)
    }
}

/// How fast a rehearsal plays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Speed {
    /// So many simulated seconds per second.
    Times(f64),
    /// As fast as it can be read.
    Max,
}

fn parse_speed(text: &str) -> Result<Speed, String> {
    if text == "max" {
        return Ok(Speed::Max);
    }
    ranges::speed(text)
        .map(Speed::Times)
        .map_err(|why| format!("{why}, or be \"max\""))
}

#[derive(Debug, Args)]
pub(crate) struct ListenArguments {
    /// Serial port, for instance /dev/ttyUSB0
    pub(crate) port: PathBuf,
    /// Writes what was recognised as a dialect file
    #[arg(long, value_name = "FILE")]
    pub(crate) keep: Option<PathBuf>,
    /// Tries only this speed, bit/s
    #[arg(long, value_name = "BITS", value_parser = clap::value_parser!(u32).range(1..=4_000_000))]
    pub(crate) baud: Option<u32>,
    /// If nothing is recognised by listening, sends a few queries that only read;
    /// without this nothing is sent
    #[arg(long)]
    pub(crate) ask: bool,
}

#[derive(Debug, Args)]
pub(crate) struct LogArguments {
    /// Serial port path, tcp://HOST:PORT, or file:CAPTURE
    #[arg(long, value_name = "PATH", required_unless_present = "resume")]
    pub(crate) port: Option<String>,
    /// Dialect file, or the name of a built-in dialect
    #[arg(long, value_name = "FILE|NAME", required_unless_present = "resume")]
    pub(crate) dialect: Option<String>,
    /// Goes on with a run that was cut off, for instance by a flat battery: job,
    /// criteria and dialect are the record's own, and the port unless --port is given
    #[arg(long, value_name = "RUN_FOLDER", conflicts_with_all = ["job", "out"])]
    pub(crate) resume: Option<PathBuf>,
    /// Job file with system and paperwork data (dryhold job new asks for them)
    #[arg(long, value_name = "FILE")]
    pub(crate) job: Option<PathBuf>,
    /// Where the run folder goes
    #[arg(long, value_name = "DIR", default_value = "runs")]
    pub(crate) out: PathBuf,
    /// Speed in bit/s instead of the dialect's
    #[arg(long, value_name = "BITS")]
    pub(crate) baud: Option<u32>,
    /// Port of a second gauge, at the pump; the one at --port sits at the far side
    /// and is judged
    #[arg(long, value_name = "PATH")]
    pub(crate) pump_port: Option<String>,
    /// Dialect of the gauge at the pump [default: that of --dialect]
    #[arg(long, value_name = "FILE|NAME", requires = "pump_port")]
    pub(crate) pump_dialect: Option<String>,
    /// Speed of the gauge at the pump in bit/s instead of its dialect's
    #[arg(long, value_name = "BITS", requires = "pump_port")]
    pub(crate) pump_baud: Option<u32>,
    /// Records every channel that the dialect lists, not only the judged one
    #[arg(long)]
    pub(crate) all_channels: bool,
    /// Waits for the gauge instead of giving up when it is not there yet
    #[arg(long)]
    pub(crate) wait: bool,
    /// What shows the recording [default: full on a terminal of 60 columns and 20 rows
    /// or more, else line]
    #[arg(long, value_name = "VIEW", value_enum)]
    view: Option<ViewKind>,
    /// One line kept up to date: the same as --view line
    #[arg(long, conflicts_with = "view")]
    plain: bool,
    /// Stops by itself after so many minutes
    #[arg(long, value_name = "MIN", value_parser = ranges::minutes)]
    pub(crate) stop_after_min: Option<f64>,
    #[command(flatten)]
    pub(crate) page: PageArguments,
    #[command(flatten)]
    pub(crate) nudge: NudgeArguments,
    #[command(flatten)]
    pub(crate) headless: HeadlessArguments,
    #[command(flatten)]
    pub(crate) sealing: SealingArguments,
    #[command(flatten)]
    pub(crate) judging: JudgingArguments,
}

#[derive(Debug, Args)]
pub(crate) struct ReviewArguments {
    /// Run folders, trace files, CSV files
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    /// Prints one JSON object per PATH
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) voice: VoiceArguments,
    #[command(flatten)]
    pub(crate) import: ImportArguments,
    #[command(flatten)]
    pub(crate) judging: JudgingArguments,
}

#[derive(Debug, Args)]
pub(crate) struct ReportArguments {
    /// Run folder, trace file or CSV file
    pub(crate) path: PathBuf,
    /// Where the pictures go; the run folder itself when not given
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) choice: KeyChoice,
    #[command(flatten)]
    pub(crate) sheet: SheetOptions,
    #[command(flatten)]
    pub(crate) voice: VoiceArguments,
    #[command(flatten)]
    pub(crate) import: ImportArguments,
    #[command(flatten)]
    pub(crate) judging: JudgingArguments,
}

#[derive(Debug, Args)]
pub(crate) struct VerifyArguments {
    /// Run folders, their trace.csv, or folders with runs in them
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    /// Public key the seal has to be by: a file, a folder of such files (NAME.pem) and of
    /// what shops state of their keys (NAME.statement), or its 64 hexadecimal characters;
    /// given several times, the seal has to be by one of them
    #[arg(long, value_name = "FILE|DIR|HEX")]
    pub(crate) public_key: Vec<String>,
    /// Certificate of a time-stamp authority you trust: a file, or a folder of such files
    /// (NAME.pem); the seal then has to have a time stamp that it vouches for
    #[arg(long, value_name = "FILE|DIR")]
    pub(crate) timestamp_root: Vec<PathBuf>,
    /// List of keys that are not to be trusted any more: a line each with the
    /// fingerprint, then from when (if it was good before), then why; # begins a remark
    #[arg(long, value_name = "FILE")]
    pub(crate) revoked: Vec<PathBuf>,
    /// Prints one JSON object per PATH
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct SealArguments {
    /// Run folders
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) choice: KeyChoice,
    #[command(flatten)]
    pub(crate) stamp: StampArguments,
}

/// Whether and by which key a recorded run is sealed.
#[derive(Debug, Args)]
pub(crate) struct SealingArguments {
    #[command(flatten)]
    pub(crate) choice: KeyChoice,
    /// Leaves the record without a seal
    #[arg(long, conflicts_with_all = ["key", "passphrase_file"])]
    pub(crate) no_seal: bool,
}

/// How to read a CSV that does not say it itself.
#[derive(Debug, Args)]
pub(crate) struct ImportArguments {
    /// Name or number (from 1) of the time column
    #[arg(long, value_name = "COLUMN")]
    time_column: Option<String>,
    /// Unit of plain numbers in the time column: s, ms, min, h
    #[arg(long, value_name = "UNIT")]
    time_unit: Option<String>,
    /// Name or number (from 1) of the pressure column
    #[arg(long, value_name = "COLUMN")]
    pressure_column: Option<String>,
    /// Unit of the pressure column: micron, Torr, Pa, kPa, mbar, "bar abs", "inHg abs",
    /// psia; the sheet says that it was given here
    #[arg(long, value_name = "UNIT")]
    pressure_unit: Option<String>,
}

impl ImportArguments {
    pub(crate) fn options(&self) -> Result<ImportOptions, Failure> {
        let time_unit = match self.time_unit.as_deref() {
            None => None,
            Some(name) => Some(TimeUnit::from_name(name).ok_or_else(|| {
                Failure::usage(format!("--time-unit {name}: give s, ms, min, h or d"))
            })?),
        };
        let pressure_unit = self
            .pressure_unit
            .as_deref()
            .map(foreign_csv::parse_pressure_unit)
            .transpose()
            .map_err(|e| Failure::usage(format!("--pressure-unit: {e}")))?;
        Ok(ImportOptions {
            time_column: self.time_column.clone(),
            time_unit,
            pressure_column: self.pressure_column.clone(),
            pressure_unit,
        })
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Sides {
    One,
    Both,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum YesNo {
    Yes,
    No,
}

/// What to judge against, and what is known besides the readings. Options win
/// over the job file.
#[derive(Debug, Default, Args)]
pub(crate) struct JudgingArguments {
    /// Pull-down target, micron [default: 500]
    #[arg(long, value_name = "P", value_parser = ranges::micron)]
    target_micron: Option<f64>,
    /// Shortest hold, minutes [default: 10]
    #[arg(long, value_name = "MIN", value_parser = ranges::minutes)]
    hold_min: Option<f64>,
    /// Pressure the hold must not exceed, micron [default: 500]
    #[arg(long, value_name = "P", value_parser = ranges::micron)]
    ceiling_micron: Option<f64>,
    /// Ambient temperature, °C
    #[arg(long, value_name = "T", allow_negative_numbers = true, value_parser = ranges::ambient_c)]
    ambient_c: Option<f64>,
    /// Temperature of the coldest part of the system, °C: ice stands there below 0
    #[arg(long, value_name = "T", allow_negative_numbers = true, value_parser = ranges::ambient_c)]
    coldest_part_c: Option<f64>,
    /// Volume of the system, L
    #[arg(long, value_name = "V", value_parser = ranges::litres)]
    volume_l: Option<f64>,
    /// When the pump-side valve was shut, seconds of the record
    #[arg(long, value_name = "S", value_parser = ranges::seconds)]
    isolated_at: Option<f64>,
    /// Refrigerant by its ISO 817 designation, for instance R-600a
    #[arg(long, value_name = "NAME")]
    refrigerant: Option<String>,
    /// Sides evacuated
    #[arg(long, value_name = "SIDES")]
    access_sides: Option<Sides>,
    /// Whether the gauge stays open to the system when the manifold valves are shut
    #[arg(long, value_name = "YES|NO")]
    gauge_open_to_system: Option<YesNo>,
    /// The unit of the readings was compared with the gauge's display: a record that
    /// begins like the air outside in another unit is believed
    #[arg(long)]
    unit_checked: bool,
}

impl JudgingArguments {
    /// Settings from options, then the record's own job and criteria.
    pub(crate) fn settings(
        &self,
        job: Option<&Job>,
        recorded: Option<&Criteria>,
    ) -> Result<Settings, Failure> {
        let base = recorded.cloned().unwrap_or_default();
        let changed = [self.target_micron, self.hold_min, self.ceiling_micron];
        let mut criteria = Criteria {
            target_micron: self.target_micron.unwrap_or(base.target_micron),
            hold_min: self.hold_min.unwrap_or(base.hold_min),
            ceiling_micron: self.ceiling_micron.unwrap_or(base.ceiling_micron),
            ..base
        };
        if self.ceiling_micron.is_none() {
            criteria.ceiling_micron = criteria.ceiling_micron.max(criteria.target_micron);
        }
        if changed.iter().any(Option::is_some) {
            criteria.name = "as given".into();
            criteria.source = "given on the command line".into();
        }
        let refrigerant = match self.refrigerant.as_deref() {
            None => None,
            Some(name) => Some(Refrigerant::named(name).ok_or_else(|| {
                let near = Refrigerant::near(name);
                let near = near.first().map_or("R-600a", |r| r.designation);
                Failure::usage(format!(
                    "--refrigerant {name} is not known; write for instance {near}"
                ))
            })?),
        };
        let settings = Settings {
            criteria: criteria.checked().map_err(Failure::usage)?,
            ambient_c: self.ambient_c,
            coldest_part_c: self.coldest_part_c,
            volume_l: self.volume_l,
            isolated_at_s: self.isolated_at,
            refrigerant,
            access_sides: self.access_sides.map(|s| match s {
                Sides::One => AccessSides::One,
                Sides::Both => AccessSides::Both,
            }),
            charge_g: None,
            gauge_open_to_system: self.gauge_open_to_system.map(|answer| answer == YesNo::Yes),
            record_unit: None,
            unit_checked: self.unit_checked,
        };
        Ok(match job {
            Some(job) => settings.with_job(job),
            None => settings,
        })
    }
}
