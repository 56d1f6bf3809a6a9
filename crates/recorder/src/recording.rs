//! A run being recorded: on disk first, judged second, shown third.

use std::time::{Duration, Instant};

use analyser::Settings;
use run_record::{DiskNotice, FinishedRun, ImportOptions, RunHeader, RunWriter, Source};
use sensor_reader::{Dialect, Event, Sample};
use vacuum::{Entry, Mark, MarkKind, Reading};
use watch::{EventKind, Feed};

use crate::{
    asked::{Asked, until},
    clock::{SystemClock, TimeEvent},
    companions::Companions,
    error::RecorderError,
    flush::flush_or_rescue,
    gauges::{Gauges, Who},
    judge::Judge,
    line_quality::LineQuality,
    operator::{Marks, Operator},
    time_line::TimeLine,
    watchdog::Watchdog,
};

mod gauge_events;
mod scale;
mod shown;
mod weighed;

/// How often a look at the run is published.
const LOOK: Duration = Duration::from_secs(1);
/// How often the record is asked whether it owes a sync.
const SYNC_TICK: Duration = Duration::from_millis(200);
/// After the last line of a rehearsal, so long without another is the end.
const QUIET: Duration = Duration::from_millis(300);
/// A gauge that speaks more often than this is busy.
const BUSY: Duration = Duration::from_millis(4);
/// What a busy gauge says within this time is written at once: the times are those of the
/// reading thread, and one wake-up is worth several readings.
const TOGETHER: Duration = Duration::from_millis(5);
/// More at once than a gauge says within that time comes from a capture.
const FEW: usize = 32;
/// Events taken at once before the record is written.
const BATCH: usize = 512;
/// When stopped, so long the gauge's last words are waited for: what the port
/// holds was said before.
const LAST_WORDS: Duration = Duration::from_millis(250);
/// And so long at most a backlog is written down.
const LAST_WORDS_LONGEST: Duration = Duration::from_secs(2);

/// Why recording ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// The technician stopped it, or the time was up.
    Stopped,
    /// Everything was read.
    Ended,
}

/// A run that is about to be recorded, or is being recorded.
pub struct Recorder {
    writer: RunWriter,
    judge: Judge,
    time: TimeLine,
    feed: Feed,
    companions: Companions,
    readings: u64,
    quality: LineQuality,
    pump_quality: LineQuality,
    scale: Option<scale::Scale>,
    scale_quality: LineQuality,
    /// Unreadable lines that were shown.
    shown_unreadable: Vec<String>,
    /// Elapsed time of the last row, as it was written, s.
    written_s: f64,
}

/// What recording leaves.
pub struct Recorded {
    /// The run folder and its last link.
    pub run: FinishedRun,
    /// Readings of the judged gauge.
    pub readings: u64,
    /// How its lines arrived.
    pub quality: LineQuality,
    /// Why it ended.
    pub ending: Ending,
}

impl Recorder {
    /// Makes the run folder.
    ///
    /// # Errors
    /// When it cannot be made.
    pub fn start(
        out: &std::path::Path,
        header: &RunHeader,
        dialect: &Dialect,
        settings: Settings,
        companions: Companions,
    ) -> Result<Self, RecorderError> {
        let computer = Box::new(SystemClock);
        let time = TimeLine::start(dialect.clock(), computer);
        Self::start_by(time, out, header, settings, companions)
    }

    /// The same on a time line of the caller's own.
    fn start_by(
        time: TimeLine,
        out: &std::path::Path,
        header: &RunHeader,
        settings: Settings,
        companions: Companions,
    ) -> Result<Self, RecorderError> {
        let writer = RunWriter::create(out, header, time.started())?;
        let mut feed = Feed::new(Some(&header.job), &settings.criteria);
        feed.name(writer.folder(), Some(time.started().to_rfc3339()));
        feed.set_test(header.test.kind);
        let judge = Judge::new(&header.test, settings, header.record_unit());
        let scale = scale::Scale::of(header);
        if scale.is_some() {
            feed.weighs();
        }
        Ok(Self::of(writer, judge, feed, time, (companions, scale)))
    }

    /// Goes on with the record in this folder. What it holds is judged again
    /// first, so that the live answer goes on too.
    ///
    /// # Errors
    /// When it cannot be read, is sealed, or another program records into it.
    pub fn resume(
        folder: &std::path::Path,
        dialect: &Dialect,
        settings: Settings,
        companions: Companions,
    ) -> Result<Self, RecorderError> {
        let now = chrono::Utc::now();
        let resumed = RunWriter::resume(folder, now)?;
        let time = TimeLine::resume(dialect.clock(), Box::new(SystemClock), resumed.elapsed_s);
        let mut source = Source::open(folder, &ImportOptions::default())?;
        let mut feed = Feed::new(source.header().map(|h| &h.job), &settings.criteria);
        feed.name(folder, source.started_utc().map(|t| t.to_rfc3339()));
        let plan = source.header().map(|h| h.test.clone()).unwrap_or_default();
        feed.set_test(plan.kind);
        let unit = source.header().and_then(RunHeader::record_unit);
        let mut judge = Judge::new(&plan, settings, unit);
        let mut scale = source.header().and_then(scale::Scale::of);
        if scale.is_some() {
            feed.weighs();
        }
        let mut marks = Vec::new();
        while let Some(entry) = source.next_entry()? {
            judge.push(&entry);
            feed.entry(&entry);
            if let (Some(_), Entry::Mark(mark)) = (&scale, entry) {
                marks.push(mark);
            }
        }
        if let Some(scale) = &mut scale {
            scale.take_recorded(folder, &marks)?;
        }
        Ok(Self::of(
            resumed.writer,
            judge,
            feed,
            time,
            (companions, scale),
        ))
    }

    fn of(
        writer: RunWriter,
        mut judge: Judge,
        feed: Feed,
        time: TimeLine,
        (companions, scale): (Companions, Option<scale::Scale>),
    ) -> Self {
        judge.reserve_for_a_day();
        let written_s = time.last_s();
        Self {
            writer,
            judge,
            time,
            feed,
            companions,
            readings: 0,
            quality: LineQuality::default(),
            pump_quality: LineQuality::default(),
            scale,
            scale_quality: LineQuality::default(),
            shown_unreadable: Vec::new(),
            written_s,
        }
    }

    /// The run folder.
    pub fn folder(&self) -> &std::path::Path {
        self.writer.folder()
    }

    /// Records until `stop` completes, `all_sent` is true and nothing comes any
    /// more, or the judged gauge's capture ends. What was written stays whatever happens.
    ///
    /// Call [`Recorder::watch`] for every view before.
    ///
    /// # Errors
    /// None once recording goes on: a disk that takes nothing is told, and its rows wait in
    /// memory. At the end what [`RunWriter::finish`] says.
    pub async fn record(
        mut self,
        mut gauges: Gauges,
        mut marks: Marks<'_>,
        operator: std::sync::Arc<dyn Operator>,
        stop: impl Future<Output = ()>,
        all_sent: impl Fn() -> bool,
    ) -> Result<Recorded, RecorderError> {
        let mut stop = std::pin::pin!(stop);
        let mut sync_tick = tokio::time::interval(SYNC_TICK);
        let mut look_tick = tokio::time::interval(LOOK);
        let mut batch = Vec::with_capacity(BATCH);
        let mut heard = Instant::now();
        self.feed.begin();
        let watchdog = Watchdog::start(std::sync::Arc::clone(&operator));
        let ending = loop {
            watchdog.breathe();
            tokio::select! {
                biased;
                () = &mut stop => break Ending::Stopped,
                count = gauges.next_batch(&mut batch, BATCH) => {
                    // what comes faster than any gauge must not pile up in memory
                    let busy = count < FEW && heard.elapsed() < BUSY;
                    heard = Instant::now();
                    self.watch_clock()?;
                    self.take_all(&mut batch, &gauges, &mut marks)?;
                    if gauges.judged_ended() {
                        break Ending::Ended;
                    }
                    if busy {
                        tokio::time::sleep(TOGETHER).await;
                    }
                }
                Some(act) = marks.asked() => {
                    if self.act(act)? == Asked::Stop {
                        break Ending::Stopped;
                    }
                }
                _ = sync_tick.tick() => {
                    self.watch_clock()?;
                    self.look_after_disk()?;
                    if all_sent() && heard.elapsed() > QUIET {
                        break Ending::Ended;
                    }
                }
                _ = look_tick.tick() => self.show(),
                () = until(self.feed.due()) => {}
            }
            self.feed.publish_if_due(Instant::now());
            // a busy gauge must not starve screen and disk
            tokio::task::yield_now().await;
        };
        drop(watchdog);
        self.take_last_words(&mut gauges, &mut marks).await?;
        self.finish(&mut marks, ending, &*operator).await
    }

    /// Brings to the disk what it owes, and tells what it does not take.
    fn look_after_disk(&mut self) -> Result<(), RecorderError> {
        let now = Instant::now();
        self.writer.sync_if_due(now);
        while let Some(notice) = self.writer.take_notice(now) {
            let kind = match notice {
                DiskNotice::WrittenOut { .. } => EventKind::DiskFine,
                _ => EventKind::DiskTrouble,
            };
            let words = notice.to_string();
            self.feed.event(kind, words.clone());
            // whoever reads the record later should know it too
            if let DiskNotice::Disturbed { .. } = notice {
                let elapsed_s = self.time.of_act(self.time.now());
                self.mark(elapsed_s, MarkKind::Note, words)?;
            }
        }
        Ok(())
    }

    /// Keeps what the gauges had said and the technician typed when the end came.
    async fn take_last_words(
        &mut self,
        gauges: &mut Gauges,
        marks: &mut Marks<'_>,
    ) -> Result<(), RecorderError> {
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
        while let Some(act) = marks.already_asked() {
            self.act(act)?;
        }
        Ok(())
    }

    async fn finish(
        mut self,
        marks: &mut Marks<'_>,
        ending: Ending,
        operator: &dyn Operator,
    ) -> Result<Recorded, RecorderError> {
        // acts stamped after the last reading
        for mark in marks.due(f64::INFINITY) {
            let elapsed_s = self.time.of_device_moment(mark.elapsed_s);
            self.mark(elapsed_s, mark.kind, mark.note)?;
        }
        self.look_after_disk()?;
        self.show();
        if self.feed.is_watched() && self.readings > 0 {
            self.judge.conclude(&mut self.feed);
        }
        self.feed.end(Instant::now());
        flush_or_rescue(&mut self.writer, operator).await;
        self.look_after_disk()?;
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
    ) -> Result<(), RecorderError> {
        for (who, event) in batch.drain(..) {
            match event {
                Event::Reading { arrived, sample } => match who {
                    Who::Judged => self.take_reading(arrived, &sample, marks)?,
                    Who::PumpSide => self.take_pump_side(arrived, &sample)?,
                    Who::Scale => self.take_weighing(arrived, &sample),
                },
                Event::Paused { .. } => self.take_pause(who, &gauges.name(who), event, marks)?,
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
    ) -> Result<(), RecorderError> {
        for mark in marks.due(sample.device_s.unwrap_or(f64::NEG_INFINITY)) {
            let elapsed_s = self.time.of_device_moment(mark.elapsed_s);
            self.mark(elapsed_s, mark.kind, mark.note)?;
        }
        let reading = Reading {
            elapsed_s: self.time.of_reading(arrived, sample.device_s),
            sensed: sample.sensed,
            temperature_c: sample.temperature_c,
        };
        self.quality.reading();
        self.feed.heard(arrived);
        if let Some(channel) = self.companions.channel_of(sample) {
            return self.write_companion(channel, reading);
        }
        self.readings += 1;
        self.write(Entry::Reading(reading))
    }

    fn take_pump_side(&mut self, arrived: Instant, sample: &Sample) -> Result<(), RecorderError> {
        let Some(index) = self.companions.pump_side() else {
            return Ok(());
        };
        self.pump_quality.reading();
        let shared_s = sample.device_s.filter(|_| self.companions.one_clock);
        let reading = Reading {
            elapsed_s: self.time.of_other(arrived, shared_s),
            sensed: sample.sensed,
            temperature_c: sample.temperature_c,
        };
        self.write_companion(index, reading)
    }

    /// Notes that the computer's clock was set or the computer slept.
    fn watch_clock(&mut self) -> Result<(), RecorderError> {
        let Some(event) = self.time.look() else {
            return Ok(());
        };
        if let TimeEvent::Slept(_) = event {
            let gap = Reading::gap(self.time.last_s());
            self.write(Entry::Reading(gap))?;
            for index in self.companions.all() {
                self.write_companion(index, gap)?;
            }
            self.scale_gap(self.time.now());
        }
        let words = event.words();
        self.feed.event(EventKind::Told, words.clone());
        let elapsed_s = self.time.of_act(self.time.now());
        self.mark(elapsed_s, MarkKind::Note, words)
    }

    fn gap(&mut self, who: Who, at: Instant) -> Result<(), RecorderError> {
        let beside = match who {
            Who::Judged => self.companions.channels(),
            Who::PumpSide => self.companions.pump_side().into_iter().collect(),
            Who::Scale => {
                self.scale_gap(at);
                return Ok(());
            }
        };
        let elapsed_s = match who {
            Who::Judged => self.time.of_act(at),
            Who::PumpSide | Who::Scale => self.time.of_other(at, None),
        };
        for index in beside {
            self.write_companion(index, Reading::gap(elapsed_s))?;
        }
        match who {
            Who::Judged => self.write(Entry::Reading(Reading::gap(elapsed_s))),
            Who::PumpSide | Who::Scale => Ok(()),
        }
    }

    fn write_companion(&mut self, index: usize, reading: Reading) -> Result<(), RecorderError> {
        let reading = self.companions.heard(index, reading);
        let utc = self.time.utc(reading.elapsed_s);
        self.writer.append_beside(index, &reading, utc);
        Ok(())
    }

    fn mark(&mut self, elapsed_s: f64, kind: MarkKind, note: String) -> Result<(), RecorderError> {
        self.write(Entry::Mark(Mark {
            elapsed_s,
            kind,
            note,
        }))
    }

    /// On disk first, judged second, shown third.
    fn write(&mut self, mut entry: Entry) -> Result<(), RecorderError> {
        // what is judged now is what will be read back: whole milliseconds, in order
        let written_s = (entry.elapsed_s() * 1_000.0).round() / 1_000.0;
        self.written_s = self.written_s.max(written_s);
        match &mut entry {
            Entry::Reading(reading) => reading.elapsed_s = self.written_s,
            Entry::Mark(mark) => mark.elapsed_s = self.written_s,
        }
        let utc = self.time.utc(entry.elapsed_s());
        // a note too long to keep is no reason to stop recording
        if let Err(e) = self.writer.append(&entry, utc) {
            self.feed.event(EventKind::Told, e.to_string());
            return Ok(());
        }
        self.judge.push(&entry);
        self.feed.entry(&entry);
        if let Entry::Mark(mark) = &entry {
            self.mark_on_scale(mark);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
