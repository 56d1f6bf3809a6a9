//! What is printed in every language and unit.

use vacuum::{DayClock, Language, PressureUnit, SheetChoices, Zone};
use wording::Voice;

use super::Folder as _;
use crate::{Sheet, Trace, closeup, contents, curve, curve::tests::check};
use layout::{picture::Picture, plot::Plot};

const UNITS: [PressureUnit; 4] = [
    PressureUnit::Micron,
    PressureUnit::Pascal,
    PressureUnit::Millibar,
    PressureUnit::InHg,
];

fn spoken(language: Language, unit: PressureUnit) -> SheetChoices {
    SheetChoices {
        language: Some(language),
        unit: Some(unit),
        zone: Some(Zone::EastMin(60)),
        clock: Some(DayClock::Hours12),
        ..SheetChoices::default()
    }
}

fn with_sheet<T>(
    run: &invented_runs::Run,
    choices: &SheetChoices,
    look: impl FnOnce(&Sheet<'_>) -> T,
) -> T {
    let trace = run.trace();
    let second: Trace = invented_runs::pump_side(run).iter().collect();
    let gauge = vacuum::GaugeIdentity::default();
    let beside = [crate::Companion {
        place: "pump side",
        gauge: &gauge,
        trace: &second,
    }];
    look(&Sheet {
        choices: Some(choices),
        gauge_dialect: None,
        record_sha256: None,
        beside: &beside,
        ..run.sheet(&trace)
    })
}

/// Curve on its own, curve on the sheet, close-up, each without and with a second
/// gauge.
fn pictures(sheet: &Sheet<'_>) -> Vec<(&'static str, (Plot, Picture))> {
    let alone = Sheet {
        beside: &[],
        ..*sheet
    };
    let mut out = Vec::new();
    for (what, sheet) in [("two gauges", sheet), ("one gauge", &alone)] {
        for form in [layout::Form::Standalone, layout::Form::OnSheet] {
            out.push((what, curve::layout(sheet, form).unwrap()));
        }
    }
    out.extend(closeup::layout(&alone).unwrap().map(|l| ("close-up", l)));
    out
}

#[test]
fn nothing_is_clipped_or_covered_in_any_language_and_unit() {
    let runs = invented_runs::runs();
    for run in &runs {
        for language in Language::ALL {
            for unit in UNITS {
                let choices = spoken(language, unit);
                for (what, layout) in with_sheet(run, &choices, pictures) {
                    let name = format!("{} {} {unit:?} {what}", run.name, language.code());
                    check(&layout, &name);
                    // nothing typed stands in the close-up: what is said there is whole
                    let cut = layout.1.texts.iter().find(|t| t.words.ends_with('…'));
                    assert!(what != "close-up" || cut.is_none(), "{name}: {cut:?}");
                }
            }
        }
    }
}

/// The text of the page, a line for each element.
fn text_of(html: &str) -> String {
    let (_, body) = html.split_once("<body>").unwrap();
    let mut out = String::new();
    for part in body.split('<') {
        let text = part.split_once('>').map_or(part, |(_, text)| text).trim();
        if !text.is_empty() {
            out.push_str(text);
            out.push('\n');
        }
    }
    out
}

#[test]
fn micron_is_on_every_sheet() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "leak_1h").unwrap();
    for unit in UNITS {
        let choices = spoken(Language::German, unit);
        let html = with_sheet(run, &choices, |s| crate::sheet_html(s).unwrap());
        let text = text_of(&html);
        assert!(text.contains("690 micron"), "{unit:?}: {text}");
        assert!(text.contains("24,0 micron/min"), "{unit:?}: {text}");
        assert!(text.contains(unit.symbol()));
        assert!(html.contains("lang=\"de\""));
    }
}

/// A passed hold shows what it could have shown, never that there is no leak.
#[test]
fn a_pass_never_reads_no_leak_in_any_language() {
    let forbidden: [(Language, &str, &[&str]); 4] = [
        (
            Language::English,
            "does not say that there is no leak",
            &[
                "no leak",
                "leak-free",
                "without a leak",
                "leak-tight",
                "tight",
            ],
        ),
        (
            Language::German,
            "sagt nicht, dass es kein leck gibt",
            &[
                "kein leck",
                "keine leckage",
                "leckfrei",
                "ohne leck",
                " dicht",
            ],
        ),
        (
            Language::Spanish,
            "no dice que no haya fugas",
            &[
                "sin fuga",
                "no haya fuga",
                "no hay fuga",
                "ninguna fuga",
                "estanco",
                "hermétic",
            ],
        ),
        (
            Language::French,
            "ne dit pas qu&#39;il n&#39;y a pas de fuite",
            &["pas de fuite", "aucune fuite", "sans fuite", "étanch"],
        ),
    ];
    for run in invented_runs::runs()
        .iter()
        .filter(|r| r.name.starts_with("pass_"))
    {
        for (language, disclaimer, phrases) in forbidden {
            let choices = spoken(language, PressureUnit::Micron);
            let said = with_sheet(run, &choices, |sheet| {
                let mut said = crate::sheet_html(sheet).unwrap();
                said += &crate::curve_svg(sheet).unwrap();
                said += &wording::summary_lines(&sheet.voice(), sheet.findings).join("\n");
                said.to_lowercase()
            });
            assert!(said.contains(disclaimer), "{}", language.code());
            let rest = said.replace(disclaimer, "");
            for phrase in phrases {
                assert!(!rest.contains(phrase), "{}: {phrase}", language.code());
            }
        }
    }
}

/// What a go-ahead to charge is made of, in each language.
const GO_AHEAD: [(Language, &[&str]); 4] = [
    (
        Language::English,
        &[
            "weighed in",
            "can be charged",
            "charge can",
            "ready to charge",
        ],
    ),
    (
        Language::German,
        &[
            "eingewogen",
            "einwiegen",
            "kann gefüllt",
            "füllmenge kann",
            "kältemittel kann",
        ],
    ),
    (
        Language::Spanish,
        &[
            "pesar la carga",
            "se puede cargar",
            "puede pesar",
            "cargar el refrigerante",
        ],
    ),
    (
        Language::French,
        &[
            "charge peut",
            "être pesée",
            "peut être chargé",
            "peut charger",
            "charger à la balance",
        ],
    ),
];

/// The go-ahead is in one message, and only a pass whose cause is stated gets it.
#[test]
fn no_pass_with_a_leak_or_an_unknown_cause_gives_the_go_ahead() {
    let mut reserved = 0;
    for run in invented_runs::runs() {
        let plain = run.findings.pass() == Some(findings::PassWorth::Plain);
        for (language, phrases) in GO_AHEAD {
            for unit in UNITS {
                let choices = spoken(language, unit);
                let said = with_sheet(&run, &choices, |sheet| {
                    let mut said = crate::sheet_html(sheet).unwrap();
                    said += &crate::curve_svg(sheet).unwrap();
                    said += &wording::summary_lines(&sheet.voice(), sheet.findings).join("\n");
                    said += &contents::of(sheet).notes.items.join("\n");
                    said += &crate::findings_json(sheet.findings, "s");
                    said.to_lowercase()
                });
                let found = phrases.iter().filter(|p| said.contains(**p)).count();
                let name = format!("{} {} {unit:?}", run.name, language.code());
                assert_eq!(found > 0, plain, "{name}");
                if language == Language::English && !plain && run.name.starts_with("pass_leak") {
                    // title, box, review, JSON
                    let times = said.matches("pass by the rule").count();
                    assert!(times >= 4, "{name}: {times}");
                    assert!(said.matches("a leak is indicated").count() >= 4, "{name}");
                }
            }
        }
        reserved += u32::from(run.findings.pass().is_some() && !plain);
    }
    assert!(reserved >= 6, "{reserved}");
}

/// Every kind, confidence and finding that a pass can have.
#[test]
fn whatever_a_pass_is_like_only_a_plain_one_gets_the_go_ahead() {
    use findings::{Finding, LeakIndicated, PassWorth, RiseKind, Statement};
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "pass_leak").unwrap();
    let leak = |micron_per_min, g_per_year| {
        Statement::PassWithLeak(LeakIndicated {
            micron_per_min,
            g_per_year,
        })
    };
    let more = [
        vec![],
        vec![leak(None, None)],
        vec![leak(Some((0.0, 3.0)), None)],
        vec![leak(Some((1.0, 3.0)), Some((10.0, 150.0)))],
        vec![Statement::OneSideEvacuated],
    ];
    let kinds = [
        RiseKind::None,
        RiseKind::Leak,
        RiseKind::Moisture,
        RiseKind::LeakAndMoisture,
        RiseKind::Unclear,
    ];
    let mut plain = 0;
    for (kind, said) in kinds.iter().flat_map(|k| more.iter().map(move |m| (*k, m))) {
        for confidence in [None, Some(0.0), Some(0.899), Some(0.9), Some(1.0)] {
            let mut findings = run.findings.clone();
            findings.findings = said.iter().cloned().map(|s| Finding::at(1.0, s)).collect();
            let hold = findings.rounds[0].hold.as_mut().unwrap();
            (hold.rise.kind, hold.rise.confidence) = (kind, confidence);
            let worth = findings.pass().unwrap();
            let sure = confidence >= Some(0.9);
            let harmless = matches!(kind, RiseKind::None | RiseKind::Moisture);
            let leaks = said.iter().any(|s| matches!(s, Statement::PassWithLeak(_)));
            assert_eq!(worth == PassWorth::Plain, sure && harmless && !leaks);
            plain += u32::from(worth == PassWorth::Plain);
            for (language, phrases) in GO_AHEAD {
                let voice = Voice::from(&spoken(language, PressureUnit::Pascal));
                let lines = wording::summary_lines(&voice, &findings)
                    .join("\n")
                    .to_lowercase();
                let found = phrases.iter().any(|p| lines.contains(p));
                assert_eq!(
                    found,
                    worth == PassWorth::Plain,
                    "{kind:?} {confidence:?}: {lines}"
                );
            }
        }
    }
    assert_eq!(plain, 8);
}

/// Messages that speak of a weigh-in which somebody began, or asks to begin.
fn is_of_a_weigh_in(name: &str) -> bool {
    ["act-weigh-in-", "weighed-", "question-weighed-"]
        .iter()
        .any(|begins| name.starts_with(begins))
}

/// No other message holds the words of a go-ahead; those of a weigh-in name the act.
#[test]
fn the_go_ahead_is_one_message() {
    for (language, phrases) in GO_AHEAD {
        let lines = wording::message_file(language).lines();
        let found: Vec<&str> = lines
            .filter(|l| phrases.iter().any(|p| l.to_lowercase().contains(p)))
            .filter_map(|l| l.split_once(" = ").map(|(name, _)| name))
            .filter(|name| !is_of_a_weigh_in(name))
            .collect();
        assert_eq!(found, ["next-pass"], "{}", language.code());
    }
}

#[test]
fn findings_for_programs_stay_english() {
    let runs = invented_runs::runs();
    let run = runs.iter().find(|r| r.name == "stalls").unwrap();
    let json = crate::findings_json(&run.findings, "s");
    assert!(json.contains("only one side was evacuated"), "{json}");
}

/// Whole texts: whoever changes a sentence sees what it does to the page.
#[test]
fn sheets_read_as_they_did() {
    let runs = invented_runs::runs();
    for language in Language::ALL {
        let unit = if language == Language::English {
            PressureUnit::Micron
        } else {
            PressureUnit::Pascal
        };
        let choices = spoken(language, unit);
        let mut said = String::new();
        // one pass, one fail, one that is not proven, a pass with a leak, a tendency, ice
        for name in [
            "pass_1h",
            "both_1h",
            "stalls",
            "pass_leak",
            "leak_tends",
            "ice",
        ] {
            let run = runs.iter().find(|r| r.name == name).unwrap();
            with_sheet(run, &choices, |sheet| {
                let alone = Sheet {
                    beside: &[],
                    ..*sheet
                };
                let curve = curve::picture(&alone, layout::Form::Standalone).unwrap();
                said.push_str(&format!("== {name}: curve\n"));
                for text in &curve.texts {
                    said.push_str(&format!("{}\n", text.words));
                }
                said.push_str(&format!("== {name}: sheet\n"));
                said.push_str(&text_of(&crate::sheet_html(&alone).unwrap()));
                said.push_str(&format!("== {name}: review\n"));
                let lines = wording::summary_lines(&Voice::from(&choices), &run.findings);
                said.push_str(&lines.join("\n"));
                said.push('\n');
            });
        }
        insta::assert_snapshot!(format!("sheets_{}", language.code()), said);
    }
}

#[test]
fn the_page_says_when_it_began_in_the_zone_and_clock_chosen() {
    let runs = invented_runs::runs();
    let run = &runs[0];
    let choices = spoken(Language::English, PressureUnit::Micron);
    let started = with_sheet(run, &choices, |sheet| contents::of(sheet).started);
    assert_eq!(started, "started 2026-03-14 10:15:00 am UTC+01:00");
}
