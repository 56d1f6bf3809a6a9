//! Findings that lie beside a record and may be believed.

use std::{path::Path, time::SystemTime};

use seal_keys::PublicKey;

/// Largest findings.json that is read, bytes.
const LARGEST_FINDINGS: u64 = 4 << 20;

/// What findings.json says, if a seal by one's own key covers it, no file of the record
/// is newer and this version made it. Anybody may have put another file there.
pub fn known_findings(folder: &Path, own_key: &PublicKey) -> Option<serde_json::Value> {
    const NAME: &str = "findings.json";
    let made = folder.join(NAME).symlink_metadata().ok()?.modified().ok()?;
    if newest_of_record(folder)? > made {
        return None;
    }
    let bytes = run_record::sealed_product(folder, NAME, LARGEST_FINDINGS, own_key)?;
    let found: serde_json::Value = serde_json::from_slice(&bytes).ok()?;
    // those of before there was a headline do not tell a pass from a pass with a leak
    let whole = found["made_by"] == report::FINDINGS_MADE_BY && found["headline"].is_string();
    whole.then_some(found)
}

/// When the record was last written to.
fn newest_of_record(folder: &Path) -> Option<SystemTime> {
    let is_record = |name: &str| {
        name == "job.toml"
            || (name.ends_with(".csv") && (name.starts_with("trace") || name.starts_with("beside")))
    };
    let files = std::fs::read_dir(folder).ok()?.filter_map(Result::ok);
    let of_record = files.filter(|f| is_record(&f.file_name().to_string_lossy()));
    of_record
        .map(|f| f.metadata().and_then(|m| m.modified()))
        .try_fold(SystemTime::UNIX_EPOCH, |newest, at| {
            Some(newest.max(at.ok()?))
        })
}
