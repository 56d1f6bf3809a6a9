//! What has to be said the moment it is typed.

use vacuum::{Job, Refrigerant};

/// Said when only one side is evacuated.
pub(crate) const ONE_SIDE: &str = "\
Through one side only, gas behind the capillary tube bleeds into the hold like a leak: a rise \
will not be put down to a leak. Evacuate both sides where you can.";

/// Standing pressure above which a vacuum gauge and hoses for common refrigerants
/// are in danger, Pa; common practice, no source.
const HIGH_STANDING_PA: f64 = 2e6;

/// What is said of a refrigerant: its safety group in words, then its cautions.
pub(crate) fn of(refrigerant: &Refrigerant) -> Vec<String> {
    let name = refrigerant.designation;
    let group = refrigerant.safety_group;
    let mut said = vec![format!(
        "{name}: safety group {group}, {}.",
        in_words(group)
    )];
    if refrigerant.is_flammable() {
        said.push(format!("Caution: {}", on_the_sheet(Some(name))));
    }
    if refrigerant.is_toxic() {
        said.push(format!(
            "Caution: {name} is toxic (safety group {group}): ventilate, keep breathing protection \
             at hand, and leave the room if you smell it."
        ));
    }
    let standing = refrigerant.at_20_c.map(|v| v.saturation_pa);
    if let Some(pa) = standing.filter(|pa| *pa > HIGH_STANDING_PA) {
        said.push(format!(
            "Caution: {name} stands at {:.0} bar at 20 °C: valve the gauge off before any is let \
             in, and use hoses rated for it.",
            pa / 1e5
        ));
    }
    said
}

/// What is said of a refrigerant that is not in the table.
pub(crate) fn unknown() -> String {
    format!("Kept as typed. {}", on_the_sheet(None))
}

/// The gravest caution of the sheet for this refrigerant, so that sheet and
/// question say the same.
fn on_the_sheet(refrigerant: Option<&str>) -> String {
    let job = Job {
        refrigerant: refrigerant.map(str::to_owned),
        ..Job::default()
    };
    let mut all = report::wording::cautions(&report::Voice::default(), Some(&job));
    all.swap_remove(0)
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
