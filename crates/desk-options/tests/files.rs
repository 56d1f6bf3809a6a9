//! The files of a table, from the records that lie in samples/runs.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::atomic::AtomicBool,
};

use clap::Parser;
use desk_options::{DeskError, DeskOptions, Made};

#[derive(Parser)]
struct Arguments {
    #[command(flatten)]
    desk: DeskOptions,
}

/// Makes the table of a folder and writes the files that are asked for.
fn desk(claims: &Path, options: &[&Path]) -> Result<(), DeskError> {
    let fixed = ["desk", "--no-cache", "--jobs", "1"].map(PathBuf::from);
    let given = fixed
        .iter()
        .map(PathBuf::as_path)
        .chain(options.iter().copied());
    let given = Arguments::try_parse_from(given.chain([claims])).expect("arguments");
    let advice = run_review::Advice::default();
    let rows = given
        .desk
        .rows(advice, &AtomicBool::new(false), |_| {}, || {})?;
    let made = Made {
        by: "dryhold 0.1.0",
        at: Some("2026-12-01T09:00:00Z"),
    };
    given.desk.write_files(&rows, made)
}

/// A folder with one record below it.
fn claims() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let run = "20260314T091500Z-INVENTED-full-disk";
    let from = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/runs")
        .join(run);
    let to = folder.path().join("claims").join(run);
    fs::create_dir_all(&to).expect("a folder");
    for file in fs::read_dir(from).expect("the sample") {
        let file = file.expect("a file");
        fs::copy(file.path(), to.join(file.file_name())).expect("copied");
    }
    folder
}

#[test]
fn a_page_leads_to_the_sheets_from_where_it_lies() {
    let folder = claims();
    let claims = folder.path().join("claims");
    let sheet = "20260314T091500Z-INVENTED-full-disk/sheet.html";
    fs::write(claims.join(sheet), "").expect("written");
    let place = folder.path().join("desk");
    fs::create_dir(&place).expect("a folder");
    // named from elsewhere, and once round a corner
    let html = place.join("../desk/page.html");
    desk(&claims, &["--html".as_ref(), &html]).expect("a page");
    let page = fs::read_to_string(place.join("page.html")).expect("a page");
    assert!(
        page.contains(&format!("\"./../claims/{sheet}\"")),
        "no link"
    );
    assert!(page.contains("2026-12-01T09:00:00Z") && page.contains("INVENTED-full-disk"));
}

#[test]
fn a_file_that_cannot_be_written_is_named() {
    let folder = claims();
    let html = folder.path().join("no-such-folder/page.html");
    let claims = folder.path().join("claims");
    let error = desk(&claims, &["--html".as_ref(), &html]).expect_err("no folder");
    let words = error.to_string();
    assert!(
        words.contains("no-such-folder") && words.contains("cannot be written"),
        "{words}"
    );
}

#[cfg(feature = "parquet")]
#[test]
fn parquet_is_two_files() {
    let folder = claims();
    let parquet = folder.path().join("claims.parquet");
    let claims = folder.path().join("claims");
    desk(&claims, &["--parquet".as_ref(), &parquet]).expect("files");
    let traces = folder.path().join("claims-traces.parquet");
    assert!(!traces.exists(), "readings only where they are asked for");
    let given = ["--parquet".as_ref(), &*parquet, "--parquet-traces".as_ref()];
    desk(&claims, &given).expect("files");
    for name in [
        "claims.parquet",
        "claims-rounds.parquet",
        "claims-traces.parquet",
    ] {
        let bytes = fs::read(folder.path().join(name)).expect("a file");
        // the mark at both ends of a Parquet file
        assert!(
            bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"),
            "{name}"
        );
    }
}
