//! Joins gauge, record and judgement, in that order: on disk first, on screen
//! second. `log` and `rehearse` both record through here.

use std::{
    collections::VecDeque,
    io::IsTerminal,
    sync::mpsc,
    time::{Duration, Instant},
};

use analyser::{Analyser, Settings};
use rehearsal::TimedMark;
use run_record::{DiskHealth, FinishedRun, ImportOptions, RunHeader, RunWriter, Source};
use sensor_reader::{Dialect, Event, Sample};
use tokio::sync::mpsc as channel;
use vacuum::{Entry, Mark, MarkKind, Reading};

use crate::{
    beside::Beside,
    calm_line::CalmLine,
    clock::{SystemClock, TimeEvent},
    gauges::{Gauges, Who},
    last_rows,
    line_quality::LineQuality,
    outcome::{Failure, complain},
    time::TimeLine,
};

/// How often the screen is renewed.
const SCREEN: Duration = Duration::from_secs(1);
/// How often the record is asked whether it owes a sync.
const SYNC_TICK: Duration = Duration::from_millis(200);
/// After the last line of a rehearsal, so long without another is the end.
const QUIET: Duration = Duration::from_millis(300);
/// Events taken at once before the record is written.
const BATCH: usize = 512;
/// When stopped, so long the gauge's last words are waited for: what the port
/// holds was said before.
const LAST_WORDS: Duration = Duration::from_millis(50);
/// And so long at most a backlog is written down.
const LAST_WORDS_LONGEST: Duration = Duration::from_secs(2);

/// Where marks come from.
pub(crate) enum Marks<'a> {
    /// Typed by the technician.
    Typed(channel::UnboundedReceiver<(MarkKind, String)>),
    /// Stamped by the simulated technician, on the gauge's clock.
    Timed(&'a mpsc::Receiver<TimedMark>, VecDeque<TimedMark>),
}

/// Why recording ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ending {
    /// The technician stopped it, or the time was up.
    Stopped,
    /// Everything was read.
    Ended,
}

/// A run being recorded.
pub(crate) struct Session {
    writer: RunWriter,
    analyser: Analyser,
    time: TimeLine,
    screen: CalmLine,
    beside: Beside,
    readings: u64,
    quality: LineQuality,
    pump_quality: LineQuality,
}

/// What a session leaves.
pub(crate) struct Recorded {
    pub(crate) run: FinishedRun,
    pub(crate) readings: u64,
    pub(crate) quality: LineQuality,
    pub(crate) ending: Ending,
}

impl Session {
    /// Makes the run folder.
    pub(crate) fn start(
        out: &std::path::Path,
        header: &RunHeader,
        dialect: &Dialect,
        settings: Settings,
        beside: Beside,
    ) -> Result<Self, Failure> {
        let computer = Box::new(SystemClock);
        let time = TimeLine::start(dialect.clock(), computer);
        Self::start_by(time, out, header, settings, beside)
    }

    /// The same on a time line of the caller's own.
    fn start_by(
        time: TimeLine,
        out: &std::path::Path,
        header: &RunHeader,
        settings: Settings,
        beside: Beside,
    ) -> Result<Self, Failure> {
        let writer = RunWriter::create(out, header, time.started())?;
        Ok(Self::of(writer, Analyser::new(settings), time, beside))
    }

    /// Goes on with the record in this folder. What it holds is judged again
    /// first, so that the live answer goes on too.
    pub(crate) fn resume(
        folder: &std::path::Path,
        dialect: &Dialect,
        settings: Settings,
        beside: Beside,
    ) -> Result<Self, Failure> {
        let now = chrono::Utc::now();
        let resumed = RunWriter::resume(folder, now)?;
        let time = TimeLine::resume(dialect.clock(), Box::new(SystemClock), resumed.elapsed_s);
        let mut analyser = Analyser::new(settings);
        let mut source = Source::open(folder, &ImportOptions::default())?;
        while let Some(entry) = source.next_entry()? {
            analyser.push(&entry);
        }
        Ok(Self::of(resumed.writer, analyser, time, beside))
    }

    fn of(writer: RunWriter, mut analyser: Analyser, time: TimeLine, beside: Beside) -> Self {
        analyser.take_room_for_a_day();
        Self {
            writer,
            analyser,
            time,
            screen: CalmLine::new(std::io::stdout().is_terminal()),
            beside,
            readings: 0,
            quality: LineQuality::default(),
            pump_quality: LineQuality::default(),
        }
    }

    /// The run folder.
    pub(crate) fn folder(&self) -> &std::path::Path {
        self.writer.folder()
    }

    /// Records until `stop` completes, `all_sent` is true and nothing comes any
    /// more, or the judged gauge's capture ends. What was written stays whatever happens.
    pub(crate) async fn record(
        mut self,
        mut gauges: Gauges,
        mut marks: Marks<'_>,
        stop: impl Future<Output = ()>,
        all_sent: impl Fn() -> bool,
    ) -> Result<Recorded, Failure> {
        let mut stop = std::pin::pin!(stop);
        let mut sync_tick = tokio::time::interval(SYNC_TICK);
        let mut screen_tick = tokio::time::interval(SCREEN);
        let mut batch = Vec::with_capacity(BATCH);
        let mut heard = Instant::now();
        let ending = loop {
            tokio::select! {
                biased;
                () = &mut stop => break Ending::Stopped,
                _ = gauges.next_batch(&mut batch, BATCH) => {
                    heard = Instant::now();
                    self.watch_clock()?;
                    self.take_all(&mut batch, &gauges, &mut marks)?;
                    if gauges.judged_ended() {
                        break Ending::Ended;
                    }
                }
                Some((kind, note)) = marks.typed() => self.stamp(kind, note)?,
                _ = sync_tick.tick() => {
                    self.watch_clock()?;
                    self.look_after_disk();
                    if all_sent() && heard.elapsed() > QUIET {
                        break Ending::Ended;
                    }
                }
                _ = screen_tick.tick() => self.show(),
            }
            // a busy gauge must not starve screen and disk
            tokio::task::yield_now().await;
        };
        self.take_last_words(&mut gauges, &mut marks).await?;
        self.finish(&mut marks, ending).await
    }

    /// Brings to the disk what it owes, and tells what it does not take.
    fn look_after_disk(&mut self) {
        let now = Instant::now();
        self.writer.sync_if_due(now);
        while let Some(notice) = self.writer.take_notice(now) {
            self.screen.tell(&notice.to_string());
        }
    }

    fn show(&mut self) {
        self.screen.warn(match self.writer.health() {
            DiskHealth::InMemory { rows, .. } => Some(format!("NOT ON DISK: {rows} rows")),
            _ => None,
        });
        self.analyser.tidy();
        let live = self.analyser.live();
        let unreadable = self.quality.unreadable + self.pump_quality.unreadable;
        self.screen.show(&live, &self.beside.latest(), unreadable);
    }

    /// Keeps what the gauges had said and the technician typed when the end came.
    async fn take_last_words(
        &mut self,
        gauges: &mut Gauges,
        marks: &mut Marks<'_>,
    ) -> Result<(), Failure> {
        let stopped = tokio::time::Instant::now();
        let mut batch = Vec::with_capacity(BATCH);
        while stopped.elapsed() < LAST_WORDS_LONGEST {
            let said = gauges.next_batch(&mut batch, BATCH);
            match tokio::time::timeout_at(stopped + LAST_WORDS, said).await {
                Ok(0) | Err(_) => break,
                Ok(_) => {}
            }
            self.take_all(&mut batch, gauges, marks)?;
        }
        while let Some((kind, note)) = marks.already_typed() {
            self.stamp(kind, note)?;
        }
        Ok(())
    }

    async fn finish(mut self, marks: &mut Marks<'_>, ending: Ending) -> Result<Recorded, Failure> {
        // acts stamped after the last reading
        for mark in marks.due(f64::INFINITY) {
            let elapsed_s = self.time.of_device_moment(mark.t_s);
            self.mark(elapsed_s, mark.kind, mark.note)?;
        }
        self.look_after_disk();
        self.show();
        self.screen.end();
        last_rows::bring_home(&mut self.writer).await;
        let run = self.writer.finish()?;
        Ok(Recorded {
            run,
            readings: self.readings,
            quality: self.quality,
            ending,
        })
    }

    fn take_all(
        &mut self,
        batch: &mut Vec<(Who, Event)>,
        gauges: &Gauges,
        marks: &mut Marks<'_>,
    ) -> Result<(), Failure> {
        for (who, event) in batch.drain(..) {
            match event {
                Event::Reading { arrived, sample } => match who {
                    Who::Judged => self.take_reading(arrived, &sample, marks)?,
                    Who::PumpSide => self.take_pump_side(arrived, &sample)?,
                },
                event => self.take_trouble(who, &gauges.name(who), event)?,
            }
        }
        Ok(())
    }

    /// A line of the judged gauge; it may be of another channel than the judged.
    fn take_reading(
        &mut self,
        arrived: Instant,
        sample: &Sample,
        marks: &mut Marks<'_>,
    ) -> Result<(), Failure> {
        for mark in marks.due(sample.device_s.unwrap_or(f64::NEG_INFINITY)) {
            let elapsed_s = self.time.of_device_moment(mark.t_s);
            self.mark(elapsed_s, mark.kind, mark.note)?;
        }
        let reading = Reading {
            elapsed_s: self.time.of_reading(arrived, sample.device_s),
            sensed: sample.sensed,
            temperature_c: sample.temperature_c,
        };
        self.quality.reading();
        if let Some(channel) = self.beside.channel_of(sample) {
            return self.keep_beside(channel, reading);
        }
        self.readings += 1;
        self.keep(Entry::Reading(reading))
    }

    fn take_pump_side(&mut self, arrived: Instant, sample: &Sample) -> Result<(), Failure> {
        let Some(index) = self.beside.pump_side() else {
            return Ok(());
        };
        self.pump_quality.reading();
        let shared_s = sample.device_s.filter(|_| self.beside.one_clock);
        let reading = Reading {
            elapsed_s: self.time.of_other(arrived, shared_s),
            sensed: sample.sensed,
            temperature_c: sample.temperature_c,
        };
        self.keep_beside(index, reading)
    }

    fn quality_of(&mut self, who: Who) -> &mut LineQuality {
        match who {
            Who::Judged => &mut self.quality,
            Who::PumpSide => &mut self.pump_quality,
        }
    }

    /// What is no reading; `name` is what to call the gauge.
    fn take_trouble(&mut self, who: Who, name: &str, event: Event) -> Result<(), Failure> {
        match event {
            Event::Rejected { rejected, .. } => {
                self.quality_of(who).unreadable += 1;
                self.screen.tell_once(&match who {
                    Who::Judged => rejected.to_string(),
                    Who::PumpSide => format!("{name}: {rejected}"),
                });
                Ok(())
            }
            Event::Sequence { arrived, broken } => {
                if let Some(what) = self.quality_of(who).broken(arrived, broken) {
                    self.screen.tell(&match who {
                        Who::Judged => what,
                        Who::PumpSide => format!("{name}: {what}"),
                    });
                }
                Ok(())
            }
            Event::Busy { arrived } => match self.quality_of(who).busy(arrived) {
                Some(since) => {
                    self.screen.tell(&format!(
                        "the {name} is busy and gives no reading; the record has a gap"
                    ));
                    self.gap(who, since)
                }
                None => Ok(()),
            },
            Event::Lost { at, why } => {
                self.screen.tell(&format!(
                    "{name} lost: {why}; reconnecting, the record goes on"
                ));
                self.gap(who, at)
            }
            Event::Silent { since } => {
                self.screen
                    .tell(&format!("the {name} is silent: check its power and cable"));
                self.gap(who, since)
            }
            Event::Connected {
                at,
                address,
                connection,
            } => {
                if connection > 1 {
                    self.screen.tell(&format!("{name} is back on {address}"));
                    self.gap(who, at)?;
                }
                Ok(())
            }
            Event::Waiting { why, .. } => {
                self.screen.tell(&format!("waiting for the {name}: {why}"));
                Ok(())
            }
            _ => Ok(()),
        }
    }

    /// Notes that the computer's clock was set or the computer slept.
    fn watch_clock(&mut self) -> Result<(), Failure> {
        let Some(event) = self.time.look() else {
            return Ok(());
        };
        if let TimeEvent::Slept(_) = event {
            let gap = Reading::gap(self.time.last_s());
            self.keep(Entry::Reading(gap))?;
            for index in self.beside.all() {
                self.keep_beside(index, gap)?;
            }
        }
        let words = event.words();
        self.screen.tell(&words);
        let elapsed_s = self.time.of_act(self.time.now());
        self.mark(elapsed_s, MarkKind::Note, words)
    }

    fn gap(&mut self, who: Who, at: Instant) -> Result<(), Failure> {
        let beside = match who {
            Who::Judged => self.beside.channels(),
            Who::PumpSide => self.beside.pump_side().into_iter().collect(),
        };
        let elapsed_s = match who {
            Who::Judged => self.time.of_act(at),
            Who::PumpSide => self.time.of_other(at, None),
        };
        for index in beside {
            self.keep_beside(index, Reading::gap(elapsed_s))?;
        }
        match who {
            Who::Judged => self.keep(Entry::Reading(Reading::gap(elapsed_s))),
            Who::PumpSide => Ok(()),
        }
    }

    fn keep_beside(&mut self, index: usize, reading: Reading) -> Result<(), Failure> {
        let reading = self.beside.heard(index, reading);
        let utc = self.time.utc(reading.elapsed_s);
        self.writer.append_beside(index, &reading, utc);
        Ok(())
    }

    fn stamp(&mut self, kind: MarkKind, note: String) -> Result<(), Failure> {
        let elapsed_s = self.time.of_act(Instant::now());
        self.screen.tell(&format!("marked: {}", kind.label()));
        self.mark(elapsed_s, kind, note)
    }

    fn mark(&mut self, elapsed_s: f64, kind: MarkKind, note: String) -> Result<(), Failure> {
        self.keep(Entry::Mark(Mark {
            elapsed_s,
            kind,
            note,
        }))
    }

    /// On disk first, judged second.
    fn keep(&mut self, entry: Entry) -> Result<(), Failure> {
        let utc = self.time.utc(entry.elapsed_s());
        // a note too long to keep is no reason to stop recording
        if let Err(e) = self.writer.append(&entry, utc) {
            complain(e);
        }
        self.analyser.push(&entry);
        Ok(())
    }
}

impl Marks<'_> {
    /// The next typed mark; never completes where marks are timed.
    async fn typed(&mut self) -> Option<(MarkKind, String)> {
        match self {
            Self::Typed(receiver) => receiver.recv().await,
            Self::Timed(..) => std::future::pending().await,
        }
    }

    /// A typed mark that waits to be taken.
    fn already_typed(&mut self) -> Option<(MarkKind, String)> {
        match self {
            Self::Typed(receiver) => receiver.try_recv().ok(),
            Self::Timed(..) => None,
        }
    }

    /// Timed marks up to a moment on the gauge's clock.
    fn due(&mut self, device_s: f64) -> Vec<TimedMark> {
        let Self::Timed(receiver, waiting) = self else {
            return Vec::new();
        };
        waiting.extend(receiver.try_iter());
        let count = waiting.iter().take_while(|m| m.t_s <= device_s).count();
        waiting.drain(..count).collect()
    }
}

#[cfg(test)]
mod tests;
