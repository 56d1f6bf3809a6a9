//! The profiles carry the numbers of the texts they name.

use vacuum::Criteria;

#[test]
fn profiles_carry_the_published_numbers() {
    // UFGS section 15182 §3.3.3 "Evacuation Test" (seen): pull to 300
    // micrometers, stand 1 hour, not above 500
    let hour = Criteria::facilities_one_hour();
    assert_eq!(
        (hour.target_micron, hour.hold_min, hour.ceiling_micron),
        (300.0, 60.0, 500.0)
    );
    // US Army TM 10-8145-222-23 WP 0014 (seen): 500 microns, at least 30 minutes
    let half = Criteria::half_hour();
    assert_eq!(
        (half.target_micron, half.hold_min, half.ceiling_micron),
        (500.0, 30.0, 500.0)
    );
    // 500 micron, 10 minutes: common practice, no source; the default
    let common = Criteria::common_practice();
    assert_eq!(
        (common.target_micron, common.hold_min, common.ceiling_micron),
        (500.0, 10.0, 500.0)
    );
    assert!(common.source.contains("no published source"));
    assert_eq!(Criteria::default(), common);
}
