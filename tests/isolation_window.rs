//! Unmarked isolations of three families, none of which shares a formula with the
//! analyser: how many are found, and whether the 95 % windows hold the truth.
//!
//! Even seeds, which thresholds were set on: a guard, no measurement. What is measured
//! on odd ones stands in DEVELOPERS.md; `scorecard` prints it.

use analyser::{Analyser, Findings, IsolationBasis, Settings, TimeRange};
use simulated_runs::{Case, bench_case, formula_case, valve_case};
use vacuum::Entry;

#[derive(Default)]
struct Count {
    visible: u32,
    near: u32,
    held: u32,
    windows: Vec<f64>,
}

impl Count {
    fn add(&mut self, at_s: f64, reach_s: f64, visible: bool, found: Option<(f64, TimeRange)>) {
        if visible {
            self.visible += 1;
            self.near += u32::from(found.is_some_and(|f| (f.0 - at_s).abs() <= reach_s));
        }
        if let Some((_, window)) = found {
            self.held += u32::from(window.holds(at_s));
            // in units of what is near enough: readings come every 0.1 s to 60 s
            self.windows.push(window.length_s() / reach_s);
        }
    }

    /// Near and held, in per cent, and the median width over the reach.
    fn shares(&mut self) -> (f64, f64, f64) {
        self.windows.sort_by(f64::total_cmp);
        let percent = |part: u32, whole: u32| 100.0 * f64::from(part) / f64::from(whole);
        (
            percent(self.near, self.visible),
            percent(self.held, self.windows.len() as u32),
            self.windows[self.windows.len() / 2],
        )
    }

    fn at_least(mut self, family: &str, near: f64, held: f64, widest: f64) {
        let (is_near, is_held, width) = self.shares();
        assert!(
            is_near >= near && is_held >= held && width <= widest,
            "{family}: {is_near:.1} % near, {is_held:.1} % of windows hold the truth, width {width:.2}"
        );
    }
}

fn judged(entries: &[Entry]) -> Findings {
    let mut analyser = Analyser::new(Settings::default());
    entries.iter().for_each(|e| analyser.push(e));
    analyser.findings()
}

fn in_the_curve(findings: &Findings) -> Option<(f64, TimeRange)> {
    let hold = findings
        .judged_hold()
        .filter(|h| h.basis == IsolationBasis::Curve)?;
    Some((hold.isolated_at_s, hold.isolated_window_s))
}

/// Every unmarked case with a visible or a placed isolation.
fn count(cases: impl Iterator<Item = Case>) -> Count {
    let mut count = Count::default();
    for case in cases.filter(|c| !c.hints.marks_present && c.hints.isolated_at_s.is_none()) {
        let Some(at_s) = case.truth.isolation_s.filter(|at| *at > 0.0) else {
            continue;
        };
        let findings = judged(&case.entries);
        let reach_s = (3.0 * findings.data.interval_s.unwrap_or(1.0)).max(5.0);
        let visible = case.truth.isolation_visible;
        count.add(at_s, reach_s, visible, in_the_curve(&findings));
    }
    count
}

#[test]
fn of_the_plant() {
    count((0..320).step_by(2).map(bench_case)).at_least("plant", 85.0, 90.0, 1.6);
}

#[test]
fn of_closed_formulas() {
    count((0..320).step_by(2).map(formula_case)).at_least("formulas", 95.0, 93.0, 1.3);
}

#[test]
fn of_neither() {
    let mut count = Count::default();
    for case in (0..320).step_by(2).map(valve_case) {
        let found = in_the_curve(&judged(&case.entries));
        let visible = case.can_be_placed();
        count.add(case.isolated_at_s, case.reach_s(), visible, found);
    }
    count.at_least("neither", 87.0, 87.0, 1.6);
}
