//! A third family of runs, for one question only: when was the valve shut?
//!
//! Its curves share no formula with the plant, nor with
//! [`formula_case`](crate::formula_case), nor with any curve that an analyser would
//! fit: no exponential, no first-order lag, no autoregressive noise. A pump comes down
//! by a power law of time and then drifts, hunts or moves in steps; equalisation goes
//! as tanh or as u/(u + τ), upwards or downwards; the rise is a straight line, a power
//! of time, a logarithm or an arctangent; the gauge is a moving average that may be
//! refreshed seldom, with noise made of moving sums and telegraph switching, rounded
//! with backlash.

mod dial;
mod story;

use rehearsal::rng::Rng;
use vacuum::Entry;

use crate::formula::information::Design;
use dial::Dial;
use story::Story;

/// One unmarked run whose instant of isolation is known.
#[derive(Debug, Clone, PartialEq)]
pub struct ValveCase {
    /// Its seed.
    pub seed: u64,
    /// What the pump does before the valve is shut, for tables.
    pub family: &'static str,
    /// The draw in words.
    pub description: String,
    /// Readings in order; no marks.
    pub entries: Vec<Entry>,
    /// When the valve was shut, s.
    pub isolated_at_s: f64,
    /// Time between readings, s.
    pub interval_s: f64,
    /// Standard error of the instant for one who knows the shapes of this run but none
    /// of its levels and slopes, and lag and equalisation time only roughly, s; infinite
    /// where nothing changes.
    pub least_error_s: f64,
}

impl ValveCase {
    /// How far off is still near: 5 s, or three readings, s.
    #[must_use]
    pub fn reach_s(&self) -> f64 {
        (3.0 * self.interval_s).max(5.0)
    }

    /// True when the instant can be told to within reach: the least error is within a
    /// third of it, as for [`formula_case`](crate::formula_case).
    #[must_use]
    pub fn can_be_placed(&self) -> bool {
        self.least_error_s < self.reach_s() / 3.0
    }
}

/// Draws and plays the run of `seed`.
///
/// Readings come every 0.1 s to 60 s. Even seeds are for tuning an analyser, odd ones
/// for reporting only.
#[must_use]
pub fn valve_case(seed: u64) -> ValveCase {
    let mut rng = Rng::new(seed, 7_700);
    let story = Story::draw(&mut rng);
    let dial = Dial::draw(&mut rng);
    let least_error_s = least_error_s(&story, &dial);
    let description = format!("{story:.3?}; {dial:.3?}; least error {least_error_s:.2} s");
    ValveCase {
        seed,
        family: story.family(),
        description,
        isolated_at_s: story.shut_s,
        interval_s: dial.interval_s,
        least_error_s,
        entries: dial.read(&story, &mut rng),
    }
}

/// From the Fisher information of the linearised problem, with the true noise. What
/// hunts counts as noise that lasts a quarter of its period.
fn least_error_s(story: &Story, dial: &Dial) -> f64 {
    const BEFORE_S: f64 = 200.0;
    const AFTER_S: f64 = 400.0;
    let until_s = AFTER_S.min(story.end_s - story.shut_s);
    let count = ((BEFORE_S + until_s) / dial.interval_s) as u32;
    let times: Vec<f64> = (0..=count)
        .map(|i| f64::from(i) * dial.interval_s - BEFORE_S)
        .collect();
    let sigma = |x: &f64| {
        let level = dial.clean(story, story.shut_s + x);
        let hunts = if *x < 0.0 {
            story.restless(dial.interval_s) * level
        } else {
            0.0
        };
        dial.noise_micron(level).hypot(hunts)
    };
    let sigma = times.iter().map(sigma).collect();
    let design = Design::new(times, sigma, dial.correlation());
    let shown = |story: Story, dial: Dial| move |x: f64| dial.clean(&story, story.plan_s() + x);
    // what a small change of one thing does
    let by = |other: Story, gauge: Dial, step: f64| {
        let (here, there) = (shown(story.clone(), dial.clone()), shown(other, gauge));
        move |x: f64| (there(x) - here(x)) / step
    };
    let alike = || dial.clone();
    let mut others = vec![
        design.free(|_| 1.0),
        design.free(|x| x.min(0.0)),
        design.free(|x| x.min(0.0).powi(2)),
        design.free(|x| x.max(0.0)),
        design.free(by(story.rising_more(0.05), alike(), 0.05)),
        design.bounded(2.0, by(story.clone(), dial.averaging_longer(0.3), 0.3)),
    ];
    if story.jumps() {
        others.push(design.free(by(story.jumping_more(0.05), alike(), 0.05)));
        others.push(design.bounded(0.5, by(story.equalising_slower(0.05), alike(), 0.05)));
    }
    let shut = by(story.shut_later(0.25), alike(), 0.25);
    1.0 / design.significance(&design.curve(shut), &others).max(1e-9)
}
