//! The hold alone, on a linear scale, with the fitted rise.

use findings::Hold;
use vacuum::ReadingState;
use wording::{Shown, Voice, say};

use crate::{
    Sheet,
    curve::{FIT, drawn_rise, fit_points},
};
use layout::{
    ReportError,
    font::width_on_screen,
    labels::{FreeSpace, spread},
    picture::{Anchor, Dash, Ink, Picture, Rect, Shape, Stroke, Text},
    plot::{Plot, Series},
    scale::{Axis, Tick, linear_around, linear_ticks, time_ticks},
    strokes,
    text::wrap,
};

const WIDTH: f64 = 400.0;
const HEIGHT: f64 = 215.0;
/// Right end of the plot, and where values in two units stand beside it.
const RIGHT: f64 = 308.0;
const RIGHT_OF_BOTH: f64 = 284.0;
const SIZE: f64 = 10.0;

/// Lays out the judged hold; `None` when there is none.
pub(crate) fn picture(sheet: &Sheet<'_>) -> Result<Option<Picture>, ReportError> {
    Ok(layout(sheet)?.map(|(_, picture)| picture))
}

/// The plot in data coordinates, and the picture with all that lies over it.
pub(crate) fn layout(sheet: &Sheet<'_>) -> Result<Option<(Plot, Picture)>, ReportError> {
    let Some(hold) = sheet.findings.judged_hold() else {
        return Ok(None);
    };
    let ceiling = sheet.findings.criteria.ceiling_micron;
    let voice = &sheet.voice();
    let plot = plot(sheet, hold, ceiling);
    let mut shapes = Vec::new();
    let mut texts = Vec::new();
    heading(voice, hold, &mut texts);
    axes(&plot, voice, (&mut shapes, &mut texts));
    let mut room = FreeSpace::of(&plot);
    let limits = (hold, ceiling);
    levels(voice, limits, &plot, &mut room, (&mut shapes, &mut texts));
    over_range(sheet, hold, &plot, &mut room, (&mut shapes, &mut texts));
    rise(voice, hold, &plot, &mut room, (&mut shapes, &mut texts));
    shapes.splice(0..0, plot.shapes("close-up of the hold")?);
    let picture = Picture {
        width: WIDTH,
        height: HEIGHT,
        title: say!(voice, "close-title"),
        description: wording::hold_sentence(voice, hold),
        shapes,
        texts,
    };
    Ok(Some((plot, picture)))
}

fn plot(sheet: &Sheet<'_>, hold: &Hold, ceiling: f64) -> Plot {
    let (start, end) = (hold.isolated_at_s, hold.end_s.max(hold.isolated_at_s + 1.0));
    let gaps = &sheet.findings.data.gaps;
    let pieces = strokes::pieces(sheet.trace, gaps, (start, end), 380);
    let settled = hold.settled_at_s.clamp(start, end);
    let voice = &sheet.voice();
    let value = value_axis(&pieces, hold, settled, (ceiling, voice.unit_micron()));
    // time counts from isolation; what the scale leaves out cuts the line
    let pieces = pieces
        .into_iter()
        .flat_map(|piece| {
            piece
                .split(|(t, p)| *t < start || *t > end || !value.holds(*p))
                .filter(|part| !part.is_empty())
                .map(|part| part.iter().map(|(t, p)| (t - start, *p)).collect())
                .collect::<Vec<Vec<(f64, f64)>>>()
        })
        .collect();
    let time = Axis::linear(0.0, end - start);
    let right = if voice.has_both() {
        RIGHT_OF_BOTH
    } else {
        RIGHT
    };
    Plot {
        frame: Rect::new(50.0, 64.0, right, 182.0),
        time,
        value,
        grid_time: time_ticks(&time, 6, voice)
            .0
            .iter()
            .map(|t| t.value)
            .collect(),
        grid_value: linear_ticks(&value, 7, voice)
            .iter()
            .map(|t| (t.value, true))
            .collect(),
        shades: vec![(0.0, settled - start, Ink::SettleTint)],
        series: Series {
            pieces,
            ink: Ink::Curve,
            width: 1.0,
        },
        beside: Vec::new(),
    }
}

/// Covers the settled hold; the equalisation before it too when it does not
/// flatten the rest, and the ceiling when it is near.
fn value_axis(
    pieces: &[Vec<(f64, f64)>],
    hold: &Hold,
    settled_s: f64,
    (ceiling, unit): (f64, f64),
) -> Axis {
    let range = |from: f64| {
        let points = pieces.iter().flatten().filter(|(t, _)| *t >= from);
        points.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (_, p)| {
            (low.min(*p), high.max(*p))
        })
    };
    let (mut low, mut high) = range(settled_s);
    for p in [hold.start_micron, hold.end_micron].into_iter().flatten() {
        low = low.min(p);
        high = high.max(p);
    }
    let (all_low, all_high) = range(f64::NEG_INFINITY);
    if all_high - all_low < 4.0 * (high - low) {
        (low, high) = (low.min(all_low), high.max(all_high));
    }
    if !(low.is_finite() && high.is_finite()) {
        return Axis::linear(0.0, ceiling.max(1.0));
    }
    if ceiling >= low && ceiling - high < 0.8 * (high - low) {
        high = high.max(ceiling * 1.01);
    }
    // noise alone is not worth filling the frame
    let least = (0.1 * high).max(10.0);
    let lack = 0.5 * (least - (high - low)).max(0.0);
    linear_around((low - lack).max(0.0), high + lack, 5, unit)
}

fn heading(voice: &Voice, hold: &Hold, texts: &mut Vec<Text>) {
    texts.push(Text::new(8.0, 13.0, 11.0, say!(voice, "close-heading")).bold());
    // where not all fits the line, the rest stands in the list beside the picture
    let fits = |line: &String| width_on_screen(line, SIZE, false) <= WIDTH - 16.0;
    let cause = Some(wording::cause_and_rate(voice, hold))
        .filter(fits)
        .unwrap_or_else(|| wording::sentence(&wording::cause_words(voice, &hold.rise)));
    let sight = |rate: String| say!(voice, "close-sight", limit = rate);
    let limit = wording::detection_limit(hold).map(|limit| {
        let shown = voice.rate_shown(limit, 2);
        let micron = shown.micron.clone();
        Some(sight(shown.into()))
            .filter(fits)
            .unwrap_or_else(|| sight(micron.unwrap_or_else(|| voice.rate(limit, 2))))
    });
    let mut y = 27.0;
    for sentence in [Some(cause), limit].into_iter().flatten() {
        for line in wrap(&sentence, WIDTH - 16.0, SIZE, false, 1) {
            texts.push(Text::new(8.0, y, SIZE, line));
            y += 13.0;
        }
    }
}

fn axes(plot: &Plot, voice: &Voice, (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>)) {
    let f = plot.frame;
    let thin = Stroke::new(Ink::Grey, 0.8, Dash::Solid);
    shapes.push(Shape::line((f.x0, f.y0), (f.x0, f.y1), thin));
    shapes.push(Shape::line((f.x0, f.y1), (f.x1, f.y1), thin));
    for Tick { value, label } in linear_ticks(&plot.value, 7, voice) {
        let y = plot.y(value);
        shapes.push(Shape::line((f.x0 - 3.0, y), (f.x0, y), thin));
        texts.extend(label.map(|l| Text::new(f.x0 - 6.0, y + 3.5, SIZE, l).anchored(Anchor::End)));
    }
    let (ticks, unit) = time_ticks(&plot.time, 6, voice);
    for Tick { value, label } in ticks {
        let x = plot.x(value);
        shapes.push(Shape::line((x, f.y1), (x, f.y1 + 3.0), thin));
        texts.extend(label.map(|l| Text::new(x, f.y1 + 14.0, SIZE, l).anchored(Anchor::Middle)));
    }
    let words = say!(voice, "axis-since-isolation", unit = unit);
    texts.push(Text::new(f.x0, f.y1 + 28.0, SIZE, words).bold());
    let unit = voice.unit.symbol();
    // over the numbers, and on the picture
    let right = (f.x0 - 6.0).max(width_on_screen(unit, SIZE, true) + 2.0);
    texts.push(
        Text::new(right, f.y0 - 11.0, SIZE, unit)
            .anchored(Anchor::End)
            .bold(),
    );
}

/// Ceiling line and the values at both ends, named in the gutter.
fn levels(
    voice: &Voice,
    (hold, ceiling): (&Hold, f64),
    plot: &Plot,
    room: &mut FreeSpace,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let f = plot.frame;
    let mut labels: Vec<(f64, Shown, &str)> = Vec::new();
    if plot.value.holds(ceiling) {
        labels.push((ceiling, voice.limit_shown(ceiling), "close-ceiling"));
        let y = plot.y(ceiling);
        let stroke = Stroke::new(Ink::Black, 1.0, Dash::Mixed);
        shapes.push(Shape::line((f.x0, y), (f.x1, y), stroke));
        room.line((f.x0, y), (f.x1, y));
    }
    if let Some(end) = hold.end_micron {
        labels.push((end, voice.pressure_shown(end), "close-end"));
    }
    if let Some(start) = hold.start_micron {
        labels.push((start, voice.pressure_shown(start), "close-settled"));
    }
    let wanted: Vec<f64> = labels.iter().map(|(p, ..)| plot.y(*p)).collect();
    // another unit has micron on a line of its own
    let third = if voice.has_both() { 11.5 } else { 0.0 };
    let heights = vec![25.0 + third; labels.len()];
    let top = if voice.has_both() { 1.0 } else { -4.0 };
    let centres = spread(&wanted, &heights, f.y0 + top, f.y1 + 4.0);
    for (((_, shown, id), y), centre) in labels.into_iter().zip(wanted).zip(centres) {
        let leader = Stroke::new(Ink::Grey, 0.7, Dash::Solid);
        shapes.push(Shape::line((f.x1 + 1.0, y), (f.x1 + 7.0, centre), leader));
        let (x, y) = (f.x1 + 9.0, centre - 0.5 * third);
        texts.push(Text::new(x, y - 2.0, SIZE, say!(voice, id)).ink(Ink::Grey));
        texts.push(Text::new(x, y + 9.5, SIZE, shown.chosen).bold());
        let micron = shown.micron.map(|m| Text::new(x, y + 21.0, SIZE, m));
        texts.extend(micron);
    }
    if !plot.value.holds(ceiling) {
        let words = say!(voice, "close-off-scale", ceiling = voice.limit(ceiling));
        // two units need the room above the values too
        let right = if voice.has_both() { WIDTH - 6.0 } else { f.x1 };
        let note = Text::new(right, f.y0 - 4.0, 9.0, words)
            .anchored(Anchor::End)
            .ink(Ink::Grey);
        texts.push(note);
    }
}

/// Where the gauge was above its range: a bar at the bound, as on the curve.
fn over_range(
    sheet: &Sheet<'_>,
    hold: &Hold,
    plot: &Plot,
    room: &mut FreeSpace,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let x_of = |s: f64| plot.x(s.clamp(hold.isolated_at_s, hold.end_s) - hold.isolated_at_s);
    let mut widest: Option<(f64, f64, f64)> = None;
    for span in sheet.trace.spans() {
        let bound = span.bound_micron.filter(|p| plot.value.holds(*p));
        let (x0, x1) = (x_of(span.start_s), x_of(span.end_s));
        let (Some(bound), true) = (bound, span.state == ReadingState::Over && x1 > x0) else {
            continue;
        };
        let y = plot.y(bound);
        let heavy = Stroke::new(Ink::Black, 2.0, Dash::Short);
        shapes.push(Shape::line((x0, y), (x1, y), heavy));
        room.take(Rect::new(x0, y - 1.0, x1, y + 1.0));
        if widest.is_none_or(|(a, b, _)| x1 - x0 > b - a) {
            widest = Some((x0, x1, y));
        }
    }
    if let Some((x0, x1, y)) = widest {
        let middle = 0.5 * (x0 + x1);
        let words = say!(sheet.voice(), "curve-over");
        let text = Text::new(middle, y + 13.0, SIZE, words).anchored(Anchor::Middle);
        texts.extend(room.settle(text, 100.0, 60.0));
    }
}

/// The fitted rise and the names of what is seen.
fn rise(
    voice: &Voice,
    hold: &Hold,
    plot: &Plot,
    room: &mut FreeSpace,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let f = plot.frame;
    let settled_x = plot.x(hold.settled_at_s - hold.isolated_at_s);
    if settled_x - f.x0 > 3.0 {
        room.line((settled_x, f.y0), (settled_x, f.y1));
        let words = say!(voice, "close-equalisation");
        let text = Text::new(0.5 * (f.x0 + settled_x), f.y0 + 11.0, 9.0, words)
            .anchored(Anchor::Middle)
            .ink(Ink::Grey);
        texts.extend(room.settle(text, 60.0, 100.0));
    }
    let Some(curve) = drawn_rise(hold) else {
        return;
    };
    let points = fit_points(curve, |t, p| (plot.x(t - hold.isolated_at_s), plot.y(p)));
    for pair in points.windows(2) {
        room.line(pair[0], pair[1]);
    }
    let middle = points.get(points.len() / 2).copied();
    shapes.push(Shape::Path {
        points,
        stroke: FIT,
    });
    if let Some((x, y)) = middle {
        let text = Text::new(x, y - 9.0, SIZE, say!(voice, "curve-fit"))
            .anchored(Anchor::Middle)
            .ink(Ink::Fit);
        texts.extend(room.settle(text, 120.0, 120.0));
    }
}
