//! `dryhold verify`: checks the chain of a record, offline, from the folder alone.

use crate::{
    arguments::VerifyArguments,
    outcome::{Failure, Outcome, say},
};

/// Says whether the record holds together, and what that proves.
pub(crate) fn run(arguments: &VerifyArguments) -> Result<Outcome, Failure> {
    let found = run_record::verify(&arguments.path)?;
    say(format!("{}: {found}", arguments.path.display()));
    if let Some(link) = &found.last_link {
        say(format!(
            "  rows: {}, last link: {}",
            found.rows,
            String::from_utf8_lossy(link.as_bytes())
        ));
    }
    if !found.chain.is_intact() {
        say("  The rows from there on are not what was recorded.");
        return Ok(Outcome::Altered);
    }
    say("  Every row follows from the one before: none was changed, dropped, inserted or swapped");
    say(
        "  since. Not shown by this: rows cut off at the very end (compare the last link), a chain",
    );
    say("  made anew as a whole, or that the gauge was on the system.");
    Ok(Outcome::Done)
}
