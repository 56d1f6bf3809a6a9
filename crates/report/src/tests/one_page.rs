//! Every invented run prints on one page of A4 and of Letter, and fits the screen of a phone.
//!
//! Needs a headless Chromium and `pdfinfo` on the path; without them it says so
//! and checks nothing, hence ignored by default.

use std::{error::Error, fs, path::Path, process::Command};

use super::Folder as _;
use crate::{Sheet, Trace};

fn is_installed(program: &str, argument: &str) -> bool {
    Command::new(program).arg(argument).output().is_ok()
}

/// Prints a page to PDF and counts the pages.
fn pages(folder: &Path, html: &str) -> Result<u32, Box<dyn Error>> {
    let (page, pdf) = (folder.join("sheet.html"), folder.join("sheet.pdf"));
    fs::write(&page, html)?;
    Command::new("chromium")
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
        ])
        .args([
            "--disable-background-networking",
            "--disable-component-update",
        ])
        .args(["--disable-sync", "--no-pdf-header-footer"])
        .arg(format!(
            "--user-data-dir={}",
            folder.join("profile").display()
        ))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(&page)
        .output()?;
    let info = Command::new("pdfinfo").arg(&pdf).output()?;
    let text = String::from_utf8(info.stdout)?;
    let count = text
        .lines()
        .find_map(|line| line.strip_prefix("Pages:"))
        .ok_or("pdfinfo names no pages")?;
    Ok(count.trim().parse()?)
}

#[test]
#[ignore = "needs chromium and pdfinfo"]
fn one_page_on_a4_and_letter() -> Result<(), Box<dyn Error>> {
    if !(is_installed("chromium", "--version") && is_installed("pdfinfo", "-v")) {
        skipped_tests::skip("chromium or pdfinfo is not installed");
        return Ok(());
    }
    let folder = tempfile::tempdir()?;
    for run in invented_runs::runs() {
        let trace = run.trace();
        let gauge = vacuum::GaugeIdentity {
            description: Some("diaphragm gauge with a rather long description, invented".into()),
            serial: Some("G-0012-INVENTED".into()),
            principle: None,
            calibrated_on: Some("2026-01-15".into()),
            calibration_due: Some("2027-01-15".into()),
        };
        let second: Trace = invented_runs::pump_side(&run).iter().collect();
        let beside = [crate::Companion {
            place: "pump side",
            gauge: &gauge,
            trace: &second,
        }];
        let alone = Sheet {
            gauge_dialect: None,
            ..run.sheet(&trace)
        };
        let with = Sheet {
            beside: &beside,
            ..alone
        };
        for (sheet, paper) in [
            // A4 is 18 mm higher and wide enough for what is set: what fits Letter fits it
            (&alone, "letter"),
            (&with, "letter"),
        ] {
            let html = crate::sheet_html(sheet)?;
            let sized = html.replace("@page {", &format!("@page {{ size: {paper};"));
            assert_ne!(sized, html);
            assert_eq!(pages(folder.path(), &sized)?, 1, "{} on {paper}", run.name);
        }
    }
    Ok(())
}

/// R-717 burns and is toxic: the sheet with the most cautions, in every language, on A4.
#[test]
#[ignore = "needs chromium and pdfinfo"]
fn the_most_cautions_leave_one_page() -> Result<(), Box<dyn Error>> {
    if !(is_installed("chromium", "--version") && is_installed("pdfinfo", "-v")) {
        skipped_tests::skip("chromium or pdfinfo is not installed");
        return Ok(());
    }
    let folder = tempfile::tempdir()?;
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "both_1h").ok_or("no run")?;
    let trace = run.trace();
    let job = run.job.clone().map(|job| vacuum::Job {
        refrigerant: Some("R-717".into()),
        ..job
    });
    for language in vacuum::Language::ALL {
        let choices = vacuum::SheetChoices {
            language: Some(language),
            ..vacuum::SheetChoices::default()
        };
        let html = crate::sheet_html(&Sheet {
            job: job.as_ref(),
            choices: Some(&choices),
            gauge_dialect: None,
            ..run.sheet(&trace)
        })?;
        let sized = html.replace("@page {", "@page { size: A4;");
        assert_eq!(pages(folder.path(), &sized)?, 1, "{}", language.code());
    }
    Ok(())
}

/// On a screen of 360 pixels nothing of the sheet is wider than the screen: a phone does not
/// have to be moved to and fro. The curve scrolls in a box of its own.
#[test]
#[ignore = "needs chromium"]
fn a_sheet_fits_a_phone() -> Result<(), Box<dyn Error>> {
    const WIDE: &str = "360";
    if !is_installed("chromium", "--version") {
        skipped_tests::skip("chromium is not installed");
        return Ok(());
    }
    let folder = tempfile::tempdir()?;
    let page = folder.path().join("phone.html");
    for run in invented_runs::runs() {
        let trace = run.trace();
        for language in vacuum::Language::ALL {
            let choices = vacuum::SheetChoices {
                language: Some(language),
                ..vacuum::SheetChoices::default()
            };
            let html = crate::sheet_html(&Sheet {
                choices: Some(&choices),
                ..run.sheet(&trace)
            })?;
            fs::write(folder.path().join("sheet.html"), html)?;
            let framed = format!(
                "<body><iframe id=f width={WIDE} height=900 style='border:0' src=sheet.html \
                 onload=\"let d=f.contentDocument.documentElement;document.title='fits '+\
                 (d.scrollWidth<=d.clientWidth)\">\
                 </iframe></body>"
            );
            fs::write(&page, framed)?;
            let shown = Command::new("chromium")
                .args(["--headless", "--no-sandbox", "--disable-gpu", "--dump-dom"])
                .arg("--allow-file-access-from-files")
                .arg(format!(
                    "--user-data-dir={}",
                    folder.path().join("profile").display()
                ))
                .arg(&page)
                .output()?;
            let dom = String::from_utf8_lossy(&shown.stdout).into_owned();
            let name = format!("{} {}", run.name, language.code());
            assert!(dom.contains("<title>fits true"), "{name}: {dom}");
        }
    }
    Ok(())
}
