//! The proofs that live with the record itself: run as they are, their lines that
//! begin with `proof:` collected.

use std::{
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use serde_json::Value;

use super::Row;

/// The built test programs of `run-record` and `foreign-csv` with the features of the
/// whole workspace, as this one was built.
pub(super) struct TestPrograms(Vec<(String, PathBuf)>);

impl TestPrograms {
    pub(super) fn build() -> Self {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let mut command = Command::new(cargo);
        command.args(["test", "--workspace", "--no-run", "--quiet"]);
        command.args(["--message-format", "json"]);
        command.args([
            "--test",
            "sealed",
            "--test",
            "record",
            "--test",
            "flat_memory",
        ]);
        if !cfg!(debug_assertions) {
            command.arg("--release");
        }
        let output = command
            .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
            .stderr(Stdio::inherit())
            .output()
            .expect("cargo starts");
        assert!(output.status.success(), "the proofs do not build");
        let text = String::from_utf8(output.stdout).expect("UTF-8");
        let built = text.lines().filter_map(|line| {
            let message: Value = serde_json::from_str(line).ok()?;
            let name = message["target"]["name"].as_str()?.to_owned();
            let source = message["target"]["src_path"].as_str()?;
            let program = message["executable"].as_str()?;
            let ours = ["run-record", "foreign-csv"]
                .iter()
                .any(|c| source.contains(c));
            ours.then(|| (name, PathBuf::from(program)))
        });
        Self(built.collect())
    }

    /// Runs tests of one program and gives the figures they print.
    pub(super) fn rows(
        &self,
        program: &str,
        arguments: &[&str],
        set: &[(&str, &str)],
        bar: &'static str,
    ) -> Vec<Row> {
        let (_, path) = self
            .0
            .iter()
            .find(|(name, _)| name == program)
            .unwrap_or_else(|| panic!("{program} was not built: {:?}", self.0));
        let output = Command::new(path)
            .args(arguments)
            .args(["--nocapture", "--test-threads", "1"])
            .envs(set.iter().copied())
            .envs(in_memory(program))
            .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../run-record"))
            .output()
            .expect("it starts");
        let said = String::from_utf8_lossy(&output.stdout);
        let complaints = String::from_utf8_lossy(&output.stderr);
        assert!(
            output.status.success(),
            "{program} {arguments:?}\n{said}{complaints}"
        );
        let rows: Vec<Row> = said.lines().filter_map(|line| row(line, bar)).collect();
        assert!(!rows.is_empty(), "{program} {arguments:?} prints no figure");
        rows
    }
}

/// Thousands of small files are quicker in memory, where there is such a place: the
/// disk of the power cuts is simulated, and edits are no matter of the disk.
fn in_memory(program: &str) -> Option<(&'static str, &'static str)> {
    const SHARED_MEMORY: &str = "/dev/shm";
    let small = program != "flat_memory" && Path::new(SHARED_MEMORY).is_dir();
    small.then_some(("TMPDIR", SHARED_MEMORY))
}

/// `… proof: WHAT: FIGURES`
fn row(line: &str, bar: &'static str) -> Option<Row> {
    let (_, told) = line.split_once("proof: ")?;
    let (what, figures) = told.split_once(": ")?;
    Some(Row::new(what, figures.to_owned(), bar))
}
