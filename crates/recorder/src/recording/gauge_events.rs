//! What a gauge says that is no reading: told, counted, and left as a gap in the
//! record.

use sensor_reader::{Event, Sample};
use vacuum::{MarkKind, Sensed, Weighing};

use watch::{EventKind, LinkNow};

use super::Recorder;
use crate::{error::RecorderError, gauges::Who, line_quality::LineQuality, operator::Marks};

impl Recorder {
    /// The judged gauge is heard otherwise now.
    fn link(&mut self, who: Who, link: LinkNow) {
        if who == Who::Judged {
            self.feed.link(link);
        }
    }

    /// The port was not read for a while: what waited in it keeps the gauge's own time, or
    /// is kept as words where it has none.
    pub(crate) fn take_pause(
        &mut self,
        who: Who,
        name: &str,
        event: Event,
        marks: &mut Marks<'_>,
    ) -> Result<(), RecorderError> {
        let Event::Paused {
            since,
            until,
            timed,
            waited,
        } = event
        else {
            return Ok(());
        };
        // where the gauge's own time counts, nothing may stand later than its next line
        let by_gauge = self.time.is_by_gauge();
        self.gap(who, if by_gauge { self.time.last() } else { since })?;
        for sample in &timed {
            match who {
                Who::Judged => self.take_reading(until, sample, marks)?,
                Who::PumpSide => self.take_pump_side(until, sample)?,
                Who::Scale => self.take_weighing(until, sample),
            }
        }
        let paused_s = until.saturating_duration_since(since).as_secs_f64();
        let told = format!(
            "the {name} was not read for {paused_s:.1} s (the program was stopped, or the \
             computer had too much to do); the record has a gap"
        );
        self.feed.event(EventKind::Told, told.clone());
        self.note(told)?;
        for words in waited_words(name, &waited) {
            self.note(words)?;
        }
        match by_gauge {
            true => Ok(()),
            false => self.gap(who, until),
        }
    }

    fn note(&mut self, words: String) -> Result<(), RecorderError> {
        let at = match self.time.is_by_gauge() {
            true => self.time.last(),
            false => self.time.now(),
        };
        let elapsed_s = self.time.of_act(at);
        self.mark(elapsed_s, MarkKind::Note, words)
    }

    fn quality_of(&mut self, who: Who) -> &mut LineQuality {
        match who {
            Who::Judged => &mut self.quality,
            Who::PumpSide => &mut self.pump_quality,
            Who::Scale => &mut self.scale_quality,
        }
    }

    /// Shows a line that was not understood: the first few different ones, all are counted.
    fn show_unreadable(&mut self, line: String) {
        const MOST: usize = 3;
        if self.shown_unreadable.len() < MOST && !self.shown_unreadable.contains(&line) {
            self.feed.event(EventKind::Told, line.clone());
            self.shown_unreadable.push(line);
        }
    }

    /// What is no reading; `name` is what to call the gauge.
    pub(crate) fn take_trouble(
        &mut self,
        who: Who,
        name: &str,
        event: Event,
    ) -> Result<(), RecorderError> {
        match event {
            Event::Rejected { arrived, rejected } => {
                self.quality_of(who).unreadable += 1;
                if who == Who::Judged {
                    self.feed.unreadable(arrived, &rejected.line);
                }
                self.show_unreadable(match who {
                    Who::Judged => rejected.to_string(),
                    Who::PumpSide | Who::Scale => format!("{name}: {rejected}"),
                });
                Ok(())
            }
            Event::Sequence { arrived, broken } => {
                if let Some(what) = self.quality_of(who).broken(arrived, broken) {
                    let what = match who {
                        Who::Judged => what,
                        Who::PumpSide | Who::Scale => format!("{name}: {what}"),
                    };
                    self.feed.event(EventKind::Told, what);
                }
                Ok(())
            }
            Event::Busy { arrived } => match self.quality_of(who).busy(arrived) {
                Some(since) => {
                    self.link(who, LinkNow::Silent);
                    self.feed.event(
                        EventKind::GaugeLost,
                        format!("the {name} is busy and gives no reading; the record has a gap"),
                    );
                    self.gap(who, since)
                }
                None => Ok(()),
            },
            Event::Lost { at, why } => {
                self.link(who, LinkNow::Lost);
                self.feed.event(
                    EventKind::GaugeLost,
                    format!("{name} lost: {why}; reconnecting, the record goes on"),
                );
                self.gap(who, at)
            }
            Event::Silent { since } => {
                self.link(who, LinkNow::Silent);
                self.feed.event(
                    EventKind::GaugeLost,
                    match who {
                        // scales are switched on for the weigh-in, many only then
                        Who::Scale => format!(
                            "the {name} is silent: switch it on before the weigh-in, or check \
                             its cable"
                        ),
                        Who::Judged | Who::PumpSide => {
                            format!("the {name} is silent: check its power and cable")
                        }
                    },
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
                    self.feed
                        .event(EventKind::GaugeBack, format!("{name} is back on {address}"));
                    self.gap(who, at)?;
                }
                Ok(())
            }
            Event::Waiting { why, .. } => {
                self.link(who, LinkNow::Waiting);
                self.feed
                    .event(EventKind::Told, format!("waiting for the {name}: {why}"));
                Ok(())
            }
            _ => Ok(()),
        }
    }
}

/// Readings that waited in the port and have no time: kept as words, so that none is lost
/// and none stands at a wrong time.
fn waited_words(name: &str, waited: &[Sample]) -> Vec<String> {
    /// Characters of values in one note, which may have 10,000 in all.
    const IN_ONE: usize = 8_000;
    let mut notes: Vec<String> = Vec::new();
    let mut room = 0;
    for sample in waited {
        let weighed = sample.weighed.map(|weighed| Weighing {
            elapsed_s: 0.0,
            weighed,
        });
        let mut value = match sample.sensed {
            // three decimals, as in a row
            Sensed::Measured(p) => {
                format!("{} micron", (p.micron() * 1_000.0).round() / 1_000.0)
            }
            Sensed::Over(_) => "over range".to_owned(),
            Sensed::Under(_) => "under range".to_owned(),
            _ => "fault".to_owned(),
        };
        if let Some(said) = weighed {
            let g = said.on_scale_g();
            value = g.map_or_else(|| said.word().to_owned(), |g| format!("{g:.1} g"));
        }
        if let Some(channel) = &sample.channel {
            value = format!("{channel} {value}");
        }
        match notes.last_mut().filter(|_| room >= value.len()) {
            Some(note) => *note += &format!(", {value}"),
            None => {
                room = IN_ONE;
                notes.push(format!(
                    "the {name} said meanwhile, at times that nobody knows: {value}"
                ));
            }
        }
        room = room.saturating_sub(value.len() + 2);
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_waited_in_the_port_is_kept_in_notes_that_fit() {
        let dialect = sensor_reader::Dialect::builtin("number-unit-line").expect("it ships");
        let mut decoder = sensor_reader::Decoder::new(&dialect);
        let mut decoded = Vec::new();
        let lines: String = (0..900).map(|i| format!("{i}.0 micron\r\n")).collect();
        decoder.push(lines.as_bytes(), &mut decoded);
        let samples: Vec<Sample> = decoded
            .into_iter()
            .map(|d| match d {
                sensor_reader::Decoded::Sample(sample) => sample,
                other => panic!("{other:?}"),
            })
            .collect();
        let notes = waited_words("gauge", &samples);
        assert_eq!(notes.len(), 2);
        assert!(notes.iter().all(|n| n.chars().count() < 10_000));
        let all = notes.join(", ");
        assert!(
            (0..900).all(|i| all.contains(&format!(" {i} micron"))),
            "{all}"
        );
        assert!(waited_words("gauge", &[]).is_empty());
    }
}
