//! The rows as the script of the page reads them. Script and page are made together, so this
//! form is nobody else's: for other programs there are JSON lines, CSV and Parquet.

use std::{
    collections::HashMap,
    io::{self, Write},
};

use desk::{FlagCode, Row, RowKind};
use serde::Serialize;

use crate::{curve, link, options::PageOptions, script_json, texts::Texts};

/// The texts of a row, in this order.
const TEXTS: [&str; 23] = [
    "path",
    "kind",
    "unreadable",
    "job",
    "started",
    "test",
    "verdict",
    "headline",
    "cause",
    "isolated_by",
    "criteria",
    "appliance",
    "serial",
    "refrigerant",
    "repair",
    "technician",
    "customer",
    "gauge",
    "calibration_due",
    "seal",
    "shop",
    "changed",
    "record_sha256",
];

/// The numbers of a row, in this order.
const NUMBERS: [&str; 8] = [
    "confidence",
    "leak",
    "limit",
    "lowest",
    "highest",
    "hold",
    "volume",
    "ambient",
];

#[derive(Serialize)]
struct Page<'a> {
    title: &'a str,
    made_by: &'a str,
    made_at: Option<&'a str>,
    partial: Option<&'a str>,
    without_personal_data: bool,
    /// Words of the codes, the gravest first.
    flags: Vec<&'static str>,
    text_fields: [&'static str; TEXTS.len()],
    number_fields: [&'static str; NUMBERS.len()],
    rows: Vec<PageRow>,
    texts: Vec<Option<&'a str>>,
}

/// Texts by number, numbers, reasons, what the shop said, rounds, curve, flags, sheet.
type PageRow = (
    [usize; TEXTS.len()],
    [Option<f64>; NUMBERS.len()],
    Vec<usize>,
    Option<[usize; 3]>,
    Vec<(Option<f64>, Option<f64>, Option<f64>, usize)>,
    Option<(f64, String)>,
    Vec<(usize, usize, Vec<Other>)>,
    Option<String>,
);

/// A row that a flag was seen with.
#[derive(Serialize)]
#[serde(untagged)]
enum Other {
    /// By its place in the page.
    Row(usize),
    /// By its path, where it is not in the page.
    Path(String),
}

pub(crate) fn write(
    out: &mut impl Write,
    rows: &[Row],
    options: &PageOptions<'_>,
) -> io::Result<()> {
    let places: HashMap<&str, usize> = rows.iter().map(|r| r.path.as_str()).zip(0..).collect();
    let mut texts = Texts::new();
    let page_rows = rows
        .iter()
        .map(|row| page_row(row, options, &places, &mut texts))
        .collect();
    let page = Page {
        title: options.title,
        made_by: options.made_by,
        made_at: options.made_at,
        partial: options.partial,
        without_personal_data: options.without_personal_data,
        flags: FlagCode::ALL.map(FlagCode::word).into(),
        text_fields: TEXTS,
        number_fields: NUMBERS,
        rows: page_rows,
        texts: texts.into_list(),
    };
    script_json::write(out, &page)
}

fn page_row<'a>(
    row: &'a Row,
    options: &PageOptions<'_>,
    places: &HashMap<&str, usize>,
    texts: &mut Texts<'a>,
) -> PageRow {
    let personal =
        |text: &'a Option<String>| text.as_deref().filter(|_| !options.without_personal_data);
    let words = [
        Some(row.path.as_str()),
        Some(kind(row.kind)),
        row.unreadable.as_deref(),
        row.job.as_deref(),
        row.started.as_deref(),
        row.test.as_deref(),
        row.verdict.as_deref(),
        row.headline.as_deref(),
        row.cause.as_deref(),
        row.isolated_by.as_deref(),
        row.criteria.as_deref(),
        row.appliance.as_deref(),
        row.serial.as_deref(),
        row.refrigerant.as_deref(),
        row.repair.as_deref(),
        personal(&row.technician),
        personal(&row.customer),
        row.gauge.as_deref(),
        row.calibration_due.as_deref(),
        Some(row.seal.word()),
        row.shop.as_deref(),
        row.changed.as_deref(),
        row.record_sha256.as_deref(),
    ];
    let numbers = [
        row.confidence,
        row.leak_micron_per_min,
        row.detection_limit_micron_per_min,
        row.lowest_micron,
        row.highest_in_hold_micron,
        row.hold_min,
        row.volume_l,
        row.ambient_c,
    ];
    let rounds = row.rounds.iter().map(|round| {
        (
            round.lowest_micron.map(rounded),
            round.hold_min.map(rounded),
            round.highest_in_hold_micron.map(rounded),
            texts.optional(round.verdict.as_deref()),
        )
    });
    let rounds = rounds.collect();
    let flags = row.flags.iter().map(|flag| {
        let other = |path: &String| match places.get(path.as_str()) {
            Some(place) => Other::Row(*place),
            None => Other::Path(path.clone()),
        };
        let with = flag.with.iter().map(other).collect();
        (flag.code.rank(), texts.number(&flag.words), with)
    });
    let flags = flags.collect();
    let said = row.said.as_ref();
    let sheet = options.sheet.and_then(|sheet_of| sheet_of(row));
    (
        words.map(|text| texts.optional(text)),
        numbers.map(|number| number.map(rounded)),
        row.reasons.iter().map(|code| texts.number(code)).collect(),
        said.map(|s| [&s.made_by, &s.verdict, &s.criteria].map(|text| texts.number(text))),
        rounds,
        row.curve
            .as_ref()
            .map(|c| (rounded(c.span_s), curve::encoded(c))),
        flags,
        sheet.and_then(|sheet| link::relative(options.folder, &sheet)),
    )
}

const fn kind(kind: RowKind) -> &'static str {
    match kind {
        RowKind::Run => "run folder",
        RowKind::Packed => "archive",
        RowKind::Table => "table",
    }
}

/// Five digits: more than anything of this page shows.
fn rounded(number: f64) -> f64 {
    format!("{number:.4e}").parse().unwrap_or(number)
}
