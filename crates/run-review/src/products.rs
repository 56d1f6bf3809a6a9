//! What is made from a record: curve, sheet and findings, drawn into a folder.

use std::path::{Path, PathBuf};

use chrono::Utc;
use report::{PngSize, ReportError, Test};
use run_record::{PlacedProducts, Products, SealError, WrittenProducts};
use seal_keys::SealKey;
use wording::one_line;

use crate::{error::ProductError, judged_test::JudgedTest, origin::Chosen};

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
/// sheet, its logo and its photo; the sheet takes in the tests of `with`, which are of the
/// same job. The files that are there are replaced once all are drawn: a failure before that
/// leaves them as they were. With a `key` the seal of the folder is made to cover them.
///
/// # Errors
/// When something cannot be drawn, or its file not be written; for a test of another job.
pub fn make_products(
    (judged, with): (&JudgedTest, &[JudgedTest]),
    out: &Path,
    chosen: Chosen<'_>,
    made_by: &str,
    key: Option<&SealKey>,
) -> Result<Made, ProductError> {
    with.iter()
        .try_for_each(|other| of_same_job(judged, other))?;
    let all = || std::iter::once(judged).chain(with);
    let beside: Vec<_> = all().map(JudgedTest::companions).collect();
    // a photo belongs to its own run
    let (choices, logo, _) = chosen;
    let of = |at: usize| match at {
        0 => chosen,
        _ => (choices, logo, None),
    };
    let mut tests: Vec<Test<'_>> = Vec::new();
    for (at, (judged, beside)) in all().zip(&beside).enumerate() {
        tests.push(judged.drawn(of(at), beside, made_by));
    }
    let cannot = |path: &Path, source: std::io::Error| ProductError::Write {
        path: path.to_owned(),
        source,
    };
    std::fs::create_dir_all(out).map_err(|e| cannot(out, e))?;
    let mut products = Products::new(out);
    // one after the other, so that no two are in memory at once
    for (name, product) in PRODUCTS {
        let bytes = match product {
            Product::Picture(draw) => draw(tests[0])?,
            Product::Document(draw) => draw(&tests)?,
            Product::Findings => (judged.json() + "\n").into_bytes(),
        };
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

/// Several tests make one document where they are of one job.
fn of_same_job(judged: &JudgedTest, other: &JudgedTest) -> Result<(), ProductError> {
    let job = |test: &JudgedTest| {
        let header = test.origin().header.as_ref();
        header.map(|h| h.job.id.clone()).unwrap_or_default()
    };
    let (first, second) = (job(judged), job(other));
    // a table says nothing of its job
    if first == second || first.is_empty() || second.is_empty() {
        return Ok(());
    }
    Err(ProductError::OtherJob {
        path: other.origin().source.clone(),
        job: one_line(&second, 40),
        first: one_line(&first, 40),
    })
}

/// How a product is made.
enum Product {
    /// Of the first test alone.
    Picture(fn(Test<'_>) -> Result<Vec<u8>, ReportError>),
    /// Of all of them.
    Document(fn(&[Test<'_>]) -> Result<Vec<u8>, ReportError>),
    /// What was found in the first.
    Findings,
}

/// What is made from a record, in the order it is written.
const PRODUCTS: [(&str, Product); 6] = [
    (
        "curve.svg",
        Product::Picture(|test| test.curve_svg().map(String::into_bytes)),
    ),
    (
        "curve.png",
        Product::Picture(|test| test.curve_png(PngSize::Print)),
    ),
    (
        "curve-small.png",
        Product::Picture(|test| test.curve_png(PngSize::Message)),
    ),
    (
        "sheet.html",
        Product::Document(|tests| report::document_html(tests).map(String::into_bytes)),
    ),
    ("sheet.pdf", Product::Document(report::document_pdf)),
    ("findings.json", Product::Findings),
];
