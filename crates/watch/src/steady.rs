//! Keeps a hold that the curve alone shows from flickering.
//!
//! While oil foams or water boils the curve may look isolated for a while. The review
//! at the end sees what came after and is not misled; a live view would shout and take
//! it back. So a hold that nobody stamped counts here only once it has been seen without
//! a break for [`SEEN_S`], or, where the target was not reached before, for
//! [`SEEN_ABOVE_S`]. A stamped one counts at once. Only what is shown waits, nothing
//! that is judged. For the same reason a level counts as one to shut the valve at only
//! once it was seen as such for [`READY_S`].

use wording::{Voice, say};

use crate::{
    judged::{JudgedNow, PhaseNow},
    ready::Ready,
};

/// So long a hold at the target has to be seen, s of the run …
const SEEN_S: f64 = 60.0;
/// … and so long one above it.
const SEEN_ABOVE_S: f64 = 300.0;
/// So long the level has to be one to shut the valve at, s of the run.
const READY_S: f64 = 10.0;

/// What was seen so far.
#[derive(Debug, Clone, Default)]
pub(crate) struct Steady {
    /// Since when the hold is seen, s.
    since_s: Option<f64>,
    /// The target was reached in this round.
    reached: bool,
    /// Whether the valve may be shut, and since when, s.
    ready: (Ready, f64),
}

impl Steady {
    /// What to show of a look at the run.
    pub(crate) fn look(
        &mut self,
        voice: &Voice,
        mut judged: JudgedNow,
        now_s: f64,
        micron: Option<f64>,
    ) -> JudgedNow {
        judged.ready = self.ready(judged.ready, now_s);
        let below = micron.is_some_and(|p| p <= judged.target.micron);
        self.reached |= judged.phase == PhaseNow::AtTarget;
        let Some(hold) = &judged.hold else {
            self.since_s = None;
            // broken, or let in again
            self.reached &= micron.is_none_or(|p| p < 20.0 * judged.target.micron);
            return judged;
        };
        if hold.stamped {
            self.since_s = Some(f64::NEG_INFINITY);
            return judged;
        }
        let since_s = *self.since_s.get_or_insert(now_s);
        let wanted = if self.reached { SEEN_S } else { SEEN_ABOVE_S };
        if now_s - since_s < wanted {
            judged.hold = None;
            judged.phase = if below {
                PhaseNow::AtTarget
            } else {
                PhaseNow::PullDown
            };
            judged.target.words = match below {
                true => say!(voice, "way-reached"),
                false => say!(voice, "way-no-time"),
            };
        }
        judged
    }

    /// Taken back at once, said after a while.
    fn ready(&mut self, ready: Ready, now_s: f64) -> Ready {
        if self.ready.0 != ready {
            self.ready = (ready, now_s);
        }
        match now_s - self.ready.1 < READY_S {
            true => Ready::NotYet,
            false => ready,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judged::{HoldNow, TargetNow};

    fn look(phase: PhaseNow, stamped: Option<bool>) -> JudgedNow {
        JudgedNow {
            phase,
            target: TargetNow {
                micron: 500.0,
                ..TargetNow::default()
            },
            hold: stamped.map(|stamped| HoldNow {
                stamped,
                ..HoldNow::default()
            }),
            ..JudgedNow::default()
        }
    }

    #[test]
    fn a_level_to_shut_the_valve_at_has_to_last() {
        let mut steady = Steady::default();
        let mut ready = |at_s, ready| {
            let looked = JudgedNow {
                ready,
                ..look(PhaseNow::AtTarget, None)
            };
            let shown = steady.look(&Voice::default(), looked, at_s, Some(150.0));
            shown.ready
        };
        assert_eq!(ready(100.0, Ready::Ready), Ready::NotYet);
        assert_eq!(ready(100.0 + READY_S, Ready::Ready), Ready::Ready);
        // taken back at once
        assert_eq!(ready(120.0, Ready::NotYet), Ready::NotYet);
        assert_eq!(ready(121.0, Ready::Ready), Ready::NotYet);
        assert_eq!(ready(121.0 + READY_S, Ready::Ready), Ready::Ready);
    }

    #[test]
    fn a_stamped_hold_counts_at_once() {
        let mut steady = Steady::default();
        let shown = steady.look(
            &Voice::default(),
            look(PhaseNow::Hold, Some(true)),
            10.0,
            Some(300.0),
        );
        assert_eq!(shown.phase, PhaseNow::Hold);
    }

    #[test]
    fn one_that_the_curve_shows_has_to_last() {
        for (reached, lasts_s) in [(true, SEEN_S), (false, SEEN_ABOVE_S)] {
            let mut steady = Steady::default();
            let micron = Some(if reached { 400.0 } else { 9_000.0 });
            if reached {
                steady.look(
                    &Voice::default(),
                    look(PhaseNow::AtTarget, None),
                    0.0,
                    micron,
                );
            }
            let mut held = |at_s| {
                let shown = steady.look(
                    &Voice::default(),
                    look(PhaseNow::Hold, Some(false)),
                    at_s,
                    micron,
                );
                shown.hold.is_some()
            };
            assert!(!held(100.0) && !held(100.0 + lasts_s - 1.0), "{reached}");
            assert!(held(100.0 + lasts_s), "{reached}");
            // foam: it was none
            steady.look(
                &Voice::default(),
                look(PhaseNow::PullDown, None),
                500.0,
                micron,
            );
            let shown = steady.look(
                &Voice::default(),
                look(PhaseNow::Hold, Some(false)),
                501.0,
                micron,
            );
            assert_eq!(shown.hold, None);
            assert_ne!(shown.phase, PhaseNow::Hold);
        }
    }
}
