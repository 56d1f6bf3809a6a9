//! The gauge of the last run: `dryhold log` alone takes it again.

use console::{complain, say};
use job_form::last_gauge::{self, LastGauge};

use super::arguments::LogArguments;
use crate::outcome::Failure;

/// The gauge that is asked for, completed by the one of the last run; what was taken from
/// there is said.
pub(super) fn chosen(arguments: &LogArguments) -> Result<LastGauge, Failure> {
    let (port, dialect) = (arguments.port.as_deref(), arguments.dialect.as_deref());
    let gauge = LastGauge::completed(port, dialect, arguments.baud, last_gauge::kept());
    let gauge = gauge.ok_or_else(|| {
        Failure::usage(
            "--port and --dialect are needed: no gauge is remembered from an earlier run. \
             dryhold ports lists ports, dryhold listen finds the dialect",
        )
    })?;
    if port.is_none() || dialect.is_none() {
        let speed = gauge
            .baud
            .map(|b| format!(", {b} bit/s"))
            .unwrap_or_default();
        let (port, dialect) = (&gauge.port, &gauge.dialect);
        say(format!(
            "Gauge as in the last run: {port}, dialect {dialect}{speed}."
        ));
    }
    Ok(gauge)
}

/// Remembers the gauge of a run that begins; a capture is none.
pub(super) fn keep(arguments: &LogArguments) {
    let (Some(port), Some(dialect)) = (&arguments.port, &arguments.dialect) else {
        return;
    };
    if port.starts_with("file:") {
        return;
    }
    let file = std::path::Path::new(dialect).canonicalize();
    let gauge = LastGauge {
        port: stable(port),
        dialect: file.map_or_else(|_| dialect.clone(), |file| file.display().to_string()),
        baud: arguments.baud,
    };
    if let Err(e) = last_gauge::keep(&gauge) {
        complain(format!("the gauge is not remembered for the next run: {e}"));
    }
}

/// The name of a port that stays the same when the gauge is plugged in again.
fn stable(port: &str) -> String {
    let ports = sensor_reader::ports().unwrap_or_default();
    let same = ports.into_iter().find(|p| p.path.as_os_str() == port);
    let stable = same.and_then(|p| p.stable_path);
    stable.map_or_else(|| port.to_owned(), |path| path.display().to_string())
}
