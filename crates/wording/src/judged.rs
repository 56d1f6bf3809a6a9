//! What is looked up in the findings before words are chosen.

use findings::{Finding, Findings, Statement};

/// Findings besides the stalls, which are told with their pull-down, what the headline
/// says, and what earlier rounds said about where their rise levelled off.
pub fn remarks(findings: &Findings) -> impl Iterator<Item = &Finding> {
    let all = &findings.findings;
    all.iter().enumerate().filter_map(|(i, finding)| {
        let code = finding.code();
        let of_a_round = matches!(
            code,
            "bound_moisture"
                | "free_water"
                | "ice_in_hold"
                | "ice_not_ruled_out"
                | "too_cold_to_dry"
        );
        let superseded = of_a_round && all[i + 1..].iter().any(|f| f.code() == code);
        let elsewhere = matches!(
            finding.statement,
            Statement::Stalled(_) | Statement::PassWithLeak(_)
        );
        (!elsewhere && !superseded).then_some(finding)
    })
}

/// Lowest pressure of the pull-down that the verdict speaks of.
pub(super) fn lowest_micron(findings: &Findings) -> Option<f64> {
    findings.judged_round()?.pulldown.as_ref()?.lowest_micron
}

/// True when only one side of the system was evacuated.
pub(super) fn is_one_sided(findings: &Findings) -> bool {
    let said = &Statement::OneSideEvacuated;
    findings.findings.iter().any(|f| f.statement == *said)
}
