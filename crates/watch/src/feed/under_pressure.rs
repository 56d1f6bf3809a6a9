//! What a feed shows of a pressure test.

use std::sync::Arc;

use findings::{DecayFindings, DecayLive};
use vacuum::{Pressure, TestKind};

use super::Feed;
use crate::{
    axis::AxisNow,
    line::{LineNow, Other},
    order::Order,
    pace::PaceNow,
    pressure_test,
    snapshot::VerdictNow,
    words::in_micron,
};

impl Feed {
    /// Says which test the run is; an evacuation where nobody does.
    pub fn set_test(&mut self, test: TestKind) {
        self.test = test;
        let stamps = self.stamps();
        self.sender
            .send_modify(|frame| Arc::make_mut(&mut frame.now).stamps = stamps);
    }

    /// Takes what a whole pressure test comes to: said once recording has ended.
    pub fn conclude_pressure_test(&mut self, found: &DecayFindings) {
        let lines = wording::decay_lines(&self.voice, found);
        self.verdict = Some(VerdictNow {
            code: found.verdict.word(),
            words: lines.first().cloned().unwrap_or_default(),
            next: lines.last().cloned().unwrap_or_default(),
        });
    }

    /// Takes a look at a pressure test, and at what other gauges and channels say.
    pub fn look_at_pressure_test(&mut self, live: DecayLive, beside: &[Other<'_>]) {
        let voice = &in_micron(self.voice);
        self.beside(voice, beside);
        self.judged = pressure_test::judged(voice, &live);
        let pressure = live.pressure_pa.and_then(|pa| Pressure::from_pa(pa).ok());
        let shown = pressure.map(|p| pressure_test::words(&self.voice, p));
        let pace = PaceNow {
            micron_per_min: live.trend_pa_per_min.and_then(|pa| {
                Pressure::from_pa(pa.abs())
                    .ok()
                    .map(|p| p.micron().copysign(pa))
            }),
            words: pressure_test::trend_words(&self.voice, &live),
        };
        let line = LineNow::of(voice, shown, &self.judged, &pace, beside);
        self.line = self.line.anew(line);
        self.pressure.trend_micron_per_min = pace.micron_per_min;
        self.pressure.trend = pace.words;
        self.decay = Some(live);
        self.tell_changes();
    }

    pub(super) fn order_under_pressure(&self) -> Order {
        pressure_test::order(&pressure_test::Facts {
            voice: self.voice,
            judged: &self.judged,
            live: self.decay.as_ref(),
            marks: self.marks.all(),
            inside: self.inside,
        })
    }

    pub(super) fn axis(&self) -> AxisNow {
        match self.test {
            TestKind::PressureDecay => pressure_test::axis(&self.voice),
            _ => AxisNow::default(),
        }
    }
}
