//! The scale beside the gauge: recorded first, judged second, shown third.

use std::{path::Path, time::Instant};

use run_record::{RecordError, RunHeader, ScaleReader};
use sensor_reader::Sample;
use vacuum::{ChargingAct, Mark, Weighing};
use weigh_in::{Setup, WeighIn};

use super::Recorder;

/// The scale of a run while it is recorded.
pub(super) struct Scale {
    weigh_in: WeighIn,
    last_s: f64,
}

impl Scale {
    /// The scale that the header names, if it names one.
    pub(super) fn of(header: &RunHeader) -> Option<Self> {
        let used = header.scale.as_ref()?;
        Some(Self {
            weigh_in: WeighIn::new(Setup {
                nameplate_g: header.job.charge_g,
                left_in_hoses_g: used.left_in_hoses_g,
                tolerance_g: None,
            }),
            last_s: 0.0,
        })
    }

    /// Takes what is recorded already, with the marks of the run in the order of time.
    pub(super) fn take_recorded(
        &mut self,
        folder: &Path,
        marks: &[Mark],
    ) -> Result<(), RecordError> {
        let mut marks = marks.iter().peekable();
        if let Some(mut reader) = ScaleReader::open(folder)? {
            while let Some(weighing) = reader.next_weighing()? {
                while let Some(mark) = marks.next_if(|m| m.elapsed_s <= weighing.elapsed_s) {
                    self.weigh_in.mark(mark);
                }
                self.last_s = weighing.elapsed_s;
                self.weigh_in.push(&weighing);
            }
        }
        marks.for_each(|mark| self.weigh_in.mark(mark));
        Ok(())
    }
}

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
