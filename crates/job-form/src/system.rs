//! What was answered of a system, and whether its numbers can be right together.

/// Heavier charges than this are asked back about, g: household systems hold 20 to 300 g,
/// most sealed commercial ones less than 5 kg (common practice, no source).
pub(crate) const LARGE_CHARGE_G: f64 = 5_000.0;
/// The same of a refrigerant that burns easily, g: sealed appliances hold at most 150 g, in
/// shops some hundred (IEC 60335-2-24 and IEC 60335-2-89, from memory).
const LARGE_FLAMMABLE_G: f64 = 500.0;
/// Lighter charges than this are asked back about, g (common practice, no source).
const SMALL_CHARGE_G: f64 = 5.0;
/// No liquid refrigerant is denser than this, g/L (R-13I1, about 2,100 at −20 °C, from
/// memory).
const DENSEST_G_PER_L: f64 = 2_100.0;
/// Larger internal volumes than this are asked back about, L (common practice, no source).
pub(crate) const LARGE_VOLUME_L: f64 = 30.0;

/// The system, as far as it was answered.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct System {
    /// Nameplate charge, g.
    pub(crate) charge_g: Option<f64>,
    /// Internal volume, L.
    pub(crate) volume_l: Option<f64>,
    /// The refrigerant burns easily (safety groups A3, B3).
    pub(crate) highly_flammable: bool,
}

impl System {
    /// Why charge and volume cannot both be right; `text` is what was typed last.
    pub(crate) fn too_dense(&self, text: &str) -> Option<String> {
        let (grams, litres) = self.charge_g.zip(self.volume_l)?;
        (grams > DENSEST_G_PER_L * litres).then(|| {
            format!("\"{text}\": {grams:.0} g would not go into {litres} L even as a liquid")
        })
    }

    /// Why its charge cannot well be right; `text` is how it was typed.
    pub(crate) fn absurd_charge(&self, text: &str) -> Option<String> {
        let grams = self.charge_g?;
        let usual = "household systems hold 20 to 300 g, most other sealed ones less than 5 kg";
        if let Some(why) = self.too_dense(text) {
            return Some(why);
        }
        if grams > LARGE_CHARGE_G {
            return Some(format!(
                "\"{text}\" is {grams:.0} g: {usual}. Grams, not kilograms?"
            ));
        }
        if self.highly_flammable && grams > LARGE_FLAMMABLE_G {
            return Some(format!(
                "\"{text}\" is {grams:.0} g of a refrigerant that burns easily: sealed appliances \
                 hold no more than some hundred grams of it"
            ));
        }
        (grams < SMALL_CHARGE_G).then(|| format!("\"{text}\" is {grams:.1} g: {usual}"))
    }
}
