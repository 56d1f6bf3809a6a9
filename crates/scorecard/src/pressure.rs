//! What is said of pressure tests with gas, against what was simulated.
//!
//! How often the interval holds the true loss, how often a pass or a fail is wrong, and
//! whether an open supply is noticed. `--wrong` lists the tests in which something was
//! wrong; `--gate` ends with status 1 when a bar is missed.

use findings::{DecayFindings, DecayNotice, DecayReason, Verdict};
use pressure_decay::{GaugeZero, PressureDecay, Setup};
use simulated_runs::{PressureStory, PressureTestCase, pressure_test_case};
use vacuum::AllowedLoss;

use crate::print::{say, say_bars, say_pace, share};

/// Least share of intervals that hold the true loss, of supplies that were shut.
const COVERED: f64 = 0.93;
/// Most of the tests whose supply was shut when it was said to be, whose verdict is wrong.
const WRONG: f64 = 0.005;
/// Most of the tests with an open supply that are given a verdict. Some regulators wander
/// as a room does.
const OPEN_JUDGED: f64 = 0.08;

#[derive(Default)]
struct Row {
    tests: u32,
    judged: u32,
    covered: u32,
    below_upper: u32,
    passes: u32,
    fails: u32,
    wrong_passes: u32,
    wrong_fails: u32,
    supply: u32,
    late: u32,
    apart: u32,
    half_widths_k: Vec<f64>,
}

/// Plays the tests of `seeds`, prints the table, and says whether every bar is kept.
pub(crate) fn play(seeds: &[u64], list: bool) -> bool {
    let began = std::time::Instant::now();
    let mut rows: Vec<(&str, Row)> = [
        "closed",
        "  with thermometer",
        "  without",
        "  leaky",
        "  tight",
        "supply open",
        "shut late",
        "sun on thermometer",
    ]
    .map(|name| (name, Row::default()))
    .into();
    let mut judged_us = 0;
    for seed in seeds {
        let case = pressure_test_case(*seed);
        let mut test = PressureDecay::new(setup(&case));
        case.entries.iter().for_each(|entry| test.take(entry));
        let at = std::time::Instant::now();
        let found = test.findings();
        judged_us += at.elapsed().as_micros();
        let story = case.story.word();
        for (name, row) in &mut rows {
            let belongs = match name.trim() {
                "with thermometer" => story == "closed" && case.thermometer,
                "without" => story == "closed" && !case.thermometer,
                "leaky" => story == "closed" && case.leak_pa_m3_per_s > 0.0,
                "tight" => story == "closed" && case.leak_pa_m3_per_s == 0.0,
                other => other == story,
            };
            if belongs {
                row.add(&case, &found);
            }
        }
        if list {
            list_wrong(&case, &found);
        }
    }
    say(&format!(
        "{:<20} tests covered upper≥ pass wrong fail wrong open? late? apart? half-width K",
        "story"
    ));
    rows.iter().for_each(|(name, row)| row.print(name));
    say_pace(seeds.len(), began, judged_us);
    let (closed, open) = (&rows[0].1, &rows[5].1);
    let bars = [
        (
            "intervals that hold the loss",
            share(closed.covered, closed.judged) >= COVERED,
        ),
        (
            "wrong verdicts, supply shut",
            share(closed.wrong_passes + closed.wrong_fails, closed.tests) <= WRONG,
        ),
        (
            "verdicts, supply open",
            share(open.passes + open.fails, open.tests) <= OPEN_JUDGED,
        ),
    ];
    say_bars(&bars)
}

fn setup(case: &PressureTestCase) -> Setup {
    Setup {
        volume_l: Some(case.volume_l),
        zero: if case.counts_from_air {
            GaugeZero::BarometerGiven
        } else {
            GaugeZero::Absolute
        },
        limit: Some(AllowedLoss::Throughput {
            pa_m3_per_s: case.allowed_pa_m3_per_s,
        }),
        shut_at_s: Some(case.said_shut_s),
        ambient_c: case.ambient_c,
        ..Setup::default()
    }
}

/// Whether a pass or a fail is wrong: behind an open supply every one is.
fn is_wrong(case: &PressureTestCase, verdict: Verdict) -> bool {
    let too_large = case.leak_pa_m3_per_s > case.allowed_pa_m3_per_s;
    match verdict {
        Verdict::NotProven => false,
        _ if case.story == PressureStory::SupplyOpen => true,
        Verdict::Pass => too_large,
        Verdict::Fail => !too_large,
    }
}

impl Row {
    fn add(&mut self, case: &PressureTestCase, found: &DecayFindings) {
        self.tests += 1;
        let wrong = is_wrong(case, found.verdict);
        match found.verdict {
            Verdict::Pass => {
                self.passes += 1;
                self.wrong_passes += u32::from(wrong);
            }
            Verdict::Fail => {
                self.fails += 1;
                self.wrong_fails += u32::from(wrong);
            }
            Verdict::NotProven => {}
        }
        self.supply += u32::from(found.reasons.contains(&DecayReason::SupplyOpen));
        let noticed = |kind: fn(&DecayNotice) -> bool| u32::from(found.notices.iter().any(kind));
        self.late += noticed(|n| matches!(n, DecayNotice::ShutLate { .. }));
        self.apart += noticed(|n| matches!(n, DecayNotice::ThermometerApart));
        let (Some(loss), Some(upper)) = (
            found.decay.and_then(|d| d.loss_pa_m3_per_s),
            found.decay.and_then(|d| d.upper_95_pa_m3_per_s),
        ) else {
            return;
        };
        let truth = case.leak_pa_m3_per_s;
        self.judged += 1;
        self.covered += u32::from((loss.low..=loss.high).contains(&truth));
        self.below_upper += u32::from(truth <= upper);
        // what temperature error over the hold would look like half the interval
        let pv = case.test_pa * case.volume_l * 1e-3;
        self.half_widths_k
            .push(0.5 * (loss.high - loss.low) / pv * case.hold_s * 293.0);
    }

    fn print(&self, name: &str) {
        let share = |of: u32| f64::from(of) / f64::from(self.judged.max(1));
        let mut widths = self.half_widths_k.clone();
        widths.sort_by(f64::total_cmp);
        say(&format!(
            "{name:<20} {:5} {:7.3} {:6.3} {:4} {:5} {:4} {:5} {:5} {:5} {:6} {:12.2}",
            self.tests,
            share(self.covered),
            share(self.below_upper),
            self.passes,
            self.wrong_passes,
            self.fails,
            self.wrong_fails,
            self.supply,
            self.late,
            self.apart,
            widths.get(widths.len() / 2).copied().unwrap_or(f64::NAN)
        ));
    }
}

fn list_wrong(case: &PressureTestCase, found: &DecayFindings) {
    let loss = found.decay.and_then(|d| d.loss_pa_m3_per_s);
    let off = loss.is_some_and(|l| !(l.low..=l.high).contains(&case.leak_pa_m3_per_s));
    let off = off && case.story == PressureStory::Closed;
    if off || is_wrong(case, found.verdict) {
        let reasons: Vec<&str> = found.reasons.iter().map(|r| r.word()).collect();
        say(&format!(
            "  seed {} {}: {} {reasons:?}, loss {:?}, true {:.3e}, allowed {:.3e}, step {} Pa, \
             hold {:.0} s, thermometer {}",
            case.seed,
            case.story.word(),
            found.verdict.word(),
            loss.map(|l| [l.low, l.value, l.high]),
            case.leak_pa_m3_per_s,
            case.allowed_pa_m3_per_s,
            case.gauge_step_pa,
            case.hold_s,
            case.thermometer
        ));
    }
}
