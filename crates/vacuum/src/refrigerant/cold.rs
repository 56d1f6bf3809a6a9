//! Where refrigerants stand in a running evaporator of a freezer.

use super::Refrigerant;

/// Temperature of the low side of a running freezer, °C (common practice, no source: about
/// −25 °C in a household freezer).
pub const COLD_LOW_SIDE_C: f64 = -25.0;

/// Saturation pressure at [`COLD_LOW_SIDE_C`], kPa: CoolProp 8.0.0, `PropsSI("P", "T",
/// 248.15, "Q", 1, …)`. Only those that stand below the air outside.
const BELOW_ATMOSPHERE_KPA: [(&str, f64); 20] = [
    ("R-11", 12.1),
    ("R-40", 96.9),
    ("R-113", 3.86),
    ("R-114", 29.3),
    ("R-123", 9.06),
    ("R-124", 56.7),
    ("R-142b", 50.7),
    ("R-152a", 97.0),
    ("R-227ea", 68.6),
    ("R-236fa", 34.0),
    ("R-245fa", 14.8),
    ("R-600", 35.9),
    ("R-600a", 58.4),
    ("R-601", 6.84),
    ("R-601a", 10.3),
    ("R-764", 49.4),
    ("R-1233zd(E)", 14.2),
    ("R-1234ze(E)", 77.3),
    ("R-1336mzz(Z)", 6.33),
    ("R-E170", 100.4),
];

impl Refrigerant {
    /// Saturation pressure at [`COLD_LOW_SIDE_C`], Pa, where it is below the air outside:
    /// a leak in the low side of a system that runs so cold draws air in. `None` for the
    /// others, and for blends.
    ///
    /// ```
    /// use vacuum::Refrigerant;
    ///
    /// let low_side = |name| Refrigerant::named(name).and_then(Refrigerant::low_side_in_vacuum_pa);
    /// assert_eq!(low_side("R-600a"), Some(58_400.0));
    /// assert_eq!(low_side("R-290"), None);
    /// ```
    #[must_use]
    pub fn low_side_in_vacuum_pa(&self) -> Option<f64> {
        let mut all = BELOW_ATMOSPHERE_KPA.iter();
        let (_, kpa) = all.find(|(name, _)| *name == self.designation)?;
        Some(kpa * 1e3)
    }
}
