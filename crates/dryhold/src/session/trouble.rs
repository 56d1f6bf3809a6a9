//! What a gauge says that is no reading: told, counted, and left as a gap in the
//! record.

use sensor_reader::Event;

use super::Session;
use crate::{
    gauges::Who,
    line_quality::LineQuality,
    outcome::Failure,
    watch::{EventKind, LinkNow},
};

impl Session {
    /// The judged gauge is heard otherwise now.
    fn link(&mut self, who: Who, link: LinkNow) {
        if who == Who::Judged {
            self.feed.link(link);
        }
    }

    fn quality_of(&mut self, who: Who) -> &mut LineQuality {
        match who {
            Who::Judged => &mut self.quality,
            Who::PumpSide => &mut self.pump_quality,
        }
    }

    /// What is no reading; `name` is what to call the gauge.
    pub(super) fn take_trouble(
        &mut self,
        who: Who,
        name: &str,
        event: Event,
    ) -> Result<(), Failure> {
        match event {
            Event::Rejected { rejected, .. } => {
                self.quality_of(who).unreadable += 1;
                self.screen.tell_once(&match who {
                    Who::Judged => rejected.to_string(),
                    Who::PumpSide => format!("{name}: {rejected}"),
                });
                Ok(())
            }
            Event::Sequence { arrived, broken } => {
                if let Some(what) = self.quality_of(who).broken(arrived, broken) {
                    let what = match who {
                        Who::Judged => what,
                        Who::PumpSide => format!("{name}: {what}"),
                    };
                    self.tell(EventKind::Told, &what);
                }
                Ok(())
            }
            Event::Busy { arrived } => match self.quality_of(who).busy(arrived) {
                Some(since) => {
                    self.link(who, LinkNow::Silent);
                    self.tell(
                        EventKind::GaugeLost,
                        &format!("the {name} is busy and gives no reading; the record has a gap"),
                    );
                    self.gap(who, since)
                }
                None => Ok(()),
            },
            Event::Lost { at, why } => {
                self.link(who, LinkNow::Lost);
                self.tell(
                    EventKind::GaugeLost,
                    &format!("{name} lost: {why}; reconnecting, the record goes on"),
                );
                self.gap(who, at)
            }
            Event::Silent { since } => {
                self.link(who, LinkNow::Silent);
                self.tell(
                    EventKind::GaugeLost,
                    &format!("the {name} is silent: check its power and cable"),
                );
                self.gap(who, since)
            }
            Event::Connected {
                at,
                address,
                connection,
            } => {
                if connection > 1 {
                    self.link(who, LinkNow::Hearing);
                    self.tell(
                        EventKind::GaugeBack,
                        &format!("{name} is back on {address}"),
                    );
                    self.gap(who, at)?;
                }
                Ok(())
            }
            Event::Waiting { why, .. } => {
                self.link(who, LinkNow::Waiting);
                self.tell(EventKind::Told, &format!("waiting for the {name}: {why}"));
                Ok(())
            }
            _ => Ok(()),
        }
    }
}
