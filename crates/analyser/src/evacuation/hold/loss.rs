//! The leak in grams and years: from air drawn into a vacuum to refrigerant lost
//! under pressure.

use findings::{CouldShow, Estimate, LeakThroughput, OperatingLoss, Rise, RiseKind, SmallestLeak};
use vacuum::{
    Pressure, Refrigerant,
    flow::{self, OutLeak},
    leak::{self, Throughput},
};

use crate::settings::Settings;

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
    let (least, most) = charged_g_per_year((low, high), inside_micron, settings)?;
    let years = |grams: f64| leak::years_to_lose_a_tenth(settings.charge_g?, grams);
    Some(OperatingLoss {
        g_per_year: (least, most),
        years_to_lose_a_tenth: years(most).zip(years(least)),
        low_side_pa: settings
            .refrigerant
            .and_then(Refrigerant::low_side_in_vacuum_pa),
    })
}

/// What the charged system may lose through a leak just below the detection limit of
/// this hold, and whether the hold could have shown the line of a sealed system.
pub(crate) fn smallest_leak(
    rise: &Rise,
    inside_micron: Option<f64>,
    settings: &Settings,
) -> Option<SmallestLeak> {
    let limit = rise.detection_limit_micron_per_min?;
    let (least, most) = charged_g_per_year((limit, limit), inside_micron, settings)?;
    let line = leak::SEALED_SYSTEM_G_PER_YEAR;
    Some(SmallestLeak {
        g_per_year: (least, most),
        sealed_system: if most <= line {
            CouldShow::Yes
        } else if least > line {
            CouldShow::No
        } else {
            CouldShow::DependsOnFlowLaw
        },
    })
}

/// Least and most that the charged system, standing at 20 °C, may lose through leaks
/// that let in so much air, micron/min; g a year. With a volume, and a refrigerant whose
/// vapour is known.
pub(crate) fn charged_g_per_year(
    (low, high): (f64, f64),
    inside_micron: Option<f64>,
    settings: &Settings,
) -> Option<(f64, f64)> {
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
    Some((out(low, OutLeak::low)?, out(high, OutLeak::high)?))
}
