//! The scale beside the gauge: recorded first, judged second, shown third.

use std::time::Instant;

use sensor_reader::Sample;
use vacuum::{ChargingAct, Mark, Weighing};

use super::Recorder;

impl Recorder {
    /// What the scale says, with the time of its line.
    pub(crate) fn take_weighing(&mut self, arrived: Instant, sample: &Sample) {
        let shared_s = sample.device_s.filter(|_| self.companions.one_clock);
        let elapsed_s = self.time.of_other(arrived, shared_s);
        self.scale_quality.reading();
        if let Some(weighing) = scale_reader::weighing(sample, elapsed_s) {
            self.weighed(weighing);
        }
    }

    /// The scale was not heard until this moment.
    pub(crate) fn scale_gap(&mut self, at: Instant) {
        let elapsed_s = self.time.of_other(at, None);
        self.weighed(Weighing::gap(elapsed_s));
    }

    fn weighed(&mut self, mut weighing: Weighing) {
        let Some(scale) = &mut self.scale else {
            return;
        };
        // whole milliseconds, in order, as they will be read back
        let elapsed_s = (weighing.elapsed_s * 1_000.0).round() / 1_000.0;
        scale.last_s = scale.last_s.max(elapsed_s);
        weighing.elapsed_s = scale.last_s;
        let utc = self.time.utc(weighing.elapsed_s);
        self.writer.append_weighing(&weighing, utc);
        scale.weigh_in.push(&weighing);
        let charge = scale.weigh_in.charge();
        self.feed.weighed(&weighing, charge.as_ref());
    }

    /// Hands a mark that was recorded to the judge of the weigh-in.
    pub(super) fn mark_on_scale(&mut self, mark: &Mark) {
        let Some(scale) = &mut self.scale else {
            return;
        };
        if mark.charging_act() == Some(ChargingAct::WeighInBegins) {
            scale.weigh_in.hold_passed(self.judge.hold_passed());
        }
        scale.weigh_in.mark(mark);
        self.feed.charge(scale.weigh_in.charge().as_ref());
    }
}
