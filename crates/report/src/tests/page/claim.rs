//! What belongs to a claim, and the photo, on pages of their own.

use vacuum::{Job, Language, Paper, SheetChoices, SheetField};

use super::{Drawn, Typeset, assert_lies_free, compose, set_words, squeezed, with_run};
use crate::{Photo, Sheet, contents};

fn claim(job: &Job, text: &str) -> Job {
    let some = || Some(text.to_owned());
    Job {
        work_order: some(),
        claim: some(),
        customer: some(),
        site: some(),
        leak_location: some(),
        parts_fitted: some(),
        compressor_serial_old: some(),
        compressor_serial_new: some(),
        recovered_g: Some(41.0),
        charged_g: Some(57.5),
        ..job.clone()
    }
}

fn photo(width: u32, height: u32) -> Photo {
    let rgb = vec![128; 3 * width as usize * height as usize];
    Photo::from_rgb(width, height, &rgb).unwrap()
}

fn photo_page(set: &Typeset) -> Option<(usize, f64)> {
    let mut found = None;
    for part in &set.parts {
        part.visit(&mut |page, drawn| {
            if let Drawn::Photo { rect, .. } = drawn {
                found = Some((page, rect.width() / rect.height()));
            }
        });
    }
    found
}

#[test]
fn a_claim_and_its_photo_are_set_whole_on_pages_of_their_own() {
    for (language, paper) in Language::ALL
        .into_iter()
        .flat_map(|l| Paper::ALL.map(|p| (l, p)))
    {
        let choices = SheetChoices {
            language: Some(language),
            paper: Some(paper),
            ..SheetChoices::default()
        };
        for (run, pages) in [("both_1h", 2), ("three_rounds", 2), ("hostile_text", 2)] {
            for photo in [photo(1_600, 900), photo(700, 1_600), photo(3, 2)] {
                with_run(run, |sheet| {
                    let job = claim(sheet.job.unwrap(), "INV-77 of the invented kind");
                    let sheet = Sheet {
                        job: Some(&job),
                        choices: Some(&choices),
                        photo: Some(&photo),
                        ..*sheet
                    };
                    let contents = contents::of(&sheet);
                    let set = compose(&sheet).unwrap();
                    let name = format!("{run} {} {}", language.code(), paper.code());
                    assert!(assert_lies_free(&name, &set) > 60, "{name}");
                    assert!(
                        set.pages == pages || set.pages == pages + 1,
                        "{name}: {}",
                        set.pages
                    );
                    let (page, shape) = photo_page(&set).expect("a photo");
                    assert_eq!(page + 1, set.pages, "{name}");
                    let (width, height) = photo.size();
                    assert!(
                        (shape - width / height).abs() < 0.01 * shape,
                        "{name}: {shape}"
                    );
                    let words = set_words(&set);
                    for entry in &contents.paperwork.entries {
                        let entry = squeezed(&format!("{}{}", entry.name, entry.value));
                        assert!(words.contains(&entry), "{name}: {entry}");
                    }
                    assert_eq!(contents.paperwork.entries.len(), 10);
                });
            }
        }
    }
}

#[test]
fn a_claim_typed_by_somebody_who_means_harm_stays_on_its_pages() {
    let long = "Wörtchen ".repeat(60) + &"x".repeat(400);
    for text in ["\u{202E}</td><script>\u{0}", &long] {
        with_run("both_1h", |sheet| {
            let job = claim(sheet.job.unwrap(), text);
            let sheet = Sheet {
                job: Some(&job),
                ..*sheet
            };
            let set = compose(&sheet).unwrap();
            assert_lies_free("claim", &set);
            let html = crate::sheet_html(&sheet).unwrap();
            assert!(!html.contains("<script>"));
        });
    }
}

#[test]
fn what_is_left_out_or_personal_is_on_no_page() {
    with_run("both_1h", |sheet| {
        let job = claim(sheet.job.unwrap(), "INV-77");
        let photo = photo(160, 90);
        let of = |choices: &SheetChoices| {
            let sheet = Sheet {
                job: Some(&job),
                photo: Some(&photo),
                choices: Some(choices),
                ..*sheet
            };
            let contents = contents::of(&sheet);
            let set = compose(&sheet).unwrap();
            (
                contents.paperwork.entries.len(),
                photo_page(&set).is_some(),
                set.pages,
            )
        };
        assert_eq!(of(&SheetChoices::default()), (10, true, 2));
        let private = SheetChoices {
            without_personal_data: Some(true),
            ..SheetChoices::default()
        };
        assert_eq!(of(&private), (8, false, 2));
        let nothing = SheetChoices {
            leave_out: SheetField::ALL.to_vec(),
            ..SheetChoices::default()
        };
        assert_eq!(of(&nothing), (0, false, 1));
    });
}
