//! What is said of a gauge or channel recorded beside the judged one.

/// Both gauges at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// When, s.
    pub at_s: f64,
    /// The judged gauge, micron.
    pub far_micron: f64,
    /// The other one at the same instant, micron.
    pub auxiliary_micron: f64,
}

impl Pair {
    /// How many times more the judged gauge shows than the other one.
    ///
    /// With the other one at the pump and gas flowing this is
    /// p_far/p_pump = S_pump/S_far = 1 + S_pump/C, for the throughput is the same
    /// all along the line, Q = S_pump·p_pump = S_far·p_far = C·(p_far − p_pump):
    /// inverse conductances and pumping speeds add as resistances in series
    /// (J. Venables, lecture notes on surfaces and thin films, §2.2).
    ///
    /// ```
    /// use findings::Pair;
    ///
    /// let pair = Pair { at_s: 900.0, far_micron: 600.0, auxiliary_micron: 200.0 };
    /// assert_eq!(pair.ratio(), 3.0);
    /// ```
    #[must_use]
    pub fn ratio(&self) -> f64 {
        self.far_micron / self.auxiliary_micron
    }
}

/// The other gauge in the hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AuxiliaryHold {
    /// Where it begins once settled, micron.
    pub start_micron: f64,
    /// Where it ends, micron.
    pub end_micron: f64,
    /// Judged gauge minus this one in the middle of the settled hold, micron.
    pub difference_micron: f64,
    /// Whether both feel one volume in the hold; `None` where the record cannot
    /// tell.
    pub same_volume: Option<bool>,
}

/// A gauge or channel beside the judged one.
#[derive(Debug, Clone, PartialEq)]
pub struct AuxiliaryFindings {
    /// Its short name in the record.
    pub name: String,
    /// Where it sits, in words.
    pub place: String,
    /// Readings seen.
    pub rows: u64,
    /// Measurements among them.
    pub used: u64,
    /// Lowest measurement, micron.
    pub lowest_micron: Option<f64>,
    /// When it came down to the target to stay until isolation, s.
    pub reached_target_s: Option<f64>,
    /// Both when the judged gauge reached the target.
    pub at_target: Option<Pair>,
    /// Both in the last minute of the pull-down.
    pub at_isolation: Option<Pair>,
    /// Both when the judged gauge stood highest above the other in the pull-down.
    pub furthest_apart: Option<Pair>,
    /// In the hold; `None` without one, or without measurements in it.
    pub hold: Option<AuxiliaryHold>,
}
