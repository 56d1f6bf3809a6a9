//! Holds a run against its criteria.

use findings::{
    DataSummary, Finding, Findings, FurtherCriterion, Gap, Hold, IsolationBasis, Pulldown, Reason,
    RiseKind, Round, ShowsTooLittle, Statement, TimeRange, Verdict,
};
use run_memory::{Block, Outage};
use vacuum::{AccessSides, MarkKind, ReadingState};

use crate::{
    evacuation::{
        advice,
        drift::drifts,
        further,
        gauge_shut_off::gauge_shut_off,
        hold::{self, JudgedHold, gauge_evidence::mostly_under, gauge_range::OverRangeFlag, ice},
        isolation::Isolation,
        pass,
        rounds::{self, EVACUATED_MICRON, Span},
        stall, unit_check,
        which_hold::{self, Candidate},
    },
    run_view::RunView,
    settings::ROUNDING,
};

/// Times written in whole seconds are half a second off at most, s (derived).
const CLOCK_S: f64 = 0.5;
/// Fewer readings than these do not show what a hold did between them (common practice, no
/// source).
const FEWEST_READINGS: u64 = 5;

/// The gauge ran over its range within so long of the last low reading, s, and has been
/// over for so long, s: the pump is not on the system (common practice, no source).
const RAN_OVER_WITHIN_S: f64 = 120.0;
const RAN_OVER_FOR_S: f64 = 30.0;
/// Rows over range that are no burst (common practice, no source).
const NO_BURST_ROWS: u64 = 3;
/// A mark of the pump and the instant in the curve may be so far apart, s; two marks, s
/// (common practice, no source).
const MARK_AND_CURVE_S: f64 = 5.0;
const MARKS_S: f64 = 1.0;

/// Judges everything in view.
pub(crate) fn findings(view: &RunView<'_>) -> Findings {
    let settings = view.settings;
    let spans = spans(view);
    let mut rounds = Vec::with_capacity(spans.len());
    let mut findings: Vec<Finding> = Vec::new();
    let mut holds: Vec<Candidate> = Vec::new();
    for span in &spans {
        let pulldown = pulldown(view, span);
        let reached = pulldown
            .as_ref()
            .is_some_and(|p| p.reached_target_s.is_some());
        let mut hold_found = None;
        let isolation = span.isolation.filter(|i| !drifts(&view.blocks, i));
        if let Some(isolation) = isolation {
            let mut held =
                hold::judge(&view.blocks, isolation, flagged(view, &isolation), settings);
            let before = holds.last().filter(|before| before.reached);
            let reached = reached
                || starts_at_target(&held.hold, settings.criteria.target_micron)
                || before.is_some_and(|b| which_hold::stayed_shut(view, &b.held, &held));
            doubt_one_side(&mut held, settings.access_sides, &mut findings);
            if mostly_under(view.outages.all(), held.hold.isolated_at_s, held.hold.end_s) {
                let floor = ShowsTooLittle::AtFloor { level_micron: None };
                held.too_little = held.too_little.or(Some(floor));
            }
            advice::of_hold(&held, settings, &mut findings);
            ice::of_hold(&view.blocks, &held, settings, &mut findings);
            hold_found = Some(held.hold.clone());
            holds.push(Candidate {
                round: rounds.len(),
                held,
                reached,
                verdict: Verdict::NotProven,
                reasons: Vec::new(),
            });
        }
        if let Some(p) = &pulldown {
            advice::of_stalls(p, &mut findings);
        }
        rounds.push(Round {
            pulldown,
            hold: hold_found,
        });
    }
    let unit_doubt = doubt_unit(view, holds.last().map(|last| &last.held));
    for hold in &mut holds {
        let beside = further::reasons(&further::measured(view, &rounds, &hold.held.hold));
        (hold.verdict, hold.reasons) = judge_hold(
            view,
            hold.reached,
            &hold.held,
            (unit_doubt.is_some(), beside),
        );
    }
    let counts = which_hold::that_counts(view, &holds);
    let judged = counts.and_then(|place| holds.get(place));
    let further = match judged {
        Some(hold) => further::measured(view, &rounds, &hold.held.hold),
        None => FurtherCriterion::asked(&settings.criteria.further),
    };
    let (verdict, reasons) = match judged {
        Some(hold) => (hold.verdict, hold.reasons.clone()),
        None => judge_without_hold(view, &rounds, unit_doubt.is_some()),
    };
    order_of_work(view, &reasons, &mut findings);
    if let Some(hold) = judged {
        advice::of_gauge(view, &reasons, &hold.held, &mut findings);
    }
    let later = counts.map_or(&[][..], |place| &holds[place + 1..]);
    findings.extend(later.iter().map(|later| {
        let hold = &later.held.hold;
        Finding::at(
            hold.isolated_at_s,
            Statement::LaterHoldBrokenOff(hold.duration_s),
        )
    }));
    advice::of_unit(view, unit_doubt, &mut findings);
    let hold = judged.map(|judged| &judged.held.hold);
    advice::of_verdict(&reasons, hold, settings, &mut findings);
    pass::with_leak(verdict, hold, settings, &mut findings);
    findings.sort_by(Finding::order);
    let noise = judged.map(|judged| judged.held.noise);
    Findings {
        verdict,
        reasons,
        judged: judged.map(|judged| judged.round),
        criteria: settings.criteria.clone(),
        further,
        rounds,
        findings,
        data: DataSummary {
            rows: view.rows,
            used: view.used,
            rejected: view.rows - view.used,
            unit: settings.record_unit,
            gauge_principle: settings.gauge_principle,
            gaps: gaps(view),
            interval_s: view.outages.interval_s(),
            resolution_micron: noise.and_then(|n| n.step_micron),
            noise_micron: noise.map(|n| n.reading_micron),
            ..DataSummary::default()
        },
        auxiliary: Vec::new(),
        charge: None,
    }
}

/// Where the gauge first said that it was over its range in a hold, for more than a
/// burst.
fn flagged(view: &RunView<'_>, isolation: &Isolation) -> Option<OverRangeFlag> {
    let lasting = |o: &&Outage| {
        o.state == ReadingState::Over
            && o.rows >= NO_BURST_ROWS
            && o.end_s > isolation.at_s
            && o.start_s < isolation.end_s
    };
    view.outages
        .all()
        .iter()
        .find(lasting)
        .map(|o| OverRangeFlag {
            from_s: o.start_s,
            by_s: o.first_row_s,
            bound_micron: o.bound_micron,
        })
}

fn gaps(view: &RunView<'_>) -> Vec<Gap> {
    view.outages
        .lasting()
        .filter(|o| o.state == ReadingState::Gap)
        .map(|o| Gap {
            start_s: o.start_s,
            end_s: o.end_s,
        })
        .collect()
}

fn spans(view: &RunView<'_>) -> Vec<Span> {
    let mut spans = rounds::find(
        &view.blocks,
        view.marks,
        view.outages,
        view.settings.isolated_at_s,
    );
    let (Some(last), Some(end_s)) = (spans.last_mut(), view.last_s) else {
        return spans;
    };
    // rows without a measurement at the end belong to the last round
    last.end_s = last.end_s.max(end_s);
    match &mut last.isolation {
        Some(hold) => hold.end_s = hold.end_s.max(end_s),
        None => last.isolation = ran_over(view, end_s),
    }
    spans
}

/// A record that goes from vacuum over the gauge's range and stays there: the
/// pump cannot have been on the system.
fn ran_over(view: &RunView<'_>, end_s: f64) -> Option<Isolation> {
    let over_s = view.ends_over_range()?;
    let low = view
        .blocks
        .iter()
        .rev()
        .take(60)
        .find(|b| b.p() < EVACUATED_MICRON)?;
    (over_s - low.last_s < RAN_OVER_WITHIN_S && end_s - over_s > RAN_OVER_FOR_S).then_some(
        Isolation {
            window: TimeRange {
                low_s: low.last_s,
                high_s: over_s,
            },
            ..Isolation::certain(low.last_s, end_s, IsolationBasis::Curve)
        },
    )
}

fn pulldown(view: &RunView<'_>, span: &Span) -> Option<Pulldown> {
    let end_s = span.isolation.map_or(span.end_s, |i| i.at_s);
    if end_s <= span.start_s {
        return None;
    }
    let from = view.blocks.partition_point(|b| b.t() < span.start_s);
    let to = view.blocks.partition_point(|b| b.last_s <= end_s);
    let blocks = view.blocks.get(from..to)?;
    let target = view.settings.criteria.target_micron;
    let reached = view.target_stretches.reached_between(span.start_s, end_s);
    let under = view
        .outages
        .all()
        .iter()
        .find(|o| {
            o.state == ReadingState::Under
                && (span.start_s..=end_s).contains(&o.start_s)
                && o.bound_micron.is_none_or(|b| b <= target)
        })
        .map(|o| o.start_s);
    Some(Pulldown {
        start_s: span.start_s,
        end_s,
        reached_target_s: reached.or(under),
        lowest_micron: lowest(blocks),
        stalls: stall::find(
            blocks,
            &stall::PulldownContext {
                record: &view.blocks,
                marks: view.marks,
                target_micron: target,
                ambient_c: view.settings.ambient_c,
                one_side: view.settings.access_sides == Some(AccessSides::One),
                isolated: span.isolation.is_some(),
            },
        ),
    })
}

/// Lowest pressure, micron. Block means while blocks are short, so that a burst is
/// not the lowest; the lowest reading of a block that has grown long.
fn lowest(blocks: &[Block]) -> Option<f64> {
    blocks
        .iter()
        .map(|b| {
            if b.last_s - b.first_s < 2.0 {
                b.p()
            } else {
                b.low
            }
        })
        .min_by(f64::total_cmp)
}

fn starts_at_target(hold: &Hold, target: f64) -> bool {
    hold.start_micron
        .is_some_and(|p| p <= target * (1.0 + ROUNDING))
}

/// One access side: gas behind the capillary tube bleeds into the hold like a
/// leak; it must never be called one on that evidence.
fn doubt_one_side(held: &mut JudgedHold, sides: Option<AccessSides>, findings: &mut Vec<Finding>) {
    if sides != Some(AccessSides::One) {
        return;
    }
    let rise = &mut held.hold.rise;
    if matches!(rise.kind, RiseKind::Leak | RiseKind::LeakAndMoisture) {
        rise.kind = RiseKind::Unclear;
    }
    // no length of this hold's curve tells bleeding gas from a leak
    rise.decide_after_s = None;
    findings.push(Finding::at(
        held.hold.isolated_at_s,
        Statement::OneSideEvacuated,
    ));
}

/// What speaks against the unit the record was read in, unless somebody checked it.
fn doubt_unit(view: &RunView<'_>, held: Option<&JudgedHold>) -> Option<Statement> {
    let lowest = view.blocks.iter().map(|b| b.low).reduce(f64::min)?;
    // a gauge may warm up, a line may be silent, before it says "over range"
    let over_before = view.first.is_some_and(|(t, _)| {
        let mut before = view.outages.all().iter().take_while(|o| o.start_s <= t);
        before.any(|o| o.state == ReadingState::Over)
    });
    let seen = unit_check::SeenPressures {
        first_micron: view.first.filter(|_| !over_before).map(|(_, p)| p),
        begins_still: view.begins_still,
        lowest_micron: lowest,
        hold_micron: held.and_then(|h| h.hold.end_micron),
    };
    unit_check::doubt(seen, view.settings.record_unit).filter(|_| !view.settings.unit_checked)
}

fn judge_without_hold(
    view: &RunView<'_>,
    rounds: &[Round],
    unit_doubtful: bool,
) -> (Verdict, Vec<Reason>) {
    if view.blocks.is_empty() {
        return (Verdict::NotProven, vec![Reason::NoReadings]);
    }
    let reached = rounds
        .iter()
        .rev()
        .find_map(|r| r.pulldown.as_ref())
        .is_some_and(|p| p.reached_target_s.is_some());
    let mut reasons = vec![Reason::NoIsolation];
    if !reached {
        reasons.insert(0, Reason::TargetNotReached);
    }
    if unit_doubtful {
        reasons.push(Reason::UnitDoubtful);
    }
    (Verdict::NotProven, reasons)
}

fn judge_hold(
    view: &RunView<'_>,
    reached: bool,
    held: &JudgedHold,
    (unit_doubtful, (also_broken, also_doubtful)): (bool, (Vec<Reason>, Vec<Reason>)),
) -> (Verdict, Vec<Reason>) {
    let hold = &held.hold;
    let criteria = &view.settings.criteria;
    let mut broken = Vec::new();
    let mut doubtful = Vec::new();
    if !reached {
        broken.push(Reason::TargetNotReached);
    }
    if seen_s(view, held) < 60.0 * criteria.hold_min {
        doubtful.push(Reason::HoldTooShort);
    }
    let (over, gap, fault) = outages_in(view, held, criteria.ceiling_micron);
    let too_high = hold
        .highest_micron
        .is_some_and(|p| p > criteria.ceiling_micron * (1.0 + ROUNDING));
    if too_high || over {
        broken.push(Reason::CeilingExceeded);
    }
    broken.extend(also_broken);
    if gap || held.readings < FEWEST_READINGS {
        doubtful.push(Reason::GapInHold);
    }
    if fault {
        doubtful.push(Reason::GaugeFault);
    }
    if held.stopped_open_s.is_some() || pump_stopped_open(view, hold) {
        doubtful.push(Reason::PumpOpenAtStop);
    }
    if held.too_little.is_some() {
        doubtful.push(Reason::GaugeTooCoarse);
    }
    if ice::in_hold(&view.blocks, held, view.settings) {
        doubtful.push(Reason::IcePossible);
    }
    if gauge_shut_off(view, held).is_some() {
        doubtful.push(Reason::GaugeShutOff);
    }
    if unit_doubtful {
        doubtful.push(Reason::UnitDoubtful);
    }
    if hold.start_micron.is_none() && !over {
        doubtful.push(Reason::NoReadings);
    }
    doubtful.extend(also_doubtful);
    let verdict = match (broken.is_empty(), doubtful.is_empty()) {
        (false, _) => Verdict::Fail,
        (true, false) => Verdict::NotProven,
        (true, true) => Verdict::Pass,
    };
    broken.extend(doubtful);
    (verdict, broken)
}

/// How long the hold was seen, s, at least.
///
/// From the latest instant at which the valve can have been shut to the end of the
/// hold, but not further than one reading would reach beyond the last: a remark typed
/// later shows no pressure. To it comes half the time between readings, at most
/// [`CLOCK_S`], because where times are written in whole seconds both ends are
/// rounded. It stays below one reading, so that one reading more or less decides,
/// however often the gauge speaks.
fn seen_s(view: &RunView<'_>, held: &JudgedHold) -> f64 {
    let interval_s = view.outages.interval_s().unwrap_or(0.0);
    let end_s = held.hold.end_s.min(held.last_reading_s + interval_s);
    end_s - held.hold.isolated_window_s.high_s + (0.5 * interval_s).min(CLOCK_S)
}

/// Over range, gap, fault inside a hold.
fn outages_in(view: &RunView<'_>, held: &JudgedHold, ceiling_micron: f64) -> (bool, bool, bool) {
    let hold = &held.hold;
    let (mut over, mut gap, mut fault) = (false, false, false);
    let shortest = view.outages.shortest_gap_s();
    for o in view.outages.all() {
        let (a, b) = (o.start_s.max(hold.isolated_at_s), o.end_s.min(hold.end_s));
        let lasting = b - a > shortest;
        // where the instant of isolation is in doubt, so is what came before it
        let lasting_early = b - o.start_s.max(hold.isolated_window_s.low_s) > shortest;
        match o.state {
            // a few rows over range are enough: no burst lasts that long
            ReadingState::Over if b > a && (lasting || o.rows >= NO_BURST_ROWS) => {
                if o.bound_micron.is_none_or(|bound| bound >= ceiling_micron) {
                    over = true;
                } else {
                    fault |= lasting;
                }
            }
            ReadingState::Gap => gap |= lasting_early,
            ReadingState::Fault => fault |= lasting_early,
            _ => {}
        }
    }
    (over, gap, fault)
}

/// True when marks say that the pump stopped before its valve was shut.
fn pump_stopped_open(view: &RunView<'_>, hold: &Hold) -> bool {
    // only stops since the valve was last opened, up to the hold's end
    let since = view.opened_before_s(hold.isolated_at_s);
    let Some(stop_s) = view
        .marks
        .iter()
        .find(|m| {
            m.kind == MarkKind::PumpStopped && m.elapsed_s > since && m.elapsed_s <= hold.end_s
        })
        .map(|m| m.elapsed_s)
    else {
        return false;
    };
    if stopped_behind_a_shut_valve(view, hold, since, stop_s) {
        return false;
    }
    match hold.basis {
        IsolationBasis::Mark | IsolationBasis::Given => stop_s < hold.isolated_at_s - MARKS_S,
        // no mark for the valve: the rise began when the pump stopped, not before
        IsolationBasis::Curve => hold.isolated_at_s > stop_s - MARK_AND_CURVE_S,
        IsolationBasis::FromStart => false,
    }
}

/// True when the valve was stamped shut before the pump stopped, though this hold was stamped
/// once more afterwards, and nothing was let in between.
fn stopped_behind_a_shut_valve(view: &RunView<'_>, hold: &Hold, since: f64, stop_s: f64) -> bool {
    let stamped = |kind, from_s: f64, to_s: f64| {
        let mut marks = view.marks.iter().filter(|m| m.kind == kind);
        marks.any(|m| m.elapsed_s > from_s && m.elapsed_s <= to_s)
    };
    stamped(MarkKind::PumpSideShut, since, stop_s + MARKS_S)
        && !stamped(MarkKind::NitrogenBreak, since, hold.isolated_at_s)
}

fn order_of_work(view: &RunView<'_>, reasons: &[Reason], findings: &mut Vec<Finding>) {
    if !reasons.contains(&Reason::PumpOpenAtStop) {
        return;
    }
    let at_s = view
        .marks
        .iter()
        .find(|m| m.kind == MarkKind::PumpStopped)
        .map(|m| m.elapsed_s);
    findings.push(Finding {
        at_s,
        statement: Statement::PumpOpenAtStop,
    });
}
