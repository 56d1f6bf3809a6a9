//! What the analyser says, evidence first, as clauses.

use findings::{
    Ambient, Estimate, FarSide, Finding, ShowsTooLittle, Stall, StallEnd, StallKind, Statement,
};
use vacuum::{Criteria, MarkKind, UnitBasis, water};

use super::{
    certainty::odds_of,
    labels::{mark_kind_words, place_words, stall_advice, stall_end_words, stall_words},
    leak_question::leak_or_short_charge,
    pass::leak_indicated,
};
use crate::{Voice, say};

/// A finding as a clause: no capital letter, no full stop.
#[must_use]
pub fn finding_words(voice: &Voice, finding: &Finding) -> String {
    match &finding.statement {
        Statement::IsolationFromCurve { earlier_s, later_s } => say!(
            voice,
            "said-isolation-from-curve",
            earlier = voice.at_most(*earlier_s),
            later = voice.at_most(*later_s)
        ),
        Statement::StartsIsolated => say!(voice, "said-starts-isolated"),
        Statement::LeftRange {
            after_s,
            at_least_micron_per_min,
        } => say!(
            voice,
            "said-left-range",
            after = voice.duration(*after_s),
            rate = voice.rate(*at_least_micron_per_min, 2)
        ),
        Statement::FitStopsEarly => say!(voice, "said-fit-stops-early"),
        Statement::RiseBeganLate(after_s) => say!(
            voice,
            "said-rise-began-late",
            minutes = voice.decimals(after_s / 60.0, 0)
        ),
        Statement::FreeWaterAhead(_)
        | Statement::FreeWater { .. }
        | Statement::BoundMoisture { .. } => moisture(voice, &finding.statement),
        Statement::IceInHold { .. }
        | Statement::IceNotRuledOut { .. }
        | Statement::TooColdToDry { .. } => ice(voice, &finding.statement),
        Statement::PassWithLeak(leak) => {
            let leak = leak_indicated(voice, *leak);
            say!(voice, "said-pass-with-leak", leak = leak)
        }
        Statement::Stalled(stall) => stalled(voice, stall),
        Statement::IsolationMarkMissing => say!(
            voice,
            "said-isolation-mark-missing",
            mark = mark_kind_words(voice, MarkKind::PumpSideShut)
        ),
        Statement::HoldLonger(minutes) => {
            say!(
                voice,
                "said-hold-longer",
                time = voice.to_go(minutes * 60.0)
            )
        }
        Statement::CalibrationOverdue { place, due, days } => {
            overdue(voice, place.as_deref(), due, *days)
        }
        Statement::LaterHoldBrokenOff(lasted_s) => {
            let time = voice.duration(*lasted_s);
            say!(voice, "said-later-hold-broken-off", time = time)
        }
        Statement::OneSideEvacuated => say!(voice, "said-one-side-evacuated"),
        Statement::PumpOpenAtStop => say!(voice, "said-pump-open-at-stop"),
        Statement::PressureFalls { .. } | Statement::WillNotPass { .. } => {
            of_hold(voice, &finding.statement)
        }
        Statement::GaugeTooCoarse(too_little) => too_coarse(voice, *too_little),
        Statement::GaugeShutOff { known } => {
            let id = if *known {
                "said-gauge-shut-off"
            } else {
                "said-gauge-shut-off-unknown"
            };
            say!(voice, id)
        }
        Statement::UnitDoubtful { .. } | Statement::UnitAssumed(_) => {
            of_unit(voice, &finding.statement)
        }
        Statement::CriteriaSofter => {
            let common = Criteria::common_practice();
            say!(
                voice,
                "said-criteria-softer",
                target = voice.limit(common.target_micron),
                minutes = voice.plain(common.hold_min, 4)
            )
        }
        Statement::LeakOrShortCharge(question) => leak_or_short_charge(voice, question),
        Statement::FarSideLags { .. }
        | Statement::GaugesDisagree { .. }
        | Statement::PumpSideRisesAlone { .. } => of_two_gauges(voice, &finding.statement),
        _ => say!(voice, "said-other"),
    }
}

fn of_hold(voice: &Voice, said: &Statement) -> String {
    match said {
        Statement::PressureFalls {
            from_micron,
            to_micron,
        } => say!(
            voice,
            "said-pressure-falls",
            from = voice.pressure(*from_micron),
            to = voice.pressure(*to_micron)
        ),
        Statement::WillNotPass {
            ceiling_micron,
            after_s,
            confidence,
            leak,
        } => {
            let id = if *leak {
                "said-will-not-pass-leak"
            } else {
                "said-will-not-pass"
            };
            say!(
                voice,
                id,
                ceiling = voice.limit(*ceiling_micron),
                minutes = voice.decimals((after_s / 60.0).max(1.0), 0),
                odds = odds_of(*confidence)
            )
        }
        _ => say!(voice, "said-other"),
    }
}

/// Why the gauge shows too little.
fn too_coarse(voice: &Voice, too_little: ShowsTooLittle) -> String {
    match too_little {
        ShowsTooLittle::StandsStill {
            level_micron,
            lasted_s,
        } => say!(
            voice,
            "said-gauge-stands-still",
            level = voice.pressure(level_micron),
            time = voice.duration(lasted_s)
        ),
        ShowsTooLittle::AtFloor { level_micron: None } => say!(voice, "said-gauge-under-range"),
        ShowsTooLittle::AtFloor {
            level_micron: Some(level),
        } => say!(voice, "said-gauge-at-floor", level = voice.pressure(level)),
        ShowsTooLittle::Steps {
            step_micron,
            most_micron,
        } => say!(
            voice,
            "said-gauge-steps",
            step = voice.pressure(step_micron),
            most = voice.limit(most_micron)
        ),
    }
}

/// The unit, as it was read and as it may have been.
fn of_unit(voice: &Voice, said: &Statement) -> String {
    match said {
        Statement::UnitDoubtful {
            number,
            read_as,
            likely,
        } => {
            let unit = read_as.symbol();
            match likely {
                Some(likely) => say!(
                    voice,
                    "said-unit-doubtful",
                    number = voice.plain(*number, 4),
                    unit = unit,
                    likely = likely.symbol()
                ),
                None => say!(
                    voice,
                    "said-unit-too-low",
                    number = voice.plain(*number, 2),
                    unit = unit
                ),
            }
        }
        Statement::UnitAssumed(unit) => {
            let id = match unit.basis {
                UnitBasis::Option => "said-unit-by-option",
                UnitBasis::Dialect | UnitBasis::Stated => "said-unit-by-dialect",
            };
            say!(voice, id, unit = unit.unit.symbol())
        }
        _ => say!(voice, "said-other"),
    }
}

/// What the level of a plateau says about where the vapour comes from.
fn moisture(voice: &Voice, said: &Statement) -> String {
    let room = |ambient: &Ambient| {
        let id = if ambient.assumed {
            "room-assumed"
        } else {
            "room"
        };
        say!(voice, id, c = voice.decimals(ambient.c, 0))
    };
    let saturation = |ambient: &Ambient| voice.pressure(ambient.saturation_micron);
    match said {
        Statement::FreeWaterAhead(ambient) => say!(
            voice,
            "said-free-water-ahead",
            room = room(ambient),
            saturation = saturation(ambient)
        ),
        Statement::FreeWater { level, ambient } => say!(
            voice,
            "said-free-water",
            level = level_words(voice, level),
            room = room(ambient),
            saturation = saturation(ambient)
        ),
        Statement::BoundMoisture { level, ambient } => say!(
            voice,
            "said-bound-moisture",
            level = level_words(voice, level),
            room = room(ambient),
            saturation = saturation(ambient)
        ),
        _ => say!(voice, "said-other"),
    }
}

/// What level and temperatures say about frozen water.
fn ice(voice: &Voice, said: &Statement) -> String {
    match said {
        Statement::IceInHold {
            level_micron,
            coldest_part_c,
            saturation_micron,
            low_micron,
            high_micron,
        } => say!(
            voice,
            "said-ice-in-hold",
            level = voice.pressure(*level_micron),
            c = voice.decimals(*coldest_part_c, 0),
            saturation = voice.pressure(*saturation_micron),
            range = voice.pressures(*low_micron, *high_micron)
        ),
        Statement::IceNotRuledOut {
            level_micron,
            ice_at_c,
        } => say!(
            voice,
            "said-ice-not-ruled-out",
            level = voice.pressure(*level_micron),
            c = voice.decimals(*ice_at_c, 0)
        ),
        Statement::TooColdToDry { ambient_c } => say!(
            voice,
            "said-too-cold-to-dry",
            c = voice.decimals(*ambient_c, 0)
        ),
        _ => say!(voice, "said-other"),
    }
}

/// The level of a plateau with the digits that its interval leaves it.
fn level_words(voice: &Voice, level: &Estimate) -> String {
    if level.high - level.low > 0.1 * level.value {
        voice.rough_pressure(level.value)
    } else {
        voice.pressure(level.value)
    }
}

/// A calibration that had run out.
fn overdue(voice: &Voice, place: Option<&str>, due: &str, days: u32) -> String {
    let count = voice.count(days.into());
    match place {
        None => say!(
            voice,
            "said-calibration-overdue",
            due = due,
            days = days,
            count = count
        ),
        Some(place) => say!(
            voice,
            "said-calibration-overdue-beside",
            place = place_words(voice, place),
            due = due,
            days = days,
            count = count
        ),
    }
}

fn stalled(voice: &Voice, stall: &Stall) -> String {
    say!(
        voice,
        "said-stalled",
        kind = stall_words(voice, stall.kind),
        minutes = voice.decimals((stall.end_s - stall.start_s) / 60.0, 0),
        level = voice.pressure(stall.level_micron),
        evidence = evidence(voice, stall),
        end = stall_end_words(voice, stall.ended_by),
        advice = stall_advice(voice, stall.kind)
    )
}

/// What a stall was told by.
fn evidence(voice: &Voice, stall: &Stall) -> String {
    match stall.kind {
        // a gauge that shows steps only can be told by what ended it
        StallKind::Foaming if stall.roughness > 1.5 => say!(
            voice,
            "stall-rough",
            times = voice.decimals(stall.roughness, 0)
        ),
        StallKind::Foaming if stall.ended_by == StallEnd::Throttled => {
            say!(voice, "stall-gave-way")
        }
        StallKind::Foaming => say!(voice, "stall-rises-again"),
        StallKind::BoilOff | StallKind::Ice => match stall.boils_at_c {
            None => say!(voice, "stall-smooth"),
            Some(c) => {
                let id = if c > water::TRIPLE_POINT_C {
                    "stall-boils"
                } else {
                    "stall-sublimes"
                };
                say!(voice, id, c = voice.decimals(c, 0))
            }
        },
        StallKind::Floor => match stall.ends_at_micron {
            None => say!(voice, "stall-levelling"),
            Some(end) => say!(voice, "stall-levelling-at", pressure = voice.pressure(end)),
        },
        StallKind::Choked => say!(
            voice,
            "stall-falling",
            percent = voice.decimals(-100.0 * stall.slope_per_min.exp_m1(), 1)
        ),
    }
}

fn of_two_gauges(voice: &Voice, said: &Statement) -> String {
    match said {
        Statement::FarSideLags {
            ratio,
            lasted_s,
            far_micron,
            auxiliary_micron,
            far_side,
        } => say!(
            voice,
            "said-far-side-lags",
            ratio = times(voice, *ratio),
            time = voice.about(*lasted_s),
            range = voice.pressures(*far_micron, *auxiliary_micron),
            wait = wait(voice, *far_side)
        ),
        Statement::GaugesDisagree {
            far_micron,
            auxiliary_micron,
            place,
            accuracy,
        } => say!(
            voice,
            "said-gauges-disagree",
            far = voice.pressure(*far_micron),
            place = place_words(voice, place),
            beside = voice.pressure(*auxiliary_micron),
            percent = voice.decimals(100.0 * accuracy, 0)
        ),
        Statement::PumpSideRisesAlone {
            from_micron,
            to_micron,
            within_s,
            far_micron,
            pump_stopped,
        } => {
            let from = voice.pressure(*from_micron);
            let range = match to_micron {
                Some(to) => say!(voice, "from-to", from = from, to = voice.pressure(*to)),
                None => say!(voice, "beyond-range", from = from),
            };
            let id = if *pump_stopped {
                "said-rises-alone-pump"
            } else {
                "said-rises-alone"
            };
            say!(
                voice,
                id,
                range = range,
                time = voice.about(*within_s),
                far = voice.pressure(*far_micron)
            )
        }
        _ => say!(voice, "said-other"),
    }
}

/// Two digits, or three of a large one.
fn times(voice: &Voice, ratio: f64) -> String {
    voice.plain(ratio, if ratio < 99.5 { 2 } else { 3 })
}

/// Who was at the target first.
fn wait(voice: &Voice, far_side: FarSide) -> String {
    match far_side {
        FarSide::Later(later_s) => say!(voice, "far-side-later", time = voice.about(later_s)),
        FarSide::NotLater => say!(voice, "far-side-not-later"),
        FarSide::Never => say!(voice, "far-side-never"),
    }
}
