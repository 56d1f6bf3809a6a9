//! What is recorded beside the judged gauge: a gauge at the pump, further
//! channels. Each has a file of its own in the run folder.

use run_record::Companion;
use sensor_reader::{Dialect, Sample};
use vacuum::{Reading, Sensed, is_pump_side};

/// File-name part of the gauge at the pump.
pub const PUMP_SIDE_NAME: &str = "pump-side";
/// One of them while it is recorded.
#[derive(Debug)]
struct Recorded {
    companion: Companion,
    /// The channel of the judged gauge that it is, if it is one.
    tag: Option<String>,
    latest: Option<Sensed>,
    last_s: f64,
}

/// Everything recorded beside the judged gauge, in the order of the header.
#[derive(Debug, Default)]
pub struct Companions {
    all: Vec<Recorded>,
    /// Both gauges stamp their lines with one clock.
    pub one_clock: bool,
}

impl Companions {
    /// Adds the gauge at the pump.
    pub fn add_pump_side(&mut self, companion: Companion) {
        self.add(companion, None);
    }

    /// Adds the further channels that the judged gauge's dialect records.
    pub fn add_channels(&mut self, dialect: &Dialect, port: &str) {
        for channel in dialect.further_channels() {
            let tag = channel.tag();
            let place = channel
                .place()
                .map_or_else(|| format!("channel {tag}"), str::to_owned);
            let at_pump = is_pump_side(&place);
            let taken = self.all.iter().any(|r| r.companion.name == PUMP_SIDE_NAME);
            let name = if at_pump && !taken {
                PUMP_SIDE_NAME.to_owned()
            } else {
                format!("channel-{tag}")
            };
            let companion = Companion {
                name,
                place,
                dialect: Some(dialect.name().to_owned()),
                port: Some(port.to_owned()),
                ..Companion::default()
            };
            self.add(companion, Some(tag.to_owned()));
        }
    }

    /// Adds one under a file name that no other has, whatever the tags are.
    fn add(&mut self, mut companion: Companion, tag: Option<String>) {
        let wanted = companion.name.clone();
        let mut number = 2;
        while self.has_file(&companion.file_name()) {
            companion.name = format!("{number}-{wanted}");
            number += 1;
        }
        self.all.push(Recorded {
            companion,
            tag,
            latest: None,
            last_s: 0.0,
        });
    }

    fn has_file(&self, name: &str) -> bool {
        // not every file system tells upper and lower case apart
        let same = |r: &Recorded| r.companion.file_name().eq_ignore_ascii_case(name);
        self.all.iter().any(same)
    }

    /// For the header of the run.
    pub fn in_header(&self) -> Vec<Companion> {
        self.all.iter().map(|r| r.companion.clone()).collect()
    }

    /// The file of the gauge at the pump; `None` when it is not read.
    pub fn pump_side(&self) -> Option<usize> {
        self.all.iter().position(|r| r.tag.is_none())
    }

    /// The file a reading of the judged gauge belongs in; `None` when it is of the
    /// judged channel.
    pub fn channel_of(&self, sample: &Sample) -> Option<usize> {
        let tag = sample.channel.as_deref()?;
        self.all.iter().position(|r| r.tag.as_deref() == Some(tag))
    }

    /// All their files.
    pub fn all(&self) -> std::ops::Range<usize> {
        0..self.all.len()
    }

    /// The files of channels of the judged gauge.
    pub fn channels(&self) -> Vec<usize> {
        let tagged = self.all.iter().enumerate().filter(|(_, r)| r.tag.is_some());
        tagged.map(|(index, _)| index).collect()
    }

    /// Notes what one of them says; gives the reading to write, never earlier than
    /// its last.
    pub fn heard(&mut self, index: usize, reading: Reading) -> Reading {
        let Some(recorded) = self.all.get_mut(index) else {
            return reading;
        };
        recorded.latest = Some(reading.sensed);
        recorded.last_s = recorded.last_s.max(reading.elapsed_s);
        Reading {
            elapsed_s: recorded.last_s,
            ..reading
        }
    }

    /// Place and last word of each, for the live line.
    pub fn latest(&self) -> Vec<(&str, Option<Sensed>)> {
        let all = self.all.iter();
        all.map(|r| (r.companion.place.as_str(), r.latest))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dialect(channels: &str) -> Dialect {
        let text = format!(
            "name = 'd'\nchannel = 'J'\nrecord = 'all'\n[line]\ndelimiter = ','\n[fields]\n\
             channel = 1\nvalue = 2\n[value]\nunit = 'Pa'\n[channels]\n{channels}\n"
        );
        Dialect::from_toml(&text, "d.toml").unwrap()
    }

    fn files(beside: &Companions) -> Vec<String> {
        beside
            .in_header()
            .iter()
            .map(Companion::file_name)
            .collect()
    }

    #[test]
    fn every_channel_has_a_file_of_its_own() {
        let mut beside = Companions::default();
        let hostile = dialect("'a/b' = {}\n'a b' = {}\n1 = { place = 'Pump side' }\n'../x' = {}");
        beside.add_channels(&hostile, "port");
        let mut names = files(&beside);
        assert!(
            names.contains(&"beside-pump-side.csv".to_owned()),
            "{names:?}"
        );
        assert!(
            names
                .iter()
                .all(|n| !n.contains(['/', ' ']) && !n.contains(".."))
        );
        let all = names.len();
        names.sort();
        names.dedup();
        assert_eq!((names.len(), all), (4, 4), "{names:?}");
        assert_eq!(beside.pump_side(), None, "no second gauge is read");
    }

    #[test]
    fn a_gauge_at_the_pump_goes_before_a_channel_there() {
        let mut beside = Companions::default();
        beside.add_pump_side(Companion {
            name: PUMP_SIDE_NAME.into(),
            place: vacuum::PUMP_SIDE.into(),
            ..Companion::default()
        });
        beside.add_channels(&dialect("1 = { place = 'pump side' }"), "port");
        assert_eq!(
            files(&beside),
            ["beside-pump-side.csv", "beside-channel-1.csv"]
        );
        assert_eq!(beside.pump_side(), Some(0));
        assert_eq!(beside.channels(), [1]);
    }
}
