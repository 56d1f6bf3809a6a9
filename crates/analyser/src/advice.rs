//! Findings in words: evidence first, then what it usually means.

use vacuum::{MarkKind, Pressure, PressureUnit, water};

use crate::{
    findings::{
        Estimate, Finding, IsolationBasis, Pulldown, Reason, RiseKind, Round, Stall, StallEnd,
        StallKind,
    },
    hold::JudgedHold,
    settings::Settings,
};

/// A pressure in words, three significant digits.
fn micron(value: f64) -> String {
    digits(value, 2.0)
}

/// The level of a plateau with the digits that its interval leaves it.
fn level_words(level: &Estimate) -> String {
    let rough = level.high - level.low > 0.1 * level.value;
    digits(level.value, if rough { 1.0 } else { 2.0 })
}

/// A pressure rounded `below` places under its first digit, to whole micron at least.
fn digits(value: f64, below: f64) -> String {
    let value = value.max(0.0);
    let place = 10_f64.powf((value.max(1.0).log10().floor() - below).max(0.0));
    let rounded = (value / place).round() * place;
    Pressure::from_micron(rounded).map_or_else(
        |_| format!("{value:.0} micron"),
        |p| p.display(PressureUnit::Micron).to_string(),
    )
}

/// Says what a hold shows.
pub(crate) fn of_hold(held: &JudgedHold, settings: &Settings, said: &mut Vec<Finding>) {
    let hold = &held.hold;
    match hold.basis {
        IsolationBasis::Curve => said.push(Finding {
            code: "isolation_from_curve",
            at_s: Some(hold.isolated_at_s),
            text: "isolation was found in the curve, good to about 5 s; a mark at the valve \
                   would make it certain"
                .into(),
        }),
        IsolationBasis::FromStart => said.push(Finding {
            code: "starts_isolated",
            at_s: Some(hold.isolated_at_s),
            text: "the record starts with a rise: it is taken as isolated from its first reading"
                .into(),
        }),
        IsolationBasis::Mark | IsolationBasis::Given => {}
    }
    if let (Some(before), Some(after)) = (hold.start_micron, hold.end_micron)
        && after < 0.85 * before
    {
        said.push(Finding {
            code: "pressure_falls",
            at_s: Some(hold.end_s),
            text: format!(
                "the pressure fell from {} to {} during the hold: gas was taken up or cooled \
                 down, or the pump was still connected",
                micron(before),
                micron(after)
            ),
        });
    }
    if matches!(
        hold.rise.kind,
        RiseKind::Moisture | RiseKind::LeakAndMoisture
    ) {
        said.extend(plateau(held, settings));
    }
    if let Some(early) = hold.early {
        let cause = if early.leak {
            "the rise is straight: look for a leak"
        } else {
            "hold on to learn the cause"
        };
        said.push(Finding {
            code: "will_not_pass",
            at_s: Some(hold.end_s),
            text: format!(
                "at this rise {} is passed about {:.0} min after isolation ({:.0} % sure): this \
                 hold will not pass; {cause}",
                micron(settings.criteria.ceiling_micron),
                (early.passes_ceiling_after_s / 60.0).max(1.0),
                (100.0 * early.confidence).floor().min(99.0)
            ),
        });
    }
    for (code, text) in &held.trouble {
        said.push(Finding {
            code,
            at_s: Some(hold.settled_at_s),
            text: text.clone(),
        });
    }
}

/// What the level of a plateau says about where the vapour comes from.
fn plateau(held: &JudgedHold, settings: &Settings) -> Option<Finding> {
    let level = held.hold.rise.plateau_micron?;
    let ambient_c = settings.ambient_c.unwrap_or(20.0);
    let saturation = water::saturation_pressure(ambient_c)?.micron();
    let assumed = if settings.ambient_c.is_some() {
        ""
    } else {
        " (assumed)"
    };
    let extrapolated = held
        .hold
        .end_micron
        .is_some_and(|end| level.value > 1.15 * end);
    let (code, text) = if extrapolated && level.high > 0.7 * saturation {
        (
            "free_water",
            format!(
                "the rise has not levelled off; where it may end takes in the saturation \
                 pressure of water at {ambient_c:.0} °C{assumed} ({}): liquid water may be left \
                 in the system",
                micron(saturation)
            ),
        )
    } else if extrapolated {
        return None;
    } else if level.low < 1.15 * saturation && level.high > 0.7 * saturation {
        (
            "free_water",
            format!(
                "the rise levels off near {}, the saturation pressure of water at {ambient_c:.0} \
                 °C{assumed} ({}): liquid water is probably left in the system",
                level_words(&level),
                micron(saturation)
            ),
        )
    } else if level.high < 0.7 * saturation {
        (
            "bound_moisture",
            format!(
                "the rise levels off near {}, far below the {} of free water at {ambient_c:.0} \
                 °C{assumed}: rather water bound in oil or drier, a cold spot, or refrigerant \
                 coming out of the oil",
                level_words(&level),
                micron(saturation)
            ),
        )
    } else {
        return None;
    };
    Some(Finding {
        code,
        at_s: Some(held.hold.settled_at_s),
        text,
    })
}

/// Says what held a pull-down up: evidence first, then what usually helps.
pub(crate) fn of_stalls(pulldown: &Pulldown, said: &mut Vec<Finding>) {
    for stall in &pulldown.stalls {
        let minutes = (stall.end_s - stall.start_s) / 60.0;
        said.push(Finding {
            code: match stall.kind {
                StallKind::Foaming => "stall_foaming",
                StallKind::BoilOff => "stall_boil_off",
                StallKind::Floor => "stall_floor",
                StallKind::Choked => "stall_choked",
            },
            at_s: Some(stall.start_s),
            text: format!(
                "{} for {minutes:.0} min near {}, {}; {}: {}",
                stall.kind.label(),
                micron(stall.level_micron),
                evidence(stall),
                stall.ended_by.label(),
                stall.kind.advice()
            ),
        });
    }
}

/// What a stall was told by.
fn evidence(stall: &Stall) -> String {
    match stall.kind {
        // a gauge that shows steps only can be told by what ended it
        StallKind::Foaming if stall.roughness > 1.5 => {
            format!(
                "{:.0} times as rough as the gauge by itself",
                stall.roughness
            )
        }
        StallKind::Foaming if stall.ended_by == StallEnd::Throttled => {
            "given way when the flow was reduced".into()
        }
        StallKind::Foaming => "rising again and again".into(),
        StallKind::BoilOff => stall.boils_at_c.map_or_else(
            || "smooth".into(),
            |c| {
                let change = if c > water::TRIPLE_POINT_C {
                    "boils"
                } else {
                    "sublimes as ice"
                };
                format!("smooth, where water {change} at {c:.0} °C")
            },
        ),
        StallKind::Floor => stall.ends_at_micron.map_or_else(
            || "levelling off".into(),
            |end| format!("levelling off at {}", micron(end)),
        ),
        StallKind::Choked => format!(
            "falling {:.1} % a minute, far more slowly than a pump does",
            -100.0 * stall.slope_per_min.exp_m1()
        ),
    }
}

/// Says what would turn a doubtful verdict into a certain one.
pub(crate) fn of_verdict(
    reasons: &[Reason],
    rounds: &[Round],
    settings: &Settings,
    said: &mut Vec<Finding>,
) {
    if reasons.contains(&Reason::NoIsolation) {
        said.push(Finding {
            code: "isolation_mark_missing",
            at_s: None,
            text: format!(
                "closing the valve left no trace in the pressure, or it never was closed: stamp \
                 the mark {} when shutting the pump-side valve, or give the time when reviewing",
                MarkKind::PumpSideShut.code()
            ),
        });
    }
    let hold = rounds.iter().rev().find_map(|r| r.hold.as_ref());
    if let Some(hold) = hold.filter(|_| reasons.contains(&Reason::HoldTooShort)) {
        let left = settings.criteria.hold_min - hold.duration_s / 60.0;
        said.push(Finding {
            code: "hold_longer",
            at_s: Some(hold.end_s),
            text: format!("{:.1} min more of hold were needed", left.max(0.1)),
        });
    }
}
