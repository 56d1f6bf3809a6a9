//! What each part of the screen says, in lines of a given width.

use ratatui::style::Style;
use watch::{
    EventKind, HoldNow, LinkNow, MarkNow, PhaseNow,
    judged::HoldState,
    order::{Step, StepState},
};

use wording::{Voice, say};

use crate::{
    digits, key_help,
    picture::Picture,
    plot,
    text::{self, Lines, add},
    theme::Theme,
};

/// Left and right of the bar at the top.
pub(crate) fn header(picture: &Picture<'_>) -> (String, String) {
    let now = &picture.frame.now;
    let voice = picture.voice();
    let mut left = vec!["dryhold".to_owned()];
    // before a name that may be cut
    if now.run.invented {
        left.push(say!(voice, "screen-invented"));
    }
    left.push(now.run.job.clone());
    left.retain(|part| !part.is_empty());
    if !now.disk.takes_rows {
        left.insert(0, now.disk.trouble.clone());
    }
    let at = voice.moment(now.elapsed_s);
    let end = voice.moment(picture.frame.history.extent_s.1);
    let right = match picture.scrub {
        Some(scrub) if scrub.ready < 1.0 => {
            let percent = format!("{:.0}", 100.0 * scrub.ready);
            say!(voice, "screen-loading", percent = percent)
        }
        Some(scrub) if scrub.playing => say!(voice, "screen-playing", at = at, end = end),
        Some(_) => say!(voice, "screen-finished", at = at, end = end),
        None if now.run.recording => say!(voice, "screen-recording", at = at),
        None => say!(voice, "screen-ended", at = at),
    };
    (left.join(" · "), right)
}

/// What is wrong with the reading and what to do, before everything else.
pub(crate) fn trouble(picture: &Picture<'_>, width: usize) -> Lines {
    let mut lines = Lines::new();
    if let Some(trouble) = &picture.frame.now.trouble {
        let style = match trouble.is_grave {
            true => picture.theme.alarm(),
            false => picture.theme.strong(),
        };
        add(&mut lines, &trouble.text, width, style);
    }
    lines
}

fn trend_fits_beside(picture: &Picture<'_>, width: usize) -> bool {
    let number = usize::from(digits::size(&picture.frame.now.pressure.digits, 1).0);
    number + 2 + text::width(&picture.frame.now.pressure.trend) <= width
}

/// Phase, time to target or hold clock, running answer.
pub(crate) fn status(picture: &Picture<'_>, width: usize) -> Lines {
    let now = &picture.frame.now;
    let theme = picture.theme;
    let voice = picture.voice();
    let judged = &now.judged;
    let mut lines = Lines::new();
    let mut first = Vec::new();
    match (judged.phase, &judged.hold) {
        (PhaseNow::Hold, Some(hold)) => first.push(say!(
            voice,
            "screen-hold",
            held = voice.clock(hold.held_s),
            needed = voice.clock(hold.needed_s),
        )),
        (PhaseNow::Waiting, _) if !now.phase_words.is_empty() => {
            first.push(now.phase_words.to_uppercase());
        }
        (phase, _) => first.push(phase.words(&now.voice).to_uppercase()),
    }
    match (judged.phase, &judged.hold) {
        (PhaseNow::Hold, Some(hold)) => first.push(hold.clock.clone()),
        (PhaseNow::PullDown | PhaseNow::AtTarget, _) => {
            first.push(say!(
                voice,
                "screen-target",
                pressure = voice.reading(judged.target.micron),
                words = judged.target.words.as_str(),
            ));
        }
        _ => {}
    }
    if judged.rounds > 1 {
        first.push(say!(
            voice,
            "screen-round",
            number = judged.rounds.to_string()
        ));
    }
    if now.trouble.is_none() && !trend_fits_beside(picture, width) {
        first.push(now.pressure.trend.clone());
    }
    for other in &now.beside {
        first.push(format!("{} {}", other.place, other.shown));
    }
    let flowed = text::flowed(&first, width).into_iter();
    lines.extend(flowed.map(|line| (line, theme.strong())));
    if let Some(hold) = &judged.hold {
        lines.extend(answer(&voice, hold, theme, width));
    } else if let Some(stall) = &judged.stall {
        let words = say!(
            voice,
            "screen-stall",
            kind = stall.label.as_str(),
            level = voice.reading(stall.level_micron),
            time = voice.about((now.elapsed_s - stall.since_s).max(0.0)),
        );
        add(&mut lines, &words, width, theme.alarm());
    }
    lines
}

/// The running answer with a bar of the hold's time.
fn answer(voice: &Voice, hold: &HoldNow, theme: Theme, width: usize) -> Lines {
    let style = match hold.state {
        HoldState::Running => Style::new(),
        HoldState::Passed => theme.good(),
        _ => theme.alarm(),
    };
    let answer = hold.answer.as_str();
    let words = match hold.state {
        // what is said of them says it itself
        HoldState::Running | HoldState::WillNotPass | HoldState::PassedWithLeak => {
            answer.to_owned()
        }
        HoldState::Passed => say!(voice, "screen-met", answer = answer),
        HoldState::Failed => say!(voice, "screen-fails", answer = answer),
        HoldState::NotProven => say!(voice, "screen-not-proven", answer = answer),
    };
    let bar = 24.min(width / 3);
    if text::width(&words) + bar + 2 > width {
        let mut lines = Lines::new();
        add(&mut lines, &words, width, style);
        return lines;
    }
    let share = (hold.held_s / hold.needed_s.max(1.0)).clamp(0.0, 1.0);
    let full = (share * bar as f64).round() as usize;
    let bar = format!("{}{}", "█".repeat(full), "─".repeat(bar - full));
    vec![(format!("{bar}  {words}"), style)]
}

/// What seems to be wrong.
pub(crate) fn warnings(picture: &Picture<'_>, width: usize) -> Lines {
    let mut lines = Lines::new();
    let voice = picture.voice();
    for warning in &picture.frame.now.order.warnings {
        let words = say!(voice, "screen-check", warning = warning.text.as_str());
        add(&mut lines, &words, width, picture.theme.alarm());
    }
    lines
}

/// What usually comes next; nothing while what is wrong with the reading says what to do.
fn advice_now<'a>(picture: &Picture<'a>) -> &'a str {
    let now = &picture.frame.now;
    match &now.trouble {
        Some(trouble) if trouble.interrupts_hold => "",
        _ => &now.order.advice,
    }
}

/// What usually comes next, in one sentence.
pub(crate) fn advice(picture: &Picture<'_>, width: usize) -> Lines {
    let mut lines = Lines::new();
    let advice = advice_now(picture);
    add(&mut lines, advice, width, picture.theme.strong());
    lines
}

/// The acts, one after another.
pub(crate) fn steps(picture: &Picture<'_>, width: usize) -> Lines {
    let mut lines = Lines::new();
    let all = picture.frame.now.order.steps.iter().map(step);
    let all: Vec<String> = all.collect();
    let mut line = String::new();
    for step in all {
        let sep = if line.is_empty() { "" } else { "  " };
        if text::width(&line) + text::width(sep) + text::width(&step) > width {
            if !line.is_empty() {
                lines.push((std::mem::take(&mut line), picture.theme.accent()));
            }
            let mut wrapped = text::wrapped(&step, width);
            line = wrapped.pop().unwrap_or_default();
            lines.extend(wrapped.into_iter().map(|l| (l, picture.theme.accent())));
        } else {
            line = format!("{line}{sep}{step}");
        }
    }
    if !line.is_empty() {
        lines.push((line, picture.theme.accent()));
    }
    lines
}

fn step(step: &Step) -> String {
    let sign = match step.state {
        StepState::Done => "✓",
        StepState::Next => "▶",
        StepState::Later | StepState::Choice => "·",
    };
    match step.key {
        Some(key) => format!("{sign} {key} {}", step.text),
        None => format!("{sign} {}", step.text),
    }
}

/// The gravest caution of what comes next, as short as it can be said.
pub(crate) fn gravest_caution(picture: &Picture<'_>, width: usize) -> Lines {
    let mut lines = Lines::new();
    let now = &picture.frame.now;
    if !now.order.gravest.is_empty() {
        let words = say!(
            picture.voice(),
            "screen-caution",
            caution = now.order.gravest.as_str()
        );
        add(&mut lines, &words, width, Style::new());
    }
    lines
}

/// The others, as many as there is room for, each whole.
pub(crate) fn other_cautions(picture: &Picture<'_>, width: usize, room: usize) -> Lines {
    let mut lines = Lines::new();
    for i in 1..picture.frame.now.order.cautions.len() {
        let next = cautions(picture, width, i..i + 1);
        if lines.len() + next.len() > room {
            break;
        }
        lines.extend(next);
    }
    lines
}

fn cautions(picture: &Picture<'_>, width: usize, which: std::ops::Range<usize>) -> Lines {
    let mut lines = Lines::new();
    let all = &picture.frame.now.order.cautions;
    for (i, caution) in all.iter().enumerate() {
        if which.contains(&i) {
            let words = say!(
                picture.voice(),
                "screen-caution",
                caution = caution.as_str()
            );
            add(&mut lines, &words, width, Style::new());
        }
    }
    lines
}

fn mark(voice: &Voice, mark: &MarkNow) -> String {
    let at = voice.moment(mark.at_s);
    format!("{} {at} {}", plot::letter(mark), mark.label)
}

/// The last marks on one line, the newest first.
pub(crate) fn marks_line(picture: &Picture<'_>, width: usize) -> (String, Style) {
    let marks = &picture.frame.now.marks;
    if marks.is_empty() {
        let nothing = say!(picture.voice(), "screen-nothing-stamped");
        return (nothing, picture.theme.faint());
    }
    let voice = picture.voice();
    let all: Vec<String> = marks.iter().rev().map(|m| mark(&voice, m)).collect();
    (text::joined(&all, width), Style::new())
}

/// How the gauge is heard.
pub(crate) fn gauge(picture: &Picture<'_>) -> String {
    let gauge = &picture.frame.now.gauge;
    let voice = picture.voice();
    let state = match picture.scrub {
        Some(_) => picture.frame.now.run.name.clone(),
        None => gauge.link.words(&picture.frame.now.voice),
    };
    let mut words = say!(voice, "screen-gauge", state = state);
    if picture.scrub.is_some() {
        return words;
    }
    if gauge.link == LinkNow::Hearing {
        words += &format!(", {}/s", voice.decimals(gauge.per_s, 1));
    }
    if let Some(age_s) = gauge.age_s {
        let age = voice.age(age_s + picture.since_s);
        words += &format!(", {}", say!(voice, "screen-last", age = age));
    }
    for (count, id) in [
        (gauge.reconnects, "screen-reconnects"),
        (gauge.unreadable, "screen-unreadable"),
        (gauge.lost, "screen-lost"),
    ] {
        if count > 0 {
            words += &format!(" · {}", say!(voice, id, count = count));
        }
    }
    words
}

pub(crate) fn gauge_style(picture: &Picture<'_>) -> Style {
    let now = &picture.frame.now.gauge;
    let stale = now.age_s.is_some_and(|a| a + picture.since_s > 10.0);
    match (picture.scrub, now.link) {
        (None, LinkNow::Lost | LinkNow::Silent) => picture.theme.alarm(),
        (None, _) if stale => picture.theme.alarm(),
        _ => Style::new(),
    }
}

/// How the record stands with its disk.
pub(crate) fn disk(picture: &Picture<'_>) -> String {
    let disk = &picture.frame.now.disk;
    let voice = picture.voice();
    if picture.scrub.is_some() {
        return say!(voice, "screen-rows", rows = disk.rows.to_string());
    }
    if picture.stands_still() {
        let time = voice.about(picture.since_s);
        return say!(voice, "screen-stands-still", time = time);
    }
    let mut words = match (disk.takes_rows, disk.trouble.as_str()) {
        (true, "") => say!(voice, "screen-disk-takes", rows = disk.rows.to_string()),
        (true, trouble) => say!(voice, "screen-disk-trouble", trouble = trouble),
        (false, trouble) => say!(voice, "screen-disk-refuses", trouble = trouble),
    };
    // a second's worth always waits
    if disk.rows_waiting > 0 {
        let rows = disk.rows_waiting.to_string();
        words += &format!(", {}", say!(voice, "screen-waiting-rows", rows = rows));
    }
    if let Some(free) = disk.free_bytes {
        let size = text::bytes(&voice, free);
        words += &format!(" · {}", say!(voice, "screen-free", size = size));
    }
    words
}

pub(crate) fn disk_style(picture: &Picture<'_>) -> Style {
    const LITTLE: u64 = 100_000_000;
    let disk = &picture.frame.now.disk;
    let little = disk.free_bytes.is_some_and(|b| b < LITTLE);
    match disk.takes_rows && !little && !picture.stands_still() {
        true => Style::new(),
        false => picture.theme.alarm(),
    }
}

fn event_style(kind: EventKind, theme: Theme) -> Style {
    match kind {
        EventKind::HoldPassed => theme.good(),
        kind if kind.is_grave() => theme.alarm(),
        _ => Style::new(),
    }
}

/// The last thing that happened.
pub(crate) fn last_event(picture: &Picture<'_>, width: usize) -> Lines {
    let mut lines = Lines::new();
    if let Some(event) = picture.frame.events.all().next_back() {
        let words = format!("{} {}", picture.voice().moment(event.at_s), event.text);
        lines.push((
            text::shortened(&words, width),
            event_style(event.kind, picture.theme),
        ));
    }
    lines
}

/// Rows of the right column that cautions leave to what stands below them: titles, marks,
/// what happened last.
const KEPT_BELOW: usize = 9;

/// The right column of a wide screen.
pub(crate) fn side(picture: &Picture<'_>, width: usize, height: usize) -> Lines {
    let theme = picture.theme;
    let now = &picture.frame.now;
    let voice = picture.voice();
    let mut lines = warnings(picture, width);
    title(&mut lines, &say!(voice, "screen-comes-next"), theme);
    add(&mut lines, advice_now(picture), width, Style::new());
    for next in &now.order.steps {
        let style = match next.state {
            StepState::Next => theme.accent(),
            _ => Style::new(),
        };
        add(&mut lines, &step(next), width, style);
    }
    lines.extend(gravest_caution(picture, width));
    let mut health = Lines::new();
    add(&mut health, &gauge(picture), width, Style::new());
    add(&mut health, &disk(picture), width, Style::new());
    // gauge, disk and the last marks are seen whatever there is to be careful about
    let kept = lines.len() + health.len() + KEPT_BELOW;
    lines.extend(other_cautions(picture, width, height.saturating_sub(kept)));
    title(&mut lines, &say!(voice, "screen-gauge-and-disk"), theme);
    let (gauge_style, disk_style) = (gauge_style(picture), disk_style(picture));
    add(&mut lines, &gauge(picture), width, gauge_style);
    add(&mut lines, &disk(picture), width, disk_style);
    title(&mut lines, &say!(voice, "screen-stamped"), theme);
    let room = height.saturating_sub(lines.len());
    let shown = now.marks.len().min((room / 2).max(1));
    for stamped in now.marks.iter().rev().take(shown) {
        lines.push((text::shortened(&mark(&voice, stamped), width), Style::new()));
    }
    if now.marks.is_empty() {
        lines.push((say!(voice, "screen-nothing-yet"), theme.faint()));
    }
    title(&mut lines, &say!(voice, "screen-happened"), theme);
    events(picture, width, height, &mut lines);
    lines
}

/// Events, the newest first, as many as there is room for.
fn events(picture: &Picture<'_>, width: usize, height: usize, lines: &mut Lines) {
    for event in picture.frame.events.all().rev() {
        let style = event_style(event.kind, picture.theme);
        let words = format!("{} {}", picture.voice().moment(event.at_s), event.text);
        let wrapped = text::wrapped(&words, width);
        if lines.len() + wrapped.len() > height {
            break;
        }
        lines.extend(wrapped.into_iter().map(|l| (l, style)));
    }
}

fn title(lines: &mut Lines, what: &str, theme: Theme) {
    if !lines.is_empty() {
        lines.push(Default::default());
    }
    lines.push((what.to_owned(), theme.strong()));
}

/// The page with everything in full.
pub(crate) fn everything(picture: &Picture<'_>, width: usize, height: usize) -> Lines {
    let theme = picture.theme;
    let now = &picture.frame.now;
    let voice = picture.voice();
    let mut lines = Lines::new();
    lines.push((say!(voice, "screen-back"), theme.accent()));
    lines.extend(warnings(picture, width));
    let all = key_help::all(&voice, &now.stamps);
    let count = all.len();
    for (key, act) in all {
        let line = format!("{key}  {act}");
        lines.push((text::shortened(&line, width), Style::new()));
    }
    // two columns of keys leave room for the rest
    if width >= 56 {
        let keys = lines.split_off(lines.len() - count);
        let half = keys.len().div_ceil(2);
        let half_width = width.min(78) / 2;
        for i in 0..half {
            let left = text::shortened(&keys[i].0, half_width - 1);
            let right = keys.get(i + half).map_or("", |l| l.0.as_str());
            let right = text::shortened(right, width - half_width);
            lines.push((format!("{left:<half_width$}{right}"), Style::new()));
        }
    }
    title(&mut lines, &say!(voice, "cautions-title"), theme);
    lines.extend(cautions(picture, width, 0..usize::MAX));
    let decide = say!(voice, "screen-decide");
    add(&mut lines, &decide, width, Style::new());
    title(&mut lines, &say!(voice, "screen-this-run"), theme);
    add(&mut lines, &now.run.folder, width, Style::new());
    if picture.scrub.is_none() {
        let stop = say!(voice, "screen-goes-on");
        add(&mut lines, &stop, width, Style::new());
    }
    title(&mut lines, &say!(voice, "screen-happened"), theme);
    events(picture, width, height, &mut lines);
    lines
}
