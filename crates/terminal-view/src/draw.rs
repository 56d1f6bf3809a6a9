//! The screen: a pure function of a frame, the keyboard's state and a size.

use ratatui::{
    buffer::Buffer,
    layout::Rect,
    style::{Modifier, Style},
};
use watch::{TroubleNow, curve::state_words};
use wording::say;

use crate::{
    app::Mode,
    code, digits, key_help, panels,
    picture::Picture,
    plot::{self, Plot},
    text::{self, Lines},
    theme::Theme,
};

/// The smallest size on which everything has its place.
pub(crate) const SMALLEST: (u16, u16) = (60, 20);
/// From here on there are two columns.
const WIDE: (u16, u16) = (104, 26);
/// Columns of the right one.
const RIGHT: u16 = 46;

/// Draws the whole screen.
pub(crate) fn draw(picture: &Picture<'_>, area: Rect, buffer: &mut Buffer) {
    let area = area.intersection(buffer.area);
    if area.is_empty() {
        return;
    }
    if area.width < SMALLEST.0 || area.height < SMALLEST.1 {
        tiny(picture, area, buffer);
    } else if picture.app.mode == Mode::Info {
        info(picture, area, buffer);
    } else if let (Mode::Code, Some(page)) = (&picture.app.mode, &picture.app.page) {
        code::draw(page, &picture.voice(), picture.theme, area, buffer);
    } else {
        let (body, bottom) = frame_of(picture, area, buffer);
        keys(picture, bottom, buffer);
        if area.width >= WIDE.0 && area.height >= WIDE.1 {
            wide(picture, body, buffer);
        } else {
            narrow(picture, body, buffer);
        }
    }
    picture.theme.finish(buffer);
}

/// What matters most, on a screen too small for the rest.
fn tiny(picture: &Picture<'_>, area: Rect, buffer: &mut Buffer) {
    let now = &picture.frame.now;
    let width = usize::from(area.width);
    let pressure = match &now.trouble {
        Some(trouble) => format!("{} {}", trouble.word, trouble.clock),
        None => format!("{} {}", now.pressure.digits, now.pressure.unit_and_also()),
    };
    let mut lines: Lines = vec![(text::shortened(&pressure, width), picture.theme.strong())];
    lines.extend(panels::trouble(picture, width));
    for warning in &now.order.warnings {
        text::add(&mut lines, &warning.text, width, picture.theme.alarm());
    }
    text::add(&mut lines, &panels::gauge(picture), width, Style::new());
    for line in panels::status(picture, width) {
        lines.push(line);
    }
    let (columns, rows) = SMALLEST;
    let small = say!(
        picture.voice(),
        "screen-takes",
        columns = columns.to_string(),
        rows = rows.to_string(),
    );
    text::add(&mut lines, &small, width, picture.theme.faint());
    put_lines(&lines, area, buffer);
}

/// Everything in full, on a page of its own.
fn info(picture: &Picture<'_>, area: Rect, buffer: &mut Buffer) {
    let width = usize::from(area.width).saturating_sub(2);
    let lines = panels::everything(picture, width, usize::from(area.height));
    let inner = Rect {
        x: area.x + 1,
        width: area.width.saturating_sub(2),
        ..area
    };
    put_lines(&lines, inner, buffer);
}

/// Header and bottom line; gives what is between them, and the bottom.
fn frame_of(picture: &Picture<'_>, area: Rect, buffer: &mut Buffer) -> (Rect, Rect) {
    let theme = picture.theme;
    let (left, right) = panels::header(picture);
    let style = match picture.frame.now.disk.takes_rows {
        true => theme.bar(),
        false => theme.alarm(),
    };
    let width = usize::from(area.width);
    let room = width.saturating_sub(text::width(&right) + 3);
    let left = text::shortened(&left, room);
    let pad = width.saturating_sub(text::width(&left) + text::width(&right) + 2);
    let bar = format!(" {left}{:pad$}{right} ", "");
    text::put(buffer, area.x, area.y, area.width, &bar, style);
    let lines = key_help::line(picture, width.saturating_sub(2)).len() as u16;
    let bottom = Rect {
        y: area.bottom() - lines,
        height: lines,
        ..area
    };
    let body = Rect {
        x: area.x + 1,
        y: area.y + 1,
        width: area.width - 2,
        height: area.height - 1 - lines,
    };
    (body, bottom)
}

fn keys(picture: &Picture<'_>, area: Rect, buffer: &mut Buffer) {
    let width = usize::from(area.width);
    for (y, (line, style)) in (area.y..).zip(key_help::line(picture, width.saturating_sub(2))) {
        let bar = format!(" {line:<w$} ", w = width.saturating_sub(2));
        text::put(buffer, area.x, y, area.width, &bar, style);
    }
}

/// Where a part that there is room for goes: to what is said, or to how things are.
#[derive(Debug, Clone, Copy)]
enum Place {
    Above,
    AfterCaution,
    Below,
}

/// One column: what is said first, the curve gets what is left.
fn narrow(picture: &Picture<'_>, area: Rect, buffer: &mut Buffer) {
    const CURVE_LEAST: usize = 4;
    let width = usize::from(area.width);
    let mut y = area.y;
    y += pressure(picture, 1, area, buffer);
    let mut status = panels::trouble(picture, width);
    status.extend(panels::status(picture, width));
    y += put_lines(&status, below(area, y), buffer);
    let mut under: Lines = vec![
        (
            text::shortened(&panels::gauge(picture), width),
            panels::gauge_style(picture),
        ),
        (
            text::shortened(&panels::disk(picture), width),
            panels::disk_style(picture),
        ),
    ];
    // warnings, the gravest caution and the next act take the curve's place where they have
    // to, and that of lines which say that all is well
    let warnings = panels::warnings(picture, width);
    let caution = panels::gravest_caution(picture, width);
    let advice = panels::advice(picture, width);
    let left = usize::from(area.bottom() - y);
    let wanted = warnings.len() + caution.len() + advice.len();
    while wanted + under.len() > left && under.pop_if(|(_, style)| *style == Style::new()).is_some()
    {
    }
    let mut room = left.saturating_sub(under.len());
    let mut said = Lines::new();
    let kept = caution.len().min(room.saturating_sub(warnings.len()));
    for lines in [warnings, advice] {
        let count = lines.len().min(room.saturating_sub(kept));
        room -= count;
        said.extend(lines.into_iter().take(count));
    }
    room -= kept;
    let caution: Lines = caution.into_iter().take(kept).collect();
    let more = [
        (Place::Above, panels::steps(picture, width)),
        (Place::Below, vec![panels::marks_line(picture, width)]),
        (
            Place::AfterCaution,
            panels::other_cautions(picture, width, usize::MAX),
        ),
        (Place::Below, panels::last_event(picture, width)),
    ];
    let mut after = Lines::new();
    for (place, lines) in more {
        if lines.is_empty() || lines.len() + CURVE_LEAST > room {
            continue;
        }
        room -= lines.len();
        match place {
            Place::Above => said.extend(lines),
            Place::AfterCaution => after.extend(lines),
            Place::Below => under.splice(0..0, lines).for_each(drop),
        }
    }
    said.extend(caution.into_iter().chain(after));
    let curve = Rect {
        y,
        height: room as u16,
        ..area
    };
    draw_curve(picture, curve, buffer);
    y += put_lines(&said, below(area, y + curve.height), buffer) + curve.height;
    put_lines(&under, below(area, y), buffer);
}

/// Two columns: pressure and curve on the left, words on the right.
fn wide(picture: &Picture<'_>, area: Rect, buffer: &mut Buffer) {
    let left = Rect {
        width: area.width - RIGHT - 2,
        ..area
    };
    let right = Rect {
        x: area.right() - RIGHT,
        width: RIGHT,
        ..area
    };
    let digits = &picture.frame.now.pressure.digits;
    let fits = digits::size(digits, 2).0 + 10 < left.width;
    let scale = if area.height >= 34 && fits { 2 } else { 1 };
    let mut y = left.y + pressure(picture, scale, left, buffer);
    let mut status = panels::trouble(picture, usize::from(left.width));
    status.extend(panels::status(picture, usize::from(left.width)));
    y += put_lines(&status, below(left, y), buffer);
    draw_curve(picture, below(left, y), buffer);
    let lines = panels::side(picture, usize::from(RIGHT), usize::from(right.height));
    put_lines(&lines, right, buffer);
}

/// The large number with unit and trend; gives the rows it took.
fn pressure(picture: &Picture<'_>, scale: u16, area: Rect, buffer: &mut Buffer) -> u16 {
    if let Some(trouble) = &picture.frame.now.trouble {
        return in_its_place(trouble, (scale, picture.theme), area, buffer);
    }
    let now = &picture.frame.now.pressure;
    let theme = picture.theme;
    let style = match now.state {
        "ok" => theme.strong(),
        _ => theme.alarm(),
    };
    let fits = |scale: &u16| digits::size(&now.digits, *scale).0 <= area.width;
    let scale = (0..=scale).rev().find(fits).unwrap_or(0);
    let (width, height) = digits::size(&now.digits, scale);
    let style = match theme.colour {
        true => style.remove_modifier(Modifier::REVERSED),
        false => theme.strong(),
    };
    digits::draw(&now.digits, scale, style, area, buffer);
    let x = area.x + width + 1 + scale;
    let room = area.right().saturating_sub(x);
    let bottom = area.y + height - 1;
    let unit = unit_beside(picture, usize::from(room));
    text::put(buffer, x, bottom, room, &unit, theme.strong());
    // where it does not fit beside the number the status line has it
    let trend = trend_beside(picture, usize::from(room));
    text::put(buffer, x, bottom - 1, room, &trend, Style::new());
    let state = state_beside(picture, usize::from(room));
    text::put(buffer, x, area.y, room, &state, theme.alarm());
    height
}

/// What is wrong with the reading, in the type of the number that it takes the place of,
/// with its running clock; gives the rows it took.
fn in_its_place(
    trouble: &TroubleNow,
    (largest, theme): (u16, Theme),
    area: Rect,
    buffer: &mut Buffer,
) -> u16 {
    let style = match (trouble.is_grave, theme.colour) {
        (true, true) => theme.alarm().remove_modifier(Modifier::REVERSED),
        _ => theme.strong(),
    };
    let with_clock = format!("{}  {}", trouble.word, trouble.clock);
    let fits =
        |text: &str, scale| digits::can_draw(text) && digits::size(text, scale).0 <= area.width;
    let sized = (0..=largest)
        .rev()
        .map(|scale| (with_clock.as_str(), scale));
    let mut all = sized.chain([(trouble.word.as_str(), 0)]);
    let Some((text, scale)) = all.find(|(text, scale)| fits(text, *scale)) else {
        let words = text::shortened(&with_clock, usize::from(area.width));
        text::put(buffer, area.x, area.y, area.width, &words, theme.alarm());
        return 1;
    };
    digits::draw(text, scale, style, area, buffer);
    digits::size(text, scale).1
}

/// The trend, where it finds room beside the number.
fn trend_beside(picture: &Picture<'_>, room: usize) -> String {
    let trend = picture.frame.now.pressure.trend.clone();
    Some(trend)
        .filter(|t| text::width(t) <= room)
        .unwrap_or_default()
}

/// The unit, with the pressure in another one where that finds room.
fn unit_beside(picture: &Picture<'_>, room: usize) -> String {
    let now = &picture.frame.now.pressure;
    let both = Some(now.unit_and_also()).filter(|u| text::width(u) <= room);
    both.unwrap_or_else(|| text::shortened(now.unit, room))
}

/// What is wrong with the reading, where it finds room beside the number.
fn state_beside(picture: &Picture<'_>, room: usize) -> String {
    let state = picture.frame.now.pressure.state;
    match state {
        "ok" => String::new(),
        state => text::shortened(&state_words(&picture.frame.now.voice, state), room),
    }
}

fn draw_curve(picture: &Picture<'_>, area: Rect, buffer: &mut Buffer) {
    let now = &picture.frame.now;
    // on a linear scale the filling would hide what is lost afterwards
    let since_s = now.judged.hold.as_ref().map(|h| h.since_s);
    let since_s = since_s.filter(|_| now.axis.linear);
    let later = since_s.map(|s| picture.frame.history.since(s));
    let marks = since_s.map_or(0, |s| now.marks.partition_point(|m| m.at_s < s));
    let plot = Plot {
        curve: later.as_ref().unwrap_or(&picture.frame.history),
        marks: &now.marks[marks..],
        target_micron: Some(now.judged.target.micron).filter(|_| !now.axis.linear),
        axis: now.axis,
        cursor_s: picture.scrub.map(|s| s.at_s),
        voice: picture.voice(),
    };
    plot::draw(&plot, picture.theme, area, buffer);
}

fn below(area: Rect, y: u16) -> Rect {
    let y = y.min(area.bottom());
    Rect {
        y,
        height: area.bottom() - y,
        ..area
    }
}

/// Puts lines from the top of `area` down; gives how many found room.
fn put_lines(lines: &Lines, area: Rect, buffer: &mut Buffer) -> u16 {
    let mut count = 0;
    for (y, (line, style)) in (area.top()..area.bottom()).zip(lines) {
        text::put(buffer, area.x, y, area.width, line, *style);
        count += 1;
    }
    count
}
