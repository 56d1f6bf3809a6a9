//! The pictures kept in the folder `golden` of this crate, and the page that shows what became of them.

use std::{
    fmt::Write as _,
    fs,
    path::{Path, PathBuf},
};

use base64::Engine as _;

use super::pixels::Pixels;

/// Set to `write`, it renews the kept pictures instead of comparing.
const RENEW: &str = "DRYHOLD_GOLDEN";
/// Most bytes of a kept picture.
pub(crate) const MOST_BYTES: usize = 28_000;

/// One picture that is not as it was.
pub(crate) struct Failure {
    pub(crate) name: String,
    /// What is kept, when it can be read.
    pub(crate) expected: Option<Pixels>,
    pub(crate) actual: Pixels,
}

fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("golden/{name}.png"))
}

/// The folder for temporary files of this build: tests lie two folders below its root.
fn temporary() -> PathBuf {
    let test = std::env::current_exe().unwrap();
    let folder = test.ancestors().nth(3).unwrap().join("tmp");
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// Compares pictures with the kept ones; fails with the path of a page that shows
/// those that differ.
pub(crate) fn compare(set: &str, drawn: Vec<(String, Pixels)>) {
    let renew = std::env::var(RENEW).is_ok_and(|v| v == "write");
    let mut failures = Vec::new();
    for (name, actual) in drawn {
        if renew {
            let bytes = actual.file();
            assert!(bytes.len() <= MOST_BYTES, "{name}: {} bytes", bytes.len());
            fs::write(file(&name), bytes).unwrap();
            continue;
        }
        let kept = fs::read(file(&name)).ok();
        let expected = kept.and_then(|bytes| Pixels::read(&bytes).ok());
        if !expected.as_ref().is_some_and(|e| actual.looks_like(e)) {
            failures.push(Failure {
                name,
                expected,
                actual,
            });
        }
    }
    if failures.is_empty() {
        return;
    }
    let path = temporary().join(format!("golden-{set}.html"));
    fs::write(&path, page(&failures)).unwrap();
    let names: Vec<_> = failures.iter().map(|f| f.name.as_str()).collect();
    panic!(
        "not as they were: {}\nside by side in {}\nwhere the change is wanted, renew them with \
         {RENEW}=write and look at each",
        names.join(", "),
        path.display()
    );
}

/// Expected, actual and difference of each, in one file that loads nothing.
pub(crate) fn page(failures: &[Failure]) -> String {
    let mut out = String::from(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
         <title>Pictures that are not as they were</title><style>\
         body{font-family:sans-serif;margin:1em}section{display:flex;gap:1em}\
         figure{margin:0;flex:1;min-width:0}\
         img{border:1px solid #888;display:block;max-width:100%}</style></head><body>\n\
         <h1>Pictures that are not as they were</h1>\n",
    );
    for failure in failures {
        let (difference, count) = match &failure.expected {
            Some(expected) => {
                let (picture, count) = failure.actual.differences(expected);
                (Some(picture), format!("{count} pixels differ"))
            }
            None => (None, "none is kept".to_owned()),
        };
        let _ = write!(out, "<h2>{}: {count}</h2>\n<section>\n", failure.name);
        for (what, picture) in [
            ("expected", failure.expected.as_ref()),
            ("actual", Some(&failure.actual)),
            ("difference", difference.as_ref()),
        ] {
            let shown = picture.map_or_else(|| "nothing".to_owned(), image);
            let _ = writeln!(
                out,
                "<figure><figcaption>{what}</figcaption>{shown}</figure>"
            );
        }
        out.push_str("</section>\n");
    }
    out.push_str("</body></html>\n");
    out
}

fn image(pixels: &Pixels) -> String {
    let bytes = base64::engine::general_purpose::STANDARD.encode(pixels.file());
    format!("<img alt=\"\" src=\"data:image/png;base64,{bytes}\">")
}
