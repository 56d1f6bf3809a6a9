//! `dryhold ports`: lists serial ports, with the fix where one cannot be opened.

use crate::outcome::{Failure, Outcome, say};

/// Lists them.
pub(crate) fn run() -> Result<Outcome, Failure> {
    let ports = sensor_reader::ports().map_err(Failure::other)?;
    if ports.is_empty() {
        say("No serial ports are listed. Plug the gauge or its adapter in and try again;");
        say("a path such as /dev/ttyUSB0 or tcp://HOST:PORT may be given without being listed.");
    }
    for port in ports {
        say(format!("{}  {}", port.path.display(), port.description));
        if let Some(stable) = &port.stable_path {
            say(format!(
                "    stays the same when replugged: {}",
                stable.display()
            ));
        }
        if let Some(trouble) = &port.trouble {
            say(format!("    {trouble}"));
        }
    }
    Ok(Outcome::Done)
}
