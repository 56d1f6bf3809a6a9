//! Makes frames from what the session has recorded, and publishes them.

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use findings::{DecayLive, Findings, Live};
use report::Trace;
use tokio::sync::watch;
use vacuum::{Criteria, Entry, Job, Mark, Pressure, Reading, ReadingState, Sensed, TestKind};
use wording::{Inside, Voice, say};

use crate::{
    arrivals::Arrivals,
    changes::Changes,
    curve::{Curve, state_words},
    events::{EventKind, Events},
    judged::{JudgedNow, PhaseNow},
    jump::JumpWatch,
    keys,
    line::{LineNow, Other},
    marks::{MarkList, Took},
    order::Order,
    pace::PaceNow,
    pressure_test, question,
    snapshot::{
        BesideNow, DiskNow, EVERY, Follow, Frame, GaugeNow, LineHealth, LinkNow, PressureNow,
        RunNow, Snapshot, VerdictNow, Watch,
    },
    steady::Steady,
    trouble::{self, TroubleKind, TroubleWatch},
    words::in_micron,
};

mod next;
mod under_pressure;
mod weighing;

/// The curve is renewed no more often than this.
const CURVE_EVERY: Duration = Duration::from_secs(1);
/// Marks shown.
const MARKS_SHOWN: usize = 12;

/// Keeps what views show, and publishes it. Whatever it does comes after the record.
#[derive(Debug)]
pub struct Feed {
    sender: watch::Sender<Frame>,
    test: TestKind,
    /// The last look at a pressure test.
    decay: Option<DecayLive>,
    run: RunNow,
    inside: Inside,
    gauge_open_to_system: Option<bool>,
    /// How views speak of this run: as the job chose for its sheet.
    voice: Voice,
    /// Only while somebody looks.
    history: Option<Trace>,
    curve: Arc<Curve>,
    curve_at: Option<Instant>,
    marks: MarkList,
    events: Arc<Events>,
    steady: Steady,
    changes: Changes,
    jumps: JumpWatch,
    judged: JudgedNow,
    order: Order,
    pressure: PressureNow,
    gauge: GaugeNow,
    heard: Arrivals,
    trouble: TroubleWatch,
    verdict: Option<VerdictNow>,
    beside: Vec<BesideNow>,
    disk: DiskNow,
    line: LineNow,
    elapsed_s: f64,
    version: u64,
    published: Option<Instant>,
    owed: bool,
    /// Something happened that no view has been told yet.
    news: bool,
    past_events: u64,
    /// Somebody follows every reading, and wants the curve.
    closely: bool,
    scale: weighing::scale::Scale,
}

impl Feed {
    /// A feed nobody looks at yet.
    pub fn new(job: Option<&Job>, criteria: &Criteria) -> Self {
        let mut judged = JudgedNow::default();
        judged.target.micron = criteria.target_micron;
        let voice = job.map(|j| Voice::from(&j.sheet)).unwrap_or_default();
        let mut first = Frame::default();
        let gauge_open_to_system = job.and_then(|j| j.gauge_open_to_system);
        let now = Arc::make_mut(&mut first.now);
        now.voice = voice;
        now.stamps = keys::offered(TestKind::Evacuation, gauge_open_to_system);
        Self {
            sender: watch::Sender::new(first),
            test: TestKind::Evacuation,
            decay: None,
            run: RunNow {
                job: job.map(|j| j.id.clone()).unwrap_or_default(),
                invented: job.is_some_and(|j| j.invented),
                recording: true,
                ..RunNow::default()
            },
            inside: Inside::typed(job.and_then(|j| j.refrigerant.as_deref())),
            gauge_open_to_system,
            voice,
            history: Some(Trace::default()),
            curve: Arc::default(),
            curve_at: None,
            marks: MarkList::new(voice),
            events: Arc::default(),
            steady: Steady::default(),
            changes: Changes::default(),
            jumps: JumpWatch::default(),
            judged,
            order: Order::default(),
            pressure: PressureNow {
                unit: "micron",
                ..PressureNow::default()
            },
            gauge: GaugeNow::default(),
            heard: Arrivals::default(),
            trouble: TroubleWatch::default(),
            verdict: None,
            beside: Vec::new(),
            disk: DiskNow {
                takes_rows: true,
                ..DiskNow::default()
            },
            line: LineNow::default(),
            elapsed_s: 0.0,
            version: 0,
            published: None,
            owed: false,
            news: false,
            past_events: 0,
            closely: false,
            scale: weighing::scale::Scale::default(),
        }
    }

    /// Names the run.
    pub fn name(&mut self, folder: &std::path::Path, started_utc: Option<String>) {
        let name = folder.file_name().unwrap_or_default();
        self.run.name = name.to_string_lossy().into_owned();
        self.run.folder = folder.display().to_string();
        self.run.started_utc = started_utc;
    }

    /// A finished run of so many rows is gone through again: no history is kept here.
    pub fn look_back(&mut self, rows: u64) {
        self.run.recording = false;
        self.disk.rows = rows;
        self.history = None;
    }

    /// A receiving end for a view.
    pub fn watch(&mut self, follow: Follow) -> Watch {
        self.closely |= follow == Follow::Closely;
        self.sender.subscribe()
    }

    /// True while somebody looks.
    pub fn is_watched(&self) -> bool {
        self.sender.receiver_count() > 0
    }

    /// Recording begins: where nobody follows closely no history is kept.
    pub fn begin(&mut self) {
        if !self.closely {
            self.history = None;
        }
        self.past_events = self.events.last_number();
    }

    /// Takes what the record has taken.
    pub fn entry(&mut self, entry: &Entry) {
        self.elapsed_s = self.elapsed_s.max(entry.elapsed_s());
        if let Some(history) = &mut self.history {
            history.push(entry);
        }
        match entry {
            Entry::Reading(reading) => self.reading(reading),
            Entry::Mark(mark) => self.mark(mark),
        }
        self.owed = true;
    }

    fn reading(&mut self, reading: &Reading) {
        let bound = reading.bound().map(Pressure::micron);
        self.pressure.state = reading.state().word();
        self.pressure.micron = reading.pressure().map(Pressure::micron).or(bound);
        self.pressure.temperature_c = reading.temperature_c;
        if let Some(p) = reading.pressure() {
            self.jumps.push(reading.elapsed_s, p.micron());
        }
        let state = reading.state();
        let answers = matches!(
            state,
            ReadingState::Ok | ReadingState::Under | ReadingState::Over
        );
        if answers && self.trouble.answered(state == ReadingState::Over) {
            self.event(EventKind::GaugeBack, say!(self.voice, "told-gauge-back"));
        }
        if reading.state() == ReadingState::Gap {
            self.pressure.micron = None;
        } else {
            self.gauge.readings += 1;
        }
    }

    fn mark(&mut self, mark: &Mark) {
        self.jumps.explained();
        let voice = &self.voice;
        let (kind, text) = match self.marks.take(mark) {
            Took::Added(mark) => (
                EventKind::Marked,
                say!(voice, "told-marked", mark = mark.told(voice)),
            ),
            Took::Withdrew(mark) => (
                EventKind::Withdrawn,
                say!(voice, "told-withdrawn", mark = mark.told(voice)),
            ),
        };
        self.event(kind, text);
        self.set_order();
    }

    /// A line of the judged gauge came, at this moment.
    pub fn heard(&mut self, at: Instant) {
        if std::mem::replace(&mut self.gauge.link, LinkNow::Hearing) == LinkNow::Silent {
            self.event(EventKind::GaugeBack, say!(self.voice, "told-gauge-back"));
            self.trouble.back_was_told();
        }
        self.heard.push(at);
        self.trouble.heard(at);
    }

    /// A line of the judged gauge came that is not understood; `line` is harmless text.
    pub fn unreadable(&mut self, at: Instant, line: &str) {
        self.trouble.unreadable(at, line);
    }

    /// Takes what the whole run comes to: said once recording has ended.
    pub fn conclude(&mut self, findings: &Findings) {
        let lines = wording::summary_lines(&self.voice, findings);
        self.verdict = Some(VerdictNow {
            code: findings.verdict.word(),
            words: lines.first().cloned().unwrap_or_default(),
            next: lines.last().cloned().unwrap_or_default(),
        });
    }

    /// The judged gauge is heard otherwise now.
    pub fn link(&mut self, link: LinkNow) {
        if link == LinkNow::Hearing {
            self.gauge.reconnects += 1;
            self.trouble.back_was_told();
        }
        self.gauge.link = link;
        self.owed = true;
    }

    /// Something that a person should know.
    pub fn event(&mut self, kind: EventKind, text: impl Into<String>) {
        self.event_at(self.elapsed_s, kind, text);
    }

    fn event_at(&mut self, at_s: f64, kind: EventKind, text: impl Into<String>) {
        Arc::make_mut(&mut self.events).add(at_s, kind, text);
        self.owed = true;
        self.news = true;
    }

    /// The marks that count.
    pub fn marks(&self) -> &MarkList {
        &self.marks
    }

    /// Takes a look at the run, and at what other gauges and channels say.
    pub fn look(&mut self, live: &Live, beside: &[Other<'_>]) {
        let voice = &in_micron(self.voice);
        self.beside(voice, beside);
        let looked = JudgedNow::of(voice, live);
        let micron = live.pressure_micron;
        self.judged = self.steady.look(voice, looked, self.elapsed_s, micron);
        let pace = PaceNow::of(voice, live, &self.judged);
        let shown = micron.map(|p| voice.reading(p));
        let line = LineNow::of(voice, shown, &self.judged, &pace, beside);
        self.line = self.line.anew(line);
        self.pressure.trend_micron_per_min = pace.micron_per_min;
        self.pressure.trend = pace.words;
        self.tell_changes();
    }

    /// Order of work anew, and what has changed told.
    fn tell_changes(&mut self) {
        let voice = &in_micron(self.voice);
        self.set_order();
        for change in self.changes.look(voice, &self.judged, &self.order) {
            let at_s = change.at_s.unwrap_or(self.elapsed_s);
            self.event_at(at_s, change.kind, change.text);
        }
        self.owed = true;
    }

    /// Takes what the lines and the disk say; `unreadable` counts the lines of all gauges.
    pub fn health(&mut self, lines: LineHealth, unreadable: u64, disk: DiskNow) {
        self.gauge.unreadable = lines.unreadable;
        self.gauge.lost = lines.lost;
        self.line.unreadable = unreadable;
        self.line.warning = disk.warning.clone();
        self.disk = disk;
    }

    fn beside(&mut self, voice: &Voice, latest: &[Other<'_>]) {
        self.beside = latest
            .iter()
            .map(|(place, sensed)| BesideNow {
                place: wording::place_words(voice, place),
                shown: match sensed {
                    Some(Sensed::Measured(p)) => voice.reading(p.micron()),
                    Some(other) => {
                        let reading = Reading {
                            elapsed_s: 0.0,
                            sensed: *other,
                            temperature_c: None,
                        };
                        state_words(voice, reading.state().word())
                    }
                    None => state_words(voice, ""),
                },
            })
            .collect();
    }

    /// Recording is over.
    pub fn end(&mut self, now: Instant) {
        self.run.recording = false;
        self.curve_at = None;
        self.publish(now);
    }

    /// When what is owed may be published; `None` while nothing is.
    pub fn due(&self) -> Option<Instant> {
        let watched = self.published.filter(|_| self.is_watched())?;
        let owed = self.is_owed().then_some(watched + EVERY);
        owed.into_iter().chain(self.trouble.due()).min()
    }

    fn known(&self) -> trouble::Known<'_> {
        trouble::Known {
            voice: &self.voice,
            judged: &self.judged,
            lost: self.gauge.link == LinkNow::Lost,
            state: self.pressure.state,
        }
    }

    /// Tells that the gauge is missed, as soon as it is.
    fn tell_trouble(&mut self, now: Instant) {
        let mut watch = std::mem::take(&mut self.trouble);
        let begun = watch.begins(&self.known(), now);
        self.trouble = watch;
        match begun {
            // these are told by whoever noticed them
            Some(t) if matches!(t.kind, TroubleKind::Lost | TroubleKind::Over) => self.news = true,
            Some(t) if t.kind == TroubleKind::NoReading => self.event(EventKind::Told, t.text),
            Some(t) => self.event(EventKind::GaugeLost, t.text),
            None => {}
        }
    }

    /// Who follows calmly is owed what happened, and no reading before the next second.
    fn is_owed(&self) -> bool {
        self.news || (self.owed && self.closely)
    }

    /// Publishes if something is owed and the last frame is old enough.
    pub fn publish_if_due(&mut self, now: Instant) {
        self.tell_trouble(now);
        let soon = self
            .published
            .is_some_and(|at| now.saturating_duration_since(at) < EVERY);
        if self.is_owed() && !soon {
            self.publish(now);
        }
    }

    /// Publishes now. Never waits for anybody.
    pub fn publish(&mut self, now: Instant) {
        self.published = Some(now);
        (self.owed, self.news) = (false, false);
        if self.is_watched() {
            let frame = self.frame(now);
            self.sender.send_replace(frame);
        }
    }

    /// How things stand.
    pub fn frame(&mut self, now: Instant) -> Frame {
        self.version += 1;
        self.renew_curve(now);
        self.trouble.begin(now);
        let trouble = self.trouble.now(&self.known(), now);
        let charge = self.charge_now(); // then the vacuum gauge is valved off
        let trouble = trouble.filter(|_| self.run.recording && charge.is_none());
        let marks = self.marks.all();
        let shown = &marks[marks.len().saturating_sub(MARKS_SHOWN)..];
        let newest = self.heard.newest();
        let snapshot = Snapshot {
            version: self.version,
            run: self.run.clone(),
            elapsed_s: self.elapsed_s,
            axis: self.axis(),
            pressure: match &charge {
                Some(charge) => charge.figures(),
                None => self.pressure.in_words(&self.voice, self.test),
            },
            phase_words: match &charge {
                Some(_) => say!(self.voice, "weighed-live-phase"),
                None => self.phase_words(),
            },
            judged: self.judged.clone(),
            verdict: self.verdict.clone().filter(|_| !self.run.recording),
            order: self.order.clone(),
            ask_first: question::all(&in_micron(self.voice), &self.judged, shown),
            marks: shown.to_vec(),
            stamps: self.stamps(),
            gauge: GaugeNow {
                per_s: self.heard.per_s(now),
                age_s: newest.map(|at| now.saturating_duration_since(at).as_secs_f64()),
                ..self.gauge.clone()
            },
            beside: self.all_beside(),
            disk: self.disk.clone(),
            past_events: self.past_events,
            line: self.line_now(charge.as_ref(), trouble.as_ref()),
            charge,
            trouble,
            voice: self.voice,
        };
        Frame {
            now: Arc::new(snapshot),
            history: Arc::clone(&self.curve),
            events: Arc::clone(&self.events),
        }
    }

    /// Over range is an answer of the gauge: nobody waits for it any more.
    fn phase_words(&self) -> String {
        let over = self.pressure.state == ReadingState::Over.word();
        match self.judged.phase {
            PhaseNow::Waiting if over => state_words(&self.voice, self.pressure.state),
            phase if self.test == TestKind::PressureDecay => {
                pressure_test::phase_words(&self.voice, phase)
            }
            phase => phase.words(&self.voice),
        }
    }

    fn renew_curve(&mut self, now: Instant) {
        let soon = self
            .curve_at
            .is_some_and(|at| now.saturating_duration_since(at) < CURVE_EVERY);
        if let Some(history) = self.history.as_ref().filter(|_| !soon) {
            self.curve = Arc::new(Curve::of(history, self.curve.version + 1));
            self.curve_at = Some(now);
        }
    }
}

#[cfg(test)]
mod tests;
