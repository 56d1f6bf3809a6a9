//! Job files as technicians write them.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::{fs, path::Path};

use run_record::JobFile;
use vacuum::{AccessSides, Criteria};

fn read(text: &str) -> Result<JobFile, String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, text).unwrap();
    JobFile::read(&path).map_err(|e| {
        let text = e.to_string();
        assert!(!text.contains('\n'), "{text}");
        text.split_once("job.toml: ").unwrap().1.to_owned()
    })
}

#[test]
fn the_sample_is_whole_and_marked_as_invented() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/job.toml");
    let file = JobFile::read(&path).unwrap();
    assert!(file.job.invented);
    assert_eq!(file.unknown_keys, Vec::<String>::new());
    assert_eq!(file.job.access_sides, Some(AccessSides::Both));
    assert_eq!(file.job.charge_g, Some(58.0));
    assert_eq!(file.job.gauge.calibrated_on.as_deref(), Some("2026-01-15"));
    assert_eq!(file.criteria, Some(Criteria::common_practice()));
    assert_eq!(file.pump_gauge.serial.as_deref(), Some("G-0012"));
}

#[test]
fn what_is_absent_stays_absent() {
    let file = read("[job]\nid = 4711\noil = \"  \"\n").unwrap();
    assert_eq!(file.job.id, "4711");
    assert_eq!((file.job.volume_l, file.job.oil), (None, None));
    assert_eq!(file.criteria, None);
    assert_eq!(file.pump_gauge, vacuum::GaugeIdentity::default());
    let misspelt = read("[pump_gauge]\nseriall = \"x\"\n").unwrap();
    assert_eq!(misspelt.unknown_keys, ["pump_gauge.seriall"]);
}

#[test]
fn criteria_are_a_profile_or_own_numbers() {
    let criteria = |text: &str| read(text).map(|f| f.criteria.unwrap());
    let half_hour = criteria("[criteria]\nname = \"Half hour\"\n").unwrap();
    assert_eq!(half_hour.hold_min, 30.0);
    let own = criteria("[criteria]\ntarget_micron = 300\nhold_min = 20\n").unwrap();
    assert_eq!((own.target_micron, own.ceiling_micron), (300.0, 500.0));
    assert_eq!(own.source, "as given in the job file");
    // a published source must not be claimed for other numbers
    let changed = criteria("[criteria]\nname = \"half hour\"\ntarget_micron = 800\n").unwrap();
    assert_eq!(changed.source, "as given in the job file");
    assert_eq!(changed.ceiling_micron, 800.0);
    assert!(
        criteria("[criteria]\nname = \"strictest\"\n")
            .unwrap_err()
            .contains("shipped profile")
    );
    assert!(
        criteria("[criteria]\ntarget_micron = 0\n")
            .unwrap_err()
            .contains("above zero")
    );
}

#[test]
fn mistakes_are_named_with_their_row() {
    let error = |text: &str| read(text).unwrap_err();
    assert!(error("[job]\nid = \"1\"\nvolume_l = \n").starts_with("row 3: "));
    let text = error("[job]\nid = \"1\"\nvolume_l = \"big\"\n");
    assert!(text.starts_with("row 3: "), "{text}");
    assert!(error("[job]\nvolume_l = -4\n").starts_with("volume_l = -4 cannot be right"));
    assert!(error("[job]\ncharge_g = nan\n").starts_with("charge_g = NaN cannot be right"));
    assert!(error("[job]\naccess_sides = \"left\"\n").contains("\"one\" or \"both\""));
    assert!(error("[job]\nid = [1]\n").contains("text"));
    let typo = read("[job]\nid = \"1\"\nvolum_l = 4\n[gage]\nserial = \"x\"\n").unwrap();
    assert_eq!(typo.unknown_keys, ["gage", "job.volum_l"]);
}
