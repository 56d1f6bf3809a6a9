//! What the simulated gauge says on the wire, and the dialect that reads it.

use vacuum::Sensed;

/// The dialect file of the gauge's lines.
pub(crate) const DIALECT: &str = r#"name = "rehearsal-gauge"
description = "The simulated gauge: t=12.300 p=512.3 micron T=21.4 OK"

[port]
baud = 115200

[line]
pattern = '''^t=(?<seconds>[0-9]+\.[0-9]+) p=(?:(?<value>[0-9.]+) (?<unit>micron)|OVER|UNDER|----)(?: T=(?<temperature>-?[0-9.]+))? (?<state>[A-Z]+)$'''
terminator = "crlf"
# simulated time may run faster than the wall clock
clock = "device"

[states]
OK = "ok"
OVER = "over"
UNDER = "under"
FAULT = "fault"

[bounds]
over = "25000 micron"
"#;

/// The gauge's line; none while it is silent.
pub(crate) fn line(t_s: f64, sensed: Sensed, temperature_c: Option<f64>) -> Option<String> {
    let (value, state) = match sensed {
        Sensed::Measured(p) => (format!("{:.1} micron", p.micron()), "OK"),
        Sensed::Over(_) => ("OVER".into(), "OVER"),
        Sensed::Under(_) => ("UNDER".into(), "UNDER"),
        Sensed::Fault => ("----".into(), "FAULT"),
        Sensed::Gap => return None,
    };
    let temperature = temperature_c.map_or_else(String::new, |t| format!(" T={t:.1}"));
    Some(format!("t={t_s:.3} p={value}{temperature} {state}\r\n"))
}
