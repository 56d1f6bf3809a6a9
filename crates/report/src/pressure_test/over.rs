//! What lies over the panels: the loss and its interval, the loss that is allowed, names.

use layout::{
    ReportError, flags,
    labels::{FreeSpace, PlacedFlag, SIZE, spread},
    picture::{Anchor, Dash, Ink, Shape, Stroke, Text},
    plot::Plot,
};
use wording::{Voice, say};

use super::{
    TestSheet,
    panels::{GUTTER, bar_of_unit, values},
    series::Fan,
};
use crate::curve::FIT;

/// The panel of the pressure with what lies over it.
pub(super) fn draw(
    sheet: &TestSheet<'_>,
    plot: &Plot,
    (fan, flags, over_temperature): (Option<Fan>, &[PlacedFlag], bool),
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) -> Result<(), ReportError> {
    let voice = &sheet.about.voice();
    let f = plot.frame;
    let mut below = plot.shapes("curve")?;
    let line = below.split_off(below.len().saturating_sub(plot.series.pieces.len()));
    // over the shading, under the grid
    let band = fan.and_then(|fan| band(plot, &fan));
    if let Some(band) = band {
        below.insert(plot.shades.len(), band);
    }
    shapes.extend(below);
    let mut room = FreeSpace::of(plot);
    for series in &plot.beside {
        for piece in &series.pieces {
            let points = piece
                .iter()
                .map(|(t, p)| (plot.x(plot.time.inside(*t)), plot.y(*p)));
            shapes.push(Shape::Path {
                points: points.collect(),
                stroke: Stroke::new(series.ink, series.width, Dash::Solid),
            });
        }
    }
    shapes.extend(line);
    values(
        plot,
        (voice.test_symbol(), bar_of_unit(voice)),
        12.0,
        voice,
        (shapes, texts),
    );
    if over_temperature {
        let thin = Stroke::new(Ink::Grey, 0.8, Dash::Solid);
        shapes.push(Shape::line((f.x0, f.y1), (f.x1, f.y1), thin));
    }
    if let Some(fan) = fan {
        lines(plot, &fan, &mut room, shapes);
    }
    gutter(sheet, plot, fan, (shapes, texts));
    for flag in flags.iter().filter(|f| f.flag.strong) {
        room.line((flag.flag.x, f.y0), (flag.flag.x, f.y1));
    }
    flags::draw(plot, flags, |x| room.curve_top(x, x), (shapes, texts));
    names(sheet, plot, fan, &mut room, texts);
    Ok(())
}

/// Where the pressure may be if the loss lies in its interval.
fn band(plot: &Plot, fan: &Fan) -> Option<Shape> {
    let (low, high) = fan.interval?;
    let mut corners: Vec<(f64, f64)> = along(fan, low).collect();
    let back: Vec<(f64, f64)> = along(fan, high).collect();
    corners.extend(back.into_iter().rev());
    let placed = corners
        .into_iter()
        .map(|(t, p)| (plot.x(plot.time.inside(t)), plot.y(plot.value.inside(p))));
    Some(Shape::Area {
        points: placed.collect(),
        fill: Ink::BandTint,
    })
}

/// Points of the pressure with this loss, (s, bar).
fn along(fan: &Fan, share: f64) -> impl Iterator<Item = (f64, f64)> {
    const PARTS: u32 = 40;
    let fan = *fan;
    (0..=PARTS).map(move |i| {
        let at_s = fan.from_s + (fan.to_s - fan.from_s) * f64::from(i) / f64::from(PARTS);
        (at_s, fan.bar(share, at_s))
    })
}

/// The loss as it was found, and the one that is allowed.
fn lines(plot: &Plot, fan: &Fan, room: &mut FreeSpace, shapes: &mut Vec<Shape>) {
    let allowed = Stroke::new(Ink::Black, 1.0, Dash::Long);
    for (share, stroke) in [(fan.found, FIT), (fan.allowed, allowed)] {
        let Some(share) = share else { continue };
        let points = inside(plot, fan, share);
        for pair in points.windows(2) {
            room.line(pair[0], pair[1]);
        }
        if points.len() > 1 {
            shapes.push(Shape::Path { points, stroke });
        }
    }
}

/// The part of the pressure with this loss that lies in the frame, px.
fn inside(plot: &Plot, fan: &Fan, share: f64) -> Vec<(f64, f64)> {
    let held = along(fan, share).take_while(|(_, bar)| plot.value.holds(*bar));
    held.map(|(s, bar)| (plot.x(s), plot.y(bar))).collect()
}

/// What the lines end at, beside the plot.
fn gutter(
    sheet: &TestSheet<'_>,
    plot: &Plot,
    fan: Option<Fan>,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let Some(decay) = sheet.findings.decay else {
        return;
    };
    let voice = &sheet.about.voice();
    let f = plot.frame;
    let mut labels = vec![(decay.end_bar_abs, say!(voice, "test-curve-raw"))];
    if let (Some(corrected), Some(c)) = (decay.corrected_end_bar_abs, decay.start_c) {
        let c = voice.decimals(c, 1);
        labels.push((corrected, say!(voice, "test-curve-corrected", c = c)));
    }
    let allowed = fan.and_then(|fan| Some(fan.bar(fan.allowed?, fan.to_s)));
    labels.extend(allowed.map(|bar| (bar, say!(voice, "test-curve-allowed"))));
    labels.retain(|(bar, _)| plot.value.holds(*bar));
    let wanted: Vec<f64> = labels.iter().map(|(bar, _)| plot.y(*bar)).collect();
    let heights = vec![28.0; labels.len()];
    let centres = spread(&wanted, &heights, f.y0 - 4.0, f.y1 + 8.0);
    for (((bar, words), y), centre) in labels.into_iter().zip(wanted).zip(centres) {
        let leader = Stroke::new(Ink::Grey, 0.7, Dash::Solid);
        shapes.push(Shape::line((f.x1 + 1.0, y), (f.x1 + 8.0, centre), leader));
        let x = f.x1 + 11.0;
        let words = layout::text::fit(&words, GUTTER - 13.0, SIZE, false);
        texts.push(Text::new(x, centre - 2.0, SIZE, words).ink(Ink::Grey));
        texts.push(Text::new(x, centre + 11.0, SIZE, voice.test_pressure(bar)).bold());
    }
}

pub(super) fn last_temperature(
    plot: &Plot,
    voice: &Voice,
    (shapes, texts): (&mut Vec<Shape>, &mut Vec<Text>),
) {
    let Some((_, c)) = plot.series.pieces.iter().flatten().last() else {
        return;
    };
    let f = plot.frame;
    let y = plot.y(*c);
    let centre = y.clamp(f.y0 + 10.0, (f.y1 - 4.0).max(f.y0 + 10.0));
    let leader = Stroke::new(Ink::Grey, 0.7, Dash::Solid);
    shapes.push(Shape::line((f.x1 + 1.0, y), (f.x1 + 8.0, centre), leader));
    let x = f.x1 + 11.0;
    let words = say!(voice, "test-curve-temperature");
    texts.push(Text::new(x, centre - 2.0, SIZE, words).ink(Ink::Grey));
    let value = format!("{} °C", voice.decimals(*c, 1));
    texts.push(Text::new(x, centre + 11.0, SIZE, value).bold());
}

/// Names of the hold, of the heat of filling and of the dashed line.
fn names(
    sheet: &TestSheet<'_>,
    plot: &Plot,
    fan: Option<Fan>,
    room: &mut FreeSpace,
    texts: &mut Vec<Text>,
) {
    let Some(decay) = sheet.findings.decay else {
        return;
    };
    let voice = &sheet.about.voice();
    let f = plot.frame;
    let time = voice.held(decay.end_s - decay.shut_at_s);
    let (from, to) = (plot.x(decay.shut_at_s), plot.x(decay.end_s));
    let hold = Text::new(
        0.5 * (from + to),
        f.y0 + 14.0,
        SIZE,
        say!(voice, "test-curve-hold", time = time),
    );
    let hold = hold.anchored(Anchor::Middle).bold();
    texts.extend(room.settle(hold, 220.0, 120.0));
    if let Some((fan, (low, high))) = fan.and_then(|fan| Some((fan, fan.interval?))) {
        let at_s = 0.5 * (fan.from_s + fan.to_s);
        let (x, y) = (plot.x(at_s), plot.y(fan.bar(0.5 * (low + high), at_s)));
        let id = match fan.found {
            Some(_) => "test-curve-fit",
            None => "test-curve-band",
        };
        let text = Text::new(x, y + 22.0, SIZE, say!(voice, id))
            .anchored(Anchor::Middle)
            .ink(Ink::Fit);
        texts.extend(room.settle(text, 260.0, 160.0));
    }
    // beside the plot where it ends in the frame
    let leaves = fan.and_then(|fan| {
        let share = fan.allowed?;
        let points = inside(plot, &fan, share);
        let last = points.last().copied()?;
        (!plot.value.holds(fan.bar(share, fan.to_s))).then_some(last)
    });
    if let Some((x, y)) = leaves {
        let text = Text::new(x + 8.0, y - 6.0, SIZE, say!(voice, "test-curve-allowed"));
        texts.extend(room.settle(text, 160.0, 90.0));
    }
    let settled = decay
        .settled_at_s
        .filter(|s| plot.x(*s) - from > 3.0)
        .or_else(|| decay.settled_at_s.is_none().then_some(decay.end_s));
    if let Some(settled) = settled {
        let middle = 0.5 * (from + plot.x(settled));
        let text = Text::new(middle, f.y1 - 8.0, SIZE, say!(voice, "test-curve-filling"))
            .anchored(Anchor::Middle)
            .ink(Ink::Grey);
        texts.extend(room.settle(text, 130.0, 60.0));
    }
}
