//! The curve in braille points on a logarithmic axis.

use ratatui::{buffer::Buffer, layout::Rect};
use watch::{AxisNow, Curve, MarkNow, curve::Column};

use wording::{Voice, say};

use crate::{text, theme::Theme};

/// Columns left of the picture for the labels of pressures.
const LABELS: u16 = 6;

/// What is drawn.
#[derive(Debug)]
pub(crate) struct Plot<'a> {
    pub(crate) curve: &'a Curve,
    pub(crate) marks: &'a [MarkNow],
    /// Drawn as a line across; `None` where there is none.
    pub(crate) target_micron: Option<f64>,
    pub(crate) axis: AxisNow,
    /// Moment that is looked at in a finished run, s.
    pub(crate) cursor_s: Option<f64>,
    /// In whose words.
    pub(crate) voice: Voice,
}

/// Turns time and pressure into points of the picture.
#[derive(Debug, Clone, Copy)]
struct Scale {
    area: Rect,
    from_s: f64,
    to_s: f64,
    low: f64,
    high: f64,
    axis: AxisNow,
}

impl Scale {
    fn of(plot: &Plot<'_>, area: Rect) -> Self {
        if plot.axis.linear {
            return Self::linear(plot, area);
        }
        let columns = &plot.curve.columns;
        let target = plot.target_micron.unwrap_or(500.0).max(1e-3);
        let low = columns.iter().map(|c| c.low).fold(target, f64::min);
        let high = columns.iter().map(|c| c.high).fold(target, f64::max);
        let (from_s, to_s) = plot.curve.extent_s;
        // never less than a decade, a little room below and above
        let (low, high) = (low.max(0.1).log10() - 0.1, high.max(0.2).log10() + 0.1);
        let lack = (1.0 - (high - low)).max(0.0) / 2.0;
        Self {
            area,
            from_s,
            to_s: to_s.max(from_s + 10.0),
            low: low - lack,
            high: high + lack,
            axis: plot.axis,
        }
    }

    /// From the lowest to the highest, with a little room, in units of the axis.
    fn linear(plot: &Plot<'_>, area: Rect) -> Self {
        let columns = &plot.curve.columns;
        let unit = plot.axis.micron_per_unit;
        let low = columns
            .iter()
            .map(|c| c.low / unit)
            .fold(f64::INFINITY, f64::min);
        let high = columns.iter().map(|c| c.high / unit).fold(0.0, f64::max);
        let low = low.min(high);
        let room = (0.06 * (high - low)).max(0.01);
        let (from_s, to_s) = plot.curve.extent_s;
        Self {
            area,
            from_s,
            to_s: to_s.max(from_s + 10.0),
            low: (low - room).max(0.0),
            high: high + room,
            axis: plot.axis,
        }
    }

    /// Point column, two to a cell.
    fn x(&self, at_s: f64) -> u16 {
        let share = (at_s - self.from_s) / (self.to_s - self.from_s);
        let most = 2 * self.area.width.max(1) - 1;
        ((share.clamp(0.0, 1.0) * f64::from(most)).round() as u16).min(most)
    }

    /// Point row, four to a cell, 0 at the top.
    fn y(&self, micron: f64) -> u16 {
        let place = match self.axis.linear {
            true => micron / self.axis.micron_per_unit,
            false => micron.max(0.1).log10(),
        };
        let share = (self.high - place) / (self.high - self.low);
        let most = 4 * self.area.height.max(1) - 1;
        ((share.clamp(0.0, 1.0) * f64::from(most)).round() as u16).min(most)
    }
}

/// Draws the curve with its axes into `area`.
pub(crate) fn draw(plot: &Plot<'_>, theme: Theme, area: Rect, buffer: &mut Buffer) {
    let area = area.intersection(buffer.area);
    if area.width < LABELS + 4 || area.height < 3 {
        return;
    }
    let picture = Rect {
        x: area.x + LABELS,
        width: area.width - LABELS,
        height: area.height - 1,
        ..area
    };
    let scale = Scale::of(plot, picture);
    match plot.axis.linear {
        true => round_pressures(plot, &scale, theme, area, buffer),
        false => pressures(&scale, theme, area, buffer),
    }
    if let Some(micron) = plot.target_micron {
        target(plot, micron, &scale, theme, area, buffer);
    }
    if let Some(at_s) = plot.cursor_s {
        let x = picture.x + scale.x(at_s) / 2;
        for y in picture.top()..picture.bottom() {
            buffer[(x, y)].set_char('│').set_style(theme.strong());
        }
    }
    line(plot, &scale, theme, buffer);
    times(plot, &scale, theme, area, buffer);
}

/// Labels and faint lines at round pressures, about one to four rows.
fn round_pressures(plot: &Plot<'_>, scale: &Scale, theme: Theme, area: Rect, buffer: &mut Buffer) {
    let most = f64::from(scale.area.height / 4).max(2.0);
    let least = (scale.high - scale.low) / most;
    let decade = 10_f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|m| m * decade);
    let step = step
        .into_iter()
        .find(|s| *s >= least)
        .unwrap_or(10.0 * decade);
    let digits = (-step.log10().floor()).clamp(0.0, 4.0) as usize;
    let mut value = (scale.low / step).ceil() * step;
    while value <= scale.high {
        let y = scale.area.y + scale.y(value * scale.axis.micron_per_unit) / 4;
        let label = plot.voice.decimals(value, digits);
        let label = format!("{label:>width$}", width = usize::from(LABELS - 1));
        text::put(buffer, area.x, y, LABELS, &label, theme.faint());
        for x in (scale.area.x..scale.area.right()).step_by(4) {
            buffer[(x, y)].set_char('·').set_style(theme.faint());
        }
        value += step;
    }
}

/// Labels and faint lines at the decades.
fn pressures(scale: &Scale, theme: Theme, area: Rect, buffer: &mut Buffer) {
    let decades = scale.low.ceil() as i32..=scale.high.floor() as i32;
    for exponent in decades {
        let y = scale.area.y + scale.y(10_f64.powi(exponent)) / 4;
        let label = match exponent {
            6.. => format!("{}M", 10_u64.pow((exponent - 6).unsigned_abs())),
            3..=5 => format!("{}k", 10_u64.pow((exponent - 3).unsigned_abs())),
            0..=2 => format!("{}", 10_u64.pow(exponent.unsigned_abs())),
            _ => format!("{:.1}", 10_f64.powi(exponent)),
        };
        let label = format!("{label:>width$}", width = usize::from(LABELS - 1));
        text::put(buffer, area.x, y, LABELS, &label, theme.faint());
        for x in (scale.area.x..scale.area.right()).step_by(4) {
            buffer[(x, y)].set_char('·').set_style(theme.faint());
        }
    }
}

fn target(
    plot: &Plot<'_>,
    micron: f64,
    scale: &Scale,
    theme: Theme,
    area: Rect,
    buffer: &mut Buffer,
) {
    let y = scale.area.y + scale.y(micron) / 4;
    for x in scale.area.x..scale.area.right() {
        buffer[(x, y)].set_char('╌').set_style(theme.accent());
    }
    let label = say!(plot.voice, "screen-target-label");
    text::put(buffer, area.x, y, LABELS, &label, theme.accent());
}

/// The curve itself: for every column of points a stroke from its lowest to its highest,
/// joined to the one before unless the gauge was away.
fn line(plot: &Plot<'_>, scale: &Scale, theme: Theme, buffer: &mut Buffer) {
    let mut dots = vec![0_u8; usize::from(scale.area.width) * usize::from(scale.area.height)];
    let mut set = |x: u16, y: u16| {
        /// Bit of a point in a braille sign, by row and column.
        const BITS: [[u8; 2]; 4] = [[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]];
        let cell = usize::from(y / 4) * usize::from(scale.area.width) + usize::from(x / 2);
        if let Some(dots) = dots.get_mut(cell) {
            *dots |= BITS[usize::from(y % 4)][usize::from(x % 2)];
        }
    };
    let mut before: Option<(u16, u16, u16)> = None;
    for column in &plot.curve.columns {
        let (top, bottom) = (scale.y(column.high), scale.y(column.low));
        let x = scale.x(middle(column));
        (top..=bottom).for_each(|y| set(x, y));
        if let Some((x0, top0, bottom0)) = before.filter(|_| !column.broken) {
            let (y0, y1) = (
                f64::from(top0 + bottom0) / 2.0,
                f64::from(top + bottom) / 2.0,
            );
            let span = x.saturating_sub(x0);
            let steps = span.max(y0.max(y1) as u16 - y0.min(y1) as u16).max(1);
            for step in 0..=steps {
                let share = f64::from(step) / f64::from(steps);
                let at = x0 + (share * f64::from(span)).round() as u16;
                set(at, (y0 + share * (y1 - y0)).round() as u16);
            }
        }
        before = Some((x, top, bottom));
    }
    for (i, dots) in dots.iter().enumerate().filter(|(_, dots)| **dots != 0) {
        let (x, y) = (
            i % usize::from(scale.area.width),
            i / usize::from(scale.area.width),
        );
        let place = (scale.area.x + x as u16, scale.area.y + y as u16);
        let sign = char::from_u32(0x2800 + u32::from(*dots)).unwrap_or('*');
        buffer[place].set_char(sign).set_style(theme.curve());
    }
}

fn middle(column: &Column) -> f64 {
    0.5 * (column.from_s + column.to_s)
}

/// The axis of time: round times, and the letters of what was stamped.
fn times(plot: &Plot<'_>, scale: &Scale, theme: Theme, area: Rect, buffer: &mut Buffer) {
    let y = area.bottom() - 1;
    for x in scale.area.x..scale.area.right() {
        buffer[(x, y)].set_char('─').set_style(theme.faint());
    }
    let mut marks: Vec<(u16, char)> = plot
        .marks
        .iter()
        .map(|mark| (scale.area.x + scale.x(mark.at_s) / 2, letter(mark)))
        .collect();
    // where several share a column, the valve is what the hold rests on
    marks.sort_by_key(|(_, letter)| *letter == 'S');
    for (at_s, label) in round_times(scale, &plot.voice) {
        let width = text::width(&label) as u16;
        let x = scale.area.x + scale.x(at_s) / 2;
        let from = x.saturating_sub(width / 2).max(scale.area.x);
        let columns = from..from + width;
        // what was stamped is worth more than a time
        let free = !marks.iter().any(|(x, _)| columns.contains(x));
        if free && columns.end <= scale.area.right() {
            text::put(buffer, from, y, width, &label, theme.faint());
        }
    }
    for (x, letter) in marks {
        buffer[(x, y)].set_char(letter).set_style(theme.strong());
    }
}

/// Round times of the run, far enough apart for their labels.
fn round_times(scale: &Scale, voice: &Voice) -> Vec<(f64, String)> {
    const STEPS_S: [f64; 14] = [
        10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1_200.0, 1_800.0, 3_600.0, 7_200.0, 14_400.0,
        28_800.0, 43_200.0, 86_400.0,
    ];
    const APART: f64 = 14.0;
    let per_column_s = (scale.to_s - scale.from_s) / f64::from(scale.area.width.max(1));
    let fits = |step: &&f64| **step >= APART * per_column_s;
    let step_s = STEPS_S.iter().find(fits).copied().unwrap_or(7.0 * 86_400.0);
    let mut all = Vec::new();
    let mut at_s = ((scale.from_s / step_s).floor() + 1.0) * step_s;
    while at_s <= scale.to_s && all.len() < 64 {
        all.push((at_s, voice.moment(at_s)));
        at_s += step_s;
    }
    all
}

/// The key that stamps it, in capitals.
pub(crate) fn letter(mark: &MarkNow) -> char {
    mark.letter.to_ascii_uppercase()
}
