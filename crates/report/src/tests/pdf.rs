use crate::{PngSize, Sheet, curve_png, sheet_pdf, tests::Folder as _};

fn with_run<T>(name: &str, started: Option<&str>, see: impl FnOnce(&Sheet<'_>) -> T) -> T {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    let trace = run.trace();
    see(&Sheet {
        gauge_dialect: None,
        started_utc: started,
        ..run.sheet(&trace)
    })
}

fn holds(pdf: &[u8], words: &str) -> bool {
    pdf.windows(words.len()).any(|w| w == words.as_bytes())
}

const STARTED: Option<&str> = Some("2026-03-14T09:15:00+00:00");

#[test]
fn the_same_record_gives_the_same_bytes() {
    let twice = || {
        with_run("both_1h", STARTED, |sheet| {
            (
                sheet_pdf(sheet).unwrap(),
                curve_png(sheet, PngSize::Print).unwrap(),
            )
        })
    };
    assert!(twice() == twice());
}

#[test]
fn a_sheet_is_small_and_says_what_it_keeps_to() {
    for run in ["both_1h", "stalls", "three_rounds", "hostile_text", "empty"] {
        let pdf = with_run(run, STARTED, |sheet| sheet_pdf(sheet).unwrap());
        assert!(pdf.len() <= 300_000, "{run}: {} bytes", pdf.len());
        // the metadata are never compressed in an archival file
        for words in [
            "%PDF-1.7",
            "<pdfuaid:part>1</pdfuaid:part>",
            "<pdfaid:part>2</pdfaid:part>",
            "<pdfaid:conformance>A</pdfaid:conformance>",
            "2026-03-14T09:15:00",
        ] {
            assert!(holds(&pdf, words), "{run}: {words}");
        }
    }
}

#[test]
fn a_record_without_a_start_makes_a_sheet_too() {
    for started in [None, Some("yesterday"), Some("2026-13-40T99:00:00Z")] {
        let pdf = with_run("pass_1h", started, |sheet| sheet_pdf(sheet).unwrap());
        assert!(holds(&pdf, "<pdfuaid:part>1</pdfuaid:part>"));
        assert!(!holds(&pdf, "pdfaid:part>2"));
    }
}

#[test]
fn pictures_have_their_size_and_are_no_blank_paper() {
    for (size, width, per_metre) in [
        (PngSize::Print, 2197, Some(11_811)),
        (PngSize::Message, 1000, None),
    ] {
        let bytes = with_run("both_1h", STARTED, |s| curve_png(s, size).unwrap());
        let decoder = png::Decoder::new(std::io::Cursor::new(&bytes));
        let mut reader = decoder.read_info().unwrap();
        assert_eq!(reader.info().width, width);
        assert_eq!(reader.info().pixel_dims.map(|d| d.xppu), per_metre);
        let mut rgb = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut rgb).unwrap();
        let dark = rgb.chunks(3).filter(|p| p.iter().all(|v| *v < 100)).count();
        let curve = [0x3a, 0x78, 0xae];
        let blue = rgb
            .chunks(3)
            .filter(|p| p.iter().zip(curve).all(|(a, b)| a.abs_diff(b) < 12))
            .count();
        // words and line both are there
        assert!(
            dark > 2000 && blue > 500,
            "{dark} dark, {blue} of the curve"
        );
    }
}
