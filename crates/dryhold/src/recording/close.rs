//! What happens once a run is over: it is sealed, reviewed and drawn.

use console::{complain, say, say_lines};
use custody::{Sealer, tell_unsealed};
use recorder::Recorded;
use run_record::ImportOptions;
use run_review::{Draw, Record};
use seal_keys::SealKey;
use vacuum::SheetChoices;
use wording::Voice;

use crate::{
    options::{judging::JudgingArguments, sheet::SheetOptions},
    outcome::{Failure, Outcome},
    products::make_products,
};

/// Seals, reviews and draws a run that has just been recorded. All of that is
/// beside the record: failing in it does not undo what was recorded.
pub(crate) fn close(recorded: &Recorded, sealer: &mut Sealer) -> Result<Outcome, Failure> {
    sealer.renew();
    // first: whatever becomes of review and sheet, the record is sealed
    let key = sealer.seal(&recorded.run);
    review_and_draw(recorded, key)
}

fn review_and_draw(recorded: &Recorded, key: Option<&SealKey>) -> Result<Outcome, Failure> {
    let folder = &recorded.run.folder;
    say(format!(
        "{} readings recorded in {} rows{}.",
        recorded.readings,
        recorded.run.rows,
        recorded.quality.closing()
    ));
    if recorded.readings == 0 {
        say(format!(
            "Nothing to review. The empty record is in {}",
            folder.display()
        ));
        return Ok(Outcome::Done);
    }
    let record = Record::open(folder, &ImportOptions::default())?;
    let mut judged = record.judge_as_recorded(Draw::Yes, &JudgingArguments::ADVICE)?;
    judged.take_rig_off(&JudgingArguments::ADVICE);
    say_lines(judged.lines(&Voice::default()));
    match make_products(
        (&judged, &[]),
        folder,
        &SheetChoices::default(),
        &SheetOptions::default(),
        key,
    ) {
        Ok(made) => {
            made.paths().for_each(|p| say(format!("  {}", p.display())));
            tell_unsealed(&made);
            if let Some(failure) = made.failure {
                complain(Failure::from(failure));
            }
        }
        Err(failure) => complain(failure),
    }
    Ok(Outcome::Done)
}
