//! A dialect made from a layout, a column and a unit; and what it reads.

use std::{sync::Arc, time::Duration};

use sensor_reader::{
    Decoded, Decoder, Dialect, DialectError, PortSettings,
    listen::with_port,
    transport::{Transport, TransportError},
};
use tokio::{
    io::AsyncReadExt,
    time::{Instant, timeout_at},
};
use vacuum::PressureUnit;

use crate::layout::Layout;

/// How long a dialect is tried.
const TRY: Duration = Duration::from_secs(6);
/// So many lines understood are enough.
const ENOUGH: u64 = 5;
/// Words that gauges send in place of a number.
const STATES: &str = "\
[states]
OVER = \"over\"
OL = \"over\"
UNDER = \"under\"
UL = \"under\"
FAULT = \"fault\"
ERR = \"fault\"
";

/// The text of a dialect that reads column `pressure`, counted from 0, in `unit`.
pub(crate) fn dialect_text(
    layout: &Layout,
    pressure: usize,
    unit: PressureUnit,
    port: PortSettings,
) -> String {
    let text = format!(
        "# Proposed by listening. Compare what it reads with the gauge's display.\n\
         name = \"my-gauge\"\n\
         description = \"Proposed by listening: column {} of the numbers in a line, in {unit}\"\n\n\
         [line]\npattern = '''{}'''\n\n\
         [value]\nunit = \"{unit}\"\ndecimal = \"{}\"\n\n{STATES}",
        pressure + 1,
        layout.pattern(pressure),
        layout.decimal()
    );
    with_port(&text, port)
}

/// The text of a dialect with another unit under `[value]`.
pub(crate) fn with_unit(text: &str, unit: PressureUnit) -> String {
    let mut inside = false;
    let mut out = String::new();
    for line in text.lines() {
        let bare = line.trim();
        if bare.starts_with('[') {
            inside = bare == "[value]";
        }
        let key = bare.split('=').next().unwrap_or_default().trim_end();
        if inside && key == "unit" && bare.contains('=') {
            out += &format!("unit = \"{unit}\"\n");
        } else if !bare.starts_with("description") || bare.contains("Proposed") {
            out += &format!("{line}\n");
        } else {
            out += &format!(
                "description = \"As heard; the gauge sends no unit, {unit} was chosen\"\n"
            );
        }
    }
    out
}

/// What a dialect makes of what comes next.
#[derive(Debug, Default)]
pub(crate) struct Tried {
    pub(crate) understood: u64,
    pub(crate) rejected: u64,
    /// A line each: what was read, or why nothing.
    pub(crate) said: Vec<String>,
}

/// Reads what comes next with this dialect, for a few seconds.
pub(crate) async fn try_out(
    transport: Arc<dyn Transport>,
    text: &str,
    unit: PressureUnit,
) -> Result<Result<Tried, DialectError>, TransportError> {
    let dialect = match Dialect::from_toml(text, "the proposed dialect") {
        Ok(dialect) => dialect,
        Err(error) => return Ok(Err(error)),
    };
    let mut link = transport.open().await?;
    let mut decoder = match transport.starts_whole() {
        true => Decoder::new(&dialect),
        false => Decoder::joining(&dialect),
    };
    let mut tried = Tried::default();
    let mut chunk = [0_u8; 1024];
    let mut decoded = Vec::new();
    let until = Instant::now() + TRY;
    while let Ok(Ok(count @ 1..)) = timeout_at(until, link.read(&mut chunk)).await {
        decoder.push(chunk.get(..count).unwrap_or_default(), &mut decoded);
        for piece in decoded.drain(..) {
            tried.take(&piece, unit);
        }
        if tried.understood >= ENOUGH {
            break;
        }
    }
    Ok(Ok(tried))
}

impl Tried {
    fn take(&mut self, piece: &Decoded, unit: PressureUnit) {
        let said = match piece {
            Decoded::Sample(sample) => {
                self.understood += 1;
                match sample.pressure() {
                    Some(p) if unit == PressureUnit::Micron => p.display(unit).to_string(),
                    Some(p) => {
                        let micron = p.display(PressureUnit::Micron);
                        format!("{}, which is {micron}", p.display(unit))
                    }
                    None => "no measurement: over range, under range or a fault".into(),
                }
            }
            Decoded::Rejected(r) if r.why == sensor_reader::RejectReason::CutAtStart => return,
            Decoded::Rejected(rejected) => {
                self.rejected += 1;
                rejected.to_string()
            }
            _ => return,
        };
        if self.said.len() < ENOUGH as usize {
            self.said.push(said);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_proposal_is_a_dialect_with_the_port_that_worked() {
        let heard = b"x\nP=1013,T=21\nP=1012,T=21\nP=1010,T=21\nP=1007,T=22\n";
        let layout = Layout::of(heard).expect("columns");
        let port = PortSettings {
            baud: 2_400,
            ..PortSettings::default()
        };
        let text = dialect_text(&layout, 0, PressureUnit::InHg, port);
        let dialect = Dialect::from_toml(&text, "x").expect(&text);
        assert_eq!(dialect.port(), port);
        assert_eq!(dialect.fixed_unit(), Some(PressureUnit::InHg));
        let mut out = Vec::new();
        Decoder::new(&dialect).push(b"P=OL,T=21\nP=29.9,T=-3\nQ=1,T=2\n", &mut out);
        let read: Vec<bool> = out.iter().map(|d| d.sample().is_some()).collect();
        assert_eq!(read, [true, true, false]);
    }

    #[test]
    fn a_shipped_dialect_takes_another_unit() {
        let source = Dialect::builtin("number-only-line").expect("it ships");
        let text = with_unit(source.source(), PressureUnit::Millibar);
        let dialect = Dialect::from_toml(&text, "x").expect(&text);
        assert_eq!(dialect.fixed_unit(), Some(PressureUnit::Millibar));
        assert!(!text.contains("micron"), "{text}");
    }
}
