//! A case as a plain table.

use std::io::{self, Write};

use vacuum::{Entry, Sensed};

use crate::Case;

/// Writes the entries of a case as CSV with the columns
/// `elapsed_s,pressure_micron,temperature_c,state,mark`.
///
/// A reading without a value (over range, fault, gap) leaves the pressure empty;
/// a mark leaves everything but its time and code empty.
///
/// # Errors
/// Those of the writer.
pub fn write_csv(case: &Case, out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "elapsed_s,pressure_micron,temperature_c,state,mark")?;
    for entry in &case.entries {
        match entry {
            Entry::Reading(r) => {
                let pressure = match r.sensed {
                    Sensed::Measured(p) => tidy(p.micron()),
                    _ => String::new(),
                };
                let temperature = r
                    .temperature_c
                    .map(|t| format!("{t:.1}"))
                    .unwrap_or_default();
                let state = r.state().word();
                writeln!(out, "{:.3},{pressure},{temperature},{state},", r.elapsed_s)?;
            }
            Entry::Mark(m) => writeln!(out, "{:.3},,,,{}", m.elapsed_s, m.kind.code())?,
        }
    }
    Ok(())
}

/// A value with no more decimals than the gauge showed (a tenth of a micron).
fn tidy(micron: f64) -> String {
    let rounded = (micron * 100.0).round() / 100.0;
    format!("{rounded}")
}
