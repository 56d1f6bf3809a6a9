//! What a hold can say of a case.

use fault::{FaultCode, Loss, NeededLeak, hold_that_shows_min, needed_leak, shown_by};

use crate::case::Case;

/// What a hold can say, or why not.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Settle {
    /// The leak that the missing grams need.
    pub(crate) needed: Option<NeededLeak>,
    /// Shortest hold that should show it, min.
    pub(crate) hold_min: Option<f64>,
    /// In words.
    pub(crate) text: String,
}

/// Which answers are missing.
fn missing(case: &Case) -> Vec<&'static str> {
    [
        (
            case.missing_g.is_none(),
            "nameplate-g and charge-found-g (or missing-g)",
        ),
        (case.months.is_none(), "last-service (or months)"),
        (case.volume_l.is_none(), "volume-l"),
    ]
    .into_iter()
    .filter_map(|(is_missing, what)| is_missing.then_some(what))
    .collect()
}

pub(crate) fn settle(case: &Case) -> Settle {
    let unknown = |text| Settle {
        needed: None,
        hold_min: None,
        text,
    };
    let (Some(missing_g), Some(months), Some(volume_l)) =
        (case.missing_g, case.months, case.volume_l)
    else {
        return unknown(format!(
            "Only a hold tells a leak from a short charge. For the leak to look for, give {}.",
            missing(case).join(", ")
        ));
    };
    let loss = Loss {
        refrigerant: case.signs.refrigerant.refrigerant(),
        missing_g,
        months,
        volume_l,
        operating_pa: None,
    };
    let needed = match needed_leak(&loss) {
        Ok(needed) => needed,
        Err(why) => return unknown(format!("A hold cannot settle it in figures: {why}.")),
    };
    let (low, high) = (needed.low_micron_per_min, needed.high_micron_per_min);
    let hold_min = hold_that_shows_min(&case.gauge, low);
    let planned = case.hold_min;
    let limit = shown_by(&case.gauge, planned);
    let shows = if limit <= low {
        format!(
            "A hold of {planned:.0} min should show {} micron/min, so it shows that leak or rules it \
             out.",
            two(limit)
        )
    } else {
        let longer = hold_min.map_or_else(
            || "No hold of up to two days can show it in this volume: use a pressure test.".into(),
            |m| format!("It takes {m:.0} min at least."),
        );
        format!(
            "A hold of {planned:.0} min should show no less than {} micron/min and does not settle \
             it. {longer}",
            two(limit)
        )
    };
    Settle {
        needed: Some(needed),
        hold_min,
        text: format!(
            "{} g gone in {months:.1} months are {} g a year: as a leak at the pressure of the \
             standing appliance, that raises the hold by {} to {} micron/min in {volume_l} L (both \
             laws of flow). {shows} Reckoned for a usual gauge (steps of 1 micron) and a \
             system that gives off a little; what the hold could show, its review says. Hold before \
             anything is mended: a leak that is mended no longer shows.",
            two(missing_g),
            two(needed.g_per_year),
            two(low),
            two(high),
        ),
    }
}

/// A number with two significant digits.
pub(crate) fn two(value: f64) -> String {
    if !(value.is_finite() && value > 0.0) {
        return format!("{value}");
    }
    let places = 1 - value.log10().floor() as i32;
    let scale = 10_f64.powi(places);
    let rounded = (value * scale).round() / scale;
    format!("{rounded:.*}", usize::try_from(places.max(0)).unwrap_or(0))
}

/// Faults that only a hold tells apart.
pub(crate) const LOSSES: [FaultCode; 3] = [
    FaultCode::ShortCharge,
    FaultCode::HighSideLeak,
    FaultCode::LowSideLeak,
];

#[cfg(test)]
mod tests {
    use super::two;

    #[test]
    fn numbers_have_the_digits_that_they_deserve() {
        let all = [0.4412, 6.13, 40.0, 0.0333, 123.4].map(two);
        assert_eq!(all, ["0.44", "6.1", "40", "0.033", "120"]);
    }
}
