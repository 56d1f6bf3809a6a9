//! What people typed is text on every picture and page, never markup: each is
//! read back with an XML reader that is not ours.

use std::{collections::BTreeSet, sync::LazyLock};

use super::Folder as _;
use crate::{Sheet, Trace};
use findings::{Findings, Statement};
use proptest::prelude::*;
use vacuum::{Entry, GaugeIdentity, Job, Mark, MarkKind};

/// A run in which everything that can be typed says `text`.
struct Typed {
    trace: Trace,
    second: Trace,
    findings: Findings,
    job: Job,
    text: String,
}

impl Typed {
    fn new(text: &str) -> Self {
        let run = invented_runs::runs()
            .into_iter()
            .find(|r| r.name == "both_1h")
            .unwrap();
        let mut trace = run.trace();
        let mut second = Trace::default();
        for entry in invented_runs::pump_side(&run) {
            second.push(&entry);
        }
        let end_s = run.entries.last().map_or(0.0, Entry::elapsed_s);
        for kind in [MarkKind::Note, MarkKind::HeatApplied] {
            trace.push(&Entry::Mark(Mark {
                elapsed_s: end_s,
                kind,
                note: text.into(),
            }));
        }
        let some = || Some(text.to_owned());
        let mut findings = run.findings;
        findings.criteria.name = text.into();
        findings.criteria.source = text.into();
        for finding in &mut findings.findings {
            finding.statement = Statement::GaugesDisagree {
                far_micron: 200.0,
                auxiliary_micron: 290.0,
                place: text.into(),
                accuracy: 0.1,
            };
        }
        let job = Job {
            id: text.into(),
            appliance: some(),
            model: some(),
            serial: some(),
            refrigerant: some(),
            oil: some(),
            repair: some(),
            technician: some(),
            licence: some(),
            shop: some(),
            pump: some(),
            hose: some(),
            gauge: GaugeIdentity {
                description: some(),
                serial: some(),
                principle: None,
                calibrated_on: some(),
                calibration_due: some(),
            },
            ..run.job.unwrap_or_default()
        };
        Self {
            trace,
            second,
            findings,
            job,
            text: text.into(),
        }
    }

    /// The gauge at the pump, called by that name too.
    fn beside(&self) -> [crate::Companion<'_>; 1] {
        [crate::Companion {
            place: &self.text,
            gauge: &self.job.gauge,
            trace: &self.second,
        }]
    }

    fn sheet<'a>(&'a self, beside: &'a [crate::Companion<'a>]) -> Sheet<'a> {
        Sheet {
            trace: &self.trace,
            findings: &self.findings,
            job: Some(&self.job),
            given: crate::GivenAtReview::NOTHING,
            choices: None,
            gauge_dialect: None,
            source: &self.text,
            started_utc: Some(&self.text),
            made_by: &self.text,
            record_sha256: Some(&self.text),
            logo: None,
            photo: None,
            beside,
            rig: None,
        }
    }

    /// The curve, the close-up, and the page between its body tags.
    fn documents(&self) -> [String; 3] {
        let beside = self.beside();
        let sheet = self.sheet(&beside);
        let page = crate::sheet_html(&sheet).unwrap();
        let (head, body) = page.split_once("<body>").unwrap();
        let (body, end) = body.rsplit_once("</body>").unwrap();
        assert_eq!(end, "\n</html>\n");
        let (_, title) = head.split_once("<title>").unwrap();
        let (title, _) = title.split_once("</title>").unwrap();
        assert!(!title.contains(['<', '>', '"']), "{title}");
        [
            crate::curve_svg(&sheet).unwrap(),
            crate::hold_svg(&sheet).unwrap().unwrap(),
            format!("<body>{body}</body>"),
        ]
    }
}

/// Every element with its attributes, by name.
fn shapes(document: &str) -> BTreeSet<String> {
    let tree = roxmltree::Document::parse(document)
        .unwrap_or_else(|e| panic!("not well-formed: {e}\n{document}"));
    let mut out = BTreeSet::new();
    for node in tree.descendants() {
        assert!(!node.is_comment() && !node.is_pi(), "{document}");
        if node.is_element() {
            let name = node.tag_name().name().to_owned();
            out.extend(node.attributes().map(|a| format!("{name} {}", a.name())));
            out.insert(name);
        }
    }
    out
}

/// Everything that a reader sees, without blanks: lines may be broken anywhere.
fn words(document: &str) -> String {
    let tree = roxmltree::Document::parse(document).unwrap();
    let texts = tree
        .descendants()
        .filter_map(|n| n.is_text().then(|| n.text()).flatten());
    texts
        .flat_map(str::chars)
        .filter(|c| !c.is_whitespace())
        .collect()
}

/// The markup that a harmless word leads to.
static HARMLESS: LazyLock<[BTreeSet<String>; 3]> = LazyLock::new(|| {
    // a long word too, and none: both are laid out in another way
    let [mut curve, mut hold, mut page] = [BTreeSet::new(), BTreeSet::new(), BTreeSet::new()];
    for text in ["word", &"long words ".repeat(60), ""] {
        let [c, h, p] = Typed::new(text).documents();
        curve.append(&mut shapes(&c));
        hold.append(&mut shapes(&h));
        page.append(&mut shapes(&p));
    }
    [curve, hold, page]
});

fn check(text: &str) -> [String; 3] {
    let documents = Typed::new(text).documents();
    for (document, harmless) in documents.iter().zip(&*HARMLESS) {
        let more: Vec<String> = shapes(document).difference(harmless).cloned().collect();
        assert!(more.is_empty(), "{more:?} by {text:?}");
        // XML 1.0 section 2.2 allows no other control characters
        let forbidden = |c: char| {
            (c < ' ' && !matches!(c, '\t' | '\n' | '\r')) || matches!(c, '\u{FFFE}' | '\u{FFFF}')
        };
        assert!(!document.contains(forbidden), "{text:?}");
    }
    documents
}

#[test]
fn what_breaks_out_elsewhere_stays_text() {
    for text in [
        "</text></svg><script>alert(1)</script>",
        "\" onload=\"alert(1)\" x=\"",
        "' onmouseover='alert(1)",
        "<![CDATA[<x/>]]>",
        "]]>",
        "<!-- -->",
        "<?xml version='1.0'?>",
        "&lt;b&gt; &amp;amp; &#60;i&#62;",
        "&nbsp;&bogus;",
        "</title><img src=x>",
        "</style><link rel=stylesheet href=x>",
        "{{7*7}} ${7*7}",
        "\u{0}\u{1}\u{b}\u{1b}[31m\u{7f}\u{85}\u{FFFE}\u{FFFF}",
        "\u{202E}txet desrever",
    ] {
        check(text);
    }
}

fn typed_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        prop::sample::select(vec![
            "<",
            ">",
            "&",
            "\"",
            "'",
            "</",
            "/>",
            "<!--",
            "-->",
            "]]>",
            "<![CDATA[",
            "<?",
            "&#",
            "&amp;",
            "<a b='c'>",
            "\0",
            "\u{1f}",
            "\u{FFFE}",
            "\u{202E}",
            "\n",
            "x",
            " ",
        ])
        .prop_map(str::to_owned),
        any::<char>().prop_map(String::from),
    ];
    prop::collection::vec(piece, 0..24).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_text_becomes_markup(text in typed_text()) {
        check(&text);
    }

    /// Printable text comes back to the letter.
    #[test]
    fn text_reads_as_it_was_typed(text in "[A-Za-z<>&\"';/=#-]{1,16}") {
        let [_, _, page] = check(&text);
        let seen = words(&page);
        let job = format!("Job{text}");
        prop_assert!(seen.contains(&job), "{} in {}", job, seen);
        prop_assert!(seen.matches(&text).count() >= 12, "{}", seen);
    }
}
