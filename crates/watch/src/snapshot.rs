//! Everything a view needs at one moment.

use std::{sync::Arc, time::Duration};

use serde::Serialize;
use vacuum::{Pressure, PressureUnit, ReadingState, TestKind};
use wording::{Voice, say};

use crate::{
    axis::AxisNow, charge_now::ChargeNow, curve::Curve, events::Events, judged::JudgedNow,
    line::LineNow, marks::MarkNow, order::Order, pressure_test, question::AskFirst,
    trouble::TroubleNow,
};

/// Frames are made no more often than this.
pub const EVERY: Duration = Duration::from_millis(40);

/// The receiving end.
pub type Watch = tokio::sync::watch::Receiver<Frame>;

/// How closely a view follows a recording.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Follow {
    /// Every reading as soon as it may be shown, and the curve.
    Closely,
    /// A frame a second and whatever happens, without the curve: costs next to nothing.
    Calmly,
}

/// Everything a view needs at one moment.
#[derive(Debug, Clone, Default)]
pub struct Frame {
    /// How things stand.
    pub now: Arc<Snapshot>,
    /// The curve so far.
    pub history: Arc<Curve>,
    /// What happened.
    pub events: Arc<Events>,
}

/// How things stand.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Snapshot {
    /// Grows with every frame.
    pub version: u64,
    /// Which run.
    pub run: RunNow,
    /// How the curve is drawn.
    pub axis: AxisNow,
    /// Seconds of the run when this was made.
    pub elapsed_s: f64,
    /// The newest reading and where it goes.
    pub pressure: PressureNow,
    /// What is wrong with it, where something is: then it is not the pressure now.
    pub trouble: Option<TroubleNow>,
    /// Phase, forecast, stall, hold.
    pub judged: JudgedNow,
    /// What the run comes to, once recording has ended.
    pub verdict: Option<VerdictNow>,
    /// The phase in words.
    pub phase_words: String,
    /// What usually comes next, cautions and warnings.
    pub order: Order,
    /// The letters of the acts that may be stamped in this run, in the order of a job.
    pub stamps: String,
    /// The last marks that count, oldest first; each can be taken back by its number.
    pub marks: Vec<MarkNow>,
    /// What is asked about before it is done ([`crate::question`]).
    pub ask_first: Vec<AskFirst>,
    /// How well the judged gauge is heard.
    pub gauge: GaugeNow,
    /// Other gauges and channels.
    pub beside: Vec<BesideNow>,
    /// How a weigh-in stands, once one was begun: its figures then stand in the place of the
    /// pressure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charge: Option<ChargeNow>,
    /// How the record stands with its disk.
    pub disk: DiskNow,
    /// Events up to this number happened before this recording began: in a run that goes
    /// on they are no news.
    #[serde(skip)]
    pub past_events: u64,
    /// All that on one line, in words.
    #[serde(skip)]
    pub line: LineNow,
    /// Language, unit and zone of what is said of this run: those of its sheet, English
    /// and micron where nothing was chosen.
    #[serde(skip)]
    pub voice: Voice,
}

/// What a run that is over comes to.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct VerdictNow {
    /// Its code: `pass`, `fail`, `not_proven`.
    pub code: &'static str,
    /// Verdict and reason, one sentence.
    pub words: String,
    /// What usually comes next, one sentence.
    pub next: String,
}

/// Which run is shown.
#[derive(Debug, Clone, Default, Serialize)]
pub struct RunNow {
    /// Name of the run folder.
    pub name: String,
    /// The folder.
    pub folder: String,
    /// Job number.
    pub job: String,
    /// True for demonstration data.
    pub invented: bool,
    /// False once recording has ended, or where a finished run is looked at.
    pub recording: bool,
    /// When it began, RFC 3339 in UTC.
    pub started_utc: Option<String>,
}

/// The newest reading.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct PressureNow {
    /// The state word of the record (`ok`, `over`, `under`, `fault`, `gap`); empty
    /// before the first reading.
    pub state: &'static str,
    /// The pressure, or the bound of `over` and `under`, micron.
    pub micron: Option<f64>,
    /// The number as a gauge would show it, without its unit: "468".
    pub digits: String,
    /// Its unit.
    pub unit: &'static str,
    /// The same in the unit that the job chose for its sheet, where that is another one:
    /// "62.4 Pa".
    pub also: Option<String>,
    /// Change over the last half minute, micron/min.
    pub trend_micron_per_min: Option<f64>,
    /// The same in words: "falling 95/min"; empty where it is not known.
    pub trend: String,
    /// Temperature beside the gauge, °C.
    pub temperature_c: Option<f64>,
}

impl PressureNow {
    /// With everything in words.
    pub(crate) fn in_words(&self, voice: &Voice, test: TestKind) -> Self {
        let unit = voice.unit;
        let pressure = self.micron.and_then(|p| Pressure::from_micron(p).ok());
        if test == TestKind::PressureDecay {
            return Self {
                digits: pressure.map_or("—".into(), |p| pressure_test::number(voice, p)),
                unit: pressure_test::unit(voice).symbol(),
                ..self.clone()
            };
        }
        let is_ok = self.state == ReadingState::Ok.word();
        Self {
            digits: match self.micron {
                Some(p) => voice.reading_number(p),
                None => "—".into(),
            },
            also: pressure
                .filter(|_| is_ok && unit != PressureUnit::Micron)
                .map(|p| in_unit(voice, p.get(unit))),
            trend: if is_ok {
                self.trend.clone()
            } else {
                String::new()
            },
            ..self.clone()
        }
    }

    /// The unit, with the pressure in the other one: "micron (62.4 Pa)".
    pub fn unit_and_also(&self) -> String {
        match &self.also {
            Some(also) => format!("{} ({also})", self.unit),
            None => self.unit.to_owned(),
        }
    }
}

/// A pressure in the unit of the sheet: three digits, and every digit of a whole number.
fn in_unit(voice: &Voice, value: f64) -> String {
    let number = if value < 99.95 {
        voice.significant(value, 3)
    } else {
        voice.decimals(value, 0)
    };
    format!("{number} {}", voice.unit.symbol())
}

/// How a gauge is doing.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct GaugeNow {
    /// How it is heard.
    pub link: LinkNow,
    /// Readings a second over the last ten seconds.
    pub per_s: f64,
    /// Age of the newest reading when the frame was made, s.
    pub age_s: Option<f64>,
    /// Readings taken.
    pub readings: u64,
    /// How often it came back.
    pub reconnects: u64,
    /// Lines that were not understood.
    pub unreadable: u64,
    /// Lines lost on the way by the gauge's own count.
    pub lost: u64,
}

/// How a gauge is heard.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LinkNow {
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
    pub fn words(self, voice: &Voice) -> String {
        let id = match self {
            Self::Waiting => "link-waiting",
            Self::Hearing => "link-hearing",
            Self::Silent => "link-silent",
            Self::Lost => "link-lost",
        };
        say!(voice, id)
    }
}

/// Another gauge or channel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BesideNow {
    /// Where it sits.
    pub place: String,
    /// What it says, with its unit, or what is wrong with it.
    pub shown: String,
}

/// How the record stands with its disk.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct DiskNow {
    /// True while the disk takes every row.
    pub takes_rows: bool,
    /// What is or was wrong, in words; empty when nothing ever was.
    pub trouble: String,
    /// Rows recorded.
    pub rows: u64,
    /// Of those, rows not yet known to survive a power cut.
    pub rows_waiting: u64,
    /// Free room, bytes, where the system tells.
    pub free_bytes: Option<u64>,
    /// What has to be said before everything else while rows are not on any disk.
    #[serde(skip)]
    pub warning: Option<String>,
}

/// How the lines of the judged gauge arrive.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct LineHealth {
    /// Lines that were not understood.
    pub unreadable: u64,
    /// Lines lost on the way by the gauge's own count.
    pub lost: u64,
}
