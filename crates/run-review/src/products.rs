//! What is made from a record: curve, sheet and findings, drawn into a folder.

use std::path::{Path, PathBuf};

use chrono::Utc;
use report::{Logo, PngSize, ReportError, Sheet};
use run_record::{PlacedProducts, Products, SealError, WrittenProducts};
use seal_keys::SealKey;
use vacuum::SheetChoices;

use crate::{error::ProductError, judge::Judged};

/// Files that were made.
pub struct Made {
    folder: PathBuf,
    written: WrittenProducts,
    /// Why the seal does not cover them, where it should.
    pub unsealed: Option<SealError>,
    /// Why not all of them have their names.
    pub failure: Option<ProductError>,
}

impl Made {
    /// Where they are.
    pub fn paths(&self) -> impl Iterator<Item = PathBuf> {
        self.written.names().map(|name| self.folder.join(name))
    }
}

/// Draws everything that is made from a record into `out`, with what was chosen about the
/// sheet. The files that are there are replaced once all are drawn: a failure before that
/// leaves them as they were. With a `key` the seal of the folder is made to cover them.
///
/// # Errors
/// When something cannot be drawn, or its file not be written.
pub fn make_products(
    judged: &Judged,
    out: &Path,
    (choices, logo): (&SheetChoices, Option<&Logo>),
    made_by: &str,
    key: Option<&SealKey>,
) -> Result<Made, ProductError> {
    let beside = judged.companions();
    let sheet = judged.sheet((choices, logo), &beside, made_by);
    let cannot = |path: &Path, source: std::io::Error| ProductError::Write {
        path: path.to_owned(),
        source,
    };
    std::fs::create_dir_all(out).map_err(|e| cannot(out, e))?;
    let mut products = Products::new(out);
    // one after the other, so that no two are in memory at once
    for (name, draw) in PRODUCTS {
        let bytes = draw(&sheet)?;
        products
            .add(name, &bytes)
            .map_err(|e| cannot(&out.join(name), e))?;
    }
    let (written, failed, unsealed) = match key {
        Some(key) => {
            let placed = products.place_sealed(key, Utc::now());
            let PlacedProducts {
                written,
                failed,
                sealed,
            } = placed;
            (written, failed, sealed.err())
        }
        None => {
            let (written, failed) = products.place();
            (written, failed, None)
        }
    };
    Ok(Made {
        folder: out.to_owned(),
        written,
        unsealed,
        failure: failed.map(|(path, e)| cannot(&path, e)),
    })
}

/// True when a product lies in this folder.
pub fn are_in(folder: &Path) -> bool {
    PRODUCTS
        .iter()
        .any(|(name, _)| folder.join(name).symlink_metadata().is_ok())
}

type Draws = fn(&Sheet<'_>) -> Result<Vec<u8>, ReportError>;

/// What is made from a record, in the order it is written.
const PRODUCTS: [(&str, Draws); 6] = [
    ("curve.svg", |s| {
        report::curve_svg(s).map(String::into_bytes)
    }),
    ("curve.png", |s| report::curve_png(s, PngSize::Print)),
    ("curve-small.png", |s| {
        report::curve_png(s, PngSize::Message)
    }),
    ("sheet.html", |s| {
        report::sheet_html(s).map(String::into_bytes)
    }),
    ("sheet.pdf", |s| report::sheet_pdf(s)),
    ("findings.json", |s| {
        let json = report::findings_json(s.findings, s.source) + "\n";
        Ok(json.into_bytes())
    }),
];
