//! What `log` takes.

use std::path::PathBuf;

use charge_options::ScaleOptions;
use clap::Args;
use recorder::{PumpSideChoice, ScaleChoice};
use terminal_view::ViewKind;

use crate::options::{
    judging::JudgingArguments,
    notify::NotifyArguments,
    page::PageArguments,
    pressure_test::TestArguments,
    sealing::SealingArguments,
    view::{ViewChoice, chosen},
};

#[derive(Debug, Args)]
pub(crate) struct LogArguments {
    /// Serial port path, tcp://HOST:PORT, or file:CAPTURE [default: that of the last run]
    #[arg(long, value_name = "PATH")]
    pub(crate) port: Option<String>,
    /// Dialect file, or the name of a built-in dialect [default: that of the last run]
    #[arg(long, value_name = "FILE|NAME")]
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
    #[command(flatten)]
    pub(crate) scale: ScaleOptions,
    /// Waits for the gauge instead of giving up when it is not there yet
    #[arg(long)]
    pub(crate) wait: bool,
    /// What shows the recording [default: full on a terminal of 60 columns and 20 rows
    /// or more, else line]
    #[arg(long, value_name = "VIEW", value_enum)]
    view: Option<ViewChoice>,
    /// One line kept up to date: the same as --view line
    #[arg(long, conflicts_with = "view")]
    plain: bool,
    /// Records in the background: it goes on when this terminal is closed. dryhold show
    /// looks at it, from any terminal and over SSH; dryhold stop ends it
    #[arg(long, conflicts_with_all = ["view", "plain"])]
    pub(crate) background: bool,
    /// Records without a terminal; --background starts it
    #[arg(long, hide = true, conflicts_with = "background")]
    pub(crate) without_terminal: bool,
    /// Stops by itself after so many minutes
    #[arg(long, value_name = "MIN", value_parser = option_ranges::minutes)]
    pub(crate) stop_after_min: Option<f64>,
    #[command(flatten)]
    pub(crate) page: PageArguments,
    #[command(flatten)]
    pub(crate) notify: NotifyArguments,
    #[command(flatten)]
    pub(crate) headless: UnattendedArguments,
    #[command(flatten)]
    pub(crate) sealing: SealingArguments,
    #[command(flatten)]
    pub(crate) judging: JudgingArguments,
    #[command(flatten)]
    pub(crate) test: TestArguments,
}

impl LogArguments {
    /// What shows the recording.
    pub(crate) fn view(&self) -> ViewKind {
        if self.without_terminal {
            return ViewKind::Off;
        }
        let plain = self.plain.then_some(ViewChoice::Line);
        chosen(plain.or(self.view), ViewChoice::Full)
    }

    /// Whether a gauge that is not there yet is waited for.
    pub(super) fn waits(&self) -> bool {
        self.wait || self.headless.headless
    }

    /// What is known of the scale.
    pub(super) fn scale(&self) -> ScaleChoice<'_> {
        ScaleChoice {
            port: self.scale.scale_port.as_deref(),
            dialect: self.scale.scale_dialect.as_deref(),
            baud: self.scale.scale_baud,
            left_in_hoses_g: self.scale.left_in_hoses_g,
        }
    }

    /// What is known of the gauge at the pump.
    pub(super) fn pump_side(&self) -> PumpSideChoice<'_> {
        PumpSideChoice {
            port: self.pump_port.as_deref(),
            dialect: self.pump_dialect.as_deref(),
            baud: self.pump_baud,
        }
    }
}

/// How a board records by itself.
#[derive(Debug, Args)]
pub(crate) struct UnattendedArguments {
    /// Records by itself, run after run: waits for the gauge, begins when the pressure
    /// falls, ends after the hold, waits for the next. Reads no keyboard
    #[arg(long, conflicts_with_all = ["resume", "stop_after_min"])]
    pub(crate) headless: bool,
    /// Keeps the last N runs it made by itself in the folder and deletes older ones; a
    /// run folder that holds a file named KEEP, that was moved or renamed, or that it did
    /// not make, stays [default: all]
    #[arg(long, value_name = "N", requires = "headless", value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) keep_runs: Option<u32>,
    /// Leaves so much of the disk free: deletes its oldest runs first, begins none while
    /// there is less, and ends the one that goes on when a quarter of it is left
    #[arg(long, value_name = "MB", requires = "headless", default_value_t = 200)]
    pub(crate) keep_free: u64,
    /// Goes on so long after a hold is over, in case another round follows, minutes
    #[arg(long, value_name = "MIN", requires = "headless", default_value_t = 5.0, value_parser = option_ranges::minutes)]
    pub(crate) after_hold_min: f64,
}
