//! The printed sheet, read back with programs that are not ours: `pdftotext` and
//! `pdffonts` (poppler) and `qpdf`. Each is skipped with a printed reason where it
//! is not installed.

use super::Folder as _;
use std::{collections::BTreeSet, fs, path::Path, process::Command};

/// Runs of which the page shows all that the other page shows, in full.
const RUNS: [&str; 4] = ["both_1h", "pass_1h", "order_wrong", "empty"];

/// What a program prints, or nothing with a reason said.
fn output(program: &str, arguments: &[&str], file: &Path) -> Option<String> {
    match Command::new(program).args(arguments).arg(file).output() {
        Ok(output) => Some(String::from_utf8_lossy(&output.stdout).into_owned()),
        Err(e) => {
            skipped_tests::skip(format_args!("{program} does not run ({e})"));
            None
        }
    }
}

fn words(text: &str) -> BTreeSet<String> {
    let apart = text.split_whitespace();
    let said = apart.filter(|w| w.chars().any(char::is_alphanumeric));
    said.map(str::to_owned).collect()
}

/// Every text of an HTML page, as an XML reader finds it.
fn words_of_page(html: &str) -> BTreeSet<String> {
    let from = html.find("<main>").unwrap();
    let to = html.find("</main>").unwrap() + "</main>".len();
    let page = roxmltree::Document::parse(&html[from..to]).unwrap();
    let hidden = |name: &str| matches!(name, "desc" | "title");
    let texts = page.descendants().filter(|n| {
        let parent = n.parent().map(|p| p.tag_name().name().to_owned());
        n.is_text() && !parent.is_some_and(|p| hidden(&p))
    });
    words(&texts.filter_map(|n| n.text()).collect::<Vec<_>>().join(" "))
}

#[test]
fn paper_says_what_the_page_for_the_screen_says() {
    let folder = tempfile::tempdir().unwrap();
    let runs = invented_runs::runs();
    for name in RUNS {
        let run = runs.iter().find(|r| r.name == name).unwrap();
        let trace = run.trace();
        let sheet = run.sheet(&trace);
        let file = folder.path().join(format!("{name}.pdf"));
        fs::write(&file, crate::sheet_pdf(&sheet).unwrap()).unwrap();
        let text = folder.path().join("text");
        let mut read = Command::new("pdftotext");
        match read.arg("-raw").arg(&file).arg(&text).output() {
            Ok(_) => {
                let paper = words(&fs::read_to_string(&text).unwrap());
                let screen = words_of_page(&crate::sheet_html(&sheet).unwrap());
                let missing: Vec<_> = screen.difference(&paper).collect();
                assert!(missing.is_empty(), "{name}: not on paper: {missing:?}");
                assert!(screen.len() > 90, "{name}: {}", screen.len());
            }
            Err(e) => skipped_tests::skip(format_args!("pdftotext does not run ({e})")),
        }
        if let Some(fonts) = output("pdffonts", &[], &file) {
            let rows: Vec<&str> = fonts.lines().skip(2).collect();
            assert_eq!(rows.len(), 2, "{fonts}");
            for row in rows {
                // embedded, a subset, with a way back to letters
                assert!(row.contains("DejaVuSansCondensed") && row.contains("yes yes yes"));
            }
        }
        if let Some(said) = output("qpdf", &["--check"], &file) {
            assert!(
                said.contains("No syntax or stream encoding errors"),
                "{said}"
            );
        }
    }
}
