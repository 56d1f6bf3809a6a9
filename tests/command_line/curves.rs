//! Invented curves from the simulated bench, to be written as tables.

use rehearsal::{Scenario, SimKind, Simulation};
use vacuum::{MarkKind, Sensed};

/// One run as a gauge showed it, first reading at 0 s.
#[derive(Debug, Clone)]
pub(crate) struct Curve {
    /// Time, s, and pressure, micron; readings beyond the gauge's range left out.
    pub(crate) readings: Vec<(f64, f64)>,
    /// Marks: time, s, and code.
    pub(crate) marks: Vec<(f64, MarkKind)>,
}

impl Curve {
    /// The curve of a rehearsal.
    pub(crate) fn of(name: &str) -> Self {
        let scenario = Scenario::named(name).expect("a rehearsal of this name");
        let mut readings = Vec::new();
        let mut marks = Vec::new();
        for event in Simulation::new(scenario, scenario.seed) {
            match event.kind {
                SimKind::Reading {
                    sensed: Sensed::Measured(p),
                    ..
                } => readings.push((event.t_s, p.micron())),
                SimKind::Reading { .. } | SimKind::Line(_) => {}
                SimKind::Mark(kind, _) => marks.push((event.t_s, kind)),
            }
        }
        let origin = readings.first().expect("readings").0;
        readings.iter_mut().for_each(|r| r.0 -= origin);
        marks.iter_mut().for_each(|m| m.0 -= origin);
        marks.retain(|m| m.0 >= 0.0);
        Self { readings, marks }
    }

    /// When the pump-side valve was shut, s.
    pub(crate) fn isolated_s(&self) -> f64 {
        let shut = self.marks.iter().rev();
        let mut shut = shut.filter(|m| m.1 == MarkKind::PumpSideShut);
        shut.next().expect("a mark").0
    }

    /// A table: a header, then a row per reading.
    pub(crate) fn table(&self, header: &str, row: impl Fn(f64, f64) -> String) -> String {
        let mut text = format!("{header}\n");
        for (t, p) in &self.readings {
            text.push_str(&row(*t, *p));
            text.push('\n');
        }
        text
    }

    /// `elapsed_s,pressure_micron`, nothing else.
    pub(crate) fn plain(&self) -> String {
        self.table("elapsed_s,pressure_micron", |t, p| format!("{t:.3},{p:.1}"))
    }

    /// `elapsed_s,pressure_micron,state,mark`, marks in rows of their own.
    pub(crate) fn marked(&self) -> String {
        let readings = self
            .readings
            .iter()
            .map(|(t, p)| (*t, format!("{t:.3},{p:.1},ok,")));
        let marks = self
            .marks
            .iter()
            .map(|(t, kind)| (*t, format!("{t:.3},,,{}", kind.code())));
        let mut rows: Vec<(f64, String)> = readings.chain(marks).collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut text = String::from("elapsed_s,pressure_micron,state,mark\n");
        for (_, row) in rows {
            text.push_str(&row);
            text.push('\n');
        }
        text
    }
}
