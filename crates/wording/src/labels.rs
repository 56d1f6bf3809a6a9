//! Names of the things that the analyser tells apart.

use findings::{IsolationBasis, Phase, Reason, RiseKind, StallEnd, StallKind, Verdict};
use vacuum::{MarkKind, is_pump_side};

use crate::{Voice, line::one_line, say};

/// The verdict, as it stands large on paper.
#[must_use]
pub fn verdict_words(voice: &Voice, verdict: Verdict) -> String {
    let id = match verdict {
        Verdict::Pass => "verdict-pass",
        Verdict::Fail => "verdict-fail",
        Verdict::NotProven => "verdict-not-proven",
    };
    say!(voice, id)
}

/// Why the verdict is not a pass, without figures, as a clause.
#[must_use]
pub fn reason_words(voice: &Voice, reason: Reason) -> String {
    let id = match reason {
        Reason::TargetNotReached => "reason-target-not-reached",
        Reason::HoldTooShort => "reason-hold-too-short",
        Reason::CeilingExceeded => "reason-ceiling-exceeded",
        Reason::NoIsolation => "reason-no-isolation",
        Reason::GapInHold => "reason-gap-in-hold",
        Reason::GaugeFault => "reason-gauge-fault",
        Reason::PumpOpenAtStop => "reason-pump-open-at-stop",
        Reason::NoReadings => "reason-no-readings",
        Reason::GaugeTooCoarse => "reason-gauge-too-coarse",
        Reason::IcePossible => "reason-ice-possible",
        Reason::GaugeShutOff => "reason-gauge-shut-off",
        Reason::UnitDoubtful => "reason-unit-doubtful",
        Reason::PumpOnTooShort => "reason-pump-on-too-short",
        Reason::RoseTooMuch => "reason-rose-too-much",
        Reason::NotSteady => "reason-not-steady",
        Reason::RepeatAsked => "reason-repeat-asked",
        Reason::RoundsMissing => "reason-rounds-missing",
        Reason::SidesNotShown => "reason-sides-not-shown",
        Reason::AmbientNotShown => "reason-ambient-not-shown",
        _ => "reason-other",
    };
    say!(voice, id)
}

/// How the pressure moved in a hold.
#[must_use]
pub fn rise_words(voice: &Voice, kind: RiseKind) -> String {
    let id = match kind {
        RiseKind::None => "rise-none",
        RiseKind::Leak => "rise-leak",
        RiseKind::Moisture => "rise-moisture",
        RiseKind::LeakAndMoisture => "rise-leak-and-moisture",
        RiseKind::Unclear => "rise-unclear",
    };
    say!(voice, id)
}

/// What held a pull-down up.
#[must_use]
pub fn stall_words(voice: &Voice, kind: StallKind) -> String {
    let id = match kind {
        StallKind::Foaming => "stall-foaming",
        StallKind::BoilOff => "stall-boil-off",
        StallKind::Ice => "stall-ice",
        StallKind::Floor => "stall-floor",
        StallKind::Choked => "stall-choked",
    };
    say!(voice, id)
}

/// Where water freezes: its triple point, 611.657 Pa (IAPWS R14-08), micron.
const FREEZING_MICRON: f64 = 4_588.0;

/// What usually helps against a stall; advice, never a command.
#[must_use]
pub fn stall_advice(voice: &Voice, kind: StallKind) -> String {
    match kind {
        StallKind::Foaming => say!(voice, "stall-foaming-advice"),
        StallKind::BoilOff => say!(
            voice,
            "stall-boil-off-advice",
            freezing = voice.limit(FREEZING_MICRON)
        ),
        StallKind::Ice => say!(voice, "stall-ice-advice"),
        StallKind::Floor => say!(voice, "stall-floor-advice"),
        StallKind::Choked => say!(voice, "stall-choked-advice"),
    }
}

/// What ended a stall.
pub(crate) fn stall_end_words(voice: &Voice, end: StallEnd) -> String {
    let id = match end {
        StallEnd::Throttled => "stall-throttled",
        StallEnd::BallastOpened => "stall-ballast-opened",
        StallEnd::HeatApplied => "stall-heat-applied",
        StallEnd::NitrogenBreak => "stall-nitrogen-break",
        StallEnd::Cleared => "stall-cleared",
        StallEnd::Isolated => "stall-isolated",
        StallEnd::StillOn => "stall-still-on",
    };
    say!(voice, id)
}

/// Where a job stands.
#[must_use]
pub fn phase_words(voice: &Voice, phase: Phase) -> String {
    let id = match phase {
        Phase::Waiting => "phase-waiting",
        Phase::PullDown => "phase-pull-down",
        Phase::AtTarget => "phase-at-target",
        Phase::Hold => "phase-hold",
    };
    say!(voice, id)
}

/// What a technician did.
#[must_use]
pub fn mark_kind_words(voice: &Voice, kind: MarkKind) -> String {
    let id = match kind {
        MarkKind::ValveOpened => "mark-valve-opened",
        MarkKind::PumpSideShut => "mark-pump-side-shut",
        MarkKind::PumpStopped => "mark-pump-stopped",
        MarkKind::NitrogenBreak => "mark-nitrogen-break",
        MarkKind::Throttled => "mark-throttled",
        MarkKind::BallastOpened => "mark-ballast-opened",
        MarkKind::HeatApplied => "mark-heat-applied",
        MarkKind::Pressurised => "mark-pressurised",
        MarkKind::SupplyShut => "mark-supply-shut",
        MarkKind::Vented => "mark-vented",
        MarkKind::Note => "mark-note",
    };
    say!(voice, id)
}

/// How the instant of isolation is known.
#[must_use]
pub fn basis_phrase(voice: &Voice, basis: IsolationBasis) -> String {
    let id = match basis {
        IsolationBasis::Mark => "basis-mark",
        IsolationBasis::Given => "basis-given",
        IsolationBasis::Curve => "basis-curve",
        IsolationBasis::FromStart => "basis-from-start",
    };
    say!(voice, id)
}

/// Where a gauge sits: as somebody wrote it, on one line, but what the program
/// itself wrote in the language of the sheet.
#[must_use]
pub fn place_words(voice: &Voice, place: &str) -> String {
    if is_pump_side(place) {
        say!(voice, "place-pump-side")
    } else {
        one_line(place, 40)
    }
}
