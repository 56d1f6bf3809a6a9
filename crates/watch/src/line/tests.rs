//! Lines of a recording, whole.

use findings::{Live, Phase, Rise, RiseKind, Stall, StallKind};
use vacuum::{PUMP_SIDE, Pressure};

use super::*;
use crate::{judged::HoldNow, words::trend_words};

/// Columns of a usual terminal.
const USUAL_COLUMNS: usize = 80;

fn fitted(live: &Live, beside: &[Other<'_>], room: usize) -> String {
    let voice = Voice::default();
    let mut judged = JudgedNow::of(&voice, live);
    // these looks have a hold and no round
    let hold = live.hold_left_s.map(|left_s| HoldNow {
        held_s: live.held_s.unwrap_or_default(),
        left_s,
        clock: say!(voice, "left", time = voice.about(left_s)),
        rise: live.rise.as_ref().map_or("none", |r| r.kind.word()),
        answer: live.rise.as_ref().map_or_else(String::new, |rise| {
            crate::words::answer_words(&voice, live, rise, live.held_s)
        }),
        ..HoldNow::default()
    });
    judged.hold = hold;
    let pace = PaceNow::of(&voice, live, &judged);
    LineNow::of(
        &voice,
        live.pressure_micron.map(|p| voice.reading(p)),
        &judged,
        &pace,
        beside,
    )
    .words(room)
}

fn live(phase: Phase, pressure: f64, trend: f64) -> Live {
    let mut live = analyser::Analyser::new(analyser::Settings::default()).live();
    live.phase = phase;
    live.pressure_micron = Some(pressure);
    live.trend_micron_per_min = Some(trend);
    live
}

fn describe_alone(live: &Live) -> String {
    fitted(live, &[], usize::MAX)
}

#[test]
fn the_usual_lines_fit_eighty_columns_uncut() {
    let mut pulling = live(Phase::PullDown, 150_000.0, -123_456.0);
    pulling.to_target = Some(findings::Forecast {
        early_s: 5_399.0,
        likely_s: 20_000.0,
        late_s: 86_000.0,
    });
    let at_target = live(Phase::AtTarget, 499.0, -16.4);
    let mut hold = live(Phase::Hold, 24_970.0, 2_622.0);
    hold.hold_left_s = Some(600.0);
    hold.held_s = Some(30.0);
    for live in [pulling, at_target, hold] {
        let line = describe_alone(&live);
        assert!(line.chars().count() < USUAL_COLUMNS, "{line}");
    }
}

fn stalled(kind: StallKind) -> Stall {
    Stall {
        kind,
        start_s: 100.0,
        end_s: 500.0,
        level_micron: 9_000.0,
        roughness: 8.0,
        boils_at_c: Some(9.0),
        slope_per_min: -0.01,
        ended_by: findings::StallEnd::StillOn,
        ends_at_micron: None,
    }
}

#[test]
fn the_time_to_target_is_a_range_in_plain_words() {
    let mut pulling = live(Phase::PullDown, 2_400.0, -600.0);
    pulling.to_target = Some(findings::Forecast {
        early_s: 182.0,
        likely_s: 300.0,
        late_s: 540.0,
    });
    let line = describe_alone(&pulling);
    assert!(line.ends_with("pull-down, target in 3 to 9 min"), "{line}");
    pulling.to_target = None;
    assert!(describe_alone(&pulling).ends_with("pull-down, no time to target yet"));
    pulling.not_at_this_rate = Some(findings::NotAtThisRate {
        floor_micron: 870.4,
    });
    let line = describe_alone(&pulling);
    assert!(
        line.ends_with("· no target at this rate: ends near 870 micron"),
        "{line}"
    );
    assert!(line.chars().count() < USUAL_COLUMNS, "{line}");
}

#[test]
fn while_oil_foams_water_boils_or_ice_sublimes_no_time_is_given() {
    for kind in [StallKind::Foaming, StallKind::BoilOff, StallKind::Ice] {
        let mut stalling = live(Phase::PullDown, 25_000.0, -2_500.0);
        stalling.stall = Some(stalled(kind));
        let line = describe_alone(&stalling);
        assert!(line.ends_with("no forecast meanwhile"), "{line}");
        let words = wording::stall_words(&Voice::default(), kind);
        assert!(line.contains(&words), "{line}");
        assert!(line.chars().count() < USUAL_COLUMNS, "{line}");
    }
}

#[test]
fn numbers_have_the_digits_they_deserve() {
    let line = describe_alone(&live(Phase::AtTarget, 89.0, -16.41));
    assert!(line.starts_with("89 micron · falling 16/min · "), "{line}");
    for (trend, wanted) in [
        (0.2, "steady"),
        (2.16, "rising 2.2/min"),
        (9.97, "rising 10/min"),
        (-123_456.0, "falling 120,000/min"),
    ] {
        assert_eq!(trend_words(&Voice::default(), trend, 40.0), wanted);
    }
}

/// A hold that goes on, with a rise of this kind and confidence.
fn holding(kind: RiseKind, confidence: Option<f64>) -> Live {
    let mut live = live(Phase::Hold, 412.0, 20.0);
    live.hold_left_s = Some(420.0);
    live.held_s = Some(180.0);
    live.rise = Some(Rise {
        kind,
        leak_micron_per_min: None,
        plateau_micron: None,
        tau_s: None,
        detection_limit_micron_per_min: None,
        decide_after_s: None,
        leak_probability: None,
        confidence,
        curve: None,
        evidence: None,
    });
    live
}

#[test]
fn a_running_answer_is_a_tendency_until_it_can_be_promised() {
    for (kind, confidence, said) in [
        (RiseKind::Leak, 0.899, "tends to a leak; not certain yet"),
        (
            RiseKind::Moisture,
            0.6,
            "tends to moisture; not certain yet",
        ),
        (
            RiseKind::Leak,
            0.9996,
            "straight rise: leak, right in over 95 of 100",
        ),
    ] {
        let line = describe_alone(&holding(kind, Some(confidence)));
        assert!(line.ends_with(said), "{line}");
        assert!(!line.contains('%'), "{line}");
        // the trend gives way to the answer
        let line = fitted(&holding(kind, Some(confidence)), &[], USUAL_COLUMNS - 1);
        assert!(line.ends_with(said), "{line}");
        assert!(line.chars().count() < USUAL_COLUMNS, "{line}");
    }
}

#[test]
fn the_order_of_work_is_on_the_line() {
    let line = describe_alone(&live(Phase::AtTarget, 150.0, 0.0));
    assert!(line.ends_with("low enough: shut pump-side valve, then stop pump"));
    // the level is passed, and the pump is still taking a lot
    let line = describe_alone(&live(Phase::AtTarget, 477.0, -95.0));
    let wanted = "477 micron · falling 95/min · at target, not low and level yet: let it pull";
    assert_eq!(line, wanted);
    // it stands, with no room for a hold
    let mut close = live(Phase::AtTarget, 477.0, 0.0);
    close.slow_trend_micron_per_min = Some(0.0);
    let line = describe_alone(&close);
    assert!(
        line.ends_with("close under the ceiling: look for the cause"),
        "{line}"
    );
}

fn sensed(micron: f64) -> Option<Sensed> {
    Pressure::from_micron(micron).map(Sensed::Measured).ok()
}

#[test]
fn two_gauges_fit_one_line_with_what_to_do() {
    let room = USUAL_COLUMNS - 1;
    let pump_side = [(PUMP_SIDE, sensed(180.3))];
    let pulling = live(Phase::PullDown, 512.0, -16.4);
    let line = fitted(&pulling, &pump_side, room);
    assert!(
        line.starts_with("far 512 micron, pump side 180 · "),
        "{line}"
    );
    // what to do is worth more than the trend
    let line = fitted(&live(Phase::AtTarget, 499.0, -16.4), &pump_side, room);
    assert!(line.starts_with("far 499 micron, pump side 180"), "{line}");
    assert!(
        line.ends_with("at target, not low and level yet: let it pull"),
        "{line}"
    );
    assert!(line.chars().count() <= room, "{line}");
    let low = fitted(&live(Phase::AtTarget, 190.0, -9.0), &pump_side, room);
    assert!(
        low.ends_with("shut pump-side valve, then stop pump"),
        "{low}"
    );
    assert!(low.chars().count() <= room, "{low}");
    let lost = [(PUMP_SIDE, Some(Sensed::Gap))];
    let line = fitted(&pulling, &lost, room);
    assert!(line.contains("pump side lost"), "{line}");
    let mut hold = live(Phase::Hold, 24_970.0, 2_622.0);
    hold.hold_left_s = Some(600.0);
    hold.held_s = Some(31.0);
    for width in [20, 40, 60, room, 200] {
        let line = fitted(&hold, &pump_side, width);
        assert!(line.contains("hold, 10 min left"), "{line}");
    }
}
