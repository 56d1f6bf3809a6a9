//! `job`: questions answered through a pipe, what is written, what is remembered,
//! and what `log` takes from memory.

use std::{
    io::{BufRead, BufReader, Write},
    os::unix::fs::PermissionsExt,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use rustix::process::{Pid, Signal, kill_process};

use crate::run::{BINARY, Ran, only_run, scratch};

/// A shop of its own: where it works, and what it remembers.
struct Shop {
    folder: tempfile::TempDir,
}

impl Shop {
    fn new() -> Self {
        Self { folder: scratch() }
    }

    fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap_or_default()
    }

    fn command(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command
            .env("XDG_DATA_HOME", self.data())
            .current_dir(self.folder.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    /// Types these lines.
    fn types(mut command: Command, text: &[u8]) -> Ran {
        let mut child = command.spawn().expect("the binary starts");
        let mut keyboard = child.stdin.take().expect("a pipe");
        // it may be gone before it has read all
        let _ = keyboard.write_all(text);
        drop(keyboard);
        Ran::of(&child.wait_with_output().expect("it ends"))
    }

    fn job(&self, arguments: &[&str], lines: &[&str]) -> Ran {
        let mut command = self.command(BINARY);
        command.arg("job").args(arguments);
        Self::types(command, (lines.join("\n") + "\n").as_bytes())
    }

    /// Records the sample capture to its end; gives the run's job.toml.
    fn log(&self, options: &[&str]) -> (String, Ran) {
        let out = tempfile::tempdir_in(self.folder.path()).expect("a folder");
        let capture = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../samples/dialects/number-unit-line.capture");
        let port = format!("file:{}", capture.display());
        let place = out.path().to_string_lossy();
        let fixed = ["log", "--dialect", "number-unit-line", "--port", &port];
        let place = ["--out", &place, "--no-seal"];
        let mut command = self.command(BINARY);
        // a zone that is nobody's, five and a half hours east
        command.env("TZ", "INV-05:30");
        command.args(fixed.iter().chain(&place).chain(options));
        let ran = Self::types(command, b"").expect(0);
        let job = std::fs::read_to_string(only_run(out.path()).join("job.toml"));
        (job.expect("a run"), ran)
    }
}

/// Answers for one job, typing errors and questions among them.
const ONE_JOB: [&str; 33] = [
    "",
    "?",
    "W/17 O0",
    "WO-7",
    "CL-3",
    "D. Nobody",
    "<",
    "<",
    "CL-33",
    "",
    "1 Example Street",
    "chest freezer",
    "CF 200",
    "S0O-1l",
    "R-60a",
    "isobutane",
    "58",
    "2.05 oz",
    "mineral",
    "4,2 L",
    "70 F",
    "-100",
    "-13 F",
    "left",
    "one",
    "perhaps",
    "yes",
    "suction joint",
    "drier replaced",
    "drier INV-30",
    "",
    "",
    "41 g",
];

/// What of the job is asked behind them: charged, photo, criteria.
const ITS_END: [&str; 4] = ["", "", "9", "2"];

/// Where the job ends and the shop begins.
const JOB_LINES: usize = ONE_JOB.len() + ITS_END.len();

const THE_SHOP: [&str; 24] = [
    "B. Invented",
    "L-1",
    "Sample Cooling",
    "rotary",
    "two hoses",
    "thermal gauge",
    "G-7",
    "Pirani",
    "15.1.2025",
    "2025-01-15",
    "2026-01-15",
    "at the pump",
    "G-8",
    "",
    "",
    "letter",
    "de",
    "Torr",
    "local",
    "12",
    "oil hose",
    "no",
    "missing.png",
    "",
];

fn whole() -> Vec<&'static str> {
    // at the end all answers are shown: one is changed, then Enter writes the file
    let review = ["6", "upright freezer", ""];
    [&ONE_JOB[..], &ITS_END, &THE_SHOP, &review].concat()
}

#[test]
fn a_job_is_asked_for_written_recorded_and_the_shop_remembered() {
    let shop = Shop::new();
    let ran = shop.job(&["new"], &whole()).expect(0);
    for part in [
        "Did you mean R-600a, R-601a, R-600 or R-601?",
        "safety group A3",
        "no flame",
        "58.1 g",
        "figure 0 at 2, capital letter O at 3",
        "end in -W-17-O0",
        "behind the capillary tube",
        "overdue by",
        "21.1 °C",
        "-25 °C",
        "ice may stand there",
    ] {
        let said = ran.err.replace('\n', " ").replace("   ", " ");
        assert!(said.contains(part), "{part}: {}", ran.err);
    }
    assert!(ran.out.contains("Written: job.toml"), "{}", ran.out);
    let job = shop.read("job.toml");
    for row in [
        "id = \"W/17 O0\"",
        "work_order = \"WO-7\"",
        "claim = \"CL-33\"",
        "customer = \"D. Nobody\"",
        "appliance = \"upright freezer\"",
        "refrigerant = \"R-600a\"",
        "recovered = \"41 g\"",
        "serial = \"S0O-1l\"",
        "charge = \"2.05 oz\"",
        "volume_l = 4.2",
        "coldest_part_c = -25",
        "gauge_open_to_system = true",
        "name = \"facilities one hour\"",
        "leave_out = [\"oil\", \"hose\"]",
        "principle = \"thermal\"",
        "calibration_due = 2026-01-15",
    ] {
        assert!(job.contains(row), "{row}: {job}");
    }
    assert!(
        !job.contains("pump_gauge") && !job.contains("logo ="),
        "{job}"
    );
    let kept = shop.data().join("dryhold/shop.toml");
    let mode = |path: &Path| path.metadata().expect("it is there").permissions().mode() & 0o777;
    assert_eq!(mode(&kept), 0o600);
    assert_eq!(mode(&shop.data().join("dryhold")), 0o700);
    let remembered = std::fs::read_to_string(&kept).expect("it is read");
    assert!(
        !remembered.contains("W/17") && !remembered.contains("600a"),
        "{remembered}"
    );

    let (run, ran) = shop.log(&["--job", &shop.path("job.toml").to_string_lossy()]);
    for row in [
        "charge_g = 58.116522406",
        "recovered_g = 41.0",
        "leak_location = \"suction joint\"",
        "language = \"de\"",
        "clock = \"12\"",
        "unit = \"Torr\"",
        "zone = \"+05:30\"",
        "leave_out = [\"oil\", \"hose\"]",
    ] {
        assert!(run.contains(row), "{row}: {run}");
    }
    assert!(!run.contains("local"), "{run}");
    // the file said it all
    assert!(!ran.out.contains("From memory"), "{}", ran.out);
}

#[test]
fn the_second_time_one_enter_keeps_the_shop_and_a_dash_clears() {
    let shop = Shop::new();
    shop.job(&["new", "1.toml"], &whole()).expect(0);
    // every question, the shop, and the review
    let short = [&["2"][..], &[""; 26]].concat();
    let ran = shop.job(&["new", "2.toml"], &short).expect(0);
    assert!(ran.err.contains("Technician: B. Invented"), "{}", ran.err);
    assert!(ran.err.contains("overdue by"), "{}", ran.err);
    let second = shop.read("2.toml");
    assert!(
        second.contains("shop = \"Sample Cooling\"") && !second.contains("oil ="),
        "{second}"
    );
    // nothing changed, so nothing is said to be remembered anew
    assert!(!ran.out.contains("Remembered"), "{}", ran.out);

    let mut edit = vec!["C. Invented", "-"];
    edit.resize(edit.len() + 30, "");
    shop.job(&["shop", "--edit"], &edit).expect(0);
    let shown = shop.job(&["shop"], &[]).expect(0).out;
    assert!(shown.contains("Technician: C. Invented"), "{shown}");
    assert!(
        !shown.contains("Licence") && shown.contains("Shop: Sample"),
        "{shown}"
    );
    assert!(shown.contains("shop.toml"), "{shown}");
}

#[test]
fn leaving_writes_nothing_wherever_one_leaves() {
    let all = whole();
    for n in [0, 1, 8, JOB_LINES, all.len() - 1] {
        let shop = Shop::new();
        let ran = shop.job(&["new"], &all[..n]).expect(1);
        let last = ran.err.lines().last().unwrap_or_default();
        assert_eq!(
            last, "dryhold: left before the end: nothing was written",
            "{n}"
        );
        let left: Vec<_> = std::fs::read_dir(shop.folder.path())
            .expect("a folder")
            .collect();
        assert!(left.is_empty(), "{n}: {left:?}");
    }
}

#[test]
fn ctrl_c_leaves_as_well() {
    let shop = Shop::new();
    let mut command = shop.command(BINARY);
    let mut child = command
        .args(["job", "new"])
        .spawn()
        .expect("the binary starts");
    let mut keyboard = child.stdin.take().expect("a pipe");
    keyboard
        .write_all(b"1\n\n\n\n\nfreezer\n")
        .expect("it listens");
    let mut screen = BufReader::new(child.stderr.take().expect("a pipe"));
    let mut line = String::new();
    // prompts have no line end of their own: the third stands behind two others
    let mut seen = Vec::new();
    while !seen.ends_with(b"Model: ") {
        let bytes = screen.fill_buf().expect("it is read").to_vec();
        assert!(!bytes.is_empty(), "{}", String::from_utf8_lossy(&seen));
        seen.extend(&bytes);
        screen.consume(bytes.len());
    }
    let id = Pid::from_child(&child);
    kill_process(id, Signal::INT).expect("it is there");
    while screen.read_line(&mut line).expect("it is read") > 0 {}
    assert!(line.contains("nothing was written"), "{line}");
    assert_eq!(child.wait().expect("it ends").code(), Some(1));
    assert!(!shop.path("job.toml").exists());
}

#[test]
fn hostile_input_is_refused_and_the_next_line_is_asked_for() {
    let shop = Shop::new();
    let mut text = Vec::new();
    text.extend(b"1\n\x1b[A\x1b[B\n\xff\xfe\nnul\0\n");
    text.extend(vec![b'x'; 5_000_000]);
    text.extend(b"\n\"]\\n[job]\\ninvented = true\n");
    text.extend([b"\n".repeat(60)].concat());
    let mut command = shop.command(BINARY);
    command.args(["job", "new"]);
    let ran = Shop::types(command, &text).expect(0);
    for part in ["control character", "not UTF-8", "too long"] {
        assert!(ran.err.contains(part), "{part}");
    }
    let job = shop.read("job.toml");
    assert!(job.starts_with("[job]\nid = \"1\""), "{job}");
    assert!(!job.lines().any(|l| l.starts_with("invented")), "{job}");
    assert!(
        job.contains("invented = true"),
        "typed as the work order: {job}"
    );
}

#[test]
fn a_file_that_is_there_stays_until_one_says_otherwise() {
    let shop = Shop::new();
    std::fs::write(shop.path("job.toml"), "mine").expect("it is written");
    let ran = shop.job(&["new"], &whole()).expect(2);
    assert!(
        ran.complaint()
            .contains("is there already: give another name, or --overwrite")
    );
    shop.job(&["template", "job.toml"], &[]).expect(2);
    assert_eq!(shop.read("job.toml"), "mine");
    shop.job(&["new", "--overwrite"], &whole()).expect(0);
    assert!(shop.read("job.toml").contains("W/17"));
    assert!(
        shop.job(&["new", "."], &[])
            .expect(2)
            .complaint()
            .contains("is a folder")
    );
    let nowhere = shop.job(&["new", "no/such/job.toml"], &[]).expect(1);
    assert!(
        nowhere.complaint().contains("its folder is not there"),
        "{nowhere:?}"
    );
    let on_a_file = shop.job(&["new", "job.toml/x"], &[]).expect(1);
    assert!(
        on_a_file.complaint().contains("cannot be written"),
        "{on_a_file:?}"
    );
    let nobody_may = shop.job(&["new", "/proc/job.toml"], &[]).expect(1);
    assert!(
        nobody_may.complaint().contains("cannot be written"),
        "{nobody_may:?}"
    );
}

/// No byte may be written to any file, as on a full disk: the answers are not lost.
#[test]
fn answers_that_cannot_be_written_are_printed() {
    let shop = Shop::new();
    let mut command = shop.command("sh");
    let limited = "trap '' XFSZ; ulimit -f 0; exec \"$0\" job new";
    command.args(["-c", limited, BINARY]);
    let ran = Shop::types(command, (whole().join("\n") + "\n").as_bytes()).expect(1);
    assert!(ran.out.contains("[job]\nid = \"W/17 O0\""), "{ran:?}");
    assert!(ran.err.contains("so that it is not lost"), "{ran:?}");
    assert!(ran.err.contains("job.toml cannot be written"), "{ran:?}");
    assert!(!shop.path("job.toml").exists() && shop.read("data/dryhold/shop.toml").is_empty());
}

#[test]
fn log_takes_the_shop_from_memory_and_says_so() {
    let shop = Shop::new();
    let (run, ran) = shop.log(&[]);
    assert!(
        !ran.out.contains("From memory") && !run.contains("technician"),
        "{run}"
    );
    shop.job(&["new"], &whole()).expect(0);
    let (run, ran) = shop.log(&[]);
    let said = ran.out.lines().find(|l| l.starts_with("From memory"));
    let said = said.expect("it says what it took");
    let all = "technician, licence, shop, pump, hoses, gauge, choices for the sheet.";
    assert!(said.ends_with(all), "{said}");
    for row in [
        "technician = \"B. Invented\"",
        "description = \"thermal gauge\"",
        "id = \"run\"",
    ] {
        assert!(run.contains(row), "{row}: {run}");
    }
    assert!(
        !run.contains("W/17") && !run.contains("600a") && !run.contains("G-8"),
        "{run}"
    );

    std::fs::write(
        shop.path("own.toml"),
        "[job]\nid = \"7\"\n[gauge]\nserial = \"own\"\n",
    )
    .expect("it is written");
    let (run, ran) = shop.log(&["--job", &shop.path("own.toml").to_string_lossy()]);
    let said = ran.out.lines().find(|l| l.starts_with("From memory"));
    let said = said.expect("it says what it took");
    assert!(
        said.ends_with("technician, licence, shop, choices for the sheet."),
        "{said}"
    );
    assert!(
        run.contains("serial = \"own\"") && !run.contains("thermal"),
        "{run}"
    );

    // what cannot be read is said, left alone, and no reason not to record
    let kept = shop.data().join("dryhold/shop.toml");
    std::fs::write(&kept, "[sheet]\npaper = \"a5\"\n").expect("it is written");
    let (_, ran) = shop.log(&[]);
    assert!(
        ran.err
            .contains("write \"a4\" or \"letter\"; mend that file or remove it")
    );
    shop.job(&["new", "--overwrite"], &whole()).expect(0);
    let after = std::fs::read_to_string(&kept).expect("it is there");
    assert_eq!(after, "[sheet]\npaper = \"a5\"\n");
}

#[test]
fn a_file_is_edited_by_number_and_keeps_the_rest() {
    let shop = Shop::new();
    shop.job(&["new"], &whole()).expect(0);
    let before = shop.read("job.toml");
    let shown = shop.job(&["edit"], &["no number"]).expect(1);
    assert!(
        shown.err.contains("the file stays as it was"),
        "{}",
        shown.err
    );
    assert_eq!(shop.read("job.toml"), before);
    let number = |name: &str| {
        let line = shown.err.lines().find(|l| l.contains(name)).expect(name);
        let number = line.split(name).next().expect("a number");
        let number = number.split_whitespace().last().expect("a number");
        number.trim_start_matches(',').to_owned()
    };
    let (charged, shop_name) = (number("refrigerant charged"), number("Shop: "));
    let lines = [&charged, "57,5 g", &shop_name, "-", ""];
    let ran = shop.job(&["edit"], &lines).expect(0);
    assert!(ran.out.contains("Written: job.toml"), "{}", ran.out);
    let after = shop.read("job.toml");
    assert!(after.contains("charged = \"57,5 g\""), "{after}");
    assert!(!after.contains("shop = "), "{after}");
    let kept = |row: &&str| !row.starts_with("shop = ");
    assert!(
        before.lines().filter(kept).all(|row| after.contains(row)),
        "{after}"
    );
    let nothing = shop.job(&["edit", "absent.toml"], &[]).expect(1);
    assert!(nothing.complaint().contains("absent.toml"), "{nothing:?}");
}

#[test]
fn the_template_is_the_sample() {
    let sample = include_str!("../../samples/job.toml");
    assert_eq!(Shop::new().job(&["template"], &[]).expect(0).out, sample);
}
