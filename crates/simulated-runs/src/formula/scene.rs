//! One run before anything is read from it: pull-down, hold, gauge, conduct.

use vacuum::{Entry, MarkKind};

use super::{
    draw::{self, Aim},
    hold::Hold,
    indicator::{Indicator, Outage, Top, mark},
    pulldown::{Pulldown, Twist},
    track::Shape,
};
use rehearsal::rng::Rng;

/// A drawn run.
#[derive(Debug, Clone)]
pub(super) struct Scene {
    pub(super) twist: Twist,
    pub(super) pulldown: Pulldown,
    pub(super) gauge: Indicator,
    /// The last hold, and how long before the record or the valve it began.
    pub(super) hold: Option<Hold>,
    pub(super) before_s: f64,
    pub(super) isolated_s: Option<f64>,
    pub(super) stopped_open: bool,
    pub(super) outage: Option<Outage>,
}

impl Scene {
    pub(super) fn draw(aim: Aim, twist: Twist, rng: &mut Rng) -> Self {
        let celsius = rng.range(12.0, 31.0);
        let mut gauge = draw::gauge(rng);
        if aim == Aim::Murky {
            gauge.noise = rng.log_range(0.006, 0.03);
        }
        let mut scene = Self {
            twist,
            pulldown: Pulldown {
                celsius,
                ..Pulldown::default()
            },
            gauge,
            hold: None,
            before_s: 0.0,
            isolated_s: None,
            stopped_open: false,
            outage: None,
        };
        if twist == Twist::StartsIsolated {
            scene.start_isolated(aim, rng);
            return scene;
        }
        scene.pulldown = Pulldown::draw(twist, celsius, rng);
        match twist {
            Twist::NeverIsolated => scene.pulldown.track.dwell(rng.range(10.0, 600.0)),
            Twist::PumpStopped => scene.stop_pump_first(aim, rng),
            _ => scene.isolate(aim, rng),
        }
        scene
    }

    fn note(&mut self, kind: MarkKind) {
        let at = self.pulldown.track.end_s;
        self.pulldown.marks.push(mark(at, kind));
    }

    fn start_isolated(&mut self, aim: Aim, rng: &mut Rng) {
        let length_s = draw::hold_length(aim, rng);
        let start = rng.log_range(20.0, 450.0);
        let hold = draw::hold(aim, start, length_s, self.pulldown.celsius, rng);
        self.before_s = rng.range(0.0, 120.0);
        let shape = Shape::Hold(hold.clone(), self.before_s);
        self.pulldown.track.add(shape, length_s);
        self.hold = Some(hold);
        self.isolated_s = Some(0.0);
    }

    fn isolate(&mut self, aim: Aim, rng: &mut Rng) {
        let length_s = draw::hold_length(aim, rng);
        let at = self.pulldown.track.end_s;
        let start = self.pulldown.track.last();
        let mut hold = draw::hold(aim, start, length_s, self.pulldown.celsius, rng);
        if self.stopped_open {
            // the air was let in at the gauge's side: little is left to equalise
            hold.jump = rng.range(-0.05, 0.05) * start;
            hold.fall.0 = 0.0;
        }
        if self.twist == Twist::OneSide {
            let micron = start * rng.log_range(0.1, 4.0);
            hold.bleed = (micron, length_s * rng.log_range(0.3, 8.0));
        }
        self.note(MarkKind::PumpSideShut);
        self.pulldown
            .track
            .add(Shape::Hold(hold.clone(), 0.0), length_s);
        if rng.chance(0.8) {
            let later = rng.range(4.0, 60.0).min(0.4 * length_s);
            self.pulldown
                .marks
                .push(mark(at + later, MarkKind::PumpStopped));
        }
        if self.twist == Twist::Outage {
            self.outage = Some(draw::outage(at, length_s, rng));
        }
        self.hold = Some(hold);
        self.isolated_s = Some(at);
    }

    /// The pump is stopped with its valve open: air comes in past it until the
    /// valve is shut, if it is.
    fn stop_pump_first(&mut self, aim: Aim, rng: &mut Rng) {
        self.stopped_open = true;
        self.note(MarkKind::PumpStopped);
        let from = self.pulldown.track.last();
        let inflow = Shape::Inflow {
            from,
            per_s: rng.log_range(200.0, 8_000.0) / 60.0,
            gap: rng.range(0.0, 1.0) * from,
            tau_s: rng.log_range(2.0, 10.0),
        };
        self.pulldown.track.add(inflow, rng.range(20.0, 240.0));
        if rng.chance(0.7) {
            self.isolate(aim, rng);
        }
    }

    /// Everything the technician could have marked, in order.
    pub(super) fn marks(&self, delay_s: f64, rng: &mut Rng) -> Vec<Entry> {
        let late = |entry: &Entry, rng: &mut Rng| match entry {
            Entry::Mark(m) => mark(m.elapsed_s + delay_s * rng.unit(), m.kind),
            Entry::Reading(_) => entry.clone(),
        };
        let all = self.pulldown.marks.iter();
        all.map(|m| late(m, rng)).collect()
    }

    /// End of the record, s.
    pub(super) fn end_s(&self) -> f64 {
        self.pulldown.track.end_s
    }

    /// Length of the last hold in the record, s.
    pub(super) fn hold_s(&self) -> f64 {
        self.isolated_s.map_or(0.0, |at| self.end_s() - at)
    }

    /// Noise-free indication `h` s after the hold began in the record, micron.
    pub(super) fn shown(&self, hold: &Hold, h: f64) -> f64 {
        let shown = self.gauge.shows(hold.at(h + self.before_s));
        match self.gauge.top {
            Top::Clips => shown.min(self.gauge.top_micron),
            Top::Over => shown,
        }
    }
}
