//! From the trace to the points of a line: no more than the picture can show,
//! no peak lost, broken where nothing was measured.

use findings::Gap;

use crate::trace::{Bin, Trace};

/// The measured line between two times, (s, micron), reduced to `columns`
/// columns and cut where the gauge was silent.
pub fn pieces(
    trace: &Trace,
    gaps: &[Gap],
    (start_s, end_s): (f64, f64),
    columns: u32,
) -> Vec<Vec<(f64, f64)>> {
    let width_s = ((end_s - start_s) / f64::from(columns.max(1))).max(f64::MIN_POSITIVE);
    // narrower gaps cannot be seen; at most `columns` wider ones exist
    let gaps: Vec<Gap> = gaps
        .iter()
        .copied()
        .filter(|g| g.end_s - g.start_s > width_s)
        .collect();
    let mut pieces: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut open: Option<(f64, Bin)> = None;
    let inside = trace
        .bins()
        .iter()
        .filter(|b| b.last_s >= start_s && b.first_s <= end_s);
    for bin in inside {
        let column = ((bin.first_s - start_s) / width_s).floor();
        match &mut open {
            Some((at, kept)) if *at == column && !cut(kept, bin, &gaps) => kept.absorb(bin),
            _ => {
                let broken = open.as_ref().is_none_or(|(_, kept)| cut(kept, bin, &gaps));
                if let Some((_, kept)) = open.replace((column, *bin)) {
                    add(&mut pieces, &kept);
                }
                if broken {
                    pieces.push(Vec::new());
                }
            }
        }
    }
    if let Some((_, kept)) = open {
        add(&mut pieces, &kept);
    }
    for piece in &mut pieces {
        // a lone measurement still deserves a visible speck
        if let [(t, p)] = piece[..] {
            piece.push((t + 0.5 * width_s, p));
        }
    }
    pieces
}

/// True when the line must not run from one bin to the next.
fn cut(before: &Bin, after: &Bin, gaps: &[Gap]) -> bool {
    after.broken_before
        || gaps
            .iter()
            .any(|g| g.start_s >= before.last_s - 1e-6 && g.end_s <= after.first_s + 1e-6)
}

fn add(pieces: &mut Vec<Vec<(f64, f64)>>, bin: &Bin) {
    if pieces.is_empty() {
        pieces.push(Vec::new());
    }
    let Some(piece) = pieces.last_mut() else {
        return;
    };
    let middle_s = 0.5 * (bin.first_s + bin.last_s);
    let (early, late) = if bin.min_first {
        (bin.min_micron, bin.max_micron)
    } else {
        (bin.max_micron, bin.min_micron)
    };
    for point in [
        (bin.first_s, bin.first_micron),
        (middle_s, early),
        (middle_s, late),
        (bin.last_s, bin.last_micron),
    ] {
        if piece.last() != Some(&point) {
            piece.push(point);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use vacuum::{Entry, Pressure, Reading};

    fn trace(points: &[(f64, Option<f64>)]) -> Trace {
        let mut trace = Trace::default();
        for (at_s, micron) in points {
            let reading = micron.map_or_else(
                || Reading::gap(*at_s),
                |m| Reading::measured(*at_s, Pressure::from_micron(m).unwrap()),
            );
            trace.push(&Entry::Reading(reading));
        }
        trace
    }

    #[test]
    fn the_line_is_cut_at_gap_rows_and_at_found_gaps() {
        let points = [
            (0.0, Some(500.0)),
            (1.0, Some(490.0)),
            (30.0, None),
            (31.0, Some(300.0)),
            (32.0, Some(299.0)),
            (90.0, Some(250.0)),
        ];
        let trace = trace(&points);
        let gaps = [Gap {
            start_s: 32.0,
            end_s: 90.0,
        }];
        let line = pieces(&trace, &gaps, (0.0, 90.0), 800);
        assert_eq!(line.len(), 3);
        assert!(line.iter().all(|piece| piece.len() >= 2));
        assert_eq!(pieces(&trace, &[], (0.0, 90.0), 800).len(), 2);
    }

    #[test]
    fn few_columns_keep_the_extremes() {
        let points: Vec<(f64, Option<f64>)> = (0..5000_u32)
            .map(|i| (f64::from(i), Some(if i == 3333 { 9000.0 } else { 400.0 })))
            .collect();
        let line = pieces(&trace(&points), &[], (0.0, 4999.0), 300);
        assert_eq!(line.len(), 1);
        assert!(line[0].len() <= 4 * 301);
        assert!(line[0].iter().any(|(_, p)| (*p - 9000.0).abs() < 1e-6));
        assert!(line[0].windows(2).all(|w| w[1].0 >= w[0].0));
    }
}
