//! Runs the binary, and reads what it says and what it leaves.

use std::{
    ffi::OsStr,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use serde_json::Value;

/// The built binary.
pub(crate) const BINARY: &str = env!("CARGO_BIN_EXE_dryhold");

/// The binary, about to be run: with a data folder of the tests, so that none
/// makes a key in the user's own.
pub(crate) fn command() -> Command {
    let mut command = Command::new(BINARY);
    command.env("XDG_DATA_HOME", data_home());
    command
}

/// Where the binary keeps the key of the tests.
pub(crate) fn data_home() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("data")
}

/// What a run of the binary said.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) status: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Ran {
    /// Takes over a finished process. None may ever panic or die of a signal.
    pub(crate) fn of(output: &std::process::Output) -> Self {
        let ran = Self {
            status: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout.clone()).expect("output is UTF-8"),
            err: String::from_utf8(output.stderr.clone()).expect("complaints are UTF-8"),
        };
        let panicked = ran.err.contains("panicked") || ran.out.contains("panicked");
        assert!(!panicked && ran.status != 101, "a panic: {ran:?}");
        assert!(ran.status >= 0, "ended by a signal: {ran:?}");
        ran
    }

    /// Fails unless the exit status is this.
    #[track_caller]
    pub(crate) fn expect(self, status: i32) -> Self {
        assert_eq!(self.status, status, "{self:?}");
        self
    }

    /// The one line on standard error.
    #[track_caller]
    pub(crate) fn complaint(&self) -> &str {
        let lines: Vec<&str> = self.err.lines().collect();
        assert_eq!(lines.len(), 1, "one line of complaint: {self:?}");
        assert!(lines[0].starts_with("dryhold: "), "{self:?}");
        lines[0]
    }

    /// The only line of output as JSON.
    #[track_caller]
    pub(crate) fn json(&self) -> Value {
        let mut all = self.json_lines();
        assert_eq!(all.len(), 1, "one object: {self:?}");
        all.remove(0)
    }

    /// Every line of output as JSON.
    pub(crate) fn json_lines(&self) -> Vec<Value> {
        let object = |l| serde_json::from_str(l).unwrap_or_else(|e| panic!("{e}: {l}"));
        self.out.lines().map(object).collect()
    }
}

/// `log` of a gauge that speaks lines of a number and a unit, into a folder.
pub(crate) fn log_of<'a>(port: &'a str, out: &'a str) -> [&'a str; 7] {
    let dialect = "number-unit-line";
    ["log", "--port", port, "--dialect", dialect, "--out", out]
}

/// Runs the binary to its end; nothing is typed.
pub(crate) fn dryhold<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>) -> Ran {
    dryhold_in(Path::new("."), arguments)
}

/// The same, standing in `folder`.
pub(crate) fn dryhold_in<A: AsRef<OsStr>>(
    folder: &Path,
    arguments: impl IntoIterator<Item = A>,
) -> Ran {
    let output = command()
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .expect("the binary starts");
    Ran::of(&output)
}

/// The same with a key folder of its own.
pub(crate) fn dryhold_at<A: AsRef<OsStr>>(
    data_home: &Path,
    arguments: impl IntoIterator<Item = A>,
) -> Ran {
    let output = command()
        .env("XDG_DATA_HOME", data_home)
        .args(arguments)
        .stdin(Stdio::null())
        .output()
        .expect("the binary starts");
    Ran::of(&output)
}

/// `review --json PATH options…`
pub(crate) fn review(path: &Path, options: &[&str]) -> Ran {
    let path = path.to_string_lossy();
    dryhold(["review", "--json", &path].iter().chain(options))
}

/// One row of a `trace.csv`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Row {
    pub(crate) seq: u64,
    pub(crate) elapsed_s: f64,
    pub(crate) utc: String,
    pub(crate) micron: Option<f64>,
    pub(crate) temperature_c: Option<f64>,
    pub(crate) state: String,
    pub(crate) mark: String,
    pub(crate) note: String,
}

/// The rows of a run folder, columns as documented for the run folder.
pub(crate) fn trace(folder: &Path) -> Vec<Row> {
    beside(folder, "trace.csv")
}

/// The same of another file with these columns.
pub(crate) fn beside(folder: &Path, file: &str) -> Vec<Row> {
    let text = std::fs::read_to_string(folder.join(file)).expect(file);
    let mut lines = text.lines();
    let header = "seq,elapsed_s,utc,pressure_micron,temperature_c,state,mark,note,link";
    assert_eq!(lines.next(), Some(header));
    lines.map(row).collect()
}

fn row(line: &str) -> Row {
    let (text, link) = line.rsplit_once(',').expect("a link");
    assert!(link.len() >= 16, "{line}");
    let cells: Vec<&str> = text.splitn(8, ',').collect();
    assert_eq!(cells.len(), 8, "{line}");
    let number = |cell: &str| cell.parse::<f64>().expect("a number");
    let optional = |cell: &str| (!cell.is_empty()).then(|| number(cell));
    Row {
        seq: cells[0].parse().expect("a row number"),
        elapsed_s: number(cells[1]),
        utc: cells[2].into(),
        micron: optional(cells[3]),
        temperature_c: optional(cells[4]),
        state: cells[5].into(),
        mark: cells[6].into(),
        note: cells[7].trim_matches('"').into(),
    }
}

/// What the gauge said, in order: the pressures of rows with state `ok`.
pub(crate) fn measured(rows: &[Row]) -> Vec<f64> {
    let ok = rows.iter().filter(|r| r.state == "ok");
    ok.filter_map(|r| r.micron).collect()
}

/// The run folders below `out`, oldest first.
pub(crate) fn runs(out: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(out) else {
        return Vec::new();
    };
    let mut all: Vec<PathBuf> = entries.map(|e| e.expect("an entry").path()).collect();
    all.sort();
    all
}

/// The only run folder below `out`.
#[track_caller]
pub(crate) fn only_run(out: &Path) -> PathBuf {
    let mut all = runs(out);
    assert_eq!(all.len(), 1, "one run folder: {all:?}");
    all.remove(0)
}

/// A folder that goes when the test ends.
pub(crate) fn scratch() -> tempfile::TempDir {
    tempfile::tempdir().expect("a scratch folder")
}

/// Puts a record that nobody has sealed into this folder.
pub(crate) fn put_unsealed_run(folder: &Path) {
    let sample = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/runs/20260315T140000Z-INVENTED-power-cut");
    std::fs::create_dir_all(folder).expect("a folder");
    for file in ["job.toml", "trace.csv"] {
        std::fs::copy(sample.join(file), folder.join(file)).expect(file);
    }
}
