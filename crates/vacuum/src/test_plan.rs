//! Which test a run is, and what is known of a pressure test before it begins.

use crate::{TestGas, TestProfile};

/// What was tested in a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum TestKind {
    /// The system under vacuum: pull-down and hold.
    #[default]
    Evacuation,
    /// The system under dry gas, judged by what is left of it.
    PressureDecay,
    /// Pump, hoses and gauge by themselves, against a plug or a shut valve.
    BlankOff,
}

impl TestKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Evacuation, Self::PressureDecay, Self::BlankOff];

    /// The word in files, options and JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Evacuation => "evacuation",
            Self::PressureDecay => "pressure-decay",
            Self::BlankOff => "blank-off",
        }
    }

    /// Reads the word back; case, and `_` or a blank for `-`, do not count.
    ///
    /// ```
    /// use vacuum::TestKind;
    /// assert_eq!(TestKind::from_word("Pressure_Decay"), Some(TestKind::PressureDecay));
    /// assert_eq!(TestKind::from_word("leak"), None);
    /// ```
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        let word = word.trim().to_ascii_lowercase().replace(['_', ' '], "-");
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// What loss of gas is allowed in a pressure test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AllowedLoss {
    /// Throughput of the test gas at the pressure of the test.
    Throughput {
        /// p·V/t, Pa·m³/s, above zero.
        pa_m3_per_s: f64,
    },
    /// What the charged system may lose in a year, through the same leak.
    Refrigerant {
        /// g a year, above zero.
        g_per_year: f64,
    },
}

/// The table `[test]` of a job: which test, and what is known of it. Each entry is `None`
/// where nobody said it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TestPlan {
    /// Which test.
    pub kind: TestKind,
    /// A guide whose pressure test it is.
    pub profile: Option<&'static TestProfile>,
    /// The gas of a pressure test.
    pub gas: Option<TestGas>,
    /// Barometer, Pa, 50 000 to 110 000.
    pub barometer_pa: Option<f64>,
    /// The gauge counts from the air around it; its readings were made absolute with the
    /// barometer above, or with 101 325 Pa where nobody said one.
    pub counts_from_air: bool,
    /// The barometer was measured beside the gauge all the time, and its readings were made
    /// absolute with that.
    pub barometer_recorded: bool,
    /// Loss that is allowed.
    pub allowed: Option<AllowedLoss>,
    /// Shortest time from shutting the supply to the end, min, above zero.
    pub hold_min: Option<f64>,
    /// Least pressure of the test, Pa absolute.
    pub least_pa: Option<f64>,
    /// Highest pressure that the system may see, as on its nameplate, Pa absolute.
    pub highest_pa: Option<f64>,
}

impl TestPlan {
    /// What is said here, and where nothing is said here what `said` has; the kind and where
    /// the gauge counts from are those of `said`. A guide that is named here brings its own
    /// time along.
    #[must_use]
    pub fn or(self, said: &Self) -> Self {
        Self {
            kind: said.kind,
            profile: self.profile.or(said.profile),
            gas: self.gas.or(said.gas),
            barometer_pa: self.barometer_pa.or(said.barometer_pa),
            counts_from_air: said.counts_from_air,
            barometer_recorded: said.barometer_recorded,
            allowed: self.allowed.or(said.allowed),
            hold_min: self
                .hold_min
                .or(said.hold_min.filter(|_| self.profile.is_none())),
            least_pa: self.least_pa.or(said.least_pa),
            highest_pa: self.highest_pa.or(said.highest_pa),
        }
    }

    /// A test of this kind of which nothing else is known.
    #[must_use]
    pub fn of(kind: TestKind) -> Self {
        Self {
            kind,
            ..Self::default()
        }
    }
}
