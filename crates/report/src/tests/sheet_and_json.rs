//! Every value on the sheet is that of the findings as JSON: read back from print and
//! compared within half a unit of the last digit, in English and in German. What the
//! JSON has as `null` is not printed.

mod expected;
mod numbers;

use super::Folder as _;
use crate::{Sheet, Trace};
use findings::Findings;
use serde_json::Value;
use vacuum::{Job, Language, SheetChoices};

/// The cells of the sheet, as an XML reader that is not ours finds them.
pub(crate) struct Printed {
    /// Asked for and measured, row by row.
    pub(crate) criteria: Vec<[String; 2]>,
    /// Names and values about the rise.
    pub(crate) rise: Vec<(String, String)>,
    /// The same about gauge, pump and hoses.
    pub(crate) instruments: Vec<(String, String)>,
}

fn text(node: roxmltree::Node<'_, '_>) -> String {
    let texts = node.descendants().filter(|n| n.is_text());
    let words: String = texts.filter_map(|n| n.text()).collect();
    words.replace('\u{A0}', " ")
}

fn printed(html: &str) -> Printed {
    let from = html.find("<main>").unwrap();
    let to = html.find("</main>").unwrap() + "</main>".len();
    let page = roxmltree::Document::parse(&html[from..to]).unwrap();
    let of_class = |name: &str| {
        let found = page
            .descendants()
            .find(|n| n.attribute("class") == Some(name));
        found.unwrap()
    };
    let all = |node: roxmltree::Node<'_, '_>, name: &str| -> Vec<String> {
        let found = node.descendants().filter(|n| n.has_tag_name(name));
        found.map(text).collect()
    };
    let cells = all(of_class("criteria"), "td");
    let list = |name| {
        let section = of_class(name);
        let values = all(section, "dd");
        all(section, "dt").into_iter().zip(values).collect()
    };
    Printed {
        criteria: cells
            .chunks(4)
            .map(|row| [row[1].clone(), row[2].clone()])
            .collect(),
        rise: list("rise"),
        instruments: list("instruments"),
    }
}

fn sheet_of(trace: &Trace, findings: &Findings, job: Option<&Job>, language: Language) -> Printed {
    let choices = SheetChoices {
        language: Some(language),
        ..SheetChoices::default()
    };
    let html = crate::sheet_html(&Sheet {
        trace,
        findings,
        job,
        given: crate::GivenAtReview::NOTHING,
        choices: Some(&choices),
        gauge_dialect: None,
        source: "run",
        started_utc: None,
        made_by: "dryhold 0.1.0",
        record_sha256: None,
        logo: None,
        photo: None,
        beside: &[],
        rig: None,
    });
    printed(&html.unwrap())
}

fn json_of(findings: &Findings) -> Value {
    serde_json::from_str(&crate::findings_json(findings, "run")).unwrap()
}

const LANGUAGES: [(Language, char); 2] = [(Language::English, '.'), (Language::German, ',')];

/// Findings with one thing made unknown, by name.
fn with_less(findings: &Findings) -> Vec<(&'static str, Findings)> {
    let mut out = vec![("as found", findings.clone())];
    let mut less = |name, change: fn(&mut Findings)| {
        let mut findings = findings.clone();
        change(&mut findings);
        out.push((name, findings));
    };
    macro_rules! unknown {
        ($($name:literal $path:ident $(. $rest:ident)*;)*) => {
            $(less($name, |f| {
                let holds = f.rounds.iter_mut().filter_map(|r| r.hold.as_mut());
                holds.for_each(|h| h.$path$(.$rest)* = None);
            });)*
        };
    }
    unknown! {
        "no start" start_micron;
        "no end" end_micron;
        "no highest" highest_micron;
        "no rate" rise.leak_micron_per_min;
        "no level" rise.plateau_micron;
        "no pace" rise.tau_s;
        "no limit" rise.detection_limit_micron_per_min;
        "no time to decide" rise.decide_after_s;
        "no flow" leak;
        "no loss" operating_loss;
        "no grams of sight" smallest_leak;
        "no water" water_vapour_mg;
        "no ppm" water_ppm_of_charge;
    }
    for (name, change) in [
        (
            "no lowest",
            (|p| p.lowest_micron = None) as fn(&mut findings::Pulldown),
        ),
        ("target never reached", |p| p.reached_target_s = None),
    ] {
        let mut findings = findings.clone();
        let pulldowns = findings
            .rounds
            .iter_mut()
            .filter_map(|r| r.pulldown.as_mut());
        pulldowns.for_each(change);
        out.push((name, findings));
    }
    for (name, change) in [
        (
            "no steps",
            (|d| d.resolution_micron = None) as fn(&mut findings::DataSummary),
        ),
        ("no noise", |d| d.noise_micron = None),
        ("no interval", |d| d.interval_s = None),
    ] {
        let mut findings = findings.clone();
        change(&mut findings.data);
        out.push((name, findings));
    }
    out
}

#[test]
fn what_is_printed_is_what_the_json_says() {
    let mut checked = 0;
    for run in invented_runs::runs() {
        let trace = run.trace();
        for (less, findings) in with_less(&run.findings) {
            let json = json_of(&findings);
            for (language, decimal) in LANGUAGES {
                let sheet = sheet_of(&trace, &findings, run.job.as_ref(), language);
                let (count, complaints) =
                    expected::differences(&sheet, &json, run.job.as_ref(), decimal);
                let name = format!("{}, {less}, {}", run.name, language.code());
                assert!(complaints.is_empty(), "{name}: {complaints:#?}");
                checked += count;
            }
        }
    }
    assert!(checked > 5000, "{checked}");
}

/// Every number and every list of names below `value`, as a path.
fn leaves(value: &Value, path: &str, out: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            for (name, field) in fields {
                leaves(field, &format!("{path}/{name}"), out);
            }
        }
        Value::Array(items) => {
            for (i, item) in items.iter().enumerate() {
                leaves(item, &format!("{path}/{i}"), out);
            }
        }
        Value::Number(_) => out.push(path.to_owned()),
        _ => {}
    }
}

/// Numbers of the JSON that the cells compared here do not print.
const NOT_PRINTED: [&str; 13] = [
    "/stalls/",
    "/pulldown/start_s",
    "/pulldown/end_s",
    // of a mark it is the mark; found in a curve it is said in words
    "/isolated_window_s/",
    "/settled_at_s",
    "/hold/end_s",
    "/confidence",
    "/leak_probability",
    "/decide_after_s",
    "/data/rejected",
    "/data/left_out",
    "/findings/",
    // which round the verdict speaks of: what is printed is that round
    "/judged_round",
];

/// The test sees a value that is not what is printed, and one that should not be.
#[test]
fn a_wrong_value_and_an_unknown_one_are_seen() {
    let run = invented_runs::runs()
        .into_iter()
        .find(|r| r.name == "both_1h");
    let run = run.unwrap();
    let trace = Trace::default();
    let json = json_of(&run.findings);
    let mut paths = Vec::new();
    leaves(&json, "", &mut paths);
    paths.retain(|path| !NOT_PRINTED.iter().any(|n| path.contains(n)));
    assert!(paths.len() > 30, "{paths:?}");
    for (language, decimal) in LANGUAGES {
        let sheet = sheet_of(&trace, &run.findings, run.job.as_ref(), language);
        let complains = |json: &Value| {
            let job = run.job.as_ref();
            !expected::differences(&sheet, json, job, decimal)
                .1
                .is_empty()
        };
        assert!(!complains(&json));
        for path in &paths {
            let mut wrong = json.clone();
            let leaf = wrong.pointer_mut(path).unwrap();
            // so much that a 1 of one digit is another number
            *leaf = (1.6 * leaf.as_f64().unwrap()).into();
            assert!(complains(&wrong), "{path} may be anything");
            *wrong.pointer_mut(path).unwrap() = Value::Null;
            assert!(complains(&wrong), "{path} may be unknown");
        }
    }
}
