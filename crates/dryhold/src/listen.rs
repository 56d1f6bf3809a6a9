//! `dryhold listen PORT`: tries speeds and dialects and says what speaks there.

use sensor_reader::listen::{COMMON_BAUDS, Conclusion, try_port};
use vacuum::Sensed;

use crate::{
    arguments::ListenArguments,
    outcome::{Failure, Outcome, say},
    report_files::write_whole,
};

/// Listens; sends nothing to the gauge.
pub(crate) fn run(arguments: &ListenArguments) -> Result<Outcome, Failure> {
    say(format!(
        "Listening on {}, sending nothing …",
        arguments.port.display()
    ));
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(Failure::other)?;
    let heard = runtime
        .block_on(try_port(&arguments.port, &COMMON_BAUDS))
        .map_err(Failure::other)?;
    let Some(best) = heard.best() else {
        return Err(Failure::other("no speed was tried"));
    };
    let candidate = best.hearing.candidates.first();
    match &best.hearing.conclusion {
        Conclusion::Recognised => say(format!("Recognised at {} bit/s.", best.port.baud)),
        Conclusion::Unsure { why } => say(format!("Not sure at {} bit/s: {why}", best.port.baud)),
        Conclusion::NotUnderstood { why } => {
            return Err(Failure::other(format!(
                "something speaks, but not understandably: {why}"
            )));
        }
        _ => {
            return Err(Failure::other(
                "nothing was heard: the gauge may be off, on another port, or wait to be asked",
            ));
        }
    }
    let Some(candidate) = candidate else {
        return Ok(Outcome::Done);
    };
    say(format!(
        "  dialect  {}: {}",
        candidate.dialect.name(),
        candidate.dialect.description()
    ));
    say(format!(
        "  lines    {} of {} understood",
        candidate.understood, candidate.lines
    ));
    if let Sensed::Measured(p) = candidate.example.sensed {
        say(format!("  last     {p}"));
    }
    if let Some(unit) = candidate.assumed_unit {
        say(format!(
            "  unit     {unit} is assumed, the gauge sends none: compare with its display"
        ));
    }
    if let Some(keep) = &arguments.keep {
        write_whole(keep, candidate.to_toml(best.port).as_bytes())
            .map_err(|e| Failure::other(format!("{} cannot be written: {e}", keep.display())))?;
        say(format!("  kept in  {}", keep.display()));
    }
    Ok(Outcome::Done)
}
