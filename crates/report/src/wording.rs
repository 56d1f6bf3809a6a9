//! Findings in sentences: one place for the terminal, the curve and the sheet.
//!
//! Advice, never a command; figures with units; a passed hold never reads
//! "no leak" but says what it could not have seen.

mod advice;

pub use advice::{CAUTIONS, cautions, next_step};

use analyser::{Estimate, Findings, Hold, IsolationBasis, Reason, RiseKind, Round, Stall, Verdict};
use vacuum::{Job, Refrigerant, leak::Throughput};

use crate::figures::{clock, duration, estimate, limit, micron, plain, significant};

/// The review that a technician reads in a terminal, line by line.
#[must_use]
pub fn summary_lines(findings: &Findings) -> Vec<String> {
    let mut lines = vec![format!(
        "{}: {}",
        findings.verdict.label(),
        reason_sentence(findings)
    )];
    lines.push(format!(
        "Judged against: {} ({}).",
        criteria_sentence(findings),
        findings.criteria.source
    ));
    let several = findings.rounds.len() > 1;
    for (i, round) in findings.rounds.iter().enumerate() {
        let name = if several {
            format!("Round {}: ", i + 1)
        } else {
            String::new()
        };
        lines.extend(round_lines(round).into_iter().map(|l| format!("{name}{l}")));
    }
    if let Some(hold) = findings.judged_hold() {
        lines.push(rise_sentence(hold));
        lines.extend(leak_sentence(hold));
        lines.push(detection_sentence(hold, None));
        lines.extend(water_sentence(hold));
    }
    lines.push(data_sentence(findings));
    for finding in &findings.findings {
        let at = finding
            .at_s
            .filter(|s| s.is_finite())
            .map(|s| format!("at {}: ", clock(s)))
            .unwrap_or_default();
        lines.push(format!("Note: {at}{}", finding.text));
    }
    lines.push(format!("Next: {}", next_step(findings)));
    lines
}

fn round_lines(round: &Round) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(pulldown) = &round.pulldown {
        let lowest = pulldown
            .lowest_micron
            .map_or_else(|| "nothing measured".to_owned(), micron);
        let reached = pulldown.reached_target_s.map_or_else(
            || "target not reached".to_owned(),
            |s| format!("target reached after {}", duration(s - pulldown.start_s)),
        );
        lines.push(format!(
            "Pull-down of {}: lowest {lowest}, {reached}.",
            duration(pulldown.end_s - pulldown.start_s)
        ));
        lines.extend(pulldown.stalls.iter().map(stall_sentence));
    }
    if let Some(hold) = &round.hold {
        lines.push(hold_sentence(hold));
    }
    lines
}

/// Why the verdict is what it is, in one sentence with figures.
#[must_use]
pub fn reason_sentence(findings: &Findings) -> String {
    if findings.verdict == Verdict::Pass {
        return pass_sentence(findings);
    }
    let reasons: Vec<String> = findings
        .reasons
        .iter()
        .map(|reason| reason_phrase(*reason, findings))
        .collect();
    if reasons.is_empty() {
        return "No reason was recorded.".to_owned();
    }
    sentence(&reasons.join("; "))
}

fn pass_sentence(findings: &Findings) -> String {
    let criteria = &findings.criteria;
    let Some(hold) = findings.judged_hold() else {
        return "The criteria are met.".to_owned();
    };
    let highest = hold
        .highest_micron
        .or(hold.end_micron)
        .map(|p| format!(", highest {}", micron(p)))
        .unwrap_or_default();
    format!(
        "Pulled down to the target of {}, then held for {} under the ceiling of {}{highest}.",
        limit(criteria.target_micron),
        duration(hold.duration_s),
        limit(criteria.ceiling_micron),
    )
}

/// A reason with the figures behind it, as a clause.
fn reason_phrase(reason: Reason, findings: &Findings) -> String {
    let criteria = &findings.criteria;
    let hold = findings.judged_hold();
    match reason {
        // a figure that does not bear the reason out would only confuse
        Reason::TargetNotReached => lowest_micron(findings)
            .filter(|lowest| *lowest > criteria.target_micron)
            .map(|lowest| {
                format!(
                    "the pull-down did not reach the target of {}: lowest {}",
                    limit(criteria.target_micron),
                    micron(lowest)
                )
            }),
        Reason::HoldTooShort => hold
            .filter(|h| h.duration_s < criteria.hold_min * 60.0)
            .map(|h| {
                format!(
                    "the hold lasted {}, the criteria ask for {}",
                    duration(h.duration_s),
                    duration(criteria.hold_min * 60.0)
                )
            }),
        Reason::CeilingExceeded => hold
            .and_then(|h| h.highest_micron)
            .filter(|highest| *highest > criteria.ceiling_micron)
            .map(|highest| {
                format!(
                    "the pressure rose to {} in the hold, above the ceiling of {}",
                    micron(highest),
                    limit(criteria.ceiling_micron)
                )
            }),
        _ => None,
    }
    .unwrap_or_else(|| reason.sentence().to_owned())
}

/// Lowest pressure of the pull-down that the verdict speaks of.
pub(crate) fn lowest_micron(findings: &Findings) -> Option<f64> {
    judged_round(findings)?.pulldown.as_ref()?.lowest_micron
}

/// The last round with a hold, else the last round.
pub(crate) fn judged_round(findings: &Findings) -> Option<&Round> {
    let with_hold = findings.rounds.iter().rev().find(|r| r.hold.is_some());
    with_hold.or(findings.rounds.last())
}

/// "500 micron target, 10 min hold, 500 micron ceiling".
#[must_use]
pub fn criteria_sentence(findings: &Findings) -> String {
    let c = &findings.criteria;
    format!(
        "target {}, hold {} min, ceiling {}",
        limit(c.target_micron),
        plain(c.hold_min, 4),
        limit(c.ceiling_micron)
    )
}

/// What the hold did, with times and pressures.
#[must_use]
pub fn hold_sentence(hold: &Hold) -> String {
    let from_to = match (hold.start_micron, hold.end_micron) {
        (Some(start), Some(end)) => format!(", {} to {}", micron(start), micron(end)),
        _ => String::new(),
    };
    let highest = hold
        .highest_micron
        .map(|p| format!(", highest {}", micron(p)))
        .unwrap_or_default();
    format!(
        "Hold of {}{from_to}{highest}; isolated at {} ({}).",
        duration(hold.duration_s),
        clock(hold.isolated_at_s),
        basis_phrase(hold.basis)
    )
}

/// How the instant of isolation is known.
#[must_use]
pub const fn basis_phrase(basis: IsolationBasis) -> &'static str {
    match basis {
        IsolationBasis::Mark => "from the mark",
        IsolationBasis::Given => "as given by the reviewer",
        IsolationBasis::Curve => "found in the curve",
        IsolationBasis::FromStart => "isolated from the start of the record",
    }
}

/// The cause of the rise with its figures.
#[must_use]
pub fn rise_sentence(hold: &Hold) -> String {
    let rise = &hold.rise;
    let figures = rise_figures(hold);
    let mut out = sentence(rise.kind.label());
    if !figures.is_empty() {
        out.push(' ');
        out.push_str(&sentence(&figures.join("; ")));
    }
    if let Some(decide) = rise.decide_after_s {
        let more = (decide - hold.duration_s).max(0.0);
        out.push_str(&format!(
            " A hold of {} in all ({} more) would tell.",
            duration(decide),
            duration(more)
        ));
    }
    if let Some(confidence) = rise
        .confidence
        .filter(|c| c.is_finite() && rise.kind != RiseKind::Unclear)
    {
        let percent = (confidence * 100.0).clamp(0.0, 99.0).floor();
        out.push_str(&format!(" Confidence in the cause: {percent:.0} %."));
    }
    out
}

/// The figures that go with the kind of rise, as clauses.
fn rise_figures(hold: &Hold) -> Vec<String> {
    let rise = &hold.rise;
    let mut figures = Vec::new();
    if rise.kind != RiseKind::None
        && let Some(rate) = &rise.leak_micron_per_min
    {
        figures.push(format!("straight part {}", estimate(rate, "micron/min")));
    }
    if let Some(plateau) = &rise.plateau_micron {
        let what = if rise.kind == RiseKind::LeakAndMoisture {
            "the rest levels off"
        } else {
            "levels off"
        };
        figures.push(format!("{what} at {}", estimate(plateau, "micron")));
    }
    if let Some(tau) = &rise.tau_s {
        let minutes = tau.scaled(1.0 / 60.0);
        figures.push(format!("time constant {}", estimate(&minutes, "min")));
    }
    figures
}

/// The leak as throughput, with its assumptions; `None` without a volume.
#[must_use]
pub fn leak_sentence(hold: &Hold) -> Option<String> {
    let leak = hold.leak.as_ref()?;
    let grams = leak
        .g_per_year
        .as_ref()
        .map(|g| {
            format!(
                ", {} of the refrigerant at 20 °C as throughput into vacuum; \
                 the running system loses at another rate",
                estimate(g, "g/year")
            )
        })
        .unwrap_or_default();
    Some(format!(
        "Leak throughput: {}{grams}.",
        estimate(&leak.pa_m3_per_s, "Pa·m³/s")
    ))
}

/// The smallest leak that this hold could have shown. With a job that gives
/// volume and refrigerant, as throughput too.
#[must_use]
pub fn detection_sentence(hold: &Hold, job: Option<&Job>) -> String {
    let Some(rate) = hold
        .rise
        .detection_limit_micron_per_min
        .filter(|r| r.is_finite())
    else {
        return "How small a leak this hold could have shown is not known.".to_owned();
    };
    let throughput = job.and_then(|job| throughput_clause(rate, job));
    format!(
        "This hold could not have shown a straight rise below {} micron/min{}: \
         a smaller leak is not ruled out.",
        significant(rate, 2),
        throughput.unwrap_or_default()
    )
}

/// " (2.2 × 10⁻⁶ Pa·m³/s in 2 L, 1.7 g/year of R-600a)".
fn throughput_clause(rate_micron_per_min: f64, job: &Job) -> Option<String> {
    let volume_l = job.volume_l.filter(|v| v.is_finite() && *v > 0.0)?;
    let throughput = Throughput::from_rise(rate_micron_per_min, volume_l);
    let grams = job
        .refrigerant
        .as_deref()
        .and_then(Refrigerant::named)
        .map(|r| {
            let grams = significant(throughput.g_per_year(r), 2);
            format!(", {grams} g/year of {}", r.designation)
        })
        .unwrap_or_default();
    Some(format!(
        " ({} Pa·m³/s in {} L{grams})",
        significant(throughput.pa_m3_per_s(), 2),
        plain(volume_l, 3)
    ))
}

/// Water left as vapour; `None` without a volume.
#[must_use]
pub fn water_sentence(hold: &Hold) -> Option<String> {
    let mg = hold.water_vapour_mg.filter(|mg| mg.is_finite())?;
    Some(format!(
        "If all the gas left at the end were water, it would weigh {} mg; \
         water in oil and filter-drier comes on top.",
        significant(mg, 2)
    ))
}

/// A stall: kind, time, level.
#[must_use]
pub fn stall_fact(stall: &Stall) -> String {
    format!(
        "Stall, {}, {} to {} near {}.",
        stall.kind.label(),
        clock(stall.start_s),
        clock(stall.end_s),
        micron(stall.level_micron)
    )
}

/// A stall with its advice.
#[must_use]
pub fn stall_sentence(stall: &Stall) -> String {
    let advice = sentence(stall.kind.advice());
    format!("{} {advice}", stall_fact(stall))
}

/// What went in.
#[must_use]
pub fn data_sentence(findings: &Findings) -> String {
    let d = &findings.data;
    let mut out = format!("{} readings, {} used", grouped(d.rows), grouped(d.used));
    if !d.gaps.is_empty() {
        let total: f64 = d.gaps.iter().map(|g| g.end_s - g.start_s).sum();
        let plural = if d.gaps.len() == 1 { "" } else { "s" };
        out.push_str(&format!(
            ", {} gap{plural} of {} in all",
            d.gaps.len(),
            duration(total)
        ));
    }
    if let Some(interval) = d.interval_s.filter(|i| *i > 0.0) {
        out.push_str(&format!(", one every {} s", significant(interval, 2)));
    }
    if let Some(step) = d.resolution_micron.filter(|r| *r > 0.0) {
        out.push_str(&format!("; gauge steps of {} micron", significant(step, 2)));
    }
    if let Some(noise) = d.noise_micron.filter(|n| *n > 0.0) {
        out.push_str(&format!(", noise {} micron", significant(noise, 2)));
    }
    out.push('.');
    out
}

fn grouped(count: u64) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out
}

/// Rise rate and kind for the curve, short: "straight rise: leak, 1.20 micron/min".
pub(crate) fn rise_headline(hold: &Hold) -> String {
    let kind = hold.rise.kind.label();
    if hold.rise.kind == RiseKind::None {
        return sentence(kind);
    }
    let rate = hold
        .rise
        .leak_micron_per_min
        .as_ref()
        .map(|e| format!(", {}", rate(e)))
        .unwrap_or_default();
    let plateau = hold
        .rise
        .plateau_micron
        .as_ref()
        .map(|e| format!(", levels off at {}", estimate(e, "micron")))
        .unwrap_or_default();
    sentence(&format!("{kind}{rate}{plateau}"))
}

/// A rise rate with its interval.
pub(crate) fn rate(e: &Estimate) -> String {
    estimate(e, "micron/min")
}

/// Makes a clause a sentence: capital letter, full stop.
pub(crate) fn sentence(clause: &str) -> String {
    let mut chars = clause.chars();
    let first: String = chars
        .next()
        .map(|c| c.to_uppercase().collect())
        .unwrap_or_default();
    let mut out = format!("{first}{}", chars.as_str());
    if !out.ends_with(['.', '!', '?', '…']) {
        out.push('.');
    }
    out
}

#[cfg(test)]
mod tests;
