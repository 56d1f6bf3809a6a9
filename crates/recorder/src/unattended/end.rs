//! When a run is over: after the hold, when the pressure is back up, or when the gauge
//! is gone for good.

use watch::{LinkNow, PhaseNow, Snapshot, judged::HoldState};

use super::begin::BACK_UP_MICRON;

/// How long each may last, s of the run.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// After a hold that is over.
    pub after_hold_s: f64,
    /// With the pressure back up: nitrogen between two rounds takes its time too.
    pub back_up_s: f64,
    /// Without the gauge.
    pub without_gauge_s: f64,
    /// In all: a pump that runs over a night, and a hold of a day.
    pub longest_s: f64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            after_hold_s: 300.0,
            back_up_s: 1_800.0,
            without_gauge_s: 900.0,
            longest_s: 172_800.0,
        }
    }
}

/// What was seen of a run.
#[derive(Debug)]
pub struct End {
    limits: Limits,
    up_since_s: Option<f64>,
    was_down: bool,
}

impl End {
    /// At the beginning of a run.
    pub fn of(limits: Limits) -> Self {
        Self {
            limits,
            up_since_s: None,
            was_down: false,
        }
    }

    /// A look; the reason when the run is over.
    pub fn look(&mut self, now: &Snapshot) -> Option<&'static str> {
        let at_s = now.elapsed_s;
        let since = |since: &mut Option<f64>, holds: bool| match holds {
            true => at_s - *since.get_or_insert(at_s),
            false => {
                *since = None;
                -1.0
            }
        };
        let micron = now.pressure.micron.unwrap_or(0.0);
        let up =
            now.pressure.state == "over" || (now.pressure.state == "ok" && micron > BACK_UP_MICRON);
        self.was_down |= now.pressure.state == "ok" && micron < BACK_UP_MICRON / 2.0;
        let in_hold = now.judged.phase == PhaseNow::Hold;
        let hold = now.judged.hold.as_ref().filter(|_| in_hold);
        let over = hold.is_some_and(|h| {
            let answered = !matches!(h.state, HoldState::Running | HoldState::WillNotPass);
            answered && h.held_s >= h.needed_s + self.limits.after_hold_s
        });
        let gone = matches!(now.gauge.link, LinkNow::Lost | LinkNow::Silent);
        let gone_s = now.gauge.age_s.filter(|_| gone).unwrap_or(-1.0);
        if over {
            Some("the hold is over")
        } else if since(&mut self.up_since_s, up && self.was_down) >= self.limits.back_up_s {
            Some("the pressure is back up")
        } else if gone_s >= self.limits.without_gauge_s {
            Some("the gauge is gone")
        } else if at_s >= self.limits.longest_s {
            Some("it is as long as a run may be")
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use watch::{HoldNow, PressureNow};

    fn at(elapsed_s: f64, micron: f64) -> Snapshot {
        Snapshot {
            elapsed_s,
            pressure: PressureNow {
                state: "ok",
                micron: Some(micron),
                ..PressureNow::default()
            },
            ..Snapshot::default()
        }
    }

    fn held(held_s: f64, state: HoldState) -> Snapshot {
        let mut now = at(1_000.0 + held_s, 400.0);
        now.judged.phase = PhaseNow::Hold;
        now.judged.hold = Some(HoldNow {
            held_s,
            needed_s: 600.0,
            state,
            ..HoldNow::default()
        });
        now
    }

    #[test]
    fn a_hold_that_is_over_ends_the_run_unless_another_round_begins() {
        let mut end = End::of(Limits::default());
        assert_eq!(end.look(&held(500.0, HoldState::Running)), None);
        assert_eq!(end.look(&held(700.0, HoldState::Passed)), None);
        // nitrogen, and down again
        assert_eq!(end.look(&at(1_750.0, 700_000.0)), None);
        assert_eq!(end.look(&at(2_750.0, 400.0)), None);
        assert_eq!(end.look(&held(100.0, HoldState::Failed)), None);
        assert_eq!(end.look(&held(899.0, HoldState::Failed)), None);
        let over = end.look(&held(900.0, HoldState::Failed));
        assert_eq!(over, Some("the hold is over"));
    }

    #[test]
    fn a_pressure_that_stays_up_ends_the_run_one_that_was_never_down_does_not() {
        let mut end = End::of(Limits::default());
        assert_eq!(end.look(&at(0.0, 760_000.0)), None);
        assert_eq!(end.look(&at(5_000.0, 760_000.0)), None);
        assert_eq!(end.look(&at(5_100.0, 900.0)), None);
        assert_eq!(end.look(&at(5_200.0, 760_000.0)), None);
        let over = end.look(&at(7_000.0, 760_000.0));
        assert_eq!(over, Some("the pressure is back up"));
    }

    #[test]
    fn a_gauge_that_stays_away_ends_the_run() {
        let mut end = End::of(Limits::default());
        let mut gone = at(100.0, 400.0);
        gone.gauge.link = LinkNow::Lost;
        gone.gauge.age_s = Some(600.0);
        assert_eq!(end.look(&gone), None);
        gone.gauge.age_s = Some(901.0);
        assert_eq!(end.look(&gone), Some("the gauge is gone"));
    }
}
