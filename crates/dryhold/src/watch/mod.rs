//! What any view shows of a run that is being recorded, independent of screens.
//!
//! # For whoever builds a view
//!
//! [`Frame`] is everything a view needs; it is made by the session *after* the record
//! has taken what it speaks of (disk first, screen second), and published through a
//! [`tokio::sync::watch`] channel:
//!
//! - [`Watch`] is the receiving end. Clone it for every view, terminal, page or nudge.
//!   A view that is slow sees the newest frame and misses those between; a view that is
//!   dead holds nothing up. Publishing never waits.
//! - [`Frame::now`] is the state, [`Frame::history`] the curve so far, [`Frame::events`]
//!   what happened. All three are behind an [`Arc`], are [`serde::Serialize`], and stand
//!   for themselves: a page sends `now` often, `history` when its `version` has
//!   changed, and of `events` those behind the last number the other side has seen.
//! - Every event has a number that only grows ([`events::Event::number`]). A view that was away
//!   asks [`Events::after`] with the last number it has seen; `None` says that some of
//!   what it missed is no longer kept, and that it should begin anew from `now`.
//! - Frames come when readings come, at most one in [`EVERY`], and at least one a second
//!   while recording goes on, so that an age can be shown. What is judged (phase,
//!   forecast, stall, hold) is looked at once a second; the pressure is that of the
//!   newest reading.
//! - [`Act`] is what a view may ask for: stamp a mark, take one back, stop. The session
//!   does it, records it, and the answer is the next frame. A view never writes.
//!
//! Times are seconds of the run. Pressures are micron; `shown` texts carry their unit and
//! the digits they deserve. Absent knowledge is `None`, never zero. Nothing here says by
//! colour what it does not say in words.
//!
//! # How it is built
//! [`feed`] keeps what is needed and makes frames; [`changes`] turns two looks at a run
//! into events, [`steady`] keeps the first from flickering; [`order`] is the order of work; [`marks`] the acts and their undoing;
//! [`curve`] the bounded history. None of them touches a screen, a file or a clock.

pub(crate) mod changes;
pub(crate) mod curve;
pub(crate) mod events;
pub(crate) mod feed;
pub(crate) mod judged;
pub(crate) mod jump;
pub(crate) mod marks;
pub(crate) mod order;
pub(crate) mod steady;

use std::{sync::Arc, time::Duration};

use serde::Serialize;
use vacuum::{MarkKind, Pressure, PressureUnit, ReadingState};

pub(crate) use curve::Curve;
pub(crate) use events::{EventKind, Events};
pub(crate) use judged::{HoldNow, JudgedNow, PhaseNow};
pub(crate) use marks::{MANIFOLD_SHUT, MarkNow};
pub(crate) use order::Order;

use crate::calm_line::micron;

/// Frames are made no more often than this.
pub(crate) const EVERY: Duration = Duration::from_millis(40);

/// The receiving end.
pub(crate) type Watch = tokio::sync::watch::Receiver<Frame>;

/// What a view asks the session for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Act {
    /// Stamp this.
    Mark(MarkKind, String),
    /// Take a mark back: the one with this number, or the last that counts.
    Undo(Option<u64>),
    /// Take back the mark with this number, asked for by this device.
    UndoFrom(u64, String),
    /// Stop recording.
    Stop,
    /// Tell this on every screen: something beside the recording does not work.
    Tell(String),
}

/// Everything a view needs at one moment.
#[derive(Debug, Clone, Default)]
pub(crate) struct Frame {
    /// How things stand.
    pub(crate) now: Arc<Snapshot>,
    /// The curve so far.
    pub(crate) history: Arc<Curve>,
    /// What happened.
    pub(crate) events: Arc<Events>,
}

/// How things stand.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Snapshot {
    /// Grows with every frame.
    pub(crate) version: u64,
    /// Which run.
    pub(crate) run: RunNow,
    /// Seconds of the run when this was made.
    pub(crate) elapsed_s: f64,
    /// The newest reading and where it goes.
    pub(crate) pressure: PressureNow,
    /// Phase, forecast, stall, hold.
    pub(crate) judged: JudgedNow,
    /// What usually comes next, cautions and warnings.
    pub(crate) order: Order,
    /// The last marks that count, oldest first; each can be taken back by its number.
    pub(crate) marks: Vec<MarkNow>,
    /// How well the judged gauge is heard.
    pub(crate) gauge: GaugeNow,
    /// Other gauges and channels.
    pub(crate) beside: Vec<BesideNow>,
    /// How the record stands with its disk.
    pub(crate) disk: DiskNow,
}

/// Which run is shown.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct RunNow {
    /// Name of the run folder.
    pub(crate) name: String,
    /// The folder.
    pub(crate) folder: String,
    /// Job number.
    pub(crate) job: String,
    /// True for demonstration data.
    pub(crate) invented: bool,
    /// False once recording has ended, or where a finished run is looked at.
    pub(crate) recording: bool,
    /// When it began, RFC 3339 in UTC.
    pub(crate) started_utc: Option<String>,
}

/// The newest reading.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub(crate) struct PressureNow {
    /// The state word of the record (`ok`, `over`, `under`, `fault`, `gap`); empty
    /// before the first reading.
    pub(crate) state: &'static str,
    /// The pressure, or the bound of `over` and `under`, micron.
    pub(crate) micron: Option<f64>,
    /// The number as a gauge would show it, without its unit: "468".
    pub(crate) digits: String,
    /// Its unit.
    pub(crate) unit: &'static str,
    /// The same in the unit that the job chose for its sheet, where that is another one:
    /// "62.4 Pa".
    pub(crate) also: Option<String>,
    /// Change over the last half minute, micron/min.
    pub(crate) trend_micron_per_min: Option<f64>,
    /// The same in words: "falling 95/min"; empty where it is not known.
    pub(crate) trend: String,
    /// Temperature beside the gauge, °C.
    pub(crate) temperature_c: Option<f64>,
}

impl PressureNow {
    /// With everything in words.
    fn in_words(&self, unit: PressureUnit) -> Self {
        let pressure = self.micron.and_then(|p| Pressure::from_micron(p).ok());
        let is_ok = self.state == ReadingState::Ok.word();
        Self {
            digits: match self.micron {
                Some(p) => micron(p).trim_end_matches(" micron").to_owned(),
                None => "—".into(),
            },
            also: pressure
                .filter(|_| is_ok && unit != PressureUnit::Micron)
                .map(|p| p.display(unit).to_string()),
            trend: if is_ok {
                self.trend.clone()
            } else {
                String::new()
            },
            ..self.clone()
        }
    }

    /// The unit, with the pressure in the other one: "micron (62.4 Pa)".
    pub(crate) fn unit_and_also(&self) -> String {
        match &self.also {
            Some(also) => format!("{} ({also})", self.unit),
            None => self.unit.to_owned(),
        }
    }
}

/// How a gauge is doing.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub(crate) struct GaugeNow {
    /// How it is heard.
    pub(crate) link: LinkNow,
    /// Readings a second over the last ten seconds.
    pub(crate) per_s: f64,
    /// Age of the newest reading when the frame was made, s.
    pub(crate) age_s: Option<f64>,
    /// Readings taken.
    pub(crate) readings: u64,
    /// How often it came back.
    pub(crate) reconnects: u64,
    /// Lines that were not understood.
    pub(crate) unreadable: u64,
    /// Lines lost on the way by the gauge's own count.
    pub(crate) lost: u64,
}

/// How a gauge is heard.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum LinkNow {
    /// Nothing heard yet.
    #[default]
    Waiting,
    /// Readings come.
    Hearing,
    /// Connected, but it says nothing, or that it is busy.
    Silent,
    /// The connection is lost; it is tried again.
    Lost,
}

impl LinkNow {
    /// In words.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Waiting => "not heard yet",
            Self::Hearing => "heard",
            Self::Silent => "SILENT: check power and cable",
            Self::Lost => "LOST: reconnecting",
        }
    }
}

/// Another gauge or channel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct BesideNow {
    /// Where it sits.
    pub(crate) place: String,
    /// What it says, with its unit, or what is wrong with it.
    pub(crate) shown: String,
}

/// How the record stands with its disk.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub(crate) struct DiskNow {
    /// True while the disk takes every row.
    pub(crate) takes_rows: bool,
    /// What is or was wrong, in words; empty when nothing ever was.
    pub(crate) trouble: String,
    /// Rows recorded.
    pub(crate) rows: u64,
    /// Of those, rows not yet known to survive a power cut.
    pub(crate) rows_waiting: u64,
    /// Free room, bytes, where the system tells.
    pub(crate) free_bytes: Option<u64>,
}
