//! Curve and sheet: sound files that need nothing from outside.

use std::path::Path;

use crate::{
    curves::Curve,
    run::{Ran, dryhold, dryhold_in, runs, scratch},
};

/// One XML tree with the SVG root, of a size, with words on it.
pub(crate) fn assert_well_formed(svg: &str) {
    let tree = parse(svg);
    let root = tree.root_element();
    assert_eq!(root.tag_name().name(), "svg");
    assert_eq!(
        root.tag_name().namespace(),
        Some("http://www.w3.org/2000/svg")
    );
    assert!(root.attribute("viewBox").is_some());
    let words: String = tree.descendants().filter_map(|n| n.text()).collect();
    assert!(words.contains("micron"), "{words}");
    assert!(
        ["PASS", "FAIL", "NOT PROVEN"]
            .iter()
            .any(|v| words.contains(v)),
        "the verdict stands on the picture: {words}"
    );
}

/// Loads nothing, runs nothing, carries the curve inside.
pub(crate) fn assert_self_contained(html: &str) {
    let lower = html.to_lowercase();
    assert!(lower.starts_with("<!doctype html>"));
    assert!(lower.trim_end().ends_with("</html>"));
    for forbidden in [
        "<script",
        "<link",
        "<iframe",
        "@import",
        "src=\"http",
        "url(http",
    ] {
        assert!(!lower.contains(forbidden), "{forbidden} in the sheet");
    }
    // the only address is the name of the SVG language, which nobody loads
    let rest = lower.replace("http://www.w3.org/2000/svg", "");
    assert!(!rest.contains("http://") && !rest.contains("https://"));
    let pictures: Vec<&str> = html.split("<svg").skip(1).collect();
    assert!(!pictures.is_empty(), "the curve is in the sheet");
    for (i, rest) in pictures.iter().enumerate() {
        let (picture, _) = rest.split_once("</svg>").expect("a whole picture");
        let picture = format!("<svg{picture}</svg>");
        if i == 0 {
            assert_well_formed(&picture);
        } else {
            parse(&picture);
        }
    }
}

fn parse(svg: &str) -> roxmltree::Document<'_> {
    roxmltree::Document::parse(svg).unwrap_or_else(|e| panic!("a picture: {e}"))
}

const PRODUCTS: [&str; 6] = [
    "curve.svg",
    "curve.png",
    "curve-small.png",
    "sheet.html",
    "sheet.pdf",
    "findings.json",
];

fn report(folder: &Path, arguments: &[&str]) -> Ran {
    let all: Vec<&str> = ["report"].iter().chain(arguments).copied().collect();
    dryhold_in(folder, all)
}

fn assert_has_pictures(folder: &Path) {
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).expect("a file");
    assert_well_formed(&read("curve.svg"));
    assert_self_contained(&read("sheet.html"));
    let bytes = |name: &str| std::fs::read(folder.join(name)).expect("a file");
    assert!(bytes("sheet.pdf").starts_with(b"%PDF-1.7"));
    for picture in ["curve.png", "curve-small.png"] {
        assert!(bytes(picture).starts_with(b"\x89PNG\r\n\x1a\n"));
    }
    let findings: serde_json::Value =
        serde_json::from_str(&read("findings.json")).expect("findings.json is JSON");
    assert_eq!(findings["schema"], "dryhold.findings/1");
}

#[test]
fn a_foreign_table_is_drawn_where_asked() {
    let folder = scratch();
    let table = folder.path().join("bench.csv");
    std::fs::write(&table, Curve::of("small-leak").marked()).expect("written");
    let ran = report(folder.path(), &["bench.csv", "--out", "new/pictures"]).expect(0);
    let out = folder.path().join("new/pictures");
    assert_has_pictures(&out);
    for name in PRODUCTS {
        let shown = format!("new/pictures/{name}");
        assert!(ran.out.lines().any(|l| l == shown), "{}", ran.out);
    }
    assert_eq!(runs(&out).len(), 6, "nothing else is left there");
    assert_eq!(runs(folder.path()).len(), 2, "nothing beside the table");
}

#[test]
fn without_out_a_foreign_table_gets_a_folder_of_its_own() {
    let folder = scratch();
    std::fs::write(folder.path().join("b.csv"), Curve::of("gross-leak").plain()).expect("written");
    report(folder.path(), &["b.csv"]).expect(0);
    assert_has_pictures(&folder.path().join("b-report"));
}

#[test]
fn the_same_record_gives_the_same_pictures() {
    let folder = scratch();
    let table = folder.path().join("b.csv");
    std::fs::write(&table, Curve::of("leak-and-moisture").marked()).expect("written");
    for out in ["one", "two"] {
        report(folder.path(), &["b.csv", "--out", out]).expect(0);
    }
    for name in PRODUCTS {
        let read = |out: &str| std::fs::read(folder.path().join(out).join(name)).expect("a file");
        assert!(read("one") == read("two"), "{name} differs");
    }
}

#[test]
fn names_from_outside_stay_text() {
    let folder = scratch();
    let name = "<script>alert(1)<script> & \"x\".csv";
    std::fs::write(folder.path().join(name), Curve::of("gross-leak").plain()).expect("written");
    report(folder.path(), &[name, "--out", "o"]).expect(0);
    assert_has_pictures(&folder.path().join("o"));
}

#[test]
fn what_cannot_be_drawn_is_one_line() {
    let folder = scratch();
    std::fs::write(folder.path().join("empty.csv"), "").expect("written");
    let empty = report(folder.path(), &["empty.csv", "--out", "o"]).expect(1);
    assert!(empty.complaint().contains("empty.csv"));
    assert!(!folder.path().join("o").exists(), "nothing half-made");

    let table = folder.path().join("b.csv");
    std::fs::write(&table, Curve::of("gross-leak").plain()).expect("written");
    // a file stands where the folder should be
    let blocked = report(folder.path(), &["b.csv", "--out", "empty.csv/x"]).expect(1);
    assert!(blocked.complaint().contains("empty.csv/x"), "{blocked:?}");

    let missing = dryhold(["report", "/no/such/run"]).expect(1);
    assert!(missing.complaint().contains("/no/such/run"));
}

#[test]
fn the_sheet_is_made_as_it_was_asked_for() {
    let folder = scratch();
    let table = folder.path().join("b.csv");
    std::fs::write(&table, Curve::of("gross-leak").marked()).expect("written");
    let logo = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 30 10'>\
                <rect width='30' height='10' fill='#104080'/></svg>";
    std::fs::write(folder.path().join("logo.svg"), logo).expect("written");
    let read = |out: &str, name: &str| {
        std::fs::read(folder.path().join(out).join(name)).expect("a product")
    };
    report(folder.path(), &["b.csv", "--out", "a4"]).expect(0);
    report(
        folder.path(),
        &[
            "b.csv", "--out", "us", "--paper", "LETTER", "--logo", "logo.svg",
        ],
    )
    .expect(0);
    let html = |out: &str| String::from_utf8(read(out, "sheet.html")).expect("text");
    assert!(html("us").contains("data:image/png;base64,"));
    assert!(!html("a4").contains("data:image"));
    assert!(read("us", "sheet.pdf") != read("a4", "sheet.pdf"));
    let without = [
        "b.csv",
        "--out",
        "no",
        "--leave-out",
        "serial,oil",
        "--no-personal-data",
    ];
    report(
        folder.path(),
        &[&without[..], &["--logo", "logo.svg"]].concat(),
    )
    .expect(0);
    let sheet = html("no");
    assert!(!sheet.contains("<dt>Oil</dt>") && !sheet.contains("data:image"));
    assert!(sheet.contains("<dt>Charge</dt>"));
}

#[test]
fn a_logo_that_cannot_be_printed_never_costs_the_sheet() {
    let folder = scratch();
    std::fs::write(folder.path().join("b.csv"), Curve::of("gross-leak").plain()).expect("written");
    std::fs::write(folder.path().join("logo.gif"), "GIF89a").expect("written");
    for logo in ["logo.gif", "no-such-file.png"] {
        let ran = report(folder.path(), &["b.csv", "--out", "o", "--logo", logo]).expect(0);
        let said = ran.complaint();
        assert!(
            said.contains(logo) && said.contains("not printed"),
            "{said}"
        );
        assert_has_pictures(&folder.path().join("o"));
    }
    let odd = report(folder.path(), &["b.csv", "--leave-out", "shoes"]).expect(2);
    assert!(odd.err.contains("gauge-serial"), "{odd:?}");
    let odd = report(folder.path(), &["b.csv", "--paper", "a5"]).expect(2);
    assert!(odd.err.contains("letter"), "{odd:?}");
}
