//! Joins gauge, record and judgement, in that order: on disk first, on screen
//! second. `log` and `rehearse` both record through here.

use std::{
    io::IsTerminal,
    time::{Duration, Instant},
};

use analyser::{Analyser, Settings};
use run_record::{DiskNotice, FinishedRun, ImportOptions, RunHeader, RunWriter, Source};
use sensor_reader::{Dialect, Event, Sample};
use vacuum::{Entry, Mark, MarkKind, Reading};

use crate::{
    beside::Beside,
    calm_line::CalmLine,
    clock::{SystemClock, TimeEvent},
    gauges::{Gauges, Who},
    last_rows,
    line_quality::LineQuality,
    outcome::Failure,
    time::TimeLine,
    watch::{EventKind, feed::Feed},
};

mod hands;
mod shown;
mod trouble;
mod watchdog;

pub(crate) use hands::Marks;
pub(crate) use shown::free_bytes;
use shown::{Asked, until, views_gone};
use watchdog::Watchdog;

/// How often the screen is renewed.
const SCREEN: Duration = Duration::from_secs(1);
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
const LAST_WORDS: Duration = Duration::from_millis(50);
/// And so long at most a backlog is written down.
const LAST_WORDS_LONGEST: Duration = Duration::from_secs(2);

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
    /// Views have it, until they are gone.
    screen_left: bool,
    /// Watches given to what shows nothing on this screen.
    watching_beside: usize,
    feed: Feed,
    beside: Beside,
    readings: u64,
    quality: LineQuality,
    pump_quality: LineQuality,
    /// Elapsed time of the last row, as it was written, s.
    kept_s: f64,
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
        let mut feed = Feed::new(Some(header), &settings.criteria);
        feed.name(writer.folder(), Some(time.started().to_rfc3339()));
        let mut analyser = Analyser::new(settings);
        analyser.set_record_unit(header.record_unit());
        Ok(Self::of(writer, analyser, feed, time, beside))
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
        let mut source = Source::open(folder, &ImportOptions::default())?;
        let mut feed = Feed::new(source.header(), &settings.criteria);
        feed.name(folder, source.started_utc().map(|t| t.to_rfc3339()));
        let mut analyser = Analyser::new(settings);
        analyser.set_record_unit(source.header().and_then(RunHeader::record_unit));
        while let Some(entry) = source.next_entry()? {
            analyser.push(&entry);
            feed.entry(&entry);
        }
        Ok(Self::of(resumed.writer, analyser, feed, time, beside))
    }

    fn of(
        writer: RunWriter,
        mut analyser: Analyser,
        feed: Feed,
        time: TimeLine,
        beside: Beside,
    ) -> Self {
        analyser.reserve_for_a_day();
        let kept_s = time.last_s();
        Self {
            writer,
            analyser,
            time,
            screen: CalmLine::new(std::io::stdout().is_terminal()),
            screen_left: false,
            watching_beside: 0,
            feed,
            beside,
            readings: 0,
            quality: LineQuality::default(),
            pump_quality: LineQuality::default(),
            kept_s,
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
        self.feed.begin();
        let watchdog = Watchdog::start();
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
                _ = screen_tick.tick() => self.show(),
                () = until(self.feed.due()) => {}
            }
            self.feed.publish_if_due(Instant::now());
            // a busy gauge must not starve screen and disk
            tokio::task::yield_now().await;
        };
        drop(watchdog);
        self.take_last_words(&mut gauges, &mut marks).await?;
        self.finish(&mut marks, ending).await
    }

    /// Brings to the disk what it owes, and tells what it does not take.
    fn look_after_disk(&mut self) -> Result<(), Failure> {
        let now = Instant::now();
        self.writer.sync_if_due(now);
        while let Some(notice) = self.writer.take_notice(now) {
            let kind = match notice {
                DiskNotice::WrittenOut { .. } => EventKind::DiskFine,
                _ => EventKind::DiskTrouble,
            };
            let words = notice.to_string();
            self.tell(kind, &words);
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
        while let Some(act) = marks.already_asked() {
            self.act(act)?;
        }
        Ok(())
    }

    async fn finish(mut self, marks: &mut Marks<'_>, ending: Ending) -> Result<Recorded, Failure> {
        // acts stamped after the last reading
        for mark in marks.due(f64::INFINITY) {
            let elapsed_s = self.time.of_device_moment(mark.t_s);
            self.mark(elapsed_s, mark.kind, mark.note)?;
        }
        self.look_after_disk()?;
        self.show();
        // what is said from here on is said behind the view
        self.screen_left = false;
        self.feed.end(Instant::now());
        self.screen.end();
        // whoever looks lets go of the screen first
        views_gone(&self.feed).await;
        last_rows::bring_home(&mut self.writer).await;
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
    ) -> Result<(), Failure> {
        for (who, event) in batch.drain(..) {
            match event {
                Event::Reading { arrived, sample } => match who {
                    Who::Judged => self.take_reading(arrived, &sample, marks)?,
                    Who::PumpSide => self.take_pump_side(arrived, &sample)?,
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
        self.feed.heard(arrived);
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
        self.tell(EventKind::Told, &words);
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

    fn mark(&mut self, elapsed_s: f64, kind: MarkKind, note: String) -> Result<(), Failure> {
        self.keep(Entry::Mark(Mark {
            elapsed_s,
            kind,
            note,
        }))
    }

    /// On disk first, judged second, shown third.
    fn keep(&mut self, mut entry: Entry) -> Result<(), Failure> {
        // what is judged now is what will be read back: whole milliseconds, in order
        let kept_s = (entry.elapsed_s() * 1_000.0).round() / 1_000.0;
        self.kept_s = self.kept_s.max(kept_s);
        match &mut entry {
            Entry::Reading(reading) => reading.elapsed_s = self.kept_s,
            Entry::Mark(mark) => mark.elapsed_s = self.kept_s,
        }
        let utc = self.time.utc(entry.elapsed_s());
        // a note too long to keep is no reason to stop recording
        if let Err(e) = self.writer.append(&entry, utc) {
            self.tell(EventKind::Told, &e.to_string());
            return Ok(());
        }
        self.analyser.push(&entry);
        self.feed.entry(&entry);
        Ok(())
    }
}

#[cfg(test)]
mod tests;
