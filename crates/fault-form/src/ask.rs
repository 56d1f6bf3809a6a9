//! Asking a person.

use std::io::Write;

use console::{Left, Questions};

use crate::{draft::Draft, error::FormError, fields::FIELDS};

/// Asks whatever was not said yet, one question a line; Enter where nobody looked. What has
/// to be known is asked again.
///
/// # Errors
/// [`FormError::Left`] when the person leaves.
pub fn ask<W: Write>(draft: &mut Draft, person: &mut Questions<W>) -> Result<(), FormError> {
    const NEEDED: [&str; 3] = ["refrigerant", "cabinet", "ambient-c"];
    person.say("Enter where nobody looked. Nothing is opened for these questions.");
    for field in FIELDS.iter().filter(|f| f.asked) {
        if draft.get(field.key).is_some() || !is_of_use(draft, field.key) {
            continue;
        }
        loop {
            let end = if field.question.ends_with('?') {
                ""
            } else {
                ":"
            };
            let prompt = format!("{}{end} ", field.question);
            let answer = person.line(&prompt).map_err(|Left| FormError::Left)?;
            if answer.is_empty() {
                match NEEDED.contains(&field.key) {
                    true => person.say("  that has to be known"),
                    false => break,
                }
                continue;
            }
            match draft.take_field(field, &answer) {
                Ok(()) => break,
                Err(why) => person.say(&format!("  {why}")),
            }
        }
    }
    Ok(())
}

/// Whether an answer could say anything after those that there are.
fn is_of_use(draft: &Draft, key: &str) -> bool {
    let stands = draft
        .get("compressor-runs")
        .is_some_and(|a| matches!(crate::text::yes_or_no(a), Ok(false)));
    match key {
        "nameplate-draw" => draft.get("draw").is_some(),
        "rest-c" => draft.get("rest-pressure").is_some(),
        "charge-found-g" => draft.get("nameplate-g").is_some(),
        "opened-before" => draft.get("last-service").is_some(),
        "fans-turn" => draft.get("cabinet").is_some_and(|c| c.contains("fan")),
        "runs-all-the-time"
        | "draw"
        | "condenser-in-c"
        | "condenser-out-c"
        | "frost"
        | "suction-line"
        | "sound"
        | "better-after-standing"
        | "suction"
        | "discharge"
        | "pressures-meet" => !stands,
        _ => true,
    }
}
