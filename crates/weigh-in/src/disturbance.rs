//! Movements of a scale that no flow of refrigerant makes.

/// No charging hose passes more, g/s (common practice, no source).
const FASTEST_FLOW_G_PER_S: f64 = 50.0;

/// A movement that no flow makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Disturbance {
    pub(crate) at_s: f64,
    /// Last value before.
    from_g: f64,
    /// How far it moved at most, g; above 0 upwards.
    pub(crate) by_g: f64,
    /// How far the scale had fallen when it stood still again, g, where no flow explains it.
    pub(crate) fell_for_good_g: Option<f64>,
    /// It was seen to come back: nothing of it stayed.
    pub(crate) came_back: bool,
}

/// What has not come back after so long does not belong to what moves the scale then, s.
const LONGEST_S: f64 = 10.0;
/// The flow is taken as its mean over about so long, s.
const FLOW_OVER_S: f64 = 1.0;
/// A knock is over within this time, s (common practice, no source).
const KNOCK_S: f64 = 3.0;

/// Watches for them.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Watcher {
    /// Lowest value since the scale last stood still: refrigerant only ever leaves.
    lowest_g: Option<f64>,
    last: Option<(f64, f64)>,
    now: Option<Disturbance>,
    /// A fall has come back by half or more.
    rising: bool,
    /// How fast refrigerant flowed of late, g/s.
    flow_g_per_s: f64,
}

impl Watcher {
    /// Takes a value; `noise_g` is what steps and scatter alone may move it. Gives a
    /// disturbance that came back with it.
    pub(crate) fn push(&mut self, at_s: f64, g: f64, noise_g: f64) -> Option<Disturbance> {
        let (before_s, before_g) = self.last.unwrap_or((at_s, g));
        self.last = Some((at_s, g));
        let lowest = self.lowest_g.unwrap_or(g);
        if let Some(now) = &mut self.now {
            let moved = g - now.from_g;
            if moved.abs() > now.by_g.abs() && moved * now.by_g > 0.0 {
                now.by_g = moved;
            }
            let is_up = now.by_g > 0.0;
            // nothing but a hand lets a cylinder get heavier
            self.rising |= !is_up && moved - now.by_g > (-now.by_g / 2.0).max(noise_g);
            now.came_back = match is_up {
                // what flows may hide what stays: only what is faster counts
                true => {
                    let lasted_s = at_s - now.at_s;
                    let flowed = 2.0 * self.flow_g_per_s.max(0.0) * lasted_s;
                    moved <= noise_g && lasted_s <= KNOCK_S && now.by_g > flowed
                }
                false => self.rising && g - before_g < noise_g / 2.0,
            };
            if !now.came_back && at_s - now.at_s < LONGEST_S {
                return None;
            }
            self.rising = false;
            self.lowest_g = Some(g);
            return self.now.take();
        }
        let flowed = FASTEST_FLOW_G_PER_S * (at_s - before_s);
        let rose = g - lowest > noise_g;
        let fell = before_g - g > noise_g + flowed;
        if rose || fell {
            let from_g = if rose { lowest } else { before_g };
            self.now = Some(Disturbance {
                at_s,
                from_g,
                by_g: g - from_g,
                fell_for_good_g: None,
                came_back: false,
            });
            self.rising = false;
            return None;
        }
        self.lowest_g = Some(lowest.min(g));
        let every_s = at_s - before_s;
        if every_s > 0.0 {
            let share = (every_s / FLOW_OVER_S).min(1.0);
            self.flow_g_per_s += share * ((before_g - g) / every_s - self.flow_g_per_s);
        }
        None
    }

    /// The scale stands still at this value since `at_s`. Gives the disturbance that this
    /// ends, if there is one.
    pub(crate) fn stands_still(&mut self, at_s: f64, g: f64, noise_g: f64) -> Option<Disturbance> {
        self.lowest_g = Some(g);
        let mut ended = self.now.take()?;
        let fell = ended.from_g - g;
        let flowed = FASTEST_FLOW_G_PER_S * (at_s - ended.at_s).max(0.0);
        ended.fell_for_good_g = (fell > noise_g + flowed).then_some(fell);
        Some(ended)
    }

    /// The one that goes on.
    pub(crate) fn now(&self) -> Option<Disturbance> {
        self.now
    }

    /// Forgets where the scale stood: it was not heard for a while.
    pub(crate) fn forget(&mut self) {
        self.last = None;
    }
}
