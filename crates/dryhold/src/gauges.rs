//! The gauges of a run: the judged one, and perhaps a second at the pump. Each
//! has a thread and a connection of its own, so that losing one never holds up
//! the other.

use run_record::{Companion, JobFile, RunHeader};
use sensor_reader::{Address, Dialect, Event, GaugeStream, Options};
use vacuum::GaugeIdentity;

use crate::{
    arguments::LogArguments,
    beside::{Beside, PUMP_SIDE, PUMP_SIDE_NAME},
    outcome::{Failure, complain},
};

/// Whose event it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Who {
    /// The gauge that is judged.
    Judged,
    /// The gauge at the pump.
    PumpSide,
}

/// One gauge to be opened.
struct ToOpen {
    /// As given.
    port: String,
    address: Address,
    dialect: Dialect,
    options: Options,
}

/// What is to be read, as the command line and the job file say.
pub(crate) struct Plan {
    judged: ToOpen,
    pump_side: Option<ToOpen>,
    pump_gauge: GaugeIdentity,
}

impl Plan {
    /// Checks what can be checked before anything is opened.
    pub(crate) fn of(
        arguments: &LogArguments,
        (port, dialect): (&str, &str),
        job: &JobFile,
    ) -> Result<Self, Failure> {
        let loaded = Dialect::load(dialect).map_err(Failure::usage)?;
        let mut judged = ToOpen::new(port, loaded, options(arguments, arguments.baud))?;
        if arguments.all_channels {
            judged.dialect = judged.dialect.recording_all().map_err(Failure::usage)?;
        }
        let pump_side = match &arguments.pump_port {
            Some(pump_port) => {
                differ(port, pump_port)?;
                let dialect = arguments.pump_dialect.as_deref().unwrap_or(dialect);
                let loaded = Dialect::load(dialect).map_err(Failure::usage)?;
                let options = options(arguments, arguments.pump_baud);
                Some(ToOpen::new(pump_port, loaded, options)?)
            }
            None => None,
        };
        if pump_side.is_none() && job.pump_gauge != GaugeIdentity::default() {
            complain(
                "the job file has a [pump_gauge] but no --pump-port is given; one gauge is recorded",
            );
        }
        Ok(Self {
            judged,
            pump_side,
            pump_gauge: job.pump_gauge.clone(),
        })
    }

    /// The gauges of a run that goes on: those its record names.
    pub(crate) fn resumed(
        arguments: &LogArguments,
        (port, dialect): (&str, Dialect),
        header: &RunHeader,
    ) -> Result<Self, Failure> {
        let mut judged = ToOpen::new(port, dialect, options(arguments, arguments.baud))?;
        let is_channel = |c: &&Companion| c.port == header.port && c.dialect == header.dialect;
        if header.beside.iter().any(|c| is_channel(&c)) {
            judged.dialect = judged.dialect.recording_all().map_err(Failure::usage)?;
        }
        let second = header.beside.iter().find(|c| !is_channel(c));
        let pump_side = match second {
            Some(companion) => {
                let pump_port = arguments.pump_port.as_ref().or(companion.port.as_ref());
                let pump_port = pump_port.ok_or_else(|| {
                    Failure::usage(
                        "the record does not say where the pump-side gauge was connected: give \
                         --pump-port",
                    )
                })?;
                differ(port, pump_port)?;
                let given = arguments.pump_dialect.as_deref();
                let name = given.or(companion.dialect.as_deref()).unwrap_or_default();
                let loaded = Dialect::load(name).map_err(Failure::usage)?;
                let options = options(arguments, arguments.pump_baud);
                Some(ToOpen::new(pump_port, loaded, options)?)
            }
            None if arguments.pump_port.is_some() => {
                return Err(Failure::usage(
                    "this run was recorded with one gauge: leave --pump-port out, or record a new \
                     run",
                ));
            }
            None => None,
        };
        let plan = Self {
            judged,
            pump_side,
            pump_gauge: second.map(|c| c.gauge.clone()).unwrap_or_default(),
        };
        let names = |all: &[Companion]| all.iter().map(|c| c.name.clone()).collect::<Vec<_>>();
        if names(&plan.beside().companions()) != names(&header.beside) {
            return Err(Failure::usage(
                "the dialect now gives other channels than those this run was recorded with: give \
                 the dialect file of that time with --dialect, or record a new run",
            ));
        }
        Ok(plan)
    }

    /// The dialect of the judged gauge.
    pub(crate) fn dialect(&self) -> &Dialect {
        &self.judged.dialect
    }

    /// What is recorded beside it.
    pub(crate) fn beside(&self) -> Beside {
        let mut beside = Beside::default();
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
    pub(crate) async fn open(&self) -> Result<Gauges, Failure> {
        let judged = self.judged.open().await.map_err(|e| match self.pump_side {
            Some(_) => Failure::other(format!("{} gauge: {e}", Who::Judged.place())),
            None => Failure::other(e),
        })?;
        let pump_side =
            match &self.pump_side {
                Some(second) => Some(second.open().await.map_err(|e| {
                    Failure::other(format!("{} gauge: {e}", Who::PumpSide.place()))
                })?),
                None => None,
            };
        Ok(Gauges::new(judged, pump_side))
    }
}

fn options(arguments: &LogArguments, baud: Option<u32>) -> Options {
    Options {
        wait_for_gauge: arguments.wait || arguments.headless.headless,
        baud,
        ..Options::default()
    }
}

/// Refuses one port for two gauges.
fn differ(port: &str, pump_port: &str) -> Result<(), Failure> {
    if port == pump_port {
        return Err(Failure::usage(format!(
            "--port and --pump-port are both {port}; give each gauge its own"
        )));
    }
    Ok(())
}

impl ToOpen {
    fn new(port: &str, dialect: Dialect, options: Options) -> Result<Self, Failure> {
        Ok(Self {
            port: port.to_owned(),
            address: Address::parse(port).map_err(Failure::usage)?,
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
    pub(crate) const fn place(self) -> &'static str {
        match self {
            Self::Judged => "far-side",
            Self::PumpSide => "pump-side",
        }
    }
}

/// The gauges being read.
pub(crate) struct Gauges {
    judged: Option<GaugeStream>,
    pump_side: Option<GaugeStream>,
    two: bool,
    /// Events on the way through, kept for their room.
    heard: [Vec<Event>; 2],
}

impl Gauges {
    pub(crate) fn new(judged: GaugeStream, pump_side: Option<GaugeStream>) -> Self {
        Self {
            judged: Some(judged),
            two: pump_side.is_some(),
            pump_side,
            heard: [Vec::new(), Vec::new()],
        }
    }

    /// What to call one of them in a message.
    pub(crate) fn name(&self, who: Who) -> String {
        if self.two {
            format!("{} gauge", who.place())
        } else {
            "gauge".to_owned()
        }
    }

    /// True when nothing more can come from the judged gauge.
    pub(crate) fn judged_ended(&self) -> bool {
        self.judged.is_none()
    }

    /// Waits for at least one event of either gauge, then appends those of that
    /// gauge that are there, at most `limit`; 0 when nothing more can come. Where
    /// both have something, chance decides, so that a busy gauge never starves the
    /// other. Cancel-safe.
    pub(crate) async fn next_batch(&mut self, out: &mut Vec<(Who, Event)>, limit: usize) -> usize {
        let before = out.len();
        while self.judged.is_some() || self.pump_side.is_some() {
            let [judged, pump_side] = &mut self.heard;
            let (who, count) = tokio::select! {
                count = batch(&mut self.judged, judged, limit) => (Who::Judged, count),
                count = batch(&mut self.pump_side, pump_side, limit) => (Who::PumpSide, count),
            };
            let (stream, heard) = match who {
                Who::Judged => (&mut self.judged, judged),
                Who::PumpSide => (&mut self.pump_side, pump_side),
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
