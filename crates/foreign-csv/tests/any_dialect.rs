//! One table written in any dialect comes back with the same readings.

#![expect(
    clippy::unwrap_used,
    reason = "a test says by panicking what went wrong"
)]

use std::fs;

use chrono::{DateTime, TimeDelta, Utc};
use foreign_csv::{ImportOptions, TableReader};
use plain_file::Links;
use proptest::prelude::*;
use vacuum::Entry;

#[derive(Debug, Clone, Copy)]
enum Time {
    Seconds,
    Milliseconds,
    Minutes,
    Rfc3339,
    EpochMilliseconds,
    OfDay,
    TwelveHour,
    DayFirst,
}

#[derive(Debug, Clone)]
struct Dialect {
    separator: char,
    comma: bool,
    quoted: bool,
    /// 0 UTF-8, 1 with mark, 2 and 3 UTF-16 with mark, 4 and 5 without.
    encoding: u8,
    line_end: &'static str,
    time: Time,
    unit: (&'static str, f64),
    preamble: &'static str,
    newest_first: bool,
    last_end: bool,
    spare_columns: bool,
}

fn dialect() -> impl Strategy<Value = Dialect> {
    let times = prop::sample::select(vec![
        Time::Seconds,
        Time::Milliseconds,
        Time::Minutes,
        Time::Rfc3339,
        Time::EpochMilliseconds,
        Time::OfDay,
        Time::TwelveHour,
        Time::DayFirst,
    ]);
    let units = prop::sample::select(vec![
        ("micron", 1.0),
        ("mTorr", 1.0),
        // NIST SP 811 (2008) appendix B.8
        ("Pa", 0.133_322_4),
        ("mbar", 0.001_333_224),
    ]);
    let preambles = prop::sample::select(vec![
        "",
        "Invented logger\n",
        "Pressure run 7, time 09:15\n\n",
        "# serial 1234\n# printed 2026-03-14, 09:15\n",
        "sep=;\n",
    ]);
    (
        prop::sample::select(vec![',', ';', '\t', '|']),
        (any::<bool>(), any::<bool>(), any::<bool>()),
        0..6_u8,
        prop::sample::select(vec!["\n", "\r\n", "\r"]),
        times,
        units,
        preambles,
        (any::<bool>(), any::<bool>()),
    )
        .prop_map(
            |(separator, flags, encoding, line_end, time, unit, preamble, ends)| {
                let (comma, quoted, spare_columns) = flags;
                Dialect {
                    separator,
                    comma,
                    // a comma in a number needs quotes where commas end cells
                    quoted: quoted || comma && separator == ',',
                    encoding,
                    line_end,
                    time,
                    unit,
                    preamble,
                    newest_first: ends.0,
                    last_end: ends.1,
                    spare_columns,
                }
            },
        )
}

/// Milliseconds between rows, and hundredths of a micron.
fn rows() -> impl Strategy<Value = Vec<(i64, u32)>> {
    prop::collection::vec((1..30_000_i64, 100..2_000_000_u32), 3..40)
}

impl Dialect {
    fn header(&self) -> (&'static str, String) {
        let time = match self.time {
            Time::Seconds => "elapsed_s",
            Time::Milliseconds => "time (ms)",
            Time::Minutes => "Time [min]",
            Time::EpochMilliseconds => "epoch_ms",
            _ => "timestamp",
        };
        (time, format!("Pressure ({})", self.unit.0))
    }

    fn time(&self, ms: i64) -> String {
        // 20 s before midnight on a day that could be no month
        let start: DateTime<Utc> = "2026-03-14T23:59:40Z".parse().unwrap();
        let at = start + TimeDelta::milliseconds(ms);
        let text = match self.time {
            Time::Seconds => format!("{:.3}", ms as f64 / 1000.0),
            Time::Milliseconds | Time::EpochMilliseconds => {
                let from = match self.time {
                    Time::Milliseconds => 0,
                    _ => start.timestamp_millis(),
                };
                return (from + ms).to_string();
            }
            Time::Minutes => format!("{:.6}", ms as f64 / 60_000.0),
            Time::Rfc3339 => return at.to_rfc3339_opts(chrono::SecondsFormat::Millis, true),
            Time::OfDay => at.format("%H:%M:%S%.3f").to_string(),
            Time::TwelveHour => return at.format("%m/%d/%Y %I:%M:%S%.3f %p").to_string(),
            Time::DayFirst => return at.format("%d.%m.%Y %H:%M:%S%.3f").to_string(),
        };
        self.number(text)
    }

    fn number(&self, text: String) -> String {
        if self.comma {
            text.replace('.', ",")
        } else {
            text
        }
    }

    fn row(&self, cells: &[String]) -> String {
        let quote = |c: &String| {
            if self.quoted {
                format!("\"{c}\"")
            } else {
                c.clone()
            }
        };
        let cells: Vec<String> = cells.iter().map(quote).collect();
        cells.join(&self.separator.to_string())
    }

    fn file(&self, table: &[(i64, f64)]) -> Vec<u8> {
        let (time, pressure) = self.header();
        let mut lines = vec![vec![time.to_owned(), pressure]];
        for (ms, micron) in table {
            let amount = self.number(format!("{:.6}", micron * self.unit.1));
            lines.push(vec![self.time(*ms), amount]);
        }
        if self.newest_first {
            lines[1..].reverse();
        }
        if self.spare_columns {
            for (i, line) in lines.iter_mut().enumerate() {
                line.insert(0, if i == 0 { "no.".into() } else { i.to_string() });
                line.push(if i == 0 {
                    "battery".into()
                } else {
                    "good".into()
                });
            }
        }
        let rows: Vec<String> = lines.iter().map(|l| self.row(l)).collect();
        let mut text = format!("{}{}", self.preamble, rows.join("\n"));
        if self.last_end {
            text.push('\n');
        }
        let text = text.replace('\n', self.line_end);
        let utf16 = |unit: fn(u16) -> [u8; 2], mark: bool| {
            let mark = mark.then_some(0xfeff);
            mark.into_iter()
                .chain(text.encode_utf16())
                .flat_map(unit)
                .collect()
        };
        match self.encoding {
            0 => text.into_bytes(),
            1 => format!("\u{feff}{text}").into_bytes(),
            2 => utf16(u16::to_le_bytes, true),
            3 => utf16(u16::to_be_bytes, true),
            4 => utf16(u16::to_le_bytes, false),
            _ => utf16(u16::to_be_bytes, false),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(800) })]

    #[test]
    fn a_table_in_any_dialect_is_the_same_table(dialect in dialect(), rows in rows()) {
        let mut ms = 0;
        let mut table = Vec::new();
        for (i, (step, hundredths)) in rows.iter().enumerate() {
            ms += if i == 0 { 0 } else { *step };
            table.push((ms, f64::from(*hundredths) / 100.0));
        }
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("any.csv");
        fs::write(&path, dialect.file(&table)).unwrap();
        let mut source = match TableReader::open(&path, Links::Follow, &ImportOptions::default()) {
            Ok(source) => source,
            Err(e) => return Err(TestCaseError::fail(e.to_string())),
        };
        let mut found = Vec::new();
        while let Some(entry) = source.next_entry().map_err(|e| TestCaseError::fail(e.to_string()))? {
            if let Entry::Reading(reading) = entry {
                found.push(reading);
            }
        }
        let summary = source.summary();
        prop_assert_eq!(found.len(), table.len(), "{:?}", summary);
        prop_assert_eq!(summary.rejected, 0);
        for (reading, (ms, micron)) in found.iter().zip(&table) {
            let seconds = *ms as f64 / 1000.0;
            prop_assert!((reading.elapsed_s - seconds).abs() < 6e-4, "{reading:?} at {seconds} s");
            let got = reading.pressure().unwrap().micron();
            // six decimals of the unit
            let room = 1e-6 / dialect.unit.1 + 1e-6 * micron;
            prop_assert!((got - micron).abs() <= room, "{got} is not {micron}");
        }
    }
}
