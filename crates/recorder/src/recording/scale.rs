//! The scale of a run.

use std::path::Path;

use run_record::{RecordError, RunHeader, ScaleReader};
use vacuum::Mark;
use weigh_in::{Setup, WeighIn};

/// The scale of a run while it is recorded.
pub(super) struct Scale {
    pub(super) weigh_in: WeighIn,
    pub(super) last_s: f64,
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
