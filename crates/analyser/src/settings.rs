use vacuum::{AccessSides, Criteria, GaugePrinciple, Job, RecordUnit, Refrigerant};

/// Share of a limit that rounding may take: a reading in a foreign unit comes out as micron
/// with an error in its last digit, and 0.5 Torr is 500 micron and no more (derived: a
/// million times the rounding of a double).
pub(crate) const ROUNDING: f64 = 1e-9;

/// How far a gauge in order may be off, as a share of its reading (common practice, no
/// source).
pub(crate) const GAUGE_ACCURACY: f64 = 0.10;

/// Ambient temperature that is assumed where nobody gave one, °C (common practice, no
/// source).
const ASSUMED_AMBIENT_C: f64 = 20.0;

/// What the analyser knows beside the readings.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Settings {
    /// What to judge against.
    pub criteria: Criteria,
    /// Ambient temperature, °C.
    pub ambient_c: Option<f64>,
    /// Temperature of the coldest part of the system during the hold, °C.
    pub coldest_part_c: Option<f64>,
    /// Volume of the evacuated system, L, above 0.
    pub volume_l: Option<f64>,
    /// Isolation as the reviewer knows it, s of the run.
    pub isolated_at_s: Option<f64>,
    /// Refrigerant, for grams a year.
    pub refrigerant: Option<&'static Refrigerant>,
    /// Sides evacuated.
    pub access_sides: Option<AccessSides>,
    /// Nameplate charge, g.
    pub charge_g: Option<f64>,
    /// Whether the gauge stays open to the system when the manifold valves are shut.
    pub gauge_open_to_system: Option<bool>,
    /// How the gauge senses the pressure; a thermal one shows water vapour about twice
    /// too high.
    pub gauge_principle: Option<GaugePrinciple>,
    /// In which unit the readings came, and who says so. Without it they are taken to
    /// have come in micron, stated by the gauge.
    pub record_unit: Option<RecordUnit>,
    /// True where somebody has compared the unit with the gauge's display: then a
    /// record that begins like the air outside in another unit is believed.
    pub unit_checked: bool,
}

impl Settings {
    /// Ambient temperature as given, else as assumed, °C.
    pub(crate) fn ambient_or_assumed_c(&self) -> f64 {
        self.ambient_c.unwrap_or(ASSUMED_AMBIENT_C)
    }

    /// Takes what the job says, keeping what is already set here.
    ///
    /// ```
    /// use analyser::Settings;
    /// use vacuum::Job;
    ///
    /// let job = Job { volume_l: Some(2.8), ambient_c: Some(19.0), ..Job::default() };
    /// let given = Settings { ambient_c: Some(23.0), ..Settings::default() };
    /// let settings = given.with_job(&job);
    /// assert_eq!((settings.volume_l, settings.ambient_c), (Some(2.8), Some(23.0)));
    /// ```
    #[must_use]
    pub fn with_job(mut self, job: &Job) -> Self {
        self.ambient_c = self.ambient_c.or(job.ambient_c);
        self.coldest_part_c = self.coldest_part_c.or(job.coldest_part_c);
        self.volume_l = self.volume_l.or(job.volume_l);
        self.charge_g = self.charge_g.or(job.charge_g);
        self.access_sides = self.access_sides.or(job.access_sides);
        self.gauge_principle = self.gauge_principle.or(job.gauge.principle);
        self.gauge_open_to_system = self.gauge_open_to_system.or(job.gauge_open_to_system);
        self.refrigerant = self
            .refrigerant
            .or(job.refrigerant.as_deref().and_then(Refrigerant::named));
        self
    }
}
