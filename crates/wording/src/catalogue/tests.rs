use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::Path,
};

use super::*;

/// The lines of each message of a file, by name.
fn texts(language: Language) -> BTreeMap<String, String> {
    let mut out: BTreeMap<String, String> = BTreeMap::new();
    let mut current = String::new();
    for line in message_file(language).lines() {
        let begins = line.starts_with(|c: char| c.is_ascii_lowercase());
        if let Some((id, text)) = line.split_once(" = ").filter(|_| begins) {
            id.clone_into(&mut current);
            let before = out.insert(current.clone(), text.to_owned());
            assert!(before.is_none(), "{}: {id} twice", language.code());
        } else if line.starts_with([' ', '}']) {
            out.entry(current.clone()).or_default().push_str(line);
        } else {
            let outside = line.is_empty() || line.starts_with('#');
            assert!(outside, "{}: {line}", language.code());
        }
    }
    out
}

fn variables(text: &str) -> BTreeSet<String> {
    text.split('$')
        .skip(1)
        .map(|rest| {
            let name = |c: &char| c.is_ascii_alphanumeric() || *c == '_';
            rest.chars().take_while(name).collect()
        })
        .collect()
}

#[test]
fn every_file_can_be_read_whole() {
    for language in Language::ALL {
        let resource = FluentResource::try_new(message_file(language).to_owned());
        let resource = resource.unwrap_or_else(|(_, e)| panic!("{}: {e:?}", language.code()));
        let tag: LanguageIdentifier = language.code().parse().unwrap();
        let mut bundle = Bundle::new_concurrent(vec![tag]);
        let added = bundle.add_resource(resource);
        assert!(added.is_ok(), "{}: {added:?}", language.code());
        for id in texts(language).keys() {
            let pattern = bundle.get_message(id).and_then(|m| m.value());
            assert!(pattern.is_some(), "{}: {id} is empty", language.code());
        }
    }
    let broken = FluentResource::try_new("half = { $value".to_owned());
    assert!(broken.is_err(), "a broken file is noticed");
}

#[test]
fn every_language_has_the_same_messages_with_the_same_variables() {
    let english = texts(Language::English);
    for language in Language::ALL {
        let own = texts(language);
        let (names, wanted): (Vec<_>, Vec<_>) = (own.keys().collect(), english.keys().collect());
        assert_eq!(names, wanted, "{}", language.code());
        for (id, text) in &own {
            assert!(!text.trim().is_empty(), "{}: {id}", language.code());
            assert_eq!(
                variables(text),
                variables(&english[id]),
                "{}: {id}",
                language.code()
            );
        }
    }
}

/// Words that are the same in another language.
const SAME: [(&str, &[&str]); 3] = [
    ("de", &["flow-in-volume", "system-title"]),
    ("es", &["after-noon", "before-noon", "met-no"]),
    (
        "fr",
        &[
            "entry-charge",
            "entry-volume",
            "minutes",
            "note-line",
            "sign-date",
            "sign-signature",
            "screen-key-manifold",
        ],
    ),
];

#[test]
fn nothing_is_left_in_english() {
    // with what the program puts in taken out, and what no language changes
    let words = |text: &str| -> String {
        let mut bare = text.to_owned();
        for variable in variables(text) {
            bare = bare.replace(&format!("{{ ${variable} }}"), "");
        }
        bare.chars().filter(|c| c.is_alphabetic()).collect()
    };
    let unchanging = ["", "C", "g", "min", "minC", "L", "ppm"];
    let english = texts(Language::English);
    for (code, same) in SAME {
        let language = Language::from_code(code).unwrap();
        for (id, text) in texts(language) {
            let (own, theirs) = (words(&text), words(&english[&id]));
            let alike = own == theirs && !unchanging.contains(&own.as_str());
            assert!(
                !alike || same.contains(&id.as_str()),
                "{code}: {id} reads as in English: {text}"
            );
        }
    }
}

/// Where messages are said.
const SPEAKERS: [&str; 5] = ["wording", "layout", "report", "watch", "terminal-view"];

/// Every Rust file of the crates that say messages, but tests, in one text.
fn program() -> String {
    fn collect(folder: &Path, out: &mut String) {
        let mut paths: Vec<_> = fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().path())
            .collect();
        paths.sort();
        for path in paths {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() && name != "tests" {
                collect(&path, out);
            } else if name.ends_with(".rs") && name != "tests.rs" {
                out.push_str(&fs::read_to_string(&path).unwrap());
            }
        }
    }
    let mut out = String::new();
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    for name in SPEAKERS {
        collect(&crates.join(name).join("src"), &mut out);
    }
    out
}

#[test]
fn no_message_is_unused() {
    let program = program();
    for id in texts(Language::English).keys() {
        assert!(program.contains(&format!("\"{id}\"")), "{id} is never said");
    }
}

/// The arguments of every `say!` in `program`, as written.
fn calls(program: &str) -> Vec<Vec<String>> {
    let mut out = Vec::new();
    for (at, _) in program.match_indices("say!(") {
        let (mut depth, mut in_text) = (1, false);
        let mut arguments = vec![String::new()];
        for c in program[at + "say!(".len()..].chars() {
            match c {
                '"' => in_text = !in_text,
                '(' | '[' | '{' if !in_text => depth += 1,
                ')' | ']' | '}' if !in_text => depth -= 1,
                ',' if !in_text && depth == 1 => {
                    arguments.push(String::new());
                    continue;
                }
                _ => {}
            }
            if depth == 0 {
                break;
            }
            if let Some(last) = arguments.last_mut() {
                last.push(c);
            }
        }
        let trimmed = arguments.iter().map(|a| a.trim().to_owned());
        out.push(trimmed.filter(|a| !a.is_empty()).collect());
    }
    out
}

#[test]
fn every_call_gives_what_its_message_takes() {
    let english = texts(Language::English);
    let mut checked = 0;
    for call in calls(&program()) {
        let Some(id) = call.get(1).and_then(|id| id.strip_prefix('"')) else {
            continue;
        };
        let id = id.trim_end_matches('"');
        let text = english.get(id);
        let text = text.unwrap_or_else(|| panic!("{id}: a message that is not there"));
        let given: BTreeSet<String> = call[2..]
            .iter()
            .map(|a| a.split('=').next().unwrap().trim().to_owned())
            .collect();
        assert_eq!(given, variables(text), "{id}");
        checked += 1;
    }
    assert!(checked > 150, "only {checked} calls were found");
}

#[test]
fn plurals_follow_the_language() {
    let said = |language, count: u64| {
        let args = [
            ("count", FluentValue::from(count)),
            ("rows", FluentValue::from(count.to_string())),
        ];
        message(language, "data-left-out", &args)
    };
    assert_eq!(said(Language::English, 1), "1 row left out");
    assert_eq!(said(Language::English, 0), "0 rows left out");
    assert_eq!(said(Language::German, 1), "1 Zeile ausgelassen");
    assert_eq!(said(Language::German, 2), "2 Zeilen ausgelassen");
    // CLDR plural rules: in French nothing is singular
    assert_eq!(said(Language::French, 0), "0 ligne écartée");
    assert_eq!(said(Language::Spanish, 2), "2 filas omitidas");
}
