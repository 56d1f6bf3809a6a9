//! The gauges of a run: the judged one, and perhaps a second at the pump. Each
//! has a thread and a connection of its own, so that losing one never holds up
//! the other.

use run_record::{Companion, RunHeader, ScaleUsed};
use scale_reader::ScaleDialect;
use sensor_reader::{Address, Dialect, Event, GaugeStream, Options};
use vacuum::{GaugeIdentity, PUMP_SIDE, Pressure};

use crate::{
    companions::{Companions, PUMP_SIDE_NAME},
    error::RecorderError,
};

/// Whose event it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who {
    /// The gauge that is judged.
    Judged,
    /// The gauge at the pump.
    PumpSide,
    /// The scale.
    Scale,
}

/// One gauge to be opened.
struct ToOpen {
    /// As given.
    port: String,
    address: Address,
    dialect: Dialect,
    options: Options,
}

/// One gauge as a person names it.
#[derive(Debug, Clone, Copy)]
pub struct GaugeChoice<'a> {
    /// Serial port path, `tcp://HOST:PORT` or `file:CAPTURE`.
    pub port: &'a str,
    /// Dialect file or name of a built-in dialect.
    pub dialect: &'a str,
    /// Speed in bit/s instead of the dialect's.
    pub baud: Option<u32>,
    /// In a test under pressure: the barometer, where the gauge may count from the air.
    pub barometer: Option<Pressure>,
}

/// What is known of the gauge at the pump, where there may be one.
#[derive(Debug, Clone, Copy, Default)]
pub struct PumpSideChoice<'a> {
    /// Where it is connected; `None` where the record says so, or there is none.
    pub port: Option<&'a str>,
    /// Its dialect, if it is not that of the judged gauge or the record.
    pub dialect: Option<&'a str>,
    /// Speed in bit/s instead of the dialect's.
    pub baud: Option<u32>,
}

/// A scale as a person names it.
#[derive(Debug, Clone, Copy, Default)]
pub struct ScaleChoice<'a> {
    /// Where it is connected; `None` where there is none.
    pub port: Option<&'a str>,
    /// Dialect file or name of a dialect of a scale that comes with the program.
    pub dialect: Option<&'a str>,
    /// Speed in bit/s instead of the dialect's.
    pub baud: Option<u32>,
    /// What the hoses were reckoned to keep, g.
    pub left_in_hoses_g: Option<f64>,
}

/// What is to be read, checked as far as it can be before anything is opened.
pub struct Plan {
    judged: ToOpen,
    pump_side: Option<ToOpen>,
    pump_gauge: GaugeIdentity,
    scale: Option<(ToOpen, ScaleUsed)>,
}

impl Plan {
    /// The same with a scale, if one is chosen.
    ///
    /// # Errors
    /// When its dialect or address is not fit for use, or it is at the port of a gauge.
    pub fn with_scale(
        mut self,
        choice: ScaleChoice<'_>,
        wait: bool,
    ) -> Result<Self, RecorderError> {
        let Some(port) = choice.port else {
            return Ok(self);
        };
        let ports = std::iter::once(&self.judged).chain(&self.pump_side);
        for other in ports {
            differ(&other.port, port)?;
        }
        let name = choice
            .dialect
            .ok_or_else(|| RecorderError::ScaleDialectMissing {
                known: ScaleDialect::builtin_names().join(", "),
            })?;
        let loaded = ScaleDialect::load(name)?;
        let used = ScaleUsed {
            dialect: Some(loaded.dialect().name().to_owned()),
            port: Some(port.to_owned()),
            left_in_hoses_g: choice.left_in_hoses_g,
        };
        let options = options(wait, choice.baud);
        let to_open = ToOpen::new(port, loaded.dialect().clone(), options)?;
        self.scale = Some((to_open, used));
        Ok(self)
    }

    /// The same for a run that goes on: with the scale that its record names.
    ///
    /// # Errors
    /// As [`Plan::with_scale`]; when the record names none and one is given.
    pub fn resumed_with_scale(
        self,
        choice: ScaleChoice<'_>,
        header: &RunHeader,
        wait: bool,
    ) -> Result<Self, RecorderError> {
        match &header.scale {
            None if choice.port.is_some() => Err(RecorderError::RecordedWithoutScale),
            None => Ok(self),
            Some(used) => {
                let choice = ScaleChoice {
                    port: choice.port.or(used.port.as_deref()),
                    dialect: choice.dialect.or(used.dialect.as_deref()),
                    ..choice
                };
                self.with_scale(choice, wait)
            }
        }
    }

    /// For the header of the run.
    pub fn scale(&self) -> Option<ScaleUsed> {
        self.scale.as_ref().map(|(_, used)| used.clone())
    }

    /// The gauges of a new run. With `wait` a gauge that is not there yet is waited for;
    /// with `all_channels` every channel that the dialect lists is recorded.
    ///
    /// # Errors
    /// When a dialect or an address is not fit for use, or both gauges are at one port.
    pub fn new(
        judged: GaugeChoice<'_>,
        pump_side: PumpSideChoice<'_>,
        pump_gauge: &GaugeIdentity,
        (wait, all_channels): (bool, bool),
    ) -> Result<Self, RecorderError> {
        let loaded = match judged.barometer {
            Some(air) => Dialect::load_under_pressure(judged.dialect, air),
            None => Dialect::load(judged.dialect),
        }?;
        let mut to_open = ToOpen::new(judged.port, loaded, options(wait, judged.baud))?;
        if all_channels {
            to_open.dialect = to_open.dialect.recording_all()?;
        }
        let second = match pump_side.port {
            Some(port) => {
                differ(judged.port, port)?;
                let loaded = Dialect::load(pump_side.dialect.unwrap_or(judged.dialect))?;
                Some(ToOpen::new(port, loaded, options(wait, pump_side.baud))?)
            }
            None => None,
        };
        Ok(Self {
            judged: to_open,
            pump_side: second,
            pump_gauge: pump_gauge.clone(),
            scale: None,
        })
    }

    /// The gauges of a run that goes on: those its record names.
    ///
    /// # Errors
    /// As [`Plan::new`]; when the record names a gauge at the pump and nobody says where
    /// it is, when it names none and one is given, or when the dialect gives other channels
    /// now.
    pub fn resumed(
        (port, dialect, baud): (&str, Dialect, Option<u32>),
        pump_side: PumpSideChoice<'_>,
        header: &RunHeader,
        wait: bool,
    ) -> Result<Self, RecorderError> {
        let mut judged = ToOpen::new(port, dialect, options(wait, baud))?;
        let is_channel = |c: &&Companion| c.port == header.port && c.dialect == header.dialect;
        if header.beside.iter().any(|c| is_channel(&c)) {
            judged.dialect = judged.dialect.recording_all()?;
        }
        let second = header.beside.iter().find(|c| !is_channel(c));
        let opened = match second {
            Some(companion) => {
                let pump_port = pump_side.port.or(companion.port.as_deref());
                let pump_port = pump_port.ok_or(RecorderError::PumpPortMissing)?;
                differ(port, pump_port)?;
                let name = pump_side.dialect.or(companion.dialect.as_deref());
                let loaded = Dialect::load(name.unwrap_or_default())?;
                Some(ToOpen::new(
                    pump_port,
                    loaded,
                    options(wait, pump_side.baud),
                )?)
            }
            None if pump_side.port.is_some() => return Err(RecorderError::RecordedWithOneGauge),
            None => None,
        };
        let plan = Self {
            judged,
            pump_side: opened,
            pump_gauge: second.map(|c| c.gauge.clone()).unwrap_or_default(),
            scale: None,
        };
        let names = |all: &[Companion]| all.iter().map(|c| c.name.clone()).collect::<Vec<_>>();
        if names(&plan.companions().in_header()) != names(&header.beside) {
            return Err(RecorderError::OtherChannels);
        }
        Ok(plan)
    }

    /// The dialect of the judged gauge.
    pub fn dialect(&self) -> &Dialect {
        &self.judged.dialect
    }

    /// What is recorded beside it.
    pub fn companions(&self) -> Companions {
        let mut beside = Companions::default();
        if let Some(second) = &self.pump_side {
            beside.add_pump_side(Companion {
                name: PUMP_SIDE_NAME.into(),
                place: PUMP_SIDE.into(),
                dialect: Some(second.dialect.name().to_owned()),
                port: Some(second.port.clone()),
                gauge: self.pump_gauge.clone(),
            });
        }
        beside.add_channels(&self.judged.dialect, &self.judged.port);
        beside
    }

    /// Opens what is planned.
    ///
    /// # Errors
    /// When a gauge cannot be opened and is not to be waited for.
    pub async fn open(&self) -> Result<Gauges, RecorderError> {
        let two = self.pump_side.is_some();
        let refused = |who: Who, source| RecorderError::Gauge {
            place: two.then(|| who.place()),
            source,
        };
        let judged = self.judged.open().await;
        let judged = judged.map_err(|e| refused(Who::Judged, e))?;
        let pump_side = match &self.pump_side {
            Some(second) => {
                let opened = second.open().await;
                Some(opened.map_err(|e| refused(Who::PumpSide, e))?)
            }
            None => None,
        };
        let gauges = Gauges::new(judged, pump_side);
        match &self.scale {
            None => Ok(gauges),
            Some((scale, _)) => {
                let opened = scale.open().await;
                let opened = opened.map_err(|source| RecorderError::Scale { source })?;
                Ok(gauges.with_scale(opened))
            }
        }
    }
}

fn options(wait_for_gauge: bool, baud: Option<u32>) -> Options {
    Options {
        wait_for_gauge,
        baud,
        ..Options::default()
    }
}

/// Refuses one port for two gauges.
fn differ(port: &str, pump_port: &str) -> Result<(), RecorderError> {
    match port == pump_port {
        true => Err(RecorderError::SamePort { port: port.into() }),
        false => Ok(()),
    }
}

impl ToOpen {
    fn new(port: &str, dialect: Dialect, options: Options) -> Result<Self, RecorderError> {
        Ok(Self {
            port: port.to_owned(),
            address: Address::parse(port)?,
            dialect,
            options,
        })
    }

    async fn open(&self) -> Result<GaugeStream, sensor_reader::TransportError> {
        GaugeStream::open(&self.address, &self.dialect, self.options).await
    }
}

impl Who {
    /// What to call it where there are two.
    pub const fn place(self) -> &'static str {
        match self {
            Self::Judged => "far-side",
            Self::PumpSide => "pump-side",
            Self::Scale => "scale",
        }
    }
}

/// The gauges being read.
pub struct Gauges {
    judged: Option<GaugeStream>,
    pump_side: Option<GaugeStream>,
    scale: Option<GaugeStream>,
    two: bool,
    /// Events on the way through, whose allocation is used again.
    heard: [Vec<Event>; 3],
}

impl Gauges {
    /// The gauges that are open.
    pub fn new(judged: GaugeStream, pump_side: Option<GaugeStream>) -> Self {
        Self {
            judged: Some(judged),
            two: pump_side.is_some(),
            pump_side,
            scale: None,
            heard: [Vec::new(), Vec::new(), Vec::new()],
        }
    }

    /// The same with a scale.
    #[must_use]
    pub fn with_scale(mut self, scale: GaugeStream) -> Self {
        self.scale = Some(scale);
        self
    }

    /// What to call one of them in a message.
    pub fn name(&self, who: Who) -> String {
        if who == Who::Scale {
            "scale".to_owned()
        } else if self.two {
            format!("{} gauge", who.place())
        } else {
            "gauge".to_owned()
        }
    }

    /// True when nothing more can come from the judged gauge.
    pub fn judged_ended(&self) -> bool {
        self.judged.is_none()
    }

    /// Waits for at least one event of either gauge, then appends those of that
    /// gauge that are there, at most `limit`; 0 when nothing more can come. Where
    /// both have something, chance decides, so that a busy gauge never starves the
    /// other. Cancel-safe.
    pub async fn next_batch(&mut self, out: &mut Vec<(Who, Event)>, limit: usize) -> usize {
        let before = out.len();
        while self.judged.is_some() || self.pump_side.is_some() || self.scale.is_some() {
            let [judged, pump_side, scale] = &mut self.heard;
            let (who, count) = tokio::select! {
                count = batch(&mut self.judged, judged, limit) => (Who::Judged, count),
                count = batch(&mut self.pump_side, pump_side, limit) => (Who::PumpSide, count),
                count = batch(&mut self.scale, scale, limit) => (Who::Scale, count),
            };
            let (stream, heard) = match who {
                Who::Judged => (&mut self.judged, judged),
                Who::PumpSide => (&mut self.pump_side, pump_side),
                Who::Scale => (&mut self.scale, scale),
            };
            if count == 0 || heard.iter().any(|e| matches!(e, Event::Ended)) {
                *stream = None;
            }
            out.extend(heard.drain(..).map(|event| (who, event)));
            if out.len() > before {
                break;
            }
        }
        out.len() - before
    }
}

/// As [`GaugeStream::next_batch`]; never completes where there is no gauge.
async fn batch(stream: &mut Option<GaugeStream>, out: &mut Vec<Event>, limit: usize) -> usize {
    match stream {
        Some(stream) => stream.next_batch(out, limit).await,
        None => std::future::pending().await,
    }
}
