//! The page on paper, and pictures of it.

use std::{fs, path::Path};

use crate::{
    MANY,
    page::{Opened, open, options},
};

#[test]
fn every_row_that_is_shown_is_printed() {
    let Some(mut page) = open(1_000, &options()) else {
        return;
    };
    let paper = page.browser.print();
    // the browser gives the rows back when the paper is done
    page.browser
        .wait_for("document.querySelectorAll('.row').length < 1000");
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("desk.pdf");
    fs::write(&file, paper).expect("written");
    let Ok(output) = std::process::Command::new("pdftotext")
        .arg("-layout")
        .arg(&file)
        .arg("-")
        .output()
    else {
        return skipped_tests::skip("pdftotext is not installed: the paper is not read back");
    };
    let text = String::from_utf8_lossy(&output.stdout);
    // the hostile one and those that cannot be read have other names
    let missing: Vec<_> = (1..1_000)
        .map(|at| format!("J-{:05}", at + 1_000))
        .filter(|job| !text.contains(job.as_str()))
        .collect();
    assert!(
        missing.is_empty(),
        "{} missing: {:?}",
        missing.len(),
        &missing[..5.min(missing.len())]
    );
    // each page begins with the heads; the last has the words below the table, and maybe no row
    let (heads, pages) = (
        text.matches("Serial number").count(),
        text.matches('\u{c}').count(),
    );
    assert!(
        pages > 20 && heads + 1 >= pages,
        "{heads} heads on {pages} pages"
    );
    assert!(text.contains("All 1,000 records. Order: what to look at, gravest first."));
}

/// Pictures for whoever wants to see it: `DRYHOLD_LOOK` names the folder.
#[test]
fn pictures_for_a_person() {
    let Some(folder) = std::env::var_os("DRYHOLD_LOOK") else {
        return;
    };
    let folder = Path::new(&folder);
    fs::create_dir_all(folder).expect("a folder");
    let Some(mut page) = open(MANY, &options()) else {
        return;
    };
    let keep = |name: &str, page: &mut Opened| {
        std::thread::sleep(std::time::Duration::from_millis(400));
        fs::write(folder.join(name), page.browser.picture()).expect("written");
    };
    keep("light.png", &mut page);
    page.browser.prefer("dark");
    keep("dark.png", &mut page);
    page.browser.value("document.querySelectorAll('.opener')[1].click(); document.querySelectorAll('.opener')[1].scrollIntoView()");
    keep("dark-open.png", &mut page);
    page.browser.prefer("light");
    page.browser.resize(1_920, 1_080);
    keep("wide-open.png", &mut page);
    page.browser.resize(900, 1_000);
    keep("tablet.png", &mut page);
    page.browser.resize(375, 800);
    keep("phone-open.png", &mut page);
    let Some(mut page) = open(200, &options()) else {
        return;
    };
    let file = page.folder.path().join("desk.html");
    fs::copy(file, folder.join("desk.html")).expect("copied");
    page.browser.resize(375, 800);
    keep("phone.png", &mut page);
    page.browser
        .value("document.querySelectorAll('.opener')[0].scrollIntoView()");
    keep("phone-rows.png", &mut page);
    page.browser.resize(1_440, 900);
    page.browser
        .value("document.querySelectorAll('.opener')[2].click()");
    fs::write(folder.join("paper.pdf"), page.browser.print()).expect("written");
}
