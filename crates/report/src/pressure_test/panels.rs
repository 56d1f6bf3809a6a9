//! The panels of the curve: pressure above, temperature below, with their axes.

use findings::Decay;
use layout::{
    labels::SIZE,
    picture::{Anchor, Dash, Ink, Rect, Shape, Stroke, Text},
    plot::{Plot, Series},
    scale::{Axis, Tick, linear_around, ticks_in, time_ticks},
};
use vacuum::PressureUnit;
use wording::{Voice, say};

use super::{
    TestSheet,
    series::{self, Fan, Pieces},
};

/// Right of the panels, px: what the lines end at stands there.
pub(super) const GUTTER: f64 = 132.0;
/// Least span of the pressure axis, share of the pressure: noise alone fills no frame.
const LEAST_SPAN: f64 = 5e-4;
/// Least span of the temperature axis, K.
const LEAST_SPAN_K: f64 = 1.0;

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a frame is some hundred pixels wide"
)]
pub(super) fn columns(width: f64) -> u32 {
    (width * 1.5) as u32
}

/// About so many steps have room on an axis of this height.
fn steps(frame: &Rect) -> u32 {
    whole(frame.height() / 34.0).clamp(2, 8)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a frame is some hundred pixels high"
)]
fn whole(count: f64) -> u32 {
    count.max(1.0) as u32
}

/// The ticks of an axis that was made to end on them.
fn ticks(frame: &Rect, axis: &Axis, unit: f64, voice: &Voice) -> Vec<Tick> {
    // rounded out by a step at either end, the axis has more of them
    let most = whole(frame.height() / 17.0);
    ticks_in(axis, (2 * steps(frame)).min(most), unit, voice)
}

pub(super) fn pressure_plot(
    sheet: &TestSheet<'_>,
    time: Axis,
    fan: Option<Fan>,
    frame: Rect,
) -> Plot {
    let voice = &sheet.about.voice();
    let times = (time.low, time.high);
    let columns = columns(frame.width());
    let raw = series::raw(sheet, times, columns);
    let corrected = series::corrected(sheet, times, columns);
    let has_corrected = !corrected.is_empty();
    let unit = bar_of_unit(voice);
    let value = value_axis(
        sheet.findings.decay.as_ref(),
        fan,
        [&raw, &corrected],
        (steps(&frame), unit),
    );
    // what the scale leaves out cuts the line
    let inside = |pieces: Pieces| -> Pieces {
        let parts = pieces.into_iter().flat_map(|piece| {
            piece
                .split(|(_, p)| !value.holds(*p))
                .filter(|part| !part.is_empty())
                .map(<[_]>::to_vec)
                .collect::<Vec<_>>()
        });
        parts.collect()
    };
    let (main, beside) = match has_corrected {
        true => (corrected, vec![raw]),
        false => (raw, Vec::new()),
    };
    let (ticks, _) = time_ticks(&time, 10, voice);
    Plot {
        frame,
        time,
        value,
        grid_time: ticks.iter().map(|t| t.value).collect(),
        grid_value: grid(&frame, &value, unit, voice),
        shades: shades(sheet),
        series: Series {
            pieces: inside(main),
            ink: Ink::Curve,
            width: 1.3,
        },
        beside: beside
            .into_iter()
            .map(|pieces| Series {
                pieces: inside(pieces),
                ink: Ink::Grey,
                width: 0.8,
            })
            .collect(),
    }
}

pub(super) fn temperature_plot(
    sheet: &TestSheet<'_>,
    time: Axis,
    pieces: Pieces,
    frame: Rect,
) -> Plot {
    let voice = &sheet.about.voice();
    let (low, high) = range(pieces.iter().flatten().map(|(_, c)| *c));
    let lack = 0.5 * (LEAST_SPAN_K - (high - low)).max(0.0);
    let value = linear_around(low - lack, high + lack, steps(&frame), 1.0);
    let (times, _) = time_ticks(&time, 10, voice);
    Plot {
        frame,
        time,
        value,
        grid_time: times.iter().map(|t| t.value).collect(),
        grid_value: grid(&frame, &value, 1.0, voice),
        shades: shades(sheet),
        series: Series {
            pieces,
            ink: Ink::Fit,
            width: 1.1,
        },
        beside: Vec::new(),
    }
}

fn grid(frame: &Rect, axis: &Axis, unit: f64, voice: &Voice) -> Vec<(f64, bool)> {
    let ticks = ticks(frame, axis, unit, voice).into_iter();
    ticks.map(|t| (t.value, true)).collect()
}

/// Bar in one of the unit that pressures are given in.
pub(super) fn bar_of_unit(voice: &Voice) -> f64 {
    voice.test_unit().pa() / PressureUnit::Bar.pa()
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
        (low.min(v), high.max(v))
    })
}

/// The filling, then the hold; the hold from where the heat of filling is gone.
fn shades(sheet: &TestSheet<'_>) -> Vec<(f64, f64, Ink)> {
    let Some(decay) = sheet.findings.decay else {
        return Vec::new();
    };
    let settled = decay.settled_at_s.unwrap_or(decay.end_s);
    vec![
        (decay.shut_at_s, settled, Ink::SettleTint),
        (settled, decay.end_s, Ink::HoldTint),
    ]
}

/// Covers the settled hold and what the loss makes of it; the heat of filling too where it
/// does not flatten the rest.
fn value_axis(
    decay: Option<&Decay>,
    fan: Option<Fan>,
    lines: [&Pieces; 2],
    (ticks, unit): (u32, f64),
) -> Axis {
    let between = |from: f64, to: f64| {
        let points = lines.into_iter().flatten().flatten();
        range(points.filter(|(t, _)| *t >= from && *t <= to).map(|p| p.1))
    };
    let (mut low, mut high) = match decay {
        Some(decay) => between(decay.settled_at_s.unwrap_or(decay.shut_at_s), decay.end_s),
        None => between(f64::NEG_INFINITY, f64::INFINITY),
    };
    if !(low.is_finite() && high.is_finite()) {
        return Axis::linear(0.0, 10.0);
    }
    if let Some(decay) = decay {
        let (all_low, all_high) = between(decay.shut_at_s, decay.end_s);
        if all_high - all_low < 2.5 * (high - low) {
            (low, high) = (low.min(all_low), high.max(all_high));
        }
    }
    if let Some(fan) = fan {
        let room = high - low;
        let ends = fan.shares().map(|share| fan.bar(share, fan.to_s));
        let (least, most) = range(ends);
        // a wide interval must not flatten the curve
        low = low.min(least.max(low - 0.7 * room));
        high = high.max(most.min(high + 0.7 * room));
    }
    let lack = 0.5 * (LEAST_SPAN * high - (high - low)).max(0.0);
    linear_around(low - lack, high + lack, ticks, unit)
}

/// Ticks, their labels and the unit of the upright axis, the unit so far above the frame.
pub(super) fn values(
    plot: &Plot,
    (symbol, unit): (&str, f64),
    above: f64,
    voice: &Voice,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let f = plot.frame;
    let thin = Stroke::new(Ink::Grey, 0.8, Dash::Solid);
    shapes.push(Shape::line((f.x0, f.y0), (f.x0, f.y1), thin));
    for Tick { value, label } in ticks(&f, &plot.value, unit, voice) {
        let Some(label) = label else { continue };
        let y = plot.y(value);
        shapes.push(Shape::line((f.x0 - 4.0, y), (f.x0, y), thin));
        texts.push(Text::new(f.x0 - 7.0, y + 3.8, SIZE, label).anchored(Anchor::End));
    }
    texts.push(
        Text::new(f.x0 - 7.0, f.y0 - above, SIZE, symbol)
            .anchored(Anchor::End)
            .bold(),
    );
}

/// The axis of time, below the lowest panel; `low` is where the axis of pressure begins.
pub(super) fn times(
    plot: &Plot,
    (sheet, low): (&TestSheet<'_>, f64),
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let voice = &sheet.about.voice();
    let f = plot.frame;
    let thin = Stroke::new(Ink::Grey, 0.8, Dash::Solid);
    shapes.push(Shape::line((f.x0, f.y1), (f.x1, f.y1), thin));
    let (ticks, unit) = time_ticks(&plot.time, 10, voice);
    for Tick { value, label } in ticks {
        let x = plot.x(value);
        shapes.push(Shape::line((x, f.y1), (x, f.y1 + 4.0), thin));
        texts.extend(label.map(|l| Text::new(x, f.y1 + 16.0, SIZE, l).anchored(Anchor::Middle)));
    }
    let y = f.y1 + 31.0;
    let words = say!(voice, "axis-since-start", unit = unit);
    texts.push(Text::new(f.x0, y, SIZE, words).bold());
    let decay = sheet.findings.decay;
    let cold = decay.is_some_and(|d| d.start_c.is_none());
    // one of them has room beside the axis in every language
    let note = match (cold, low > 0.0) {
        (true, _) => Some("test-curve-no-temperature"),
        (false, true) => Some("test-curve-scale"),
        (false, false) => None,
    };
    texts.extend(note.map(|id| {
        let text = Text::new(f.x1, y, SIZE, say!(voice, id)).ink(Ink::Grey);
        text.anchored(Anchor::End)
    }));
}
