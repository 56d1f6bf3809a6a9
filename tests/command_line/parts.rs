//! A record over all the files it is spread over, as documented for the run
//! folder: of each file the rows before the first one of every later file.

use std::{collections::BTreeMap, path::Path};

/// Pressure, state and note of every row by its number.
pub(crate) fn rows_of(folder: &Path) -> BTreeMap<u64, (Option<f64>, String, String)> {
    let mut rows = BTreeMap::new();
    for number in 1..10 {
        let name = match number {
            1 => "trace.csv".to_owned(),
            n => format!("trace.{n}.csv"),
        };
        let Ok(bytes) = std::fs::read(folder.join(name)) else {
            break;
        };
        let text = String::from_utf8_lossy(&bytes);
        let mut first = true;
        for line in text.split_inclusive('\n').skip(1) {
            let cells: Vec<&str> = line.splitn(8, ',').collect();
            let Some(seq) = cells[0].parse().ok().filter(|_| line.ends_with('\n')) else {
                continue;
            };
            if std::mem::take(&mut first) {
                rows.split_off(&seq);
            }
            let note = cells[7].rsplit_once(',').expect("a link").0;
            let note = note.trim_matches('"').into();
            let row = (cells[3].parse().ok(), cells[5].into(), note);
            rows.insert(seq, row);
        }
    }
    rows
}

/// The pressures measured, in order.
pub(crate) fn measured_in(folder: &Path) -> Vec<f64> {
    let rows = rows_of(folder).into_values();
    rows.filter(|r| r.1 == "ok").filter_map(|r| r.0).collect()
}
