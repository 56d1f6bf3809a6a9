//! The leak in grams and years: from air drawn into a vacuum to refrigerant lost
//! under pressure.

use vacuum::{
    Pressure,
    flow::{self, OutLeak},
    leak::{self, Throughput},
};

use crate::{
    findings::{Estimate, LeakThroughput, OperatingLoss, Rise, RiseKind},
    settings::Settings,
};

/// The leak as a flow of air into the closed system, and the same flow as
/// refrigerant; with a volume only.
pub(crate) fn throughput(rise: &Rise, settings: &Settings) -> Option<LeakThroughput> {
    let volume_l = settings.volume_l?;
    let leak = rise.leak_micron_per_min?;
    let unit = Throughput::from_rise(1.0, volume_l);
    Some(LeakThroughput {
        pa_m3_per_s: leak.scaled(unit.pa_m3_per_s()),
        g_per_year: settings
            .refrigerant
            .map(|r| leak.scaled(unit.g_per_year(r))),
    })
}

/// What the charged system may lose through that leak, standing at 20 °C.
///
/// Both laws are taken at the ends of the leak's own interval, so the range holds
/// what is not known of the rate and of the leak's shape.
pub(crate) fn in_operation(
    rise: &Rise,
    inside_micron: Option<f64>,
    settings: &Settings,
) -> Option<OperatingLoss> {
    if !matches!(rise.kind, RiseKind::Leak | RiseKind::LeakAndMoisture) {
        return None;
    }
    let Estimate { low, high, .. } = rise.leak_micron_per_min?;
    let (volume_l, refrigerant) = (settings.volume_l?, settings.refrigerant?);
    let standing = Pressure::from_pa(refrigerant.at_20_c?.saturation_pa).ok()?;
    let inside = Pressure::from_micron(inside_micron?).ok()?;
    let out = |rate: f64, end: fn(&OutLeak) -> Throughput| {
        let found = Throughput::from_rise(rate.max(0.0), volume_l);
        let out = flow::out_leak(
            found,
            inside,
            refrigerant.gas()?,
            standing,
            Pressure::ATMOSPHERE,
        )?;
        Some(end(&out).g_per_year(refrigerant))
    };
    let (least, most) = (out(low, OutLeak::low)?, out(high, OutLeak::high)?);
    let years = |grams: f64| leak::years_to_lose_a_tenth(settings.charge_g?, grams);
    Some(OperatingLoss {
        g_per_year: (least, most),
        years_to_lose_a_tenth: years(most).zip(years(least)),
    })
}
