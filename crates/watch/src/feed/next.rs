//! What comes next, by the kind of test and what is recorded beside the gauge.

use vacuum::{ReadingState, TestKind};

use super::Feed;
use crate::{
    order::{self, Facts},
    words::in_micron,
};

impl Feed {
    /// The order of work anew.
    pub(super) fn set_order(&mut self) {
        if let Some(order) = self.order_of_charging() {
            self.order = order;
            return;
        }
        if self.test == TestKind::PressureDecay {
            self.order = self.order_under_pressure();
            return;
        }
        let measured = self.pressure.state == ReadingState::Ok.word();
        self.order = order::order(&Facts {
            voice: in_micron(self.voice),
            judged: &self.judged,
            marks: self.marks.all(),
            pressure_micron: self.pressure.micron.filter(|_| measured),
            jump: self.jumps.found(),
            inside: self.inside,
            gauge_open_to_system: self.gauge_open_to_system,
            rig_alone: self.test == TestKind::BlankOff,
            weighs: self.scale.is_there,
        });
    }
}
