//! The profiles that ship, each with the text that it was read in.

use super::{Criteria, FurtherCriteria, RoundCriteria};
use crate::TestKind;

/// Where [`Criteria::rig_half_hour`] said it came from before its subject was told.
const RIG_SOURCE_BEFORE: &str = "TM 10-8145-222-23 WP 0014";

impl Criteria {
    /// 500 micron, 10 minutes, 500 micron. Common practice, no source.
    #[must_use]
    pub fn common_practice() -> Self {
        Self {
            name: "common practice".into(),
            source: "common practice, no published source".into(),
            target_micron: 500.0,
            hold_min: 10.0,
            ceiling_micron: 500.0,
            further: FurtherCriteria::default(),
        }
    }

    /// Pull to 300 micron, stand one hour, not above 500 micron, in a room above 2 °C.
    ///
    /// Source: Unified Facilities Guide Specification section 15182, §3.3.3
    /// "Evacuation Test" (USACE/NAVFAC/AFCEC/NASA), which gives the room as 2 °C, 35 °F.
    #[must_use]
    pub fn facilities_one_hour() -> Self {
        Self {
            name: "facilities one hour".into(),
            source: "UFGS 15182 §3.3.3".into(),
            target_micron: 300.0,
            hold_min: 60.0,
            ceiling_micron: 500.0,
            further: FurtherCriteria {
                ambient_above_c: Some(2.0),
                ..FurtherCriteria::default()
            },
        }
    }

    /// Pump, hoses and gauge by themselves, service valves shut: 500 micron for 30 minutes.
    /// Not a criterion for a system.
    ///
    /// Source: US Army TM 10-8145-222-23, WP 0014, steps 14 and 15; it asks for this of
    /// the hose set-up, before the system is evacuated
    /// ([`Criteria::two_thousand_twice`] has the system's own stage).
    #[must_use]
    pub fn rig_half_hour() -> Self {
        Self {
            name: "rig half hour".into(),
            source: "TM 10-8145-222-23 WP 0014: pump and hoses, valves shut".into(),
            target_micron: 500.0,
            hold_min: 30.0,
            ceiling_micron: 500.0,
            further: FurtherCriteria::default(),
        }
    }

    /// 2,000 micron, 3 minutes, twice, the vacuum broken in between.
    ///
    /// Source: US Army TM 10-8145-222-23, WP 0014: 2,000 ± 25 micron, a wait of 3 to 5
    /// minutes ("could be … moisture in the system or a leak"), then the same again. The upper end of the tolerance is taken as target and ceiling, the shorter
    /// wait as the hold: both are the reading of this program.
    #[must_use]
    pub fn two_thousand_twice() -> Self {
        Self {
            name: "two thousand twice".into(),
            source: "TM 10-8145-222-23 WP 0014: the system's stage".into(),
            target_micron: 2_025.0,
            hold_min: 3.0,
            ceiling_micron: 2_025.0,
            further: FurtherCriteria {
                earlier_rounds: vec![RoundCriteria {
                    target_micron: 2_025.0,
                    hold_min: Some(3.0),
                    ceiling_micron: Some(2_025.0),
                }],
                ..FurtherCriteria::default()
            },
        }
    }

    /// 300 micron from both sides at once, three times, the last one held for two hours.
    ///
    /// Source: Unified Facilities Guide Specification section 15741N, §3.7.3: both sides
    /// simultaneously, three cycles of evacuating and charging, at the end 300 micron
    /// for 2 hours.
    #[must_use]
    pub fn both_sides_three_times() -> Self {
        Self {
            name: "both sides three times".into(),
            source: "UFGS 15741N §3.7.3".into(),
            target_micron: 300.0,
            hold_min: 120.0,
            ceiling_micron: 300.0,
            further: FurtherCriteria {
                earlier_rounds: vec![RoundCriteria::to(300.0); 2],
                both_sides: true,
                ..FurtherCriteria::default()
            },
        }
    }

    /// What a test of this kind is judged against where nobody says anything: pump and hoses
    /// alone as [`Criteria::rig_half_hour`], a system as [`Criteria::common_practice`].
    #[must_use]
    pub fn usual_for(kind: TestKind) -> Self {
        match kind {
            TestKind::BlankOff => Self::rig_half_hour(),
            TestKind::Evacuation | TestKind::PressureDecay => Self::common_practice(),
        }
    }

    /// The profiles that ship, common practice first.
    #[must_use]
    pub fn profiles() -> Vec<Self> {
        vec![
            Self::common_practice(),
            Self::facilities_one_hour(),
            Self::both_sides_three_times(),
            Self::two_thousand_twice(),
            Self::rig_half_hour(),
        ]
    }

    /// The profile that ships under this name, whatever its case. `half hour` is what
    /// `rig half hour` was called once.
    ///
    /// ```
    /// use vacuum::Criteria;
    ///
    /// assert_eq!(Criteria::named(" Half hour"), Some(Criteria::rig_half_hour()));
    /// assert_eq!(Criteria::named("strict"), None);
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let name = match name.trim() {
            before if before.eq_ignore_ascii_case("half hour") => "rig half hour",
            name => name,
        };
        let mut all = Self::profiles().into_iter();
        all.find(|p| p.name.eq_ignore_ascii_case(name))
    }

    /// What a source that a record names is called today.
    #[must_use]
    pub fn source_today(source: String) -> String {
        match source == RIG_SOURCE_BEFORE {
            true => Self::rig_half_hour().source,
            false => source,
        }
    }
}
