//! `scale.csv`: what a scale said beside the gauge. A row has nine cells and a link as a row
//! of `trace.csv` has, so that parts, torn ends, links and seals are the same for both; what
//! stands in the cells differs, and the header row says so.

use std::io::Write;

use chrono::{DateTime, Utc};
use vacuum::{Mass, Weighed, Weighing};

use crate::trace::{RowFault, RowParts, number, write_time, write_trimmed};

/// Writes a row up to, but without, the comma before its link.
pub(crate) fn write_weighing(
    out: &mut Vec<u8>,
    seq: u64,
    elapsed_ms: u64,
    utc: DateTime<Utc>,
    weighing: &Weighing,
) {
    write_time(out, seq, elapsed_ms, utc);
    if let Weighed::Mass { mass, tare, .. } = weighing.weighed {
        write_trimmed(out, mass.g(), 6);
        out.push(b',');
        if let Some(tare) = tare {
            write_trimmed(out, tare.g(), 6);
        }
    } else {
        out.push(b',');
    }
    // writing into a Vec cannot fail
    let _ = write!(out, ",{},,", weighing.word());
}

/// What a row says.
pub(crate) fn row_weighing<'a>(row: &RowParts<'a>) -> Result<(f64, Weighing), RowFault<'a>> {
    let elapsed_s = number(row.elapsed)
        .filter(|t| t.is_finite())
        .ok_or(RowFault::NotANumber("time", row.elapsed))?;
    let mass = |what, cell: &'a [u8]| match cell {
        b"" => Ok(None),
        cell => {
            let g = number(cell).ok_or(RowFault::NotANumber(what, cell))?;
            let wrong = || RowFault::Reject(format!("{g} g is not a mass"));
            Mass::from_g(g).ok_or_else(wrong).map(Some)
        }
    };
    let (mass, tare) = (mass("mass", row.pressure)?, mass("tare", row.temperature)?);
    let word = String::from_utf8_lossy(row.state);
    let weighed = Weighing::from_word(&word, mass, tare).ok_or_else(|| {
        let word = table_rows::excerpt(row.state);
        RowFault::Reject(format!(
            "state \"{word}\" is not known, or its mass is missing"
        ))
    })?;
    Ok((elapsed_s, Weighing { elapsed_s, weighed }))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use vacuum::Steadiness;

    use super::*;

    proptest! {
        /// Whatever a scale said comes back to the microgram.
        #[test]
        fn every_row_is_read_back(
            g in -1e6_f64..1e6,
            tare in prop::option::of(-1e6_f64..1e6),
            which in 0_u8..7,
            elapsed_ms in 0_u64..1_000_000_000,
        ) {
            let steadiness = match which {
                0 => Steadiness::Stable,
                1 => Steadiness::Moving,
                _ => Steadiness::Unsaid,
            };
            let weighed = match which {
                3 => Weighed::Over,
                4 => Weighed::Under,
                5 => Weighed::Fault,
                6 => Weighed::Gap,
                _ => Weighed::Mass {
                    mass: Mass::from_g(g).expect("a mass"),
                    tare: tare.and_then(Mass::from_g),
                    steadiness,
                },
            };
            let elapsed_s = elapsed_ms as f64 / 1000.0;
            let mut row = Vec::new();
            let weighing = Weighing { elapsed_s, weighed };
            write_weighing(&mut row, 7, elapsed_ms, DateTime::UNIX_EPOCH, &weighing);
            row.extend_from_slice(b",0123456789abcdef");
            let parts = RowParts::cut(&row).expect("nine cells");
            let (_, read) = row_weighing(&parts).expect("a row");
            prop_assert_eq!(read.word(), weighing.word());
            prop_assert!((read.elapsed_s - elapsed_s).abs() < 1e-9);
            let apart = |a: Option<f64>, b: Option<f64>| match (a, b) {
                (Some(a), Some(b)) => (a - b).abs(),
                (None, None) => 0.0,
                _ => f64::INFINITY,
            };
            prop_assert!(apart(read.on_scale_g(), weighing.on_scale_g()) < 2e-6);
        }
    }

    #[test]
    fn what_is_no_row_of_a_scale_is_refused() {
        for row in [
            "1,0.1,2026-03-14T09:15:00.000Z,,,stable,,,0123456789abcdef",
            "1,0.1,2026-03-14T09:15:00.000Z,5,,quiet,,,0123456789abcdef",
            "1,0.1,2026-03-14T09:15:00.000Z,5e9,,stable,,,0123456789abcdef",
        ] {
            let parts = RowParts::cut(row.as_bytes()).expect("nine cells");
            assert!(
                matches!(row_weighing(&parts), Err(RowFault::Reject(_))),
                "{row}"
            );
        }
    }
}
