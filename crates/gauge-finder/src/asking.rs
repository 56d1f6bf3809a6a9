//! Asking a gauge that does not speak by itself: what is sent is said first.

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use console::say;
use sensor_reader::{
    Address, PortSettings,
    listen::{Answer, Conclusion, Question, ask, longest_asking, questions},
    transport::{Transport, TransportError, transport},
};

/// For answers that are not understood, on top of the time for silence.
const LEEWAY: Duration = Duration::from_secs(12);
/// So long one gauge that answers is asked on, s.
const ONE_ANSWER_S: f64 = 8.0;

/// Says what will be sent, sends it, and gives the best answer that was understood at all.
pub(crate) async fn ask_all(
    address: &Address,
    baud: Option<u32>,
) -> Result<Option<Answer>, TransportError> {
    let serial = matches!(address, Address::Serial(_));
    let mut list = questions(baud);
    if !serial {
        // nothing can be set here: one question of each kind
        let mut known: Vec<String> = Vec::new();
        list.retain(|question| {
            let name = question.dialect.name().to_owned();
            let new = !known.contains(&name);
            known.push(name);
            new
        });
    }
    say("Now asking. These queries only read; they are sent one after the other:");
    tell_questions(&list, serial);
    let at = |port: PortSettings| -> Arc<dyn Transport> { transport(address, port) };
    let mut unsure = None;
    let until = Instant::now() + longest_asking(list.len()) + LEEWAY;
    for question in &list {
        if Instant::now() >= until {
            say("  the time is up; the settings not tried yet are left out");
            break;
        }
        let answer = ask(at, question).await?;
        match answer.conclusion {
            Conclusion::Recognised => return Ok(Some(answer)),
            Conclusion::Unsure { .. } if unsure.is_none() => unsure = Some(answer),
            _ => {}
        }
    }
    Ok(unsure)
}

/// What will be sent at which settings, a line per query, and how long it takes.
fn tell_questions(list: &[Question], serial: bool) {
    let mut told: Vec<&str> = Vec::new();
    for question in list {
        let name = question.dialect.name();
        if told.contains(&name) {
            continue;
        }
        told.push(name);
        say(format!("  {} ({name})", question.sends()));
        if serial {
            let settings: Vec<String> = list
                .iter()
                .filter(|q| q.dialect.name() == name)
                .map(|q| q.port.to_string())
                .collect();
            say(format!("    at {}", settings.join(", ")));
        }
    }
    let longest = (longest_asking(list.len()) + LEEWAY).as_secs_f64().ceil() + ONE_ANSWER_S;
    match serial {
        true => say(format!(
            "{} settings are tried, one query each, at most {longest:.0} s.",
            list.len()
        )),
        false => say(format!("At most {longest:.0} s.")),
    }
}
