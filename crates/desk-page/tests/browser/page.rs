//! The page of so many invented rows, in a browser.

use std::{fs, io::BufWriter, path::Path, time::Instant};

use desk_page::PageOptions;
use headless_browser::Browser;

use crate::invented;

pub(crate) fn options<'a>() -> PageOptions<'a> {
    PageOptions {
        title: "Claims of November, INVENTED",
        made_by: "dryhold 0.1.0",
        made_at: Some("2026-12-01T09:00:00Z"),
        partial: None,
        without_personal_data: false,
        folder: Path::new("desk"),
        sheet: Some(&|row| Some(Path::new(&row.path).join("sheet.html"))),
    }
}

/// A page in a browser of its own.
pub(crate) struct Opened {
    pub(crate) browser: Browser,
    pub(crate) folder: tempfile::TempDir,
    pub(crate) bytes: u64,
    pub(crate) written_ms: f64,
}

/// The page of so many rows in a browser; `None`, with the reason printed, without one.
pub(crate) fn open(count: usize, options: &PageOptions<'_>) -> Option<Opened> {
    open_at(count, options, "")
}

/// As [`open`], at a place in the page.
pub(crate) fn open_at(count: usize, options: &PageOptions<'_>, place: &str) -> Option<Opened> {
    let mut browser = Browser::start()?;
    browser.resize(1_440, 900);
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("desk.html");
    let mut out = BufWriter::new(fs::File::create(&path).expect("a file"));
    let rows = invented::rows(count);
    let began = Instant::now();
    desk_page::write(&mut out, &rows, options).expect("written");
    drop(out);
    let written_ms = 1e3 * began.elapsed().as_secs_f64();
    let bytes = fs::metadata(&path).expect("its size").len();
    browser.open(&format!("file://{}{place}", path.display()));
    browser.wait_for(
        "document.readyState === 'complete' && document.getElementById('shown').textContent !== ''",
    );
    Some(Opened {
        browser,
        folder,
        bytes,
        written_ms,
    })
}

impl Opened {
    #[track_caller]
    pub(crate) fn number(&mut self, expression: &str) -> f64 {
        let value = self.browser.value(expression);
        value
            .as_f64()
            .unwrap_or_else(|| panic!("{expression}: {value}"))
    }

    #[track_caller]
    pub(crate) fn text(&mut self, expression: &str) -> String {
        let value = self.browser.value(expression);
        value
            .as_str()
            .unwrap_or_else(|| panic!("{expression}: {value}"))
            .to_owned()
    }

    /// How long something takes until the next picture is on the screen, ms.
    #[track_caller]
    pub(crate) fn takes_ms(&mut self, action: &str) -> f64 {
        self.number(&format!(
            "new Promise(done => {{ const began = performance.now(); {action}; \
             requestAnimationFrame(() => setTimeout(() => done(performance.now() - began))); }})"
        ))
    }

    pub(crate) fn jobs(&mut self, count: usize) -> String {
        self.text(&format!(
            "[...document.querySelectorAll('.opener')].slice(0, {count}).map(b => b.textContent).join('|')"
        ))
    }

    pub(crate) fn shown(&mut self) -> String {
        self.text("document.getElementById('shown').textContent")
    }
}
