use super::*;
use crate::{closeup, tests::Folder as _};
use layout::picture::Shape;

/// A gauge at the pump made up from the judged one: lower while gas flows, over
/// its range once the pump has stopped.
fn pump_side(run: &invented_runs::Run) -> Trace {
    let mut trace = Trace::default();
    invented_runs::pump_side(run)
        .iter()
        .for_each(|e| trace.push(e));
    trace
}

/// Nothing clipped, no text on another, no text in the plot on the curve.
pub(crate) fn check((plot, picture): &(Plot, Picture), name: &str) {
    let page = Rect::new(0.0, 0.0, picture.width, picture.height);
    let room = labels::FreeSpace::of(plot);
    for (i, text) in picture.texts.iter().enumerate() {
        let bounds = text.bounds();
        assert!(!text.words.is_empty(), "{name}: empty text");
        assert!(
            page.contains(&bounds),
            "{name}: \"{}\" is clipped",
            text.words
        );
        for other in &picture.texts[i + 1..] {
            assert!(
                !bounds.overlaps(&other.bounds()),
                "{name}: \"{}\" lies on \"{}\"",
                text.words,
                other.words
            );
        }
        if plot.frame.contains(&bounds) {
            assert!(
                !room.curve_crosses(&bounds),
                "{name}: curve through \"{}\"",
                text.words
            );
        }
    }
    for shape in &picture.shapes {
        if let Shape::Path { points, .. } = shape {
            for (x, y) in points {
                assert!(x.is_finite() && y.is_finite(), "{name}: broken geometry");
                let point = Rect::new(*x, *y, *x, *y);
                assert!(
                    page.contains(&point),
                    "{name}: geometry off the page at {x}, {y}"
                );
            }
        }
    }
}

#[test]
fn no_label_is_clipped_or_covered_on_any_run() {
    let runs = invented_runs::runs();
    assert!(runs.len() >= 20);
    for run in &runs {
        let trace = run.trace();
        let sheet = run.sheet(&trace);
        check(&layout(&sheet, Form::Standalone).unwrap(), run.name);
        check(
            &layout(&sheet, Form::OnSheet).unwrap(),
            &format!("{} on the sheet", run.name),
        );
        if let Some(layout) = closeup::layout(&sheet).unwrap() {
            check(&layout, &format!("{} close-up", run.name));
        }
    }
}

#[test]
fn further_gauges_cover_nothing_on_any_run() {
    let gauge = vacuum::GaugeIdentity::default();
    let long = "in the machine compartment, behind the fan";
    let mut named = 0;
    let runs = invented_runs::runs();
    for run in &runs {
        let (trace, second) = (run.trace(), pump_side(run));
        let of = |place, trace| crate::Companion {
            place,
            gauge: &gauge,
            trace,
        };
        let many = [
            of("pump side", &second),
            of(long, &trace),
            of("c", &second),
            of("d", &trace),
        ];
        for count in [1, 2, 4] {
            let sheet = Sheet {
                beside: &many[..count],
                ..run.sheet(&trace)
            };
            for form in [
                Form::Standalone,
                Form::OnSheet,
                Form::OnPaper(226),
                Form::OnPaper(500),
            ] {
                let layout = layout(&sheet, form).unwrap();
                check(
                    &layout,
                    &format!("{} with {count} more, {form:?}", run.name),
                );
                let (plot, picture) = layout;
                named += usize::from(words(&picture).contains("pump side (dashed)"));
                assert_eq!(plot.beside.len(), count.min(3));
            }
        }
    }
    // a name is left out only where nothing was measured
    let all = 12 * runs.len();
    assert!(named * 10 >= all * 8, "named in {named} of {all}");
}

#[test]
fn the_second_gauge_is_drawn_where_it_was_and_named() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "pass_1h").unwrap();
    let (trace, second) = (run.trace(), pump_side(run));
    let gauge = vacuum::GaugeIdentity {
        serial: Some("G-0012".into()),
        ..Default::default()
    };
    let beside = [crate::Companion {
        place: "pump side",
        gauge: &gauge,
        trace: &second,
    }];
    let sheet = Sheet {
        beside: &beside,
        ..run.sheet(&trace)
    };
    let (plot, picture) = layout(&sheet, Form::Standalone).unwrap();
    let lowest = second.range_micron().unwrap().0;
    let drawn = plot.beside[0].pieces.iter().flatten();
    let low = drawn.map(|(_, p)| *p).fold(f64::INFINITY, f64::min);
    assert!((low - lowest).abs() < 1e-9);
    let dashed = picture.shapes.iter().any(|s| {
        matches!(s, Shape::Path { points, stroke } if stroke.dash == Dash::Short && points.len() > 50)
    });
    assert!(dashed, "told apart by dashes, not by colour alone");
    assert!(words(&picture).contains("pump side (dashed)"));
    let html = crate::sheet_html(&sheet).unwrap();
    assert!(
        html.contains("pump side, no. G-0012"),
        "its identity is on the sheet"
    );
}

#[test]
fn findings_of_the_analyser_are_drawn_as_well() {
    for mut run in invented_runs::runs() {
        let mut analyser = analyser::Analyser::new(analyser::Settings::default());
        for entry in &run.entries {
            analyser.push(entry);
        }
        run.findings = analyser.findings();
        let trace = run.trace();
        let sheet = run.sheet(&trace);
        check(&layout(&sheet, Form::Standalone).unwrap(), run.name);
        check(&layout(&sheet, Form::OnSheet).unwrap(), run.name);
        if let Some(layout) = closeup::layout(&sheet).unwrap() {
            check(&layout, run.name);
        }
    }
}

#[test]
fn the_check_itself_can_fail() {
    let runs = invented_runs::runs();
    let trace = runs[0].trace();
    let good = layout(&runs[0].sheet(&trace), Form::Standalone).unwrap();
    let spoil = |change: fn(&Plot, &mut Picture)| {
        let mut bad = good.clone();
        change(&good.0, &mut bad.1);
        std::panic::catch_unwind(move || check(&bad, "spoilt")).is_err()
    };
    assert!(spoil(|_, p| p.texts[3].x = -5.0));
    assert!(spoil(|_, p| {
        let first = p.texts[0].clone();
        p.texts.push(first);
    }));
    assert!(spoil(|plot, p| {
        let (x, y) = (plot.x(60.0), plot.y(600_000.0));
        p.texts.push(Text::new(x, y + 4.0, SIZE, "on the curve"));
    }));
}

fn words(picture: &Picture) -> String {
    let words: Vec<&str> = picture.texts.iter().map(|t| t.words.as_str()).collect();
    words.join(" | ")
}

fn picture_of(name: &str) -> Picture {
    layout_of(name).1
}

fn layout_of(name: &str) -> (Plot, Picture) {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    let trace = run.trace();
    layout(&run.sheet(&trace), Form::Standalone).unwrap()
}

#[test]
fn the_picture_says_everything_in_words() {
    let all = words(&picture_of("stalls"));
    for wanted in [
        "NOT PROVEN",
        "INVENTED DEMONSTRATION DATA",
        "pump oil foaming",
        "water boiling off",
        "choked flow",
        "floor reached",
        "pump-side valve shut, isolated",
        "pump stopped",
        "hold, 20 min",
        "fitted rise",
        "target and ceiling",
        "500 micron",
        "minutes since the record began",
    ] {
        assert!(all.contains(wanted), "\"{wanted}\" is missing in: {all}");
    }
    let all = words(&picture_of("three_rounds"));
    for wanted in [
        "| hold 1 |",
        "| hold 2 |",
        "hold 3, 15 min",
        "hold 2: pump-side valve shut",
        "nitrogen break",
    ] {
        assert!(all.contains(wanted), "{wanted}: {all}");
    }
    let all = words(&picture_of("both_10h"));
    assert!(all.contains("hours since the record began"), "{all}");
    let all = words(&picture_of("order_wrong"));
    assert!(
        all.contains("target | 300 micron") && all.contains("ceiling of the hold | 500 micron")
    );
    let all = words(&picture_of("over_range_bound"));
    assert!(all.contains("over range, above 20,000 micron"), "{all}");
    assert!(words(&picture_of("gauge_fault")).contains("gauge fault, 1.7 min"));
    assert!(words(&picture_of("gap_in_hold")).contains("no readings, 4.8 min"));
}

#[test]
fn a_fit_is_drawn_where_there_is_a_rise() {
    for (name, drawn) in [("leak_1h", true), ("noisy", true), ("pass_1h", false)] {
        let picture = picture_of(name);
        assert_eq!(words(&picture).contains("fitted rise"), drawn, "{name}");
        let has_path = picture
            .shapes
            .iter()
            .any(|s| matches!(s, Shape::Path { stroke, .. } if *stroke == FIT));
        assert_eq!(has_path, drawn, "{name}");
    }
}

#[test]
fn folders_above_the_run_stay_off_the_paper() {
    let runs = invented_runs::runs();
    let trace = runs[0].trace();
    let mut sheet = runs[0].sheet(&trace);
    sheet.source = "/home/somebody/customers/20260314T091500Z-TR-0417/";
    let svg = crate::curve_svg(&sheet).unwrap() + &crate::sheet_html(&sheet).unwrap();
    assert!(svg.contains("20260314T091500Z-TR-0417") && !svg.contains("somebody"));
}

#[test]
fn over_range_is_never_part_of_the_line() {
    let (bound, _) = layout_of("over_range_bound");
    let first = bound.series.pieces[0][0];
    assert!(first.0 >= 560.0 && first.1 < 20_000.0);
    let (gap, _) = layout_of("gap_in_hold");
    assert_eq!(gap.series.pieces.len(), 2);
}

#[test]
fn drawing_is_deterministic_and_on_the_mapping_of_the_labels() {
    let runs = invented_runs::runs();
    let trace = runs[0].trace();
    let sheet = runs[0].sheet(&trace);
    let one = crate::curve_svg(&sheet).unwrap();
    assert_eq!(one, crate::curve_svg(&sheet).unwrap());
    // what plotters drew stands where the labels believe it is
    let (plot, picture) = layout(&sheet, Form::Standalone).unwrap();
    let line = picture.shapes.iter().find_map(|shape| match shape {
        Shape::Path { points, stroke } if stroke.ink == Ink::Curve => Some(points),
        _ => None,
    });
    let measured = &plot.series.pieces[0];
    let line = line.unwrap();
    assert_eq!(line.len(), measured.len());
    for ((x, y), (t, p)) in line.iter().zip(measured) {
        assert!((x - plot.x(*t)).abs() < 0.02, "{x} {}", plot.x(*t));
        assert!((y - plot.y(*p)).abs() < 0.02, "{y} {}", plot.y(*p));
    }
}

/// The grid, the shading and the line are in the list of shapes once, below all others.
#[test]
fn the_plot_is_shapes_like_all_others() {
    let (plot, picture) = layout_of("pass_1h");
    let lines = plot.grid_time.len() + plot.grid_value.len();
    let of_the_plot = plot.shades.len() + lines + plot.series.pieces.len();
    let shapes = plot.shapes("curve").unwrap();
    assert_eq!(shapes.len(), of_the_plot);
    assert_eq!(&picture.shapes[..of_the_plot], &shapes[..]);
    let shade = Rect::new(plot.x(2400.0), plot.frame.y0, plot.frame.x1, plot.frame.y1);
    let Shape::Block { rect, fill, .. } = &shapes[0] else {
        panic!("{:?}", shapes[0]);
    };
    assert_eq!(*fill, Some(Ink::HoldTint));
    assert!(rect.grown(0.02).contains(&shade) && shade.grown(0.02).contains(rect));
}

#[test]
fn hostile_text_stays_text() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "hostile_text").unwrap();
    let trace = run.trace();
    let svg = crate::curve_svg(&run.sheet(&trace)).unwrap();
    assert!(!svg.contains("<script") && svg.matches("</svg>").count() == 1);
    assert!(svg.contains("&lt;/svg&gt;"), "the note is shown as typed");
    assert!(!svg.contains('\u{202E}') && !svg.contains('\u{0}'));
}
