//! What has to be said the moment it is typed.

use vacuum::Refrigerant;
use wording::{Inside, RiskyAct, Voice};

/// Said when only one side is evacuated.
pub(crate) const ONE_SIDE: &str = "\
Through one side only, gas behind the capillary tube bleeds into the hold like a leak: a rise \
will not be put down to a leak. Evacuate both sides where you can.";

/// What is said of a refrigerant: its safety group in words, then its cautions.
pub(crate) fn of(refrigerant: &'static Refrigerant) -> Vec<String> {
    let group = refrigerant.safety_group;
    let mut said = vec![format!(
        "{}: safety group {group}, {}.",
        refrigerant.designation,
        in_words(group)
    )];
    let cautions = wording::refrigerant_cautions(&Voice::default(), refrigerant);
    said.extend(cautions.into_iter().map(|c| format!("Caution: {c}")));
    said
}

/// What has to be said before the work begins, whatever the refrigerant: that of it is
/// said when it is typed.
pub fn before_start() -> Vec<String> {
    let acts = [RiskyAct::Start, RiskyAct::OpenSystem, RiskyAct::Repair];
    wording::common_cautions_at(&Voice::default(), &acts)
}

/// What is said of a coldest part below freezing.
pub(crate) const ICE: &str = "Caution: ice may stand there and keep the pressure low for ever; \
    warm that part above 0 °C before the hold, or the hold may prove nothing.";

/// What is said of a refrigerant that is not in the table: what the sheet says first.
pub(crate) fn unknown() -> String {
    let all = wording::cautions_at(&Voice::default(), Inside::default(), &[RiskyAct::Start]);
    let first = all.into_iter().next().unwrap_or_default();
    format!("Kept as typed. {first}")
}

/// ISO 817: the letter is toxicity, the rest flammability.
fn in_words(group: &str) -> &'static str {
    match group {
        "A1" => "of lower toxicity, not flammable",
        "A2L" => "of lower toxicity, flammable (burns slowly)",
        "A2" => "of lower toxicity, flammable",
        "A3" => "of lower toxicity, highly flammable",
        "B1" => "toxic, not flammable",
        "B2L" => "toxic, flammable (burns slowly)",
        "B2" => "toxic, flammable",
        _ => "toxic, highly flammable",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_hurt_is_said_before_the_work_begins() {
        let said = before_start().join("\n");
        for what in [
            "Unplug the appliance",
            "Discharge capacitors",
            "Valve the vacuum gauge off",
            "never unbraze",
            "Never braze a tube under pressure",
            "Recover refrigerant",
        ] {
            assert!(said.contains(what), "{what}: {said}");
        }
        let isobutane = Refrigerant::named("R-600a").expect("in the table");
        let said = of(isobutane).join("\n");
        for what in [
            "switch the pump at a distant socket",
            "evacuate and purge again",
            "to earth before charging",
        ] {
            assert!(said.contains(what), "{what}: {said}");
        }
    }
}
