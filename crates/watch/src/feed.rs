//! Makes frames from what the session has recorded, and publishes them.

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use findings::Live;
use report::Trace;
use tokio::sync::watch;
use vacuum::{Criteria, Entry, Job, Mark, Pressure, Reading, ReadingState, Sensed};
use wording::{Voice, say};

use crate::{
    arrivals::Arrivals,
    changes::Changes,
    curve::{Curve, state_words},
    events::{EventKind, Events},
    judged::JudgedNow,
    jump::JumpWatch,
    line::{LineNow, Other},
    marks::{MarkList, Took},
    order::{self, Facts, Order},
    snapshot::{
        BesideNow, DiskNow, EVERY, Follow, Frame, GaugeNow, LineHealth, LinkNow, PressureNow,
        RunNow, Snapshot, Watch,
    },
    steady::Steady,
    words::{TREND_S, in_micron, trend_words},
};

/// The curve is renewed no more often than this.
const CURVE_EVERY: Duration = Duration::from_secs(1);
/// Marks shown.
const MARKS_SHOWN: usize = 12;

/// Keeps what views show, and publishes it. Whatever it does comes after the record.
#[derive(Debug)]
pub struct Feed {
    sender: watch::Sender<Frame>,
    run: RunNow,
    flammable: Option<String>,
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
}

impl Feed {
    /// A feed nobody looks at yet.
    pub fn new(job: Option<&Job>, criteria: &Criteria) -> Self {
        let mut judged = JudgedNow::default();
        judged.target.micron = criteria.target_micron;
        let voice = job.map(|j| Voice::from(&j.sheet)).unwrap_or_default();
        let mut first = Frame::default();
        Arc::make_mut(&mut first.now).voice = voice;
        Self {
            sender: watch::Sender::new(first),
            run: RunNow {
                job: job.map(|j| j.id.clone()).unwrap_or_default(),
                invented: job.is_some_and(|j| j.invented),
                recording: true,
                ..RunNow::default()
            },
            flammable: order::flammable(&voice, job.and_then(|j| j.refrigerant.as_deref())),
            gauge_open_to_system: job.and_then(|j| j.gauge_open_to_system),
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
        }
        self.heard.push(at);
    }

    /// The judged gauge is heard otherwise now.
    pub fn link(&mut self, link: LinkNow) {
        if link == LinkNow::Hearing {
            self.gauge.reconnects += 1;
        }
        self.gauge.link = link;
        self.owed = true;
    }

    /// Something that a person should know.
    pub fn event(&mut self, kind: EventKind, text: impl Into<String>) {
        let at_s = self.elapsed_s;
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
        self.line = self.line.anew(voice, live, beside);
        let looked = JudgedNow::of(voice, live);
        self.judged = self
            .steady
            .look(voice, looked, self.elapsed_s, live.pressure_micron);
        let settled = live.held_s.is_none_or(|held| held > TREND_S);
        let trend = live.trend_micron_per_min.filter(|_| settled);
        self.pressure.trend_micron_per_min = trend;
        self.pressure.trend = match (trend, live.pressure_micron) {
            (Some(trend), Some(p)) => trend_words(voice, trend, p),
            _ => String::new(),
        };
        self.set_order();
        for (kind, text) in self.changes.look(voice, &self.judged, &self.order) {
            self.event(kind, text);
        }
        self.owed = true;
    }

    fn set_order(&mut self) {
        let measured = self.pressure.state == ReadingState::Ok.word();
        self.order = order::order(&Facts {
            voice: in_micron(self.voice),
            judged: &self.judged,
            marks: self.marks.all(),
            pressure_micron: self.pressure.micron.filter(|_| measured),
            jump: self.jumps.found(),
            flammable: self.flammable.as_deref(),
            gauge_open_to_system: self.gauge_open_to_system,
        });
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
        let published = self
            .published
            .filter(|_| self.is_owed() && self.is_watched());
        published.map(|at| at + EVERY)
    }

    /// Who follows calmly is owed what happened, and no reading before the next second.
    fn is_owed(&self) -> bool {
        self.news || (self.owed && self.closely)
    }

    /// Publishes if something is owed and the last frame is old enough.
    pub fn publish_if_due(&mut self, now: Instant) {
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
        let marks = self.marks.all();
        let newest = self.heard.newest();
        let snapshot = Snapshot {
            version: self.version,
            run: self.run.clone(),
            elapsed_s: self.elapsed_s,
            pressure: self.pressure.in_words(&self.voice),
            judged: self.judged.clone(),
            phase_words: self.judged.phase.words(&self.voice),
            order: self.order.clone(),
            marks: marks[marks.len().saturating_sub(MARKS_SHOWN)..].to_vec(),
            gauge: GaugeNow {
                per_s: self.heard.per_s(now),
                age_s: newest.map(|at| now.saturating_duration_since(at).as_secs_f64()),
                ..self.gauge.clone()
            },
            beside: self.beside.clone(),
            disk: self.disk.clone(),
            past_events: self.past_events,
            line: self.line.clone(),
            voice: self.voice,
        };
        Frame {
            now: Arc::new(snapshot),
            history: Arc::clone(&self.curve),
            events: Arc::clone(&self.events),
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
mod tests {
    use super::*;
    use vacuum::{MarkKind, PressureUnit};

    fn feed() -> Feed {
        Feed::new(None, &Criteria::default())
    }

    fn reading(elapsed_s: f64, micron: f64) -> Entry {
        let pressure = Pressure::from_micron(micron).expect("a pressure");
        Entry::Reading(Reading::measured(elapsed_s, pressure))
    }

    #[test]
    fn a_view_that_never_looks_costs_and_blocks_nothing() {
        let mut feed = feed();
        let watch = feed.watch(Follow::Closely);
        feed.begin();
        let start = Instant::now();
        for i in 0..5_000_u32 {
            feed.entry(&reading(f64::from(i) / 10.0, 400.0));
            feed.publish_if_due(start + EVERY * 2 * i);
        }
        assert!(watch.has_changed().expect("alive"));
        assert_eq!(watch.borrow().now.gauge.readings, 5_000);
        drop(watch);
        let before = feed.version;
        feed.publish(start);
        assert_eq!(feed.version, before, "nobody looks");
    }

    #[test]
    fn frames_come_no_faster_than_eyes() {
        let mut feed = feed();
        let _watch = feed.watch(Follow::Closely);
        let start = Instant::now();
        for i in 0..1_000_u32 {
            feed.entry(&reading(f64::from(i) / 1_000.0, 400.0));
            feed.publish_if_due(start + Duration::from_millis(1) * i);
        }
        assert!((24..=26).contains(&feed.version), "{}", feed.version);
        assert!(feed.due().is_some());
        // what came last is owed, and comes
        feed.publish_if_due(start + Duration::from_secs(2));
        let newest = feed.frame(start).now.elapsed_s;
        assert!((newest - 0.999).abs() < 1e-9);
    }

    #[test]
    fn a_frame_says_what_was_recorded() {
        let mut feed = feed();
        let watch = feed.watch(Follow::Closely);
        let now = Instant::now();
        feed.heard(now);
        feed.heard(now + Duration::from_secs(1));
        feed.entry(&reading(1.0, 468.4));
        feed.entry(&Entry::Mark(Mark {
            elapsed_s: 2.0,
            kind: MarkKind::PumpSideShut,
            note: String::new(),
        }));
        feed.publish(now + Duration::from_secs(2));
        let frame = watch.borrow().clone();
        assert_eq!(frame.now.pressure.digits, "468");
        assert_eq!(frame.now.pressure.state, "ok");
        assert_eq!(frame.now.marks.len(), 1);
        assert_eq!(frame.now.gauge.age_s, Some(1.0));
        assert!((frame.now.gauge.per_s - 1.0).abs() < 1e-9);
        assert_eq!(frame.history.columns.len(), 1);
        let texts: Vec<&str> = frame.events.all().map(|e| e.text.as_str()).collect();
        assert_eq!(texts, ["Marked: pump-side valve shut."]);
        // and all of it can be sent
        let sent = serde_json::to_value(&*frame.now).expect("JSON");
        assert_eq!(sent["judged"]["phase"], "waiting");
        assert_eq!(sent["marks"][0]["code"], "pump_side_shut");
        assert!(sent["order"]["steps"].is_array());
        assert!(serde_json::to_string(&*frame.history).is_ok());
        let events = serde_json::to_value(&*frame.events).expect("JSON");
        assert_eq!(events[0]["kind"], "marked");
        assert_eq!(events[0]["number"], 1);
    }

    #[test]
    fn the_unit_of_the_sheet_stands_beside_micron() {
        let mut feed = feed();
        feed.voice.unit = PressureUnit::Pascal;
        feed.entry(&reading(1.0, 468.4));
        let now = feed.frame(Instant::now()).now;
        // 468.4 mTorr, 133.322 Pa a Torr (NIST SP 811)
        assert_eq!(now.pressure.also.as_deref(), Some("62.4 Pa"));
        assert_eq!(now.pressure.unit_and_also(), "micron (62.4 Pa)");
    }

    #[test]
    fn a_gauge_that_goes_shows_no_stale_number() {
        let mut feed = feed();
        feed.entry(&reading(1.0, 468.4));
        feed.entry(&Entry::Reading(Reading::gap(9.0)));
        let now = feed.frame(Instant::now()).now;
        assert_eq!(
            (now.pressure.digits.as_str(), now.pressure.state),
            ("—", "gap")
        );
    }
}
