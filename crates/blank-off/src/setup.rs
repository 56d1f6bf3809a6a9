//! What is known of a test before it begins.

use analyser::Settings;
use findings::{RigHistory, RigNames};
use vacuum::Criteria;

/// What is known of a test.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// What is asked: the target is the highest floor that is allowed; hold and ceiling are
    /// those of the isolated rig.
    pub criteria: Criteria,
    /// Highest mean rise that is allowed, micron/min, above 0.
    pub allowed_rise_micron_per_min: Option<f64>,
    /// What the judge of the hold is to know; its criteria are replaced by those above.
    pub settings: Settings,
    /// What was tested.
    pub rig: RigNames,
    /// What earlier tests of it were like, as far as they are known. What is said of the
    /// trend counts this test in.
    pub history: Option<RigHistory>,
}

impl Default for Setup {
    /// 500 micron kept for 30 min: US Army TM 10-8145-222-23, WP 0014, steps 14 and 15
    /// ([`Criteria::rig_half_hour`]). It is stricter than the 133 Pa (1 mmHg) that UFGS
    /// 15730N §3.8.2 asks of a pump.
    fn default() -> Self {
        Self {
            criteria: Criteria::rig_half_hour(),
            allowed_rise_micron_per_min: None,
            settings: Settings::default(),
            rig: RigNames::default(),
            history: None,
        }
    }
}
