//! What the simulated gauge says on the wire, and the dialect that reads it.

use vacuum::Sensed;

/// The dialect file of lines `t=… p=… UNIT T=… STATE`.
macro_rules! dialect {
    ($name:literal, $description:literal, $unit:literal, $bounds:literal) => {
        concat!(
            "name = \"",
            $name,
            "\"\ndescription = \"",
            $description,
            r#""

[port]
baud = 115200

[line]
pattern = '''^t=(?<seconds>[0-9]+\.[0-9]+) p=(?:(?<value>[0-9.]+) (?<unit>"#,
            $unit,
            r#")|OVER|UNDER|----)(?: T=(?<temperature>-?[0-9.]+))? (?<state>[A-Z]+)$'''
terminator = "crlf"
# simulated time may run faster than the wall clock
clock = "device"

[states]
OK = "ok"
OVER = "over"
UNDER = "under"
FAULT = "fault"
"#,
            $bounds
        )
    };
}

/// The dialect file of the gauge's lines.
pub(crate) const DIALECT: &str = dialect!(
    "rehearsal-gauge",
    "The simulated gauge: t=12.300 p=512.3 micron T=21.4 OK",
    "micron",
    "\n[bounds]\nover = \"25000 micron\"\n"
);

/// The dialect file of a pressure transmitter's lines.
pub(crate) const PRESSURE_DIALECT: &str = dialect!(
    "rehearsal-pressure-transmitter",
    "The simulated pressure transmitter: t=12.000 p=11.034 bar abs T=21.45 OK",
    "bar abs",
    ""
);

/// The dialect file of a scale's lines.
pub(crate) const SCALE_DIALECT: &str = r#"name = "rehearsal-scale"
description = "The simulated scale: t=1900.100 m=4812.6 g STILL"
measures = "mass"

[port]
baud = 115200

[line]
pattern = '''^t=(?<seconds>[0-9]+\.[0-9]+) m=(?<value>-?[0-9]+\.[0-9]) (?<unit>g) (?<state>[A-Z]+)$'''
terminator = "crlf"
# simulated time may run faster than the wall clock
clock = "device"

[states]
STILL = "stable"
MOVES = "moving"
"#;

/// Whose lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Speaks {
    /// A vacuum gauge.
    Micron,
    /// A pressure transmitter.
    Bar,
}

/// The gauge's line; none while it is silent.
pub(crate) fn line(
    speaks: Speaks,
    t_s: f64,
    sensed: Sensed,
    temperature_c: Option<f64>,
) -> Option<String> {
    let (value, state) = match sensed {
        Sensed::Measured(p) => match speaks {
            Speaks::Micron => (format!("{:.1} micron", p.micron()), "OK"),
            Speaks::Bar => (format!("{:.3} bar abs", p.pa() / 1e5), "OK"),
        },
        Sensed::Over(_) => ("OVER".into(), "OVER"),
        Sensed::Under(_) => ("UNDER".into(), "UNDER"),
        Sensed::Fault => ("----".into(), "FAULT"),
        Sensed::Gap => return None,
    };
    let digits = match speaks {
        Speaks::Micron => 1,
        Speaks::Bar => 2,
    };
    let temperature = temperature_c.map_or_else(String::new, |t| format!(" T={t:.digits$}"));
    Some(format!("t={t_s:.3} p={value}{temperature} {state}\r\n"))
}
