use crate::{Sheet, sheet_html, tests::Folder as _};

fn html_of(name: &str) -> String {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == name).unwrap();
    let trace = run.trace();
    sheet_html(&Sheet {
        gauge_dialect: None,
        ..run.sheet(&trace)
    })
    .unwrap()
}

#[test]
fn the_sheet_carries_what_a_warranty_desk_asks() {
    let html = html_of("both_1h");
    for wanted in [
        "INVENTED DEMONSTRATION DATA",
        ">FAIL</strong>",
        "The pressure rose to 739 micron in the hold, above the ceiling of 500 micron.",
        "10 min or longer",
        "lowest 178 micron",
        "9.00 micron/min (95 %: 8.28 to 9.72)",
        "4.20 × 10⁻⁵ Pa·m³/s",
        "31.6 g/year",
        "rise × volume (2.1 L), 20 °C",
        "0.21 micron/min, 9.8 × 10⁻⁷ Pa·m³/s in 2.1 L (charged: 1.0 to 14 g/year of R-600a)",
        "at most 0.23 mg, 4.0 ppm of the charge",
        "R-600a is flammable (safety group A3)",
        "Never energise the compressor while the system is under vacuum",
        "nitrogen only through a regulator",
        "Recover refrigerant",
        "eye and hand protection",
        "both sides",
        "2027-01-20",
        "3/8 in × 1.2 m evacuation hose",
        "INV-55-1042",
        "Signature",
        "0:40:20",
        "Judged by dryhold 0.1.0",
        "Digest of the record: 5f3c9d1e 0b7a4652 8894c1d2 e3f40516",
        "dryhold verify FOLDER",
        "Local codes and the maker&#39;s instructions decide",
    ] {
        assert!(html.contains(wanted), "\"{wanted}\" is missing");
    }
}

#[test]
fn nothing_is_loaded_and_nothing_runs() {
    for run in ["pass_1h", "hostile_text", "empty"] {
        let html = html_of(run);
        for forbidden in [
            "<script", "src=", "@import", "url(", "<link", "onload", "href=",
        ] {
            assert!(!html.contains(forbidden), "{run}: {forbidden}");
        }
        let outside = html.replace("http://www.w3.org/2000/svg", "");
        assert!(!outside.contains("http"), "{run}");
        assert_eq!(html.matches("</html>").count(), 1);
    }
}

#[test]
fn absent_knowledge_is_said_to_be_absent() {
    let html = html_of("order_wrong");
    assert!(html.matches("not given").count() >= 15);
    assert!(html.contains("treat it as flammable"));
    assert!(!html.contains("INVENTED"));
    let empty = html_of("empty");
    assert!(empty.contains("No hold was found") && empty.contains("not shown"));
    assert!(!empty.contains("NaN") && !empty.contains("inf"));
}

#[test]
fn a_pass_never_reads_no_leak() {
    let html = html_of("pass_1h").to_lowercase();
    assert!(html.contains(">pass</strong>"));
    let disclaimed = html.replace("does not say that there is no leak", "");
    assert!(!disclaimed.contains("no leak"), "a hold cannot prove that");
    assert!(html.contains("a smaller leak is not ruled out"));
}
