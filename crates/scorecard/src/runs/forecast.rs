//! The forecast: is the range honest?
//!
//! Each run is cut at [`CUTS`] moments spread over its first pull-down, from 20 s
//! after the pressure began to fall to the moment the target is reached or the
//! pump is valved off, stalls included. What the live line says at the cut is held
//! against what happened:
//!
//! * a range is *right* when the target is reached inside it, *too late a range*
//!   or *too early a range* when it is reached before or after. A run whose pump
//!   was valved off first counts as a range too early once the late end has
//!   passed, and is left out before that, since nobody knows;
//! * *not at this rate* is false when the target is reached later on after all,
//!   whatever was done meanwhile;
//! * where oil foams or water boils there is no range to score; how often is
//!   counted.
//!
//! Nothing is left out for acts or stalls that came after the cut.

use analyser::Live;
use simulated_runs::Case;
use vacuum::{Entry, Sensed};

use super::{analyser_for, quantile};
use crate::print::say;

/// Cuts a run.
const CUTS: u32 = 6;
/// The target of the default criteria, micron.
const TARGET_MICRON: f64 = 500.0;

/// Counts of all cuts.
#[derive(Default)]
pub(crate) struct Forecasts {
    cuts: u32,
    inside: u32,
    before: u32,
    after: u32,
    unknown: u32,
    widths: Vec<f64>,
    ratios: Vec<f64>,
    stalled: u32,
    silent: u32,
    not: u32,
    not_false: u32,
    never: u32,
    never_said: u32,
}

/// The first pull-down of a case, in s.
struct Pulled {
    from_s: f64,
    end_s: f64,
    reached_s: Option<f64>,
}

impl Forecasts {
    /// Takes one run.
    pub(crate) fn count(&mut self, case: &Case, wrong: bool) {
        let Some(pulled) = pulled(case) else { return };
        let mut analyser = analyser_for(case);
        let mut at = case.entries.iter().peekable();
        for cut in 0..CUTS {
            // the golden ratio spreads the first cut over the runs
            let phase = (case.seed as f64 * 0.618_033_988_749_895).fract();
            let share = (f64::from(cut) + phase) / f64::from(CUTS);
            let cut_s = pulled.from_s + 0.97 * share * (pulled.end_s - pulled.from_s);
            while let Some(entry) = at.next_if(|e| time(e) <= cut_s) {
                analyser.push(entry);
            }
            self.score(case, &pulled, cut_s, &analyser.live(), wrong);
        }
    }

    fn score(&mut self, case: &Case, pulled: &Pulled, cut_s: f64, live: &Live, wrong: bool) {
        self.cuts += 1;
        self.never += u32::from(pulled.reached_s.is_none());
        if live.not_at_this_rate.is_some() {
            self.not += 1;
            self.not_false += u32::from(pulled.reached_s.is_some());
            self.never_said += u32::from(pulled.reached_s.is_none());
            if wrong && let Some(reached_s) = pulled.reached_s {
                say(&format!(
                    "  false not-at-this-rate {:>5} {:<12} at {cut_s:.0} s, reached {:.0} s later",
                    case.seed,
                    case.family,
                    reached_s - cut_s
                ));
            }
            return;
        }
        let Some(range) = live.to_target else {
            let held_up = live.stall.is_some_and(|s| s.kind.ends_outside_the_curve());
            self.stalled += u32::from(held_up);
            self.silent += u32::from(!held_up);
            return;
        };
        self.widths.push(range.late_s - range.early_s);
        self.ratios.push(range.late_s / range.early_s.max(1.0));
        match pulled.reached_s.map(|s| s - cut_s) {
            Some(s) if s < range.early_s => self.before += 1,
            Some(s) if s > range.late_s => self.after += 1,
            Some(_) => self.inside += 1,
            None if pulled.end_s - cut_s > range.late_s => self.after += 1,
            None => self.unknown += 1,
        }
    }

    /// Prints the table.
    pub(crate) fn print(mut self) {
        let scored = self.inside + self.before + self.after;
        let share = |a: u32, b: u32| 100.0 * f64::from(a) / f64::from(b.max(1));
        say(&format!(
            "forecast: {} cuts; ranges {} ({:.0} %), none while foaming or boiling {:.0} %, \
             not at this rate {:.0} %, nothing said {:.0} %",
            self.cuts,
            scored + self.unknown,
            share(scored + self.unknown, self.cuts),
            share(self.stalled, self.cuts),
            share(self.not, self.cuts),
            share(self.silent, self.cuts),
        ));
        say(&format!(
            "  80 % range holds the truth in {:.1} % of {scored} (before {:.1} %, after {:.1} %; \
             {} cannot be told)",
            share(self.inside, scored),
            share(self.before, scored),
            share(self.after, scored),
            self.unknown
        ));
        say(&format!(
            "  width median {:.0} s, late over early median {:.1}",
            quantile(&mut self.widths, 0.5),
            quantile(&mut self.ratios, 0.5)
        ));
        say(&format!(
            "  not at this rate: false {}/{} = {:.1} %; said in {}/{} cuts of runs that never got there",
            self.not_false,
            self.not,
            share(self.not_false, self.not),
            self.never_said,
            self.never
        ));
    }
}

fn time(entry: &Entry) -> f64 {
    match entry {
        Entry::Reading(r) => r.elapsed_s,
        Entry::Mark(m) => m.elapsed_s,
    }
}

/// The first pull-down, `None` when there is none to forecast.
fn pulled(case: &Case) -> Option<Pulled> {
    let readings: Vec<(f64, f64)> = case
        .entries
        .iter()
        .filter_map(|e| match e {
            Entry::Reading(r) => match r.sensed {
                Sensed::Measured(p) => Some((r.elapsed_s, p.micron())),
                _ => None,
            },
            Entry::Mark(_) => None,
        })
        .collect();
    let isolated_s = case.truth.isolations_s.first().copied();
    let end_s = isolated_s.unwrap_or(case.truth.end_s);
    let top = readings.first()?.1;
    let from_s = readings.iter().find(|r| r.1 < 0.9 * top)?.0 + 20.0;
    // two neighbours below: one may be a burst
    let reached_s = readings
        .windows(2)
        .find(|w| w[0].1 <= TARGET_MICRON && w[1].1 <= TARGET_MICRON)
        .map(|w| w[0].0)
        .filter(|s| *s <= end_s + 2.0);
    let end_s = reached_s.unwrap_or(end_s);
    (end_s - from_s > 20.0).then_some(Pulled {
        from_s,
        end_s,
        reached_s,
    })
}
