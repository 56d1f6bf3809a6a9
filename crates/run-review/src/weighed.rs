//! The weigh-in of a record, judged from what its scale said; or the mass that was typed.

use std::path::Path;

use findings::{Charge, ChargeBasis, ChargePhase, Estimate, Verdict};
use run_record::{RecordError, RunHeader, ScaleReader};
use vacuum::Mark;
use weigh_in::{DEFAULT_TOLERANCE_G, Setup, WeighIn};

/// What is known of the charge of the run whose rows are in `judged`, and what a person is
/// told of how the scale's rows were read. `marks` are all marks of the run, in order.
pub(crate) fn charge(
    judged: &Path,
    header: &RunHeader,
    marks: &[Mark],
    verdict: Verdict,
) -> (Option<Charge>, Option<String>) {
    let folder = judged.parent().unwrap_or(Path::new("."));
    let mut weigh_in = WeighIn::new(Setup {
        nameplate_g: header.job.charge_g,
        left_in_hoses_g: header.scale.as_ref().and_then(|s| s.left_in_hoses_g),
        tolerance_g: None,
    });
    // the judgement of the vacuum ends where the weigh-in begins
    weigh_in.hold_passed(verdict == Verdict::Pass);
    let note = match &header.scale {
        Some(_) => take(folder, marks, &mut weigh_in),
        None => Ok(None),
    };
    let note = note.unwrap_or_else(|e| Some(e.to_string()));
    let weighed = weigh_in.charge().or_else(|| typed(header));
    (weighed, note.map(|note| format!("scale: {note}")))
}

/// Hands over rows and marks in the order of time; gives what there is to say about the end
/// of the file.
fn take(
    folder: &Path,
    marks: &[Mark],
    weigh_in: &mut WeighIn,
) -> Result<Option<String>, RecordError> {
    let mut marks = marks.iter().peekable();
    let mut torn = None;
    if let Some(mut reader) = ScaleReader::open(folder)? {
        while let Some(weighing) = reader.next_weighing()? {
            while let Some(mark) = marks.next_if(|m| m.elapsed_s <= weighing.elapsed_s) {
                weigh_in.mark(mark);
            }
            weigh_in.push(&weighing);
        }
        torn = reader.summary().torn_tail.map(|torn| torn.to_string());
    }
    marks.for_each(|mark| weigh_in.mark(mark));
    Ok(torn)
}

/// A mass that somebody typed into the job.
fn typed(header: &RunHeader) -> Option<Charge> {
    let g = header.job.charged_g?;
    Some(Charge {
        basis: ChargeBasis::Typed,
        phase: ChargePhase::Ended,
        begun_at_s: None,
        ended_at_s: None,
        nameplate_g: header.job.charge_g,
        tolerance_g: DEFAULT_TOLERANCE_G,
        left_in_hoses_g: None,
        left_cylinder_g: None,
        charged_g: Some(Estimate {
            value: g,
            low: g,
            high: g,
        }),
        to_go_g: None,
        step_g: None,
        acts: Vec::new(),
        notices: Vec::new(),
    })
}
