//! The whole run on a logarithmic pressure axis.

mod beside;
mod canvas;
mod flags;
mod header;
mod overlay;

pub(crate) use overlay::{FIT, drawn_rise, fit_points};

use crate::{
    Sheet,
    sheet::{is_invented, source_name},
};
use layout::{
    Dimensions, Form, ReportError, Trace,
    header::Head,
    labels::{self, ROW, SIZE},
    picture::{Anchor, Dash, Ink, Picture, Rect, Shape, Stroke, Text},
    plot::{Plot, Series},
    scale::{Axis, Tick, log_ticks, time_ticks},
    strokes,
};
use wording::{Voice, one_line, say};

const LEFT: f64 = 70.0;
const GUTTER: f64 = 132.0;
const FOOT: f64 = 38.0;

/// What a curve says of the test it is of.
pub(crate) struct Titled {
    /// What stands above it where it stands alone.
    pub(crate) head: Head,
    /// Name of the picture.
    pub(crate) title: String,
}

/// Lays the curve of an evacuation out.
pub(crate) fn picture(sheet: &Sheet<'_>, form: Form) -> Result<Picture, ReportError> {
    layout(sheet, form).map(|(_, picture)| picture)
}

/// The plot in data coordinates, and the picture with all that lies over it.
pub(crate) fn layout(sheet: &Sheet<'_>, form: Form) -> Result<(Plot, Picture), ReportError> {
    let voice = &sheet.voice();
    let title = say!(
        voice,
        "curve-title",
        source = one_line(source_name(sheet.source), 80),
        verdict = wording::headline(voice, sheet.findings)
    );
    let head = header::of(sheet);
    titled(sheet, form, Titled { head, title })
}

/// The same of any test whose curve is a pull-down and what follows isolation.
pub(crate) fn titled(
    sheet: &Sheet<'_>,
    form: Form,
    Titled { head, title }: Titled,
) -> Result<(Plot, Picture), ReportError> {
    let Dimensions {
        width,
        height,
        flag_rows,
    } = form.dimensions();
    let voice = &sheet.voice();
    let mut shapes = Vec::new();
    let mut texts = Vec::new();
    let header_end = layout::header::write(&head, form, width, (&mut shapes, &mut texts));

    let time = time_axis(sheet);
    let (x0, x1) = (LEFT, width - GUTTER);
    let x_of = |s: f64| x0 + time.fraction(s) * (x1 - x0);
    let flags = labels::flags(
        flags::of(sheet, &time, x_of),
        (x0, width - 8.0),
        flag_rows,
        voice,
    );
    let rows = flags.iter().map(|f| f.row + 1).max().unwrap_or(1);
    #[expect(clippy::cast_precision_loss, reason = "at most six rows")]
    let top = header_end + rows as f64 * ROW + 8.0;
    let (bottom, whole) = match form {
        Form::Standalone => (top + height, top + height + FOOT),
        Form::OnSheet | Form::OnPaper(_) => (height - FOOT, height),
    };

    let plot = plot(sheet, time, Rect::new(x0, top, x1, bottom));
    axes(&plot, voice, (&mut shapes, &mut texts));
    if form != Form::Standalone && is_invented(&sheet.about()) {
        // the sheet has the bar; this stays when the curve is cut out of it
        let words = say!(voice, "invented-short");
        texts.push(Text::new(x1 + 11.0, bottom + 31.0, SIZE, words).bold());
    }
    overlay::draw(sheet, &plot, &flags, (&mut shapes, &mut texts));
    shapes.splice(0..0, plot.shapes("curve")?);
    let picture = Picture {
        width,
        height: whole,
        title,
        description: head.reason,
        shapes,
        texts,
    };
    Ok((plot, picture))
}

/// From the start of the record to its end, whatever knows of it.
fn time_axis(sheet: &Sheet<'_>) -> Axis {
    let ends = sheet.findings.rounds.iter().flat_map(|round| {
        let pulldown = round.pulldown.as_ref().map(|p| p.end_s);
        pulldown
            .into_iter()
            .chain(round.hold.as_ref().map(|h| h.end_s))
    });
    let (start, end) = sheet.trace.extent_s().unwrap_or((0.0, 60.0));
    let others = beside::drawn(sheet).filter_map(|c| c.trace.extent_s());
    let (start, end) = others.fold((start, end), |(a, b), (c, d)| (a.min(c), b.max(d)));
    let end = ends.filter(|s| s.is_finite()).fold(end, f64::max);
    // a record that starts near zero starts at zero
    let start = if start > 0.0 && start < 0.1 * (end - start) {
        0.0
    } else {
        start
    };
    Axis::linear(start, end)
}

fn value_axis(sheet: &Sheet<'_>) -> Axis {
    let criteria = &sheet.findings.criteria;
    let traces = || std::iter::once(sheet.trace).chain(beside::drawn(sheet).map(|c| c.trace));
    let lowest = traces()
        .flat_map(Trace::bins)
        .map(|b| b.min_micron)
        .filter(|m| *m > 0.0)
        .fold(f64::INFINITY, f64::min);
    let highest = traces()
        .filter_map(Trace::range_micron)
        .map(|(_, high)| high)
        .fold(0.0, f64::max);
    let bounds = sheet.trace.spans().iter().filter_map(|s| s.bound_micron);
    let top = bounds.fold(highest, f64::max);
    // a gauge near its zero would otherwise stretch the axis over decades of noise
    let low = (lowest * 0.9).max(1.0).min(criteria.target_micron * 0.75);
    let high = (top * 1.1)
        .max(criteria.ceiling_micron * 1.6)
        .max(criteria.target_micron * 1.6);
    Axis::log(low, high, sheet.voice().unit_micron())
}

fn plot(sheet: &Sheet<'_>, time: Axis, frame: Rect) -> Plot {
    let voice = &sheet.voice();
    let value = value_axis(sheet);
    let (ticks, _) = time_ticks(&time, 10, voice);
    let shades = sheet
        .findings
        .rounds
        .iter()
        .filter_map(|r| r.hold.as_ref())
        .map(|h| (h.isolated_at_s, h.end_s, Ink::HoldTint))
        .collect();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a frame is some hundred pixels wide"
    )]
    let columns = (frame.width() * 1.5) as u32;
    let gaps = &sheet.findings.data.gaps;
    Plot {
        frame,
        time,
        value,
        grid_time: ticks.iter().map(|t| t.value).collect(),
        grid_value: log_ticks(&value, voice)
            .iter()
            .map(|t| (t.value, t.label.is_some()))
            .collect(),
        shades,
        series: Series {
            pieces: strokes::pieces(sheet.trace, gaps, (time.low, time.high), columns),
            ink: Ink::Curve,
            width: 1.15,
        },
        beside: beside::series(sheet, (time.low, time.high), columns),
    }
}

/// Frame, tick labels and units.
fn axes(plot: &Plot, voice: &Voice, (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>)) {
    let f = plot.frame;
    let thin = Stroke::new(Ink::Grey, 0.8, Dash::Solid);
    shapes.push(Shape::line((f.x0, f.y0), (f.x0, f.y1), thin));
    shapes.push(Shape::line((f.x0, f.y1), (f.x1, f.y1), thin));
    for Tick { value, label } in log_ticks(&plot.value, voice) {
        let Some(label) = label else { continue };
        let y = plot.y(value);
        shapes.push(Shape::line((f.x0 - 4.0, y), (f.x0, y), thin));
        texts.push(Text::new(f.x0 - 7.0, y + 3.8, SIZE, label).anchored(Anchor::End));
    }
    texts.push(
        Text::new(f.x0 - 7.0, f.y0 - 12.0, SIZE, voice.unit.symbol())
            .anchored(Anchor::End)
            .bold(),
    );
    let (ticks, unit) = time_ticks(&plot.time, 10, voice);
    for Tick { value, label } in ticks {
        let x = plot.x(value);
        shapes.push(Shape::line((x, f.y1), (x, f.y1 + 4.0), thin));
        texts.extend(label.map(|l| Text::new(x, f.y1 + 16.0, SIZE, l).anchored(Anchor::Middle)));
    }
    texts.push(
        Text::new(
            f.x0,
            f.y1 + 31.0,
            SIZE,
            say!(voice, "axis-since-start", unit = unit),
        )
        .bold(),
    );
    texts.push(
        Text::new(f.x1, f.y1 + 31.0, SIZE, say!(voice, "curve-scale"))
            .ink(Ink::Grey)
            .anchored(Anchor::End),
    );
}

#[cfg(test)]
pub(crate) mod tests;
