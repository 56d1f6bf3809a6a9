//! What each part of the screen says, in lines of a given width.

use ratatui::style::Style;
use watch::{
    EventKind, HoldNow, LinkNow, MarkNow, PhaseNow,
    judged::HoldState,
    order::{Step, StepState},
};

use wording::Voice;

use crate::{app::Mode, digits, picture::Picture, plot, text, theme::Theme};

/// Lines with their looks.
pub(crate) type Lines = Vec<(String, Style)>;

/// Adds a text, wrapped.
pub(crate) fn add(lines: &mut Lines, what: &str, width: usize, style: Style) {
    lines.extend(text::wrapped(what, width).into_iter().map(|l| (l, style)));
}

/// Left and right of the bar at the top.
pub(crate) fn header(picture: &Picture<'_>) -> (String, String) {
    let now = &picture.frame.now;
    let mut left = vec!["dryhold".to_owned(), now.run.job.clone()];
    left.retain(|part| !part.is_empty());
    if now.run.invented {
        left.push("invented data".into());
    }
    if !now.disk.takes_rows {
        left.insert(0, now.disk.trouble.clone());
    }
    let at = Voice::default().moment(now.elapsed_s);
    let right = match picture.scrub {
        Some(scrub) => {
            let end = Voice::default().moment(picture.frame.history.extent_s.1);
            let word = if scrub.playing {
                "playing"
            } else {
                "finished run"
            };
            match scrub.ready < 1.0 {
                true => format!("reading {:.0} %", 100.0 * scrub.ready),
                false => format!("{word} {at} of {end}"),
            }
        }
        None if now.run.recording => format!("recording {at}"),
        None => format!("ended {at}"),
    };
    (left.join(" · "), right)
}

fn trend_fits_beside(picture: &Picture<'_>, width: usize) -> bool {
    let number = usize::from(digits::size(&picture.frame.now.pressure.digits, 1).0);
    number + 2 + text::width(&picture.frame.now.pressure.trend) <= width
}

/// Phase, time to target or hold clock, running answer.
pub(crate) fn status(picture: &Picture<'_>, width: usize) -> Lines {
    let now = &picture.frame.now;
    let theme = picture.theme;
    let judged = &now.judged;
    let mut lines = Lines::new();
    let mut first = Vec::new();
    match (judged.phase, &judged.hold) {
        (PhaseNow::Hold, Some(hold)) => first.push(format!(
            "HOLD {} of {}",
            clock_short(hold.held_s),
            clock_short(hold.needed_s)
        )),
        (phase, _) => first.push(phase.words().to_uppercase()),
    }
    match (judged.phase, &judged.hold) {
        (PhaseNow::Hold, Some(hold)) => first.push(hold.clock.clone()),
        (PhaseNow::PullDown | PhaseNow::AtTarget, _) => {
            first.push(format!(
                "target {}: {}",
                Voice::default().reading(judged.target.micron),
                judged.target.words
            ));
        }
        _ => {}
    }
    if judged.rounds > 1 {
        first.push(format!("round {}", judged.rounds));
    }
    if !trend_fits_beside(picture, width) {
        first.push(now.pressure.trend.clone());
    }
    for other in &now.beside {
        first.push(format!("{} {}", other.place, other.shown));
    }
    lines.push((text::joined(&first, width), theme.strong()));
    if let Some(hold) = &judged.hold {
        lines.push(answer(hold, theme, width));
    } else if let Some(stall) = &judged.stall {
        let words = format!(
            "STALL: {} near {} for {}",
            stall.label,
            Voice::default().reading(stall.level_micron),
            Voice::default().about((now.elapsed_s - stall.since_s).max(0.0))
        );
        lines.push((text::shortened(&words, width), theme.alarm()));
    }
    lines
}

/// The running answer with a bar of the hold's time.
fn answer(hold: &HoldNow, theme: Theme, width: usize) -> (String, Style) {
    let style = match hold.state {
        HoldState::Running => Style::new(),
        HoldState::Passed => theme.good(),
        _ => theme.alarm(),
    };
    let state = match hold.state {
        // what is said of them says it itself
        HoldState::Running | HoldState::WillNotPass | HoldState::PassedWithLeak => "",
        HoldState::Passed => "CRITERIA MET: ",
        HoldState::Failed => "FAILS: ",
        HoldState::NotProven => "NOT PROVEN: ",
    };
    let words = format!("{state}{}", hold.answer);
    let bar = 24.min(width / 3);
    if text::width(&words) + bar + 2 > width {
        return (text::shortened(&words, width), style);
    }
    let share = (hold.held_s / hold.needed_s.max(1.0)).clamp(0.0, 1.0);
    let full = (share * bar as f64).round() as usize;
    let bar = format!("{}{}", "█".repeat(full), "─".repeat(bar - full));
    (format!("{bar}  {words}"), style)
}

/// "3:20", or "1:03:20".
fn clock_short(seconds: f64) -> String {
    let long = Voice::default().moment(seconds);
    match long.strip_prefix("0:") {
        Some(short) => short.strip_prefix('0').unwrap_or(short).to_owned(),
        None => long,
    }
}

/// What seems to be wrong.
pub(crate) fn warnings(picture: &Picture<'_>, width: usize) -> Lines {
    let mut lines = Lines::new();
    for warning in &picture.frame.now.order.warnings {
        let words = format!("CHECK: {}", warning.text);
        add(&mut lines, &words, width, picture.theme.alarm());
    }
    lines
}

/// What usually comes next, in one sentence.
pub(crate) fn advice(picture: &Picture<'_>, width: usize) -> Lines {
    let mut lines = Lines::new();
    let advice = &picture.frame.now.order.advice;
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
            lines.push((std::mem::take(&mut line), picture.theme.accent()));
            line = text::shortened(&step, width);
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

/// The gravest caution of what comes next.
pub(crate) fn first_caution(picture: &Picture<'_>, width: usize) -> Lines {
    cautions(picture, width, 0..1)
}

/// The others.
pub(crate) fn other_cautions(picture: &Picture<'_>, width: usize) -> Lines {
    cautions(picture, width, 1..usize::MAX)
}

fn cautions(picture: &Picture<'_>, width: usize, which: std::ops::Range<usize>) -> Lines {
    let mut lines = Lines::new();
    let all = &picture.frame.now.order.cautions;
    for (i, caution) in all.iter().enumerate() {
        if which.contains(&i) {
            let words = format!("Caution: {caution}");
            add(&mut lines, &words, width, Style::new());
        }
    }
    lines
}

fn mark(mark: &MarkNow) -> String {
    format!(
        "{} {} {}",
        plot::letter(mark),
        Voice::default().moment(mark.at_s),
        mark.label
    )
}

/// The last marks on one line, the newest first.
pub(crate) fn marks_line(picture: &Picture<'_>, width: usize) -> (String, Style) {
    let marks = &picture.frame.now.marks;
    if marks.is_empty() {
        return ("Nothing stamped yet.".into(), picture.theme.faint());
    }
    let all: Vec<String> = marks.iter().rev().map(mark).collect();
    (text::joined(&all, width), Style::new())
}

/// How the gauge is heard.
pub(crate) fn gauge(picture: &Picture<'_>) -> String {
    let gauge = &picture.frame.now.gauge;
    if picture.scrub.is_some() {
        return format!("Gauge {}", picture.frame.now.run.name);
    }
    let mut words = format!("Gauge {}", gauge.link.words());
    if gauge.link == LinkNow::Hearing {
        words += &format!(", {:.1}/s", gauge.per_s);
    }
    if let Some(age_s) = gauge.age_s {
        words += &format!(
            ", last {} ago",
            Voice::default().age(age_s + picture.since_s)
        );
    }
    for (count, one, many) in [
        (gauge.reconnects, "reconnect", "reconnects"),
        (gauge.unreadable, "unreadable", "unreadable"),
        (gauge.lost, "line lost", "lines lost"),
    ] {
        match count {
            0 => {}
            1 => words += &format!(" · 1 {one}"),
            n => words += &format!(" · {n} {many}"),
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
    if picture.scrub.is_some() {
        return format!("{} rows in the record", disk.rows);
    }
    if picture.stands_still() {
        return format!(
            "THE RECORDING STANDS STILL for {}: does the disk answer?",
            Voice::default().about(picture.since_s)
        );
    }
    let mut words = match (disk.takes_rows, disk.trouble.as_str()) {
        (true, "") => format!("Disk takes rows: {}", disk.rows),
        (true, trouble) => format!("Disk: {trouble}"),
        (false, trouble) => format!("Disk {trouble}"),
    };
    // a second's worth always waits
    if disk.rows_waiting > 0 {
        words += &format!(", {} not yet safe", disk.rows_waiting);
    }
    if let Some(free) = disk.free_bytes {
        words += &format!(" · {} free", text::bytes(free));
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
        let words = format!("{} {}", Voice::default().moment(event.at_s), event.text);
        lines.push((
            text::shortened(&words, width),
            event_style(event.kind, picture.theme),
        ));
    }
    lines
}

/// The right column of a wide screen.
pub(crate) fn side(picture: &Picture<'_>, width: usize, height: usize) -> Lines {
    let theme = picture.theme;
    let now = &picture.frame.now;
    let mut lines = warnings(picture, width);
    title(&mut lines, "What usually comes next", theme);
    add(&mut lines, &now.order.advice, width, Style::new());
    for next in &now.order.steps {
        let style = match next.state {
            StepState::Next => theme.accent(),
            _ => Style::new(),
        };
        lines.push((text::shortened(&step(next), width), style));
    }
    lines.extend(cautions(picture, width, 0..usize::MAX));
    title(&mut lines, "Gauge and disk", theme);
    let (gauge_style, disk_style) = (gauge_style(picture), disk_style(picture));
    add(&mut lines, &gauge(picture), width, gauge_style);
    add(&mut lines, &disk(picture), width, disk_style);
    title(&mut lines, "Stamped", theme);
    let room = height.saturating_sub(lines.len());
    let shown = now.marks.len().min((room / 2).max(1));
    for stamped in now.marks.iter().rev().take(shown) {
        lines.push((text::shortened(&mark(stamped), width), Style::new()));
    }
    if now.marks.is_empty() {
        lines.push(("nothing yet".into(), theme.faint()));
    }
    title(&mut lines, "What happened", theme);
    events(picture, width, height, &mut lines);
    lines
}

/// Events, the newest first, as many as there is room for.
fn events(picture: &Picture<'_>, width: usize, height: usize, lines: &mut Lines) {
    for event in picture.frame.events.all().rev() {
        let style = event_style(event.kind, picture.theme);
        let words = format!("{} {}", Voice::default().moment(event.at_s), event.text);
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
    let mut lines = Lines::new();
    lines.push(("Any key leads back.".into(), theme.accent()));
    lines.extend(warnings(picture, width));
    for (key, act) in KEYS {
        let line = format!("{key}  {act}");
        lines.push((text::shortened(&line, width), Style::new()));
    }
    // two columns of keys leave room for the rest
    if width >= 56 {
        let keys = lines.split_off(lines.len() - KEYS.len());
        let half = keys.len().div_ceil(2);
        let half_width = width.min(78) / 2;
        for i in 0..half {
            let right = keys.get(i + half).map_or("", |l| l.0.as_str());
            lines.push((format!("{:<half_width$}{right}", keys[i].0), Style::new()));
        }
    }
    title(&mut lines, "Cautions", theme);
    lines.extend(cautions(picture, width, 0..usize::MAX));
    add(
        &mut lines,
        "Local codes, licensed practice and the maker's instructions decide.",
        width,
        Style::new(),
    );
    title(&mut lines, "This run", theme);
    add(&mut lines, &now.run.folder, width, Style::new());
    if picture.scrub.is_none() {
        let stop = format!(
            "Without this terminal recording goes on; to stop it then: kill -INT {}",
            std::process::id()
        );
        add(&mut lines, &stop, width, Style::new());
    }
    title(&mut lines, "What happened", theme);
    events(picture, width, height, &mut lines);
    lines
}

const KEYS: [(&str, &str); 12] = [
    ("o", "valve opened to the pump"),
    ("s", "pump-side valve shut"),
    ("p", "pump stopped"),
    ("m", "manifold valves shut"),
    ("n", "nitrogen break"),
    ("t", "flow throttled"),
    ("b", "gas ballast opened"),
    ("h", "heat applied"),
    ("u", "take the last mark back"),
    ("r", "type a remark"),
    ("i", "this page"),
    ("q", "stop (asks first)"),
];

/// The bottom: what keys do now.
pub(crate) fn keys(picture: &Picture<'_>, width: usize) -> Lines {
    let theme = picture.theme;
    let mut lines = Lines::new();
    match &picture.app.mode {
        Mode::Typing(typed) => {
            let room = width.saturating_sub(10);
            let from = text::width(typed).saturating_sub(room);
            let shown: String = typed.chars().skip(from).collect();
            lines.push((format!("Remark: {shown}_"), theme.strong()));
            lines.push(("Enter keeps it, Esc drops it".into(), theme.bar()));
        }
        Mode::AskedToStop => {
            lines.push((
                text::shortened("Stop recording? y stops, any other key goes on", width),
                theme.alarm(),
            ));
        }
        Mode::Watching | Mode::Info | Mode::Code => {
            if let Some(answer) = picture.app.answer() {
                lines.push((text::shortened(answer, width), theme.strong()));
            }
            let all = match picture.scrub {
                Some(_) => SCRUB_KEYS,
                None => WATCH_KEYS,
            };
            let page = match picture.app.page {
                Some(_) => " c\u{a0}phone",
                None => "",
            };
            add(&mut lines, &format!("{all}{page}"), width, theme.bar());
        }
    }
    lines
}

const WATCH_KEYS: &str = "o\u{a0}open s\u{a0}shut p\u{a0}pump\u{a0}off m\u{a0}manifold \
                          n\u{a0}nitrogen t\u{a0}throttle b\u{a0}ballast h\u{a0}heat \
                          u\u{a0}undo r\u{a0}remark i\u{a0}info q\u{a0}stop";
const SCRUB_KEYS: &str = "left/right\u{a0}step page\u{a0}up/down\u{a0}leap \
                          home/end\u{a0}start/end space\u{a0}play i\u{a0}info q\u{a0}leave";
