//! The rules of the house, as tests: which crate may see which, what lies at
//! the top, and what may not stand in the code.
//!
//! Each rule is a function that takes text and returns complaints, so that it
//! can be shown a bad example too: a rule that cannot complain is no rule.

mod circles;
mod edges;
mod licences;
mod sizes;
mod tree;

use std::{
    collections::BTreeSet,
    fs,
    path::{Component, Path, PathBuf},
    process::Command,
};

use circles::Crate;
use edges::{ALLOWED, wrong_edges};
use licences::Policy;
use serde_json::Value;
use sizes::{production_lines, too_large};
use tree::{LEFT_BEHIND, cargo_metadata, files, metadata, read, shown, top};

/// What may lie at the top beside dotfiles.
const TOP_LEVEL: [&str; 12] = [
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE-MIT",
    "LICENSE-APACHE",
    "deny.toml",
    "clippy.toml",
    "crates",
    "firmware-notes",
    "tests",
    "samples",
];

const LONGEST_FILE_LINES: usize = 500;

/// Words that stop the program or leave it unfinished.
const FORBIDDEN: [&str; 5] = [".unwrap()", ".expect(", "todo!", "unimplemented!", "dbg!"];

fn assert_none(complaints: &[String]) {
    assert!(complaints.is_empty(), "\n{}\n", complaints.join("\n"));
}

#[test]
fn no_modules_of_a_crate_use_each_other_in_a_ring() {
    let mut complaints = Vec::new();
    for (name, _) in ALLOWED {
        let folder = top().join("crates").join(name).join("src");
        let sources = files(&folder, &["rs"]);
        let inside = |path: &Path| path.strip_prefix(&folder).expect("below").to_owned();
        let sources: Vec<_> = sources.iter().map(|p| (inside(p), read(p))).collect();
        let read = Crate::read(sources.iter().map(|(p, t)| (p.as_path(), t.clone())));
        let circles = read.circles();
        complaints.extend(circles.iter().map(|c| format!("{name}: a ring:\n    {c}")));
    }
    assert_none(&complaints);
}

#[test]
fn no_crate_is_too_large_for_one_reason_to_exist() {
    let mut complaints = Vec::new();
    for (name, _) in ALLOWED {
        let folder = top().join("crates").join(name).join("src");
        let below = |path: &Path| path.strip_prefix(&folder).expect("below").to_owned();
        let sources = files(&folder, &["rs"]);
        let lines = sources
            .iter()
            .map(|path| production_lines(&below(path), &read(path)));
        complaints.extend(too_large(name, lines.sum()));
    }
    assert_none(&complaints);
}

#[test]
fn production_code_is_counted_without_its_tests() {
    let of = |path: &str, source| production_lines(Path::new(path), source);
    let source = "fn a() {}\n\n#[cfg(test)]\n#[cfg(unix)]\nmod tests {\n}\n";
    assert_eq!(of("a.rs", source), 2);
    assert_eq!(of("a.rs", "#[cfg(test)]\nmod tests;\nfn a() {}\n"), 3);
    for path in ["tests.rs", "a/tests/b.rs", "a_tests.rs"] {
        assert_eq!(of(path, source), 0, "{path}");
    }
    assert!(too_large("dryhold", 4_501).is_some() && too_large("dryhold", 4_500).is_none());
    assert!(too_large("report", 9_001).is_some() && too_large("report", 9_000).is_none());
}

/// Crates that a recording cannot depend on: whatever becomes of them, it goes on.
const VIEWS: [&str; 5] = [
    "terminal-view",
    "phone-view",
    "notify",
    "console",
    "rehearsal",
];

/// Workspace members that `from` needs to be built, itself among them.
fn built_with(metadata: &Value, from: &str) -> BTreeSet<String> {
    let packages = metadata["packages"].as_array().expect("packages");
    let mut found = BTreeSet::new();
    let mut waiting = vec![from.to_owned()];
    while let Some(name) = waiting.pop() {
        let package = packages.iter().find(|p| p["name"] == name.as_str());
        let Some(package) = package.filter(|_| found.insert(name.clone())) else {
            continue;
        };
        let all = package["dependencies"].as_array().expect("dependencies");
        let normal = all.iter().filter(|d| d["kind"].is_null());
        waiting.extend(normal.filter_map(|d| d["name"].as_str().map(str::to_owned)));
    }
    let member = |name: &String| packages.iter().any(|p| p["name"] == name.as_str());
    found.into_iter().filter(member).collect()
}

#[test]
fn a_recording_is_built_without_any_view_and_without_the_simulator() {
    let metadata = metadata();
    // what records by itself is tested in crates/recorder/tests, in just that build
    let recorder = built_with(&metadata, "recorder");
    assert!(recorder.contains("run-record") && recorder.contains("watch"));
    // and each view without the recorder, and without the other views
    for view in VIEWS {
        assert!(!recorder.contains(view), "the recorder needs {view}");
        let view_alone = built_with(&metadata, view);
        assert!(
            !view_alone.contains("recorder"),
            "{view} needs the recorder"
        );
    }
    assert!(built_with(&metadata, "dryhold").contains("terminal-view"));
}

/// Lines of a source file that stop the program, outside tests and comments.
fn stopping_lines(source: &str) -> Vec<(usize, &str)> {
    let mut found = Vec::new();
    let mut lines = source.lines().enumerate();
    while let Some((index, line)) = lines.next() {
        let indent = &line[..line.len() - line.trim_start().len()];
        if line.trim_start().starts_with("#[cfg(test)]") {
            // rustfmt closes the item at the indent it began with
            for (_, line) in lines.by_ref() {
                let Some(rest) = line.strip_prefix(indent) else {
                    continue;
                };
                let at_this_indent = !rest.starts_with(char::is_whitespace);
                if at_this_indent && (rest.starts_with('}') || rest.ends_with(';')) {
                    break;
                }
            }
            continue;
        }
        let code = line.trim_start();
        if !code.starts_with("//") && FORBIDDEN.iter().any(|word| code.contains(word)) {
            found.push((index + 1, line));
        }
    }
    found
}

/// Names of the files (without `.rs`) that a source declares for tests only.
fn test_modules(source: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut lines = source.lines().map(str::trim);
    while let Some(line) = lines.next() {
        if line != "#[cfg(test)]" {
            continue;
        }
        let mut line = lines.next().unwrap_or_default();
        let mut file = None;
        while let Some(attribute) = line.strip_prefix("#[") {
            let path = attribute.strip_prefix("path = \"");
            file = path
                .and_then(|p| p.strip_suffix(".rs\"]"))
                .map(str::to_owned)
                .or(file);
            line = lines.next().unwrap_or_default();
        }
        if let Some(name) = line.strip_prefix("mod ").and_then(|m| m.strip_suffix(';')) {
            found.push(file.unwrap_or_else(|| name.to_owned()));
        }
    }
    found
}

fn has_workspace_lints(manifest: &str) -> bool {
    manifest
        .split("[lints]")
        .nth(1)
        .and_then(|after| after.trim_start().lines().next())
        .is_some_and(|line| line.replace(' ', "") == "workspace=true")
}

/// The system that this is built on, as rustc names it.
fn host() -> String {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let told = Command::new(rustc).arg("-vV").output().expect("rustc runs");
    let told = String::from_utf8_lossy(&told.stdout).into_owned();
    let host = told.lines().find_map(|line| line.strip_prefix("host: "));
    host.expect("rustc says its host").to_owned()
}

/// Of what is built here; of every system and feature where `DRYHOLD_EVERY_PLATFORM` is
/// set, which may have to fetch packages.
#[test]
fn every_dependency_has_a_licence_and_a_source_that_deny_toml_allows() {
    let policy = Policy::read(&read(&top().join("deny.toml")));
    let metadata = match std::env::var_os("DRYHOLD_EVERY_PLATFORM") {
        Some(_) => cargo_metadata(&["--all-features", "--locked"]),
        None => cargo_metadata(&["--offline", "--filter-platform", &host()]),
    };
    let count = metadata["packages"].as_array().map_or(0, Vec::len);
    assert!(count > 100, "only {count} packages");
    assert_none(&policy.complaints(&metadata));
}

#[test]
fn dependencies_run_one_way() {
    let metadata = metadata();
    let found = metadata["packages"].as_array().map_or(0, Vec::len);
    assert_eq!(found, ALLOWED.len(), "crates in the workspace");
    assert_none(&wrong_edges(&metadata));
}

#[test]
fn the_dependency_rule_sees_every_kind_of_wrong_edge() {
    let metadata: Value = serde_json::from_str(
        r#"{"packages": [
            {"name": "vacuum", "dependencies": [{"name": "report", "kind": null}]},
            {"name": "analyser", "dependencies": [
                {"name": "vacuum", "kind": null},
                {"name": "rehearsal", "kind": "dev"},
                {"name": "proptest", "kind": "dev"}]},
            {"name": "rehearsal", "dependencies": []},
            {"name": "report", "dependencies": [
                {"name": "analyser", "kind": null},
                {"name": "invented-runs", "kind": "dev"}]},
            {"name": "wording", "dependencies": [{"name": "invented-runs", "kind": null}]},
            {"name": "odds-and-ends", "dependencies": []}
        ]}"#,
    )
    .expect("JSON");
    let complaints = wrong_edges(&metadata);
    assert_eq!(complaints.len(), 4, "{complaints:?}");
    assert!(complaints[0].starts_with("vacuum → report (normal)"));
    assert!(complaints[1].starts_with("analyser → rehearsal (dev)"));
    assert!(complaints[2].starts_with("wording → invented-runs: only for tests"));
    assert!(complaints[3].starts_with("odds-and-ends: a crate with no rule"));
}

/// What only the feature `tls` may bring.
const OF_TLS: [&str; 4] = ["rcgen", "rustls", "rustls-native-certs", "tokio-rustls"];

/// Packages of `cargo metadata` that bring TLS, and with it C code, into a usual build.
fn usual_tls(metadata: &Value) -> Vec<String> {
    let mut complaints = Vec::new();
    for package in metadata["packages"].as_array().expect("packages") {
        let name = package["name"].as_str().unwrap_or_default();
        let brings = |feature: &Value| {
            let feature = feature.as_str().unwrap_or_default();
            feature.contains("tls")
        };
        let usual = package["features"]["default"].as_array();
        if usual.is_some_and(|features| features.iter().any(brings)) {
            complaints.push(format!("{name}: tls is among its default features"));
        }
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            let to = dependency["name"].as_str().unwrap_or_default();
            let features = dependency["features"].as_array();
            let asks = features.is_some_and(|features| features.iter().any(brings));
            if dependency["optional"] != true && (asks || OF_TLS.contains(&to)) {
                complaints.push(format!("{name} → {to}: only with the feature tls"));
            }
        }
    }
    complaints
}

#[test]
fn a_usual_build_has_no_tls() {
    assert_none(&usual_tls(&metadata()));
    let bad: Value = serde_json::from_str(
        r#"{"packages": [
            {"name": "one", "features": {"default": ["tls"], "tls": []}, "dependencies": [
                {"name": "rustls", "optional": false, "features": ["ring"]},
                {"name": "rcgen", "optional": true, "features": []},
                {"name": "rumqttc", "optional": false, "features": ["use-rustls"]}]}
        ]}"#,
    )
    .expect("JSON");
    assert_eq!(usual_tls(&bad).len(), 3);
}

#[test]
fn the_top_holds_what_it_should_and_nothing_else() {
    let mut complaints = Vec::new();
    for entry in fs::read_dir(top()).expect("the top") {
        let name = entry.expect("an entry").file_name();
        let name = name.to_string_lossy();
        let known = TOP_LEVEL.contains(&&*name) || LEFT_BEHIND.contains(&&*name);
        if !known && !name.starts_with('.') {
            complaints.push(format!("{name}: does not belong at the top"));
        }
    }
    for name in TOP_LEVEL {
        if !top().join(name).exists() {
            complaints.push(format!("{name}: missing at the top"));
        }
    }
    assert_none(&complaints);
}

#[test]
fn git_ignores_what_is_left_behind() {
    let ignored = read(&top().join(".gitignore"));
    for name in LEFT_BEHIND {
        assert!(
            ignored.lines().any(|line| line == format!("/{name}/")),
            "{name} is not in .gitignore"
        );
    }
}

#[test]
fn no_source_file_is_too_long() {
    let sources = files(&top(), &["rs", "c", "h", "js", "css"]);
    assert!(sources.len() > 10, "only {} sources found", sources.len());
    // the fuzz targets lie outside of the workspace, but not of the house
    assert!(
        sources
            .iter()
            .any(|p| p.starts_with(top().join("tests/fuzz")))
    );
    let too_long = |path: &PathBuf| {
        let lines = read(path).lines().count();
        (lines > LONGEST_FILE_LINES).then(|| {
            format!(
                "{}: {lines} lines, at most {LONGEST_FILE_LINES}",
                shown(path)
            )
        })
    };
    assert_none(&sources.iter().filter_map(too_long).collect::<Vec<_>>());
}

#[test]
fn every_crate_takes_the_workspace_lints() {
    let mut complaints = Vec::new();
    for (name, _) in ALLOWED {
        let manifest = top().join("crates").join(name).join("Cargo.toml");
        if !has_workspace_lints(&read(&manifest)) {
            complaints.push(format!(
                "{}: no \"[lints] workspace = true\"",
                shown(&manifest)
            ));
        }
    }
    assert_none(&complaints);
    assert!(has_workspace_lints("[lints]\nworkspace = true\n"));
    assert!(!has_workspace_lints(
        "[lints.rust]\nmissing_docs = \"allow\"\n"
    ));
    assert!(!has_workspace_lints("[lints]\nworkspace = false\n"));
}

/// The tables of a manifest whose names begin so, and what stands in them.
fn tables(manifest: &str, begin: &str) -> String {
    let mut inside = false;
    let wanted = manifest.lines().filter(|line| {
        if line.starts_with('[') {
            inside = line.starts_with(begin);
        }
        inside && !line.is_empty() && !line.starts_with('#')
    });
    wanted.collect::<Vec<_>>().join("\n")
}

#[test]
fn the_fuzz_targets_obey_the_same_lints() {
    let (house, fuzz) = (
        read(&top().join("Cargo.toml")),
        read(&top().join("tests/fuzz/Cargo.toml")),
    );
    let lints = tables(&house, "[workspace.lints.");
    assert!(lints.contains("unsafe_code"));
    assert_eq!(lints, tables(&fuzz, "[workspace.lints."));
    assert!(has_workspace_lints(&fuzz));
    assert!(fuzz.lines().any(|line| line == "publish = false"));
    assert!(
        house
            .lines()
            .any(|line| line == "exclude = [\"tests/fuzz\"]")
    );
}

#[test]
fn nothing_but_tests_may_stop_the_program() {
    let mut complaints = Vec::new();
    let crates: Vec<_> = ALLOWED
        .iter()
        .map(|(name, _)| top().join("crates").join(name))
        .collect();
    for folder in crates.iter().chain([&top().join("tests/fuzz")]) {
        let sources = files(&folder.join("src"), &["rs"]);
        let only_tests: BTreeSet<String> = sources
            .iter()
            .flat_map(|p| test_modules(&read(p)))
            .collect();
        for path in &sources {
            let is_test = |part: Component<'_>| {
                let part = part.as_os_str().to_string_lossy();
                only_tests.contains(part.trim_end_matches(".rs"))
            };
            let inside = path.strip_prefix(folder.join("src")).unwrap_or(path);
            if inside.components().any(is_test) {
                continue;
            }
            for (line, text) in stopping_lines(&read(path)) {
                complaints.push(format!("{}:{line}: {}", shown(path), text.trim()));
            }
        }
    }
    assert_none(&complaints);
}

#[test]
fn files_that_only_tests_compile_are_known_by_their_declaration() {
    let source = "\
#[cfg(test)]
mod tests;
#[cfg(test)]
#[path = \"gas_tests.rs\"]
mod gas;
#[cfg(test)]
mod inline {
}
mod real;
";
    assert_eq!(test_modules(source), ["tests", "gas_tests"]);
}

#[test]
fn the_rule_on_stopping_knows_tests_and_comments() {
    let source = "\
fn a() {
    b.unwrap();
    // c.unwrap() in a comment
    //! d.expect(\"in a doctest\")
}
#[cfg(test)]
use e::F;
fn g() { todo!() }
mod h {
    #[cfg(test)]
    mod tests {
        fn i() {
            j.unwrap();
        }
    }
    fn k() { l.expect(\"m\"); }
}
#[cfg(test)]
mod tests {
    fn n() {
        o.unwrap();
    }
}
fn p() { q.unwrap(); }
";
    let lines: Vec<usize> = stopping_lines(source).into_iter().map(|l| l.0).collect();
    assert_eq!(lines, [2, 8, 16, 24]);
}
