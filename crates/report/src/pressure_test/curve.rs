//! The curve of a pressure test: pressure as measured and corrected above, temperature below.

use findings::DecayNotice;
use layout::{
    Dimensions, Form, ReportError,
    header::{self, Head},
    labels::{self, Flag, ROW, SIZE},
    picture::{Picture, Rect, Text},
    plot::Plot,
    scale::Axis,
};
use vacuum::MarkKind;
use wording::{one_line, say};

use super::{
    TestSheet, over, panels,
    series::{self, Fan},
};
use crate::{
    contents::record::mark_words,
    sheet::{identity, is_invented, source_name},
};

const LEFT: f64 = 70.0;
const FOOT: f64 = 38.0;
/// Between the panels, px: the unit of the lower one stands there.
const BETWEEN: f64 = 27.0;
/// Share of the height that the pressure takes.
const PRESSURE_SHARE: f64 = 0.68;
/// Height of both panels where the picture stands alone, px.
const STANDALONE: f64 = 410.0;
/// So much of the hold is shown before and after it, at most.
const AROUND: f64 = 0.12;

/// Both panels in data coordinates, and what lies over them.
pub(crate) struct Laid {
    /// Pressure, and temperature where it was measured.
    #[cfg_attr(
        not(test),
        expect(dead_code, reason = "tests look for words on a line")
    )]
    pub(crate) plots: Vec<Plot>,
    pub(crate) picture: Picture,
}

/// Lays the curve out.
pub(crate) fn picture(sheet: &TestSheet<'_>, form: Form) -> Result<Picture, ReportError> {
    layout(sheet, form).map(|laid| laid.picture)
}

/// The panels, and the picture with all that lies over them.
pub(crate) fn layout(sheet: &TestSheet<'_>, form: Form) -> Result<Laid, ReportError> {
    let Dimensions {
        width,
        height,
        flag_rows,
    } = form.dimensions();
    let about = &sheet.about;
    let voice = &about.voice();
    let (mut shapes, mut texts) = (Vec::new(), Vec::new());
    let head = head(sheet);
    let header_end = header::write(&head, form, width, (&mut shapes, &mut texts));

    let time = time_axis(sheet);
    let (x0, x1) = (LEFT, width - panels::GUTTER);
    let x_of = |s: f64| x0 + time.fraction(s) * (x1 - x0);
    let flags = labels::flags(
        flags_of(sheet, &time, x_of),
        (x0, width - 8.0),
        flag_rows,
        voice,
    );
    let rows = flags.iter().map(|f| f.row + 1).max().unwrap_or(1);
    #[expect(clippy::cast_precision_loss, reason = "at most six rows")]
    let top = header_end + rows as f64 * ROW + 8.0;
    let (bottom, whole) = match form {
        Form::Standalone => (top + STANDALONE, top + STANDALONE + FOOT),
        Form::OnSheet | Form::OnPaper(_) => (height - FOOT, height),
    };
    let fan = Fan::of(sheet);
    let warm = series::temperature(sheet, (time.low, time.high), panels::columns(x1 - x0));
    let is_warm = warm.iter().any(|piece| !piece.is_empty());
    let split = match is_warm {
        true => top + PRESSURE_SHARE * (bottom - top - BETWEEN),
        false => bottom,
    };
    let upper = panels::pressure_plot(sheet, time, fan, Rect::new(x0, top, x1, split));
    let lower = is_warm.then(|| {
        panels::temperature_plot(
            sheet,
            time,
            warm,
            Rect::new(x0, split + BETWEEN, x1, bottom),
        )
    });

    over::draw(
        sheet,
        &upper,
        (fan, &flags, lower.is_some()),
        (&mut shapes, &mut texts),
    )?;
    if let Some(lower) = &lower {
        shapes.extend(lower.shapes("curve")?);
        panels::values(
            lower,
            ("°C", 1.0),
            BETWEEN - 18.0,
            voice,
            (&mut shapes, &mut texts),
        );
        over::last_temperature(lower, voice, (&mut shapes, &mut texts));
    }
    let lowest = lower.as_ref().unwrap_or(&upper);
    panels::times(lowest, (sheet, upper.value.low), (&mut shapes, &mut texts));
    if form != Form::Standalone && is_invented(about) {
        // the sheet has the bar; this stays when the curve is cut out of it
        let words = say!(voice, "invented-short");
        texts.push(Text::new(x1 + 11.0, bottom + 31.0, SIZE, words).bold());
    }
    let picture = Picture {
        width,
        height: whole,
        title: say!(
            voice,
            "test-curve-title",
            source = one_line(source_name(about.source), 80),
            verdict = head.verdict_words
        ),
        description: head.reason,
        shapes,
        texts,
    };
    Ok(Laid {
        plots: std::iter::once(upper).chain(lower).collect(),
        picture,
    })
}

/// What stands above a curve that stands alone.
fn head(sheet: &TestSheet<'_>) -> Head {
    let voice = &sheet.about.voice();
    let found = sheet.findings;
    let summary = found.decay.map(|decay| {
        say!(
            voice,
            "test-summary",
            from = voice.test_pressure(decay.start_bar_abs),
            to = voice.test_pressure(decay.end_bar_abs),
            time = voice.held(decay.end_s - decay.shut_at_s),
            loss = super::measured::loss(voice, &decay)
        )
    });
    let sight = sheet
        .sight()
        .map(|limit| say!(voice, "test-sight", limit = voice.throughput(limit)));
    Head {
        voice: *voice,
        invented: is_invented(&sheet.about),
        verdict: found.verdict,
        reserved: false,
        verdict_words: wording::verdict_words(voice, found.verdict),
        reserve: None,
        reason: super::contents::reason(sheet),
        details: summary.into_iter().chain(sight).collect(),
        identity: identity(&sheet.about),
    }
}

/// The hold with a little around it; all of the record where there is none.
fn time_axis(sheet: &TestSheet<'_>) -> Axis {
    let (start, end) = sheet.trace.pressure().extent_s().unwrap_or((0.0, 60.0));
    match sheet.findings.decay {
        None => Axis::linear(start, end),
        Some(decay) => {
            let around = AROUND * (decay.end_s - decay.shut_at_s);
            Axis::linear(
                start.max(decay.shut_at_s - around),
                end.min(decay.end_s + around),
            )
        }
    }
}

/// Marks, and when the supply was shut.
fn flags_of(sheet: &TestSheet<'_>, time: &Axis, x_of: impl Fn(f64) -> f64) -> Vec<Flag> {
    let voice = &sheet.about.voice();
    let mut out = Vec::new();
    let mut shut = None;
    if let Some(decay) = sheet.findings.decay {
        let of_late = |n: &DecayNotice| matches!(n, DecayNotice::ShutLate { .. });
        let of_read = |n: &DecayNotice| matches!(n, DecayNotice::ShutNotStamped { .. });
        let notices = &sheet.findings.notices;
        let id = match (notices.iter().any(of_late), notices.iter().any(of_read)) {
            (true, _) => "test-flag-late",
            (_, true) => "test-flag-shut-read",
            _ => "test-flag-shut",
        };
        out.push(Flag::new(x_of(decay.shut_at_s), say!(voice, id), true));
        shut = Some(decay.shut_at_s);
    }
    for mark in sheet.trace.pressure().marks() {
        // the mark that the hold begins with says it already
        let is_shut = shut.is_some_and(|s: f64| (s - mark.elapsed_s).abs() < 0.5)
            && mark.kind == MarkKind::SupplyShut;
        if time.holds(mark.elapsed_s) && !is_shut {
            let words = mark_words(&sheet.about, mark, 28);
            out.push(Flag::new(x_of(mark.elapsed_s), words, false));
        }
    }
    out
}
