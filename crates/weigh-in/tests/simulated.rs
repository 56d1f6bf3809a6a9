//! Simulated weigh-ins whose truth is known. The scale here is a model of its own (a lag, a
//! filter, steps, creep, a room that drifts) and shares no formula with the judge. Even seeds
//! were used to choose the judge's constants; odd ones only to report.
#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "helpers of tests may fail the test, and its figures are printed"
)]

use findings::{Charge, ChargeNotice};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use vacuum::{ChargingAct, Mark, MarkKind, Mass, Steadiness, Weighed, Weighing};
use weigh_in::{Setup, WeighIn};

/// What happens in one of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Story {
    Clean,
    /// Somebody knocks against the cylinder; it comes back.
    Knocked,
    /// A hose is laid over the cylinder, or pulls at it, and stays.
    Leans,
    /// The cylinder is lifted off and not put back.
    LiftedOff,
}

struct Case {
    out_g: f64,
    rows: Vec<Weighing>,
    marks: Vec<Mark>,
}

/// Refrigerant out by `t`: a few draws of different length and speed.
fn out_by(t: f64, draws: &[(f64, f64, f64)]) -> f64 {
    let one = |(from, length, g): &(f64, f64, f64)| {
        let x = ((t - from) / length).clamp(0.0, 1.0);
        // fast at first, slower as the pressures come together
        g * (1.0 - (1.0 - x).powf(1.7))
    };
    draws.iter().map(one).sum()
}

fn case(seed: u64, story: Story) -> Case {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let step: f64 = [0.1, 0.2, 0.5, 1.0, 2.0][rng.random_range(0..5)];
    let noise = step * rng.random_range(0.0..0.5);
    let lag_s = rng.random_range(0.05..0.6);
    let every_s: f64 = [0.1, 0.2, 0.5][rng.random_range(0..3)];
    let says = rng.random_bool(0.5);
    let cylinder = rng.random_range(2_000.0..12_000.0);
    let out_g = rng.random_range(20.0..400.0);
    let count = rng.random_range(1..4);
    let (mut draws, mut t) = (Vec::new(), rng.random_range(12.0..25.0));
    for _ in 0..count {
        let g = out_g / f64::from(count);
        let length = g / rng.random_range(0.5..12.0);
        draws.push((t, length, g));
        t += length + rng.random_range(3.0..15.0);
    }
    let end_s = t + rng.random_range(6.0..20.0);
    let creep = step * rng.random_range(-0.5..0.5);
    let drift = step * rng.random_range(-0.3..0.3) / 1_800.0;
    let last = draws[draws.len() - 1];
    let event_s = rng.random_range(draws[0].0 - 3.0..last.0 + last.1);
    let push = {
        let size: f64 = rng.random_range(8.0..150.0) * step.max(0.5);
        match story {
            Story::Knocked if rng.random_bool(0.5) => -size * 3.0,
            _ => size,
        }
    };
    let length_s = rng.random_range(0.4..2.5);
    let (mut shown, mut rows) = (cylinder, Vec::new());
    let mut recent: Vec<f64> = Vec::new();
    let mut t = 0.0;
    while t < end_s + 8.0 {
        let mut on_it = cylinder - out_by(t, &draws);
        on_it += match story {
            Story::Clean => 0.0,
            Story::Knocked => {
                let x = (t - event_s) / length_s;
                if (0.0..1.0).contains(&x) {
                    push * (std::f64::consts::PI * x).sin()
                } else {
                    0.0
                }
            }
            Story::Leans if t >= event_s => push,
            Story::LiftedOff if t >= event_s => -cylinder,
            _ => 0.0,
        };
        shown += (on_it - shown) * (1.0 - f64::exp(-every_s / lag_s));
        let scatter: f64 = (0..12).map(|_| rng.random_range(-0.5..0.5)).sum::<f64>() * noise;
        let creeps = creep * (1.0 - f64::exp(-t / 600.0)) + drift * t;
        let value = ((shown + scatter + creeps) / step).round() * step;
        recent.push(value);
        let keep = (1.0 / every_s) as usize + 1;
        let from = recent.len().saturating_sub(keep);
        let window = &recent[from..];
        let still = window.iter().all(|g| (g - value).abs() <= 1.01 * step) && window.len() >= keep;
        let steadiness = match (says, still) {
            (false, _) => Steadiness::Unsaid,
            (true, true) => Steadiness::Stable,
            (true, false) => Steadiness::Moving,
        };
        rows.push(Weighing {
            elapsed_s: t,
            weighed: Weighed::Mass {
                mass: Mass::from_g(value).unwrap(),
                tare: None,
                steadiness,
            },
        });
        t += every_s;
    }
    let act = |elapsed_s, act: ChargingAct| Mark {
        elapsed_s,
        kind: MarkKind::Note,
        note: act.remark().into(),
    };
    let marks = vec![
        act(rng.random_range(3.0..8.0), ChargingAct::WeighInBegins),
        act(last.0 + last.1 + 1.0, ChargingAct::CylinderShut),
        act(end_s, ChargingAct::WeighInEnds),
    ];
    Case { out_g, rows, marks }
}

/// Rows and marks in the order of time, as a recorder hands them over.
fn judged(case: &Case) -> Charge {
    let mut weigh_in = WeighIn::new(Setup {
        nameplate_g: Some(case.out_g),
        ..Setup::default()
    });
    let mut marks = case.marks.iter().peekable();
    for row in &case.rows {
        while let Some(mark) = marks.next_if(|m| m.elapsed_s <= row.elapsed_s) {
            weigh_in.mark(mark);
        }
        weigh_in.push(row);
    }
    weigh_in.charge().unwrap()
}

fn touched(charge: &Charge) -> bool {
    let is = |n: &ChargeNotice| {
        matches!(
            n,
            ChargeNotice::Touched { .. } | ChargeNotice::ZeroLost { .. }
        )
    };
    charge.notices.iter().any(is)
}

#[derive(Debug, Default)]
struct Score {
    said: u32,
    held: u32,
    touched: u32,
    all: u32,
    /// Half width of the interval over the step of the scale.
    off_steps: Vec<f64>,
}

fn score(story: Story, seeds: impl Iterator<Item = u64>) -> Score {
    let mut score = Score::default();
    for seed in seeds {
        let case = case(seed, story);
        let charge = judged(&case);
        score.all += 1;
        score.touched += u32::from(touched(&charge));
        if let Some(left) = charge.left_cylinder_g {
            score.said += 1;
            let held = left.low <= case.out_g && case.out_g <= left.high;
            score.held += u32::from(held);
            let step_g = charge.step_g.unwrap_or(f64::NAN);
            score.off_steps.push((left.high - left.low) / 2.0 / step_g);
            if !held && std::env::var_os("SHOW_MISSES").is_some() {
                println!(
                    "{story:?} {seed}: out {} said {left:?} {:?}",
                    case.out_g, charge.notices
                );
            }
        }
    }
    score.off_steps.sort_by(f64::total_cmp);
    let at = |share: usize| score.off_steps.get(score.off_steps.len() * share / 100);
    println!(
        "{story:?}: of {} said {}, held {}, touched {}, half width in steps {:?} (9 in 10 below {:?})",
        score.all,
        score.said,
        score.held,
        score.touched,
        at(50),
        at(90)
    );
    score
}

/// Odd seeds: never looked at while constants were chosen.
fn odd(count: u64) -> impl Iterator<Item = u64> {
    (0..count).map(|i| 2 * i + 1)
}

#[test]
fn an_interval_holds_the_truth_as_often_as_it_promises() {
    let clean = score(Story::Clean, odd(400));
    assert!(clean.said * 100 >= clean.all * 97, "{clean:?}");
    assert!(clean.held * 100 >= clean.said * 95, "{clean:?}");
    // a warning that comes without a reason is soon not read
    assert!(clean.touched * 100 <= clean.all * 2, "{clean:?}");
}

#[test]
fn a_knock_is_noticed_and_seldom_costs_the_answer() {
    let knocked = score(Story::Knocked, odd(400));
    assert!(knocked.touched * 100 >= knocked.all * 90, "{knocked:?}");
    assert!(knocked.said * 100 >= knocked.all * 70, "{knocked:?}");
    assert!(knocked.held * 100 >= knocked.said * 95, "{knocked:?}");
}

#[test]
fn what_leans_on_the_cylinder_gives_no_mass_rather_than_a_wrong_one() {
    let leans = score(Story::Leans, odd(400));
    assert!(leans.touched * 100 >= leans.all * 90, "{leans:?}");
    assert!(leans.said - leans.held <= leans.all / 20, "{leans:?}");
}

#[test]
fn a_cylinder_that_was_lifted_off_gives_no_mass() {
    let lifted = score(Story::LiftedOff, odd(200));
    assert_eq!(lifted.said, 0, "{lifted:?}");
    assert!(lifted.touched * 100 >= lifted.all * 97, "{lifted:?}");
}

/// For whoever changes a constant: the even seeds.
#[test]
#[ignore = "for tuning"]
fn tuning() {
    for story in [Story::Clean, Story::Knocked, Story::Leans, Story::LiftedOff] {
        score(story, (0..400).map(|i| 2 * i));
    }
}
