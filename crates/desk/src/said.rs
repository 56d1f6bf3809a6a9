//! What the findings that lie beside a record say: those of the shop, of whatever version.

use std::path::Path;

use plain_file::Links;
use serde_json::Value;
use wording::one_line;

use crate::row::Said;

/// Largest findings.json that is read, bytes.
const LARGEST: u64 = 4 << 20;
/// Longest text of it that is told, characters.
const LONGEST: usize = 120;

/// What they say; `None` where there are none, or they are not readable as such. Anybody may
/// have put them there: they are compared, never believed.
pub(crate) fn said(folder: &Path) -> Option<Said> {
    let bytes = plain_file::read(&folder.join("findings.json"), LARGEST, Links::Refuse).ok()?;
    let found: Value = serde_json::from_slice(&bytes).ok()?;
    let text = |value: &Value| one_line(value.as_str().unwrap_or_default(), LONGEST);
    let verdict = text(&found["verdict"]);
    (!verdict.is_empty()).then(|| Said {
        made_by: text(&found["made_by"]),
        criteria: criteria(&found["criteria"], &text),
        verdict,
    })
}

/// The criteria of findings as one line, as far as they can be read.
fn criteria(of: &Value, text: &dyn Fn(&Value) -> String) -> String {
    let number = |key: &str, before: &str, unit: &str| {
        let number = of[key].as_f64()?;
        Some(format!("{before}{number} {unit}"))
    };
    let parts = [
        number("target_micron", "", "micron"),
        number("floor_micron", "", "micron"),
        number("hold_min", "", "min"),
        number("ceiling_micron", "ceiling ", "micron"),
        Some(text(&of["name"])).filter(|name| !name.is_empty()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
