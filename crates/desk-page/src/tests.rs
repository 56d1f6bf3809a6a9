use std::path::Path;

use desk::{Row, RowKind};
use serde_json::{Value, json};

use super::*;

fn row(path: &str) -> Row {
    let row = json!({
        "path": path, "kind": "run", "job": "J-1 INVENTED", "started": "2026-11-03T14:05:00Z",
        "test": "evacuation", "verdict": "pass", "headline": "PASS",
        "reasons": ["leak_too_large"], "cause": "unclear", "confidence": 0.5,
        "leak_micron_per_min": 1.0 / 3.0, "lowest_micron": 231.0, "hold_min": 20.0,
        "isolated_by": "mark", "criteria": "500 micron, 20 min", "appliance": "freezer",
        "serial": "S-1", "refrigerant": "R-600a", "volume_l": 1.5, "ambient_c": 21.0,
        "repair": "drier renewed", "technician": "T. Echnician", "customer": "C. Ustomer",
        "gauge": "diaphragm", "seal": "other key",
        "said": {"made_by": "dryhold 0.0.9", "verdict": "fail", "criteria": "500 micron"},
        "rounds": [{"lowest_micron": 231.0, "hold_min": 20.0}],
        "curve": {"span_s": 3_600.0, "log_micron": [5_880, 2_300]},
        "flags": [{"code": "curve_copied", "words": "the readings of two others",
            "with": ["b", "elsewhere/c"]}],
    });
    let row: Row = serde_json::from_value(row).expect("a row");
    // a number that JSON does not have
    Row {
        detection_limit_micron_per_min: Some(f64::NAN),
        ..row
    }
}

fn options<'a>() -> PageOptions<'a> {
    PageOptions {
        title: "Claims",
        made_by: "dryhold 0.1.0",
        made_at: None,
        partial: None,
        without_personal_data: false,
        folder: Path::new("desk"),
        sheet: None,
    }
}

fn page(rows: &[Row], options: &PageOptions<'_>) -> String {
    let mut out = Vec::new();
    write(&mut out, rows, options).expect("written");
    String::from_utf8(out).expect("UTF-8")
}

/// What stands between two texts that stand there once.
fn between<'t>(page: &'t str, begin: &str, end: &str) -> &'t str {
    let (_, rest) = page.split_once(begin).expect(begin);
    rest.split_once(end).expect(end).0
}

fn data(page: &str) -> Value {
    let text = between(page, "id=\"data\">", "</script>");
    serde_json::from_str(text).expect("JSON")
}

#[test]
fn the_policy_lets_nothing_run_but_what_stands_in_the_page() {
    let page = page(&[row("a")], &options());
    let policy = between(&page, "Content-Security-Policy\" content=\"", "\">");
    let hash = |text: &str| STANDARD.encode(Sha256::digest(text.as_bytes()));
    for (kind, begin, end) in [
        ("style-src", "<style>", "</style>"),
        ("script-src", "<script>", "</script>"),
    ] {
        let inside = between(&page, begin, end);
        let allowed = format!("{kind} 'sha256-{}'", hash(inside));
        assert!(policy.contains(&allowed), "{policy}");
    }
    assert!(policy.starts_with("default-src 'none';") && !policy.contains("unsafe"));
    for place in ["POLICY", "TITLE", "STYLE", "DATA", "SCRIPT"] {
        assert!(!page.contains(&format!("/*{place}*/")), "{place}");
    }
    for fetching in [
        "src=",
        "url(",
        "@import",
        "fetch(",
        "XMLHttpRequest",
        "innerHTML",
    ] {
        assert!(!page.contains(fetching), "{fetching}");
    }
    let elsewhere = page.replace("http://www.w3.org/2000/svg", "");
    assert!(
        !elsewhere.contains("://"),
        "nothing is named but the namespace"
    );
}

#[test]
fn whatever_was_typed_stays_text() {
    const HOSTILE: &str = "</script><script>alert(1)</script><!--<style>/*DATA*//*SCRIPT*/&\"'";
    let mut hostile = row(HOSTILE);
    hostile.job = Some(HOSTILE.to_owned());
    hostile.flags[0].words = HOSTILE.to_owned();
    hostile.flags[0].with = vec![HOSTILE.to_owned() + "x"];
    let titled = PageOptions {
        title: HOSTILE,
        partial: Some(HOSTILE),
        ..options()
    };
    let page = page(&[hostile], &titled);
    assert_eq!(page.matches("</script>").count(), 2);
    assert_eq!(page.matches("<script").count(), 2);
    assert!(!page.contains("<!--") && page.contains("<title>&lt;/script&gt;"));
    let data = data(&page);
    assert_eq!(data["title"], HOSTILE);
    let texts: Vec<&str> = data["texts"]
        .as_array()
        .expect("texts")
        .iter()
        .filter_map(Value::as_str)
        .collect();
    assert!(texts.contains(&HOSTILE));
    assert_eq!(data["rows"][0][6][0][2][0], HOSTILE.to_owned() + "x");
}

#[test]
fn a_row_comes_back_field_by_field() {
    let rows = [row("a"), row("b")];
    let page = page(&rows, &options());
    let data = data(&page);
    let at = |list: &str, name: &str| {
        let names = data[list].as_array().expect("names");
        names.iter().position(|n| n == name).expect("a known name")
    };
    let text = |name: &str| {
        let number = data["rows"][0][0][at("text_fields", name)]
            .as_u64()
            .expect("a number");
        data["texts"][number as usize].clone()
    };
    let number = |name: &str| data["rows"][0][1][at("number_fields", name)].clone();
    for (name, value) in [
        ("path", "a"),
        ("kind", "run folder"),
        ("job", "J-1 INVENTED"),
        ("verdict", "pass"),
        ("seal", "other key"),
        ("technician", "T. Echnician"),
        ("repair", "drier renewed"),
    ] {
        assert_eq!(text(name), value, "{name}");
    }
    assert!(text("calibration_due").is_null() && text("unreadable").is_null());
    assert_eq!(number("leak"), 0.333_33);
    assert_eq!(number("hold"), 20.0);
    assert!(number("limit").is_null() && number("highest").is_null());
    let flag = &data["rows"][0][6][0];
    assert_eq!(
        data["flags"][flag[0].as_u64().expect("a place") as usize],
        "curve_copied"
    );
    // one is in the table, the other is not
    assert_eq!(flag[2], json!([1, "elsewhere/c"]));
    assert_eq!(data["rows"][0][5][0], 3_600.0);
}

#[test]
fn without_personal_data_there_is_none_in_the_file() {
    let asked = PageOptions {
        without_personal_data: true,
        ..options()
    };
    let page = page(&[row("a")], &asked);
    assert!(!page.contains("Echnician") && !page.contains("Ustomer"));
    assert_eq!(data(&page)["without_personal_data"], true);
}

#[test]
fn the_same_rows_give_the_same_bytes() {
    let rows = [row("a"), row("b")];
    assert_eq!(page(&rows, &options()), page(&rows, &options()));
}

#[test]
fn a_sheet_is_linked_from_where_the_page_lies() {
    let sheet = |row: &Row| (row.path != "none").then(|| Path::new(&row.path).join("sheet.html"));
    let asked = PageOptions {
        sheet: Some(&sheet),
        ..options()
    };
    let data = data(&page(&[row("claims/a"), row("none")], &asked));
    assert_eq!(data["rows"][0][7], "./../claims/a/sheet.html");
    assert!(data["rows"][1][7].is_null());
}

#[test]
fn a_sheet_beside_a_record_is_one_that_is_there() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut here = row(folder.path().to_str().expect("Unicode"));
    assert_eq!(sheet_beside(&here), None);
    for name in ["sheet.pdf", "sheet.html"] {
        std::fs::write(folder.path().join(name), "").expect("written");
        assert_eq!(sheet_beside(&here), Some(folder.path().join(name)));
    }
    here.kind = RowKind::Packed;
    assert_eq!(sheet_beside(&here), None);
}
