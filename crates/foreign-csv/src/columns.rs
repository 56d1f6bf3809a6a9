//! What every column of a header row is.

use vacuum::UnitWord;

use super::{
    names::{
        Name, PRESSURE_WORDS, TIME_WORDS, TemperatureUnit, is_time_word, pressure_unit,
        temperature, time_unit,
    },
    options::{TimeUnit, TwoPart},
};

/// A column that could be the pressure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PressureColumn {
    pub(crate) index: usize,
    pub(crate) unit: UnitWord,
}

/// What the header says about the time column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct TimeColumn {
    pub(crate) index: usize,
    /// Cells it takes: a stamp with blanks in it, in a table kept apart by blanks.
    pub(crate) parts: usize,
    pub(crate) unit: Option<TimeUnit>,
    /// Counts from the start of the run.
    pub(crate) elapsed: bool,
    /// Stamps are in UTC.
    pub(crate) utc: bool,
    /// What `a:b` means, when the header says it.
    pub(crate) two_part: Option<TwoPart>,
    /// A separate column with the date.
    pub(crate) date: Option<usize>,
    /// The name speaks of a date, so plain numbers may be day numbers.
    pub(crate) dated: bool,
}

/// What every column of a header row means.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Columns {
    pub(crate) pressures: Vec<PressureColumn>,
    pub(crate) time: Option<TimeColumn>,
    pub(crate) temperature: Option<(usize, TemperatureUnit)>,
    pub(crate) unit: Option<usize>,
    pub(crate) state: Option<usize>,
    pub(crate) mark: Option<usize>,
    pub(crate) note: Option<usize>,
}

/// Words beside a pressure that make it another pressure than the system's, or
/// no pressure at all.
const OTHER_WORDS: &str = "\
    target setpoint limit ceiling alarm threshold baro barometer barometric ambient \
    atmospheric saturation sat rise rate slope delta state status unit units";

impl Columns {
    /// Makes room for `count` cells behind the cell at `index`.
    pub(crate) fn shift(&mut self, index: usize, count: usize) {
        let shift = |i: &mut usize| *i += if *i > index { count } else { 0 };
        let others = [
            &mut self.unit,
            &mut self.state,
            &mut self.mark,
            &mut self.note,
        ];
        others.into_iter().flatten().for_each(shift);
        if let Some((temperature, _)) = &mut self.temperature {
            shift(temperature);
        }
    }
}

const DATE_WORDS: &str = "date datum fecha data";

/// How well a name fits a time column; smaller is better.
fn time_rank(name: &Name) -> Option<(u8, TimeColumn)> {
    let one_word = name.words.len() == 1;
    let unit = time_unit(name);
    let date_word = name.has(DATE_WORDS);
    let unit_word = one_word && name.bracket.is_none() && unit.is_some();
    let named = name.has(TIME_WORDS) || name.words.iter().any(|w| is_time_word(w));
    if !named && !date_word && !unit_word {
        return None;
    }
    let bracket = name.bracket.as_deref().unwrap_or_default();
    let elapsed = name.has("elapsed");
    let utc = name.has("utc gmt") || matches!(bracket, "utc" | "gmt" | "z");
    let stamped =
        utc || name.has("epoch unix timestamp datetime zeitstempel") || named && date_word;
    let rank = match () {
        () if elapsed => 0,
        () if unit.is_some() => 1,
        () if stamped => 2,
        () if named => 3,
        () => 4,
    };
    let two_part = match bracket {
        "" => {
            let spoken = name
                .words
                .windows(2)
                .find_map(|w| TwoPart::from_name(&w.join(":")));
            spoken.filter(|_| name.words.len() > 2)
        }
        bracket => TwoPart::from_name(bracket),
    };
    Some((
        rank,
        TimeColumn {
            index: 0,
            parts: 1,
            unit,
            elapsed,
            utc,
            two_part,
            date: None,
            dated: date_word || stamped,
        },
    ))
}

/// What the header says of a column that a person named as the time.
pub(crate) fn as_time(index: usize, text: &str) -> TimeColumn {
    let name = Name::new(text);
    match time_rank(&name) {
        Some((_, column)) => TimeColumn { index, ..column },
        None => TimeColumn {
            index,
            parts: 1,
            unit: time_unit(&name),
            elapsed: false,
            utc: false,
            two_part: None,
            date: None,
            dated: false,
        },
    }
}

/// What the header says of a column that a person named as the pressure.
pub(crate) fn as_pressure(index: usize, text: &str) -> PressureColumn {
    PressureColumn {
        index,
        unit: pressure_unit(&Name::new(text)),
    }
}

/// Finds out what every column means.
pub(crate) fn understand(names: &[String]) -> Columns {
    let mut found = Columns::default();
    let mut pressures: Vec<(bool, PressureColumn)> = Vec::new();
    let mut times: Vec<(u8, TimeColumn)> = Vec::new();
    for (index, text) in names.iter().enumerate() {
        let name = Name::new(text);
        let word = match (name.words.as_slice(), &name.bracket) {
            ([word], None) => word.as_str(),
            _ => "",
        };
        match word {
            "state" => found.state = found.state.or(Some(index)),
            "mark" => found.mark = found.mark.or(Some(index)),
            "note" | "notes" => found.note = found.note.or(Some(index)),
            "unit" | "units" => found.unit = found.unit.or(Some(index)),
            _ => {
                let unit = pressure_unit(&name);
                let named = name.has(PRESSURE_WORDS)
                    || name.words.iter().any(|w| {
                        w.strip_prefix('p')
                            .is_some_and(|d| !d.is_empty() && d.bytes().all(|b| b.is_ascii_digit()))
                    });
                // "atm" is a unit of pressure and a word for the weather
                let other = name.has(OTHER_WORDS) || name.words.first().is_some_and(|w| w == "atm");
                // "T in" and "at" are no pressures, unless the name says so
                let states = !matches!(unit, UnitWord::Unknown | UnitWord::Ambiguous(None));
                if (named || states) && !other {
                    pressures.push((named, PressureColumn { index, unit }));
                } else if let Some(unit) = temperature(&name) {
                    found.temperature = found.temperature.or(Some((index, unit)));
                } else if let Some((rank, column)) = time_rank(&name).filter(|_| !other) {
                    times.push((rank, TimeColumn { index, ..column }));
                }
            }
        }
    }
    found.pressures = choose_pressures(pressures);
    found.time = choose_time(times);
    found
}

/// Keeps the columns that say most: a name and an absolute unit, else an
/// absolute unit, else a name. More than one left is for a person to choose.
fn choose_pressures(all: Vec<(bool, PressureColumn)>) -> Vec<PressureColumn> {
    let score = |named: bool, column: &PressureColumn| match (column.unit, named) {
        (UnitWord::Absolute(_), true) => 0,
        (UnitWord::Absolute(_), false) => 1,
        (UnitWord::Relative(_) | UnitWord::Ambiguous(_), _) => 2,
        (UnitWord::Unknown, _) => 3,
    };
    let best = all.iter().map(|(n, c)| score(*n, c)).min();
    all.into_iter()
        .filter(|(n, c)| Some(score(*n, c)) == best)
        .map(|(_, c)| c)
        .collect()
}

/// The best time column; a clock time is joined with a date column beside it.
fn choose_time(mut times: Vec<(u8, TimeColumn)>) -> Option<TimeColumn> {
    const NAMED: u8 = 3;
    const DATE_ONLY: u8 = 4;
    times.sort_by_key(|(rank, _)| *rank);
    let date = times
        .iter()
        .find(|(rank, _)| *rank == DATE_ONLY)
        .map(|(_, c)| c.index);
    let (rank, mut best) = times.into_iter().next()?;
    if rank == NAMED || rank == 2 {
        best.date = date;
    }
    Some(best)
}

#[cfg(test)]
mod tests {
    use vacuum::PressureUnit;

    use super::*;

    fn named(header: &str) -> Columns {
        let names: Vec<String> = header.split('|').map(str::to_owned).collect();
        understand(&names)
    }

    fn pressure(header: &str) -> UnitWord {
        let columns = named(header);
        assert_eq!(columns.pressures.len(), 1, "{header}: {columns:?}");
        columns.pressures[0].unit
    }

    #[test]
    fn pressure_units_are_read_from_the_name() {
        use PressureUnit::{Bar, InHg, Kilopascal, Micron, Millibar, Pascal, Psi, Torr};
        for (header, unit) in [
            ("pressure_micron", Micron),
            ("Pressure [mbar]", Millibar),
            ("P_Pa", Pascal),
            ("vacuum (Torr)", Torr),
            ("microns", Micron),
            ("p (µm)", Micron),
            ("p (μmHg)", Micron),
            ("mTorr", Micron),
            ("Pressure mTorr", Micron),
            ("P m Torr", Micron),
            ("PressureTorr", Torr),
            ("Gauge 1 / mbar", Millibar),
            ("Pressure, kPa abs", Kilopascal),
            ("Druck in hPa", Millibar),
            ("pressure_in_hg_abs", InHg),
            ("Pressure (psia)", Psi),
            ("p1 [bar abs]", Bar),
            ("absolute pressure (psi)", Psi),
            ("Druck bar absolut", Bar),
            ("Pressure (MPa)", PressureUnit::Megapascal),
            ("pressure_MPa", PressureUnit::Megapascal),
            ("p abs / bar", Bar),
            ("Vacuum (inHg absolute)", InHg),
        ] {
            assert_eq!(pressure(header), UnitWord::Absolute(unit), "{header}");
        }
        for header in ["pressure", "P", "PressuremTorr pressure", "vacuum (counts)"] {
            assert_eq!(pressure(header), UnitWord::Unknown, "{header}");
        }
    }

    #[test]
    fn units_of_both_kinds_of_pressure_are_open() {
        for header in [
            "pressure (psi)",
            "pressure psi",
            "pressure_psi",
            "PressurePsi",
            "P [bar]",
            "p (inHg)",
            "pressure (inHg)",
            "vacuum (bar)",
            "Vacuum [psi]",
            "pressure (in)",
            "pressure (kg/cm2)",
            "pressure (cmHg)",
            "psi",
            "bar",
            "inHg",
        ] {
            assert!(
                matches!(pressure(header), UnitWord::Ambiguous(_)),
                "{header}: {:?}",
                pressure(header)
            );
        }
    }

    #[test]
    fn units_measured_from_the_outside_air_are_known_as_such() {
        for header in [
            "vacuum (inHg)",
            "Vacuum inHg",
            "pressure [inHg vac]",
            "Inches of vacuum",
            "pressure (psig)",
            "p_barg",
            "pressure psi gauge",
            "Pressure (bar gauge)",
            "pressure (kPa gauge)",
            "Pressure relative (mbar)",
        ] {
            assert!(
                matches!(pressure(header), UnitWord::Relative(_)),
                "{header}"
            );
        }
    }

    #[test]
    fn other_pressures_are_left_alone() {
        let columns = named("time|pressure_micron|target_micron|barometric pressure (hPa)");
        assert_eq!(columns.pressures.len(), 1);
        let columns = named("t|T in|at|pressure_micron");
        assert_eq!(columns.pressures.len(), 1);
        let columns = named("t|P (mbar)|P (micron)");
        assert_eq!(columns.pressures.len(), 2);
    }

    #[test]
    fn time_columns_are_told_apart() {
        let time = |h: &str| named(h).time.unwrap();
        for (header, index, unit) in [
            ("seq|elapsed_s|utc|p", 1, Some(TimeUnit::Second)),
            ("Time (min)|p", 0, Some(TimeUnit::Minute)),
            ("time_ms|p", 0, Some(TimeUnit::Millisecond)),
            ("p|hours", 1, Some(TimeUnit::Hour)),
            ("t|p", 0, None),
            ("t/s|p", 0, Some(TimeUnit::Second)),
            ("timestamp|elapsedMs|p", 1, Some(TimeUnit::Millisecond)),
            ("Timestamp|p", 0, None),
            ("epoch|p", 0, None),
        ] {
            let found = time(header);
            assert_eq!((found.index, found.unit), (index, unit), "{header}");
        }
        assert_eq!(time("Date|Time|p").date, Some(0));
        assert_eq!(time("Date|Time|p").index, 1);
        assert_eq!(
            time("time (mm:ss)|p").two_part,
            Some(TwoPart::MinutesSeconds)
        );
        assert!(time("time (UTC)|p").utc);
    }

    #[test]
    fn temperatures_carry_their_unit() {
        let unit = |h: &str| named(h).temperature.map(|(_, u)| u);
        assert_eq!(unit("temperature_c|p"), Some(TemperatureUnit::Celsius));
        assert_eq!(unit("Temp (F)|p"), Some(TemperatureUnit::Fahrenheit));
        assert_eq!(unit("T [°C]|p"), Some(TemperatureUnit::Celsius));
        assert_eq!(unit("temperature|p"), Some(TemperatureUnit::Unstated));
        assert_eq!(unit("t|p"), None);
    }
}
