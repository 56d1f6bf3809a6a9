//! The set sheet as PDF.
//!
//! The library `krilla` writes the file and checks it against the rules of PDF/UA-1
//! (ISO 14289-1) and, when the start of the run is known, PDF/A-2a (ISO 19005-2):
//! no file is written that breaks one. The date in it is that of the record, so
//! that the same record gives the same bytes.

mod paint;
mod tags;

use krilla::{
    Document, SerializeSettings,
    configure::{Accessibility, Archival, Configuration, ConfigurationBuilder},
    destination::XyzDestination,
    geom::Point,
    metadata::{DateTime, Metadata},
    outline::{Outline, OutlineNode},
    page::PageSettings,
};

use crate::{
    ReportError,
    page::{Drawn, Part, Role, Typeset},
};

/// What a file says of itself.
pub(crate) struct Described<'a> {
    /// What it is, for an error.
    pub(crate) what: &'static str,
    pub(crate) title: String,
    pub(crate) description: String,
    /// Code of its language.
    pub(crate) language: &'a str,
    /// The date of the file, RFC 3339 in UTC.
    pub(crate) started_utc: Option<&'a str>,
    /// Name and version of the program.
    pub(crate) made_by: &'a str,
}

/// Writes what is set on pages.
pub(crate) fn write(described: Described<'_>, set: &Typeset) -> Result<Vec<u8>, ReportError> {
    let started = described.started_utc.and_then(date);
    let language = described.language;
    let what = described.what;
    let failed = |cause: String| ReportError::Drawing { what, cause };
    let configuration = configuration(started.is_some()).map_err(failed)?;
    let mut document = Document::new_with(SerializeSettings {
        configuration,
        ..SerializeSettings::default()
    });
    let mut painter = paint::Painter::new().map_err(failed)?;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a page has some hundred points"
    )]
    let (width, height) = (set.size.0 as f32, set.size.1 as f32);
    let mut ids = tags::Ids::default();
    for at in 0..set.pages {
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| failed("the page has no size".to_owned()))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        painter.page(&mut surface, set, at, &mut ids);
        surface.finish();
        page.finish();
    }
    document.set_tag_tree(tags::tree(set, &ids, language));
    document.set_outline(outline(set));
    document.set_metadata(metadata(described, started));
    document.finish().map_err(|e| failed(format!("{e:?}")))
}

/// Which rules the file is held to; the archival ones ask for a date.
fn configuration(dated: bool) -> Result<Configuration, String> {
    let mut rules = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1);
    if dated {
        rules = rules.with_archival_validator(Archival::A2_A);
    }
    rules.finish().map_err(|e| format!("{e:?}"))
}

fn metadata(described: Described<'_>, started: Option<DateTime>) -> Metadata {
    let made_by = wording::one_line(described.made_by, 80);
    let metadata = Metadata::new()
        .title(described.title)
        .description(described.description)
        .language(described.language.to_owned())
        .creator(made_by.clone())
        .producer(made_by);
    match started {
        Some(date) => metadata.creation_date(date),
        None => metadata,
    }
}

/// The start of a run, RFC 3339 in UTC, as a date of the file.
fn date(started: &str) -> Option<DateTime> {
    let text = started.get(..19).filter(|t| t.is_ascii())?;
    let number = |from: usize, to: usize| text.get(from..to)?.parse::<u8>().ok();
    let year = text.get(..4)?.parse().ok()?;
    let (month, day) = (number(5, 7)?, number(8, 10)?);
    let (hour, minute, second) = (number(11, 13)?, number(14, 16)?, number(17, 19)?);
    let sound = (1..=12).contains(&month)
        && (1..=31).contains(&day)
        && hour < 24
        && minute < 60
        && second < 60;
    sound.then(|| {
        DateTime::new(year)
            .month(month)
            .day(day)
            .hour(hour)
            .minute(minute)
            .second(second)
            .utc_offset_hour(0)
            .utc_offset_minute(0)
    })
}

/// The headings, for finding one's way.
fn outline(set: &Typeset) -> Outline {
    let mut outline = Outline::new();
    for part in &set.parts {
        headings(part, &mut outline);
    }
    outline
}

fn headings(part: &Part, outline: &mut Outline) {
    let Part::Group(role, parts) = part else {
        return;
    };
    if let (Role::Heading(_, words), Some((page, x, y))) = (role, place(part)) {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a page has some hundred points"
        )]
        let point = Point::from_xy(x as f32, y as f32);
        outline.push_child(OutlineNode::new(
            words.clone(),
            XyzDestination::new(page, point),
        ));
    }
    parts.iter().for_each(|p| headings(p, outline));
}

/// Where the first line of a part stands: page, left, top.
fn place(part: &Part) -> Option<(usize, f64, f64)> {
    let mut found = None;
    part.visit(&mut |page, drawn| {
        if let (None, Drawn::Line(line)) = (&found, drawn) {
            found = Some((page, line.x, line.y - line.style.size));
        }
    });
    found
}
