//! Two gauges on one run, and all channels of one gauge: each in a file of its
//! own, on one clock, and neither disturbed by the other.

use std::{
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use rehearsal::{Scenario, SimKind, Simulation};
use serde_json::Value;
use vacuum::Sensed;

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    report::{assert_self_contained, assert_well_formed},
    run::{Row, beside, dryhold, measured, only_run, review, scratch, trace},
};

/// A far gauge and one at the pump, each behind a link of its own.
struct Pair {
    far: Gauge,
    pump: Gauge,
    out: PathBuf,
    folder: tempfile::TempDir,
}

impl Pair {
    fn new() -> Self {
        let folder = scratch();
        let own = |name: &str| {
            let path = folder.path().join(name);
            std::fs::create_dir(&path).expect("a folder");
            Gauge::plugged_in(&path)
        };
        Self {
            far: own("far"),
            pump: own("pump"),
            out: folder.path().join("runs"),
            folder,
        }
    }

    fn log(&mut self, options: &[&str]) -> Logger {
        let pump = self.pump.path().to_string_lossy().into_owned();
        let second = ["--pump-port", &pump];
        let logger = Logger::start(self.far.path(), &self.out, &[&second, options].concat());
        self.far.await_reader();
        self.pump.await_reader();
        logger
    }

    fn run(&self) -> PathBuf {
        only_run(&self.out)
    }
}

/// Rows that are whole in a file that is being written.
fn rows_in(folder: &Path, file: &str) -> usize {
    let bytes = std::fs::read(folder.join(file)).unwrap_or_default();
    let ends = bytes.iter().filter(|b| **b == b'\n').count();
    ends.saturating_sub(1)
}

const PUMP_FILE: &str = "beside-pump-side.csv";

fn values(from: u32, count: u32) -> Vec<f64> {
    (from..from + count).map(f64::from).collect()
}

fn gaps(rows: &[Row]) -> usize {
    rows.iter().filter(|r| r.state == "gap").count()
}

#[test]
fn two_gauges_in_two_units_on_one_clock() {
    let mut two = Pair::new();
    let job = two.folder.path().join("job.toml");
    let text = "[job]\nid = \"INVENTED-2\"\ninvented = true\n[pump_gauge]\nserial = \"G-0012\"\n";
    std::fs::write(&job, text).expect("a job file");
    let job = job.to_string_lossy().into_owned();
    let logger = two.log(&["--pump-dialect", "decimal-comma-line", "--job", &job]);
    for i in 0..40 {
        two.far.say_micron(f64::from(900 - i));
        two.pump.say(&format!("0,{:03} mbar; 21,4 C\r\n", 200 - i));
        std::thread::sleep(Duration::from_millis(10));
    }
    two.far.drain();
    two.pump.drain();
    let run = two.run();
    wait_until("the second file", || rows_in(&run, PUMP_FILE) >= 40);
    logger.wait_for_rows(40);
    let (ran, rows) = logger.stop();
    let ran = ran.expect(0);
    assert!(
        ran.out.contains("far 9") || ran.out.contains("far 8"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("pump side 1"), "{}", ran.out);
    let second = beside(&run, PUMP_FILE);
    assert_eq!((measured(&rows).len(), measured(&second).len()), (40, 40));
    // 0.200 mbar are 20 Pa; a micron is 101325/760000 Pa (SP 811)
    let first = measured(&second)[0];
    assert!(
        (first - 20.0 * 760_000.0 / 101_325.0).abs() < 1e-3,
        "{first}"
    );
    assert!((second[0].temperature_c.expect("a temperature") - 21.4).abs() < 1e-9);
    // said together, stamped together
    for (a, b) in rows.iter().zip(&second) {
        assert!((a.elapsed_s - b.elapsed_s).abs() < 0.5, "{a:?} {b:?}");
    }
    let header = std::fs::read_to_string(run.join("job.toml")).expect("job.toml");
    for part in [
        "[[beside]]",
        "\"pump side\"",
        "decimal-comma-line",
        "G-0012",
    ] {
        assert!(header.contains(part), "{part} in {header}");
    }
    let findings = review(&run, &[]).expect(11).json();
    let told = &findings["beside"][0];
    assert_eq!(
        (&told["name"], &told["used"]),
        (&"pump-side".into(), &40.into())
    );
    let sheet = std::fs::read_to_string(run.join("sheet.html")).expect("a sheet");
    assert!(sheet.contains("no. G-0012"));
}

#[test]
fn losing_one_gauge_never_disturbs_the_other() {
    for lost in ["pump-side", "far-side"] {
        let mut two = Pair::new();
        let logger = two.log(&[]);
        let mut said = 0;
        let mut speak = |far: Option<&mut Gauge>, pump: Option<&mut Gauge>, count: u32| {
            let (mut far, mut pump) = (far, pump);
            for i in said..said + count {
                if let Some(gauge) = far.as_mut() {
                    gauge.say_micron(f64::from(1_000 + i));
                }
                if let Some(gauge) = pump.as_mut() {
                    gauge.say_micron(f64::from(5_000 + i));
                }
                std::thread::sleep(Duration::from_millis(4));
            }
            said += count;
        };
        speak(Some(&mut two.far), Some(&mut two.pump), 50);
        let at_pump = lost == "pump-side";
        if at_pump {
            two.pump.unplug();
        } else {
            two.far.unplug();
        }
        logger.wait_for(&format!("{lost} gauge lost"));
        if at_pump {
            speak(Some(&mut two.far), None, 50);
            two.pump.plug_in();
            two.pump.await_reader();
        } else {
            speak(None, Some(&mut two.pump), 50);
            two.far.plug_in();
            two.far.await_reader();
        }
        logger.wait_for(&format!("{lost} gauge is back"));
        speak(Some(&mut two.far), Some(&mut two.pump), 50);
        two.far.drain();
        two.pump.drain();
        let run = two.run();
        let owed = |stays: bool| if stays { 150 } else { 102 };
        wait_until("both files", || {
            rows_in(&run, "trace.csv") >= owed(at_pump)
                && rows_in(&run, PUMP_FILE) >= owed(!at_pump)
        });
        let (ran, rows) = logger.stop();
        ran.expect(0);
        let second = beside(&run, PUMP_FILE);
        let torn = |base| [values(base, 50), values(base + 100, 50)].concat();
        let (far, pump) = (measured(&rows), measured(&second));
        if at_pump {
            assert_eq!((far, pump), (values(1_000, 150), torn(5_000)));
            assert_eq!(gaps(&rows), 0, "the far gauge was there all the time");
            assert!(gaps(&second) > 0);
        } else {
            assert_eq!((far, pump), (torn(1_000), values(5_000, 150)));
            assert_eq!(
                gaps(&second),
                0,
                "the pump-side gauge was there all the time"
            );
            assert!(gaps(&rows) > 0);
        }
        dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    }
}

#[test]
fn one_at_a_thousand_a_second_beside_one_a_second() {
    let mut two = Pair::new();
    let logger = two.log(&[]);
    let started = Instant::now();
    let mut slow = 0;
    for i in 0..4_000_u32 {
        let due = started + Duration::from_millis(1) * i;
        std::thread::sleep(due.saturating_duration_since(Instant::now()));
        two.pump.say_micron(f64::from(i));
        if i % 1_000 == 0 {
            two.far.say_micron(f64::from(900 + slow));
            slow += 1;
        }
    }
    two.pump.drain();
    two.far.drain();
    let run = two.run();
    wait_until("every row", || rows_in(&run, PUMP_FILE) >= 4_000);
    logger.wait_for_rows(4);
    let (ran, rows) = logger.stop();
    ran.expect(0);
    assert_eq!(
        measured(&rows),
        values(900, 4),
        "the slow one is not starved"
    );
    let second = beside(&run, PUMP_FILE);
    assert_eq!(measured(&second), values(0, 4_000));
    // each far reading stands where it was said among the fast ones
    for (i, far) in rows.iter().enumerate() {
        let same = &second[i * 1_000];
        assert!(
            (far.elapsed_s - same.elapsed_s).abs() < 0.5,
            "{far:?} {same:?}"
        );
    }
}

#[test]
fn killed_at_most_a_second_of_both_is_lost() {
    let mut two = Pair::new();
    let logger = two.log(&[]);
    let started = Instant::now();
    let mut said = Vec::new();
    while started.elapsed() < Duration::from_millis(1_700) {
        two.far.say_micron(said.len() as f64);
        two.pump.say_micron(said.len() as f64);
        said.push(Instant::now());
        std::thread::sleep(Duration::from_millis(5));
    }
    logger.kill();
    let killed = Instant::now();
    let owed = said
        .iter()
        .filter(|at| killed - **at > Duration::from_secs(1))
        .count();
    let run = two.run();
    for rows in [trace(&run), beside(&run, PUMP_FILE)] {
        let kept = measured(&rows);
        let whole: Vec<f64> = (0..kept.len()).map(|i| i as f64).collect();
        assert!(
            kept == whole && kept.len() >= owed,
            "{} of {owed}",
            kept.len()
        );
    }
    let findings = review(&run, &[]).expect(11).json();
    assert!(findings["beside"][0]["used"].as_u64().expect("a number") >= owed as u64);
    let alone = review(&run.join(PUMP_FILE), &[]).json();
    assert_eq!(
        alone["beside"],
        Value::Array(Vec::new()),
        "not compared with itself"
    );
    // without its second file a run is still what it was
    std::fs::remove_file(run.join(PUMP_FILE)).expect("removed");
    let spoken = dryhold(["review".as_ref(), run.as_os_str()]).expect(11);
    assert!(spoken.out.contains("note: pump side: "), "{}", spoken.out);
}

#[test]
fn every_channel_of_a_gauge_is_recorded() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let dialect = "channel-tagged-fields";
    let logger = Logger::start_on(&port, dialect, &out, &["--all-channels"]);
    gauge.await_reader();
    // lines of the sample capture, their check values with them
    for _ in 0..20 {
        gauge.say("!2;512.3;Pa;OK;2C\r\n!1;7.0;Pa;OK;2D\r\n!1;8.0;Pa;ER;31\r\n");
        std::thread::sleep(Duration::from_millis(5));
    }
    gauge.drain();
    let run = only_run(&out);
    wait_until("both channels", || rows_in(&run, PUMP_FILE) >= 40);
    logger.wait_for_rows(20);
    let (ran, rows) = logger.stop();
    ran.expect(0);
    assert_eq!(measured(&rows).len(), 20);
    assert!(
        measured(&rows)
            .iter()
            .all(|p| (p - 512.3 * 7.500_617).abs() < 0.01)
    );
    let second = beside(&run, PUMP_FILE);
    assert_eq!(measured(&second).len(), 20);
    assert_eq!(second.iter().filter(|r| r.state == "fault").count(), 20);
    // without the option only the judged one is
    let one = folder.path().join("one");
    let logger = Logger::start_on(&port, dialect, &one, &[]);
    gauge.await_reader();
    gauge.say("!2;512.3;Pa;OK;2C\r\n!1;7.0;Pa;OK;2D\r\n!2;512.3;Pa;OK;2C\r\n");
    logger.wait_for_rows(2);
    let (_, rows) = logger.stop();
    assert_eq!(rows.len(), 2);
    assert!(!only_run(&one).join(PUMP_FILE).exists());
}

#[test]
fn what_cannot_be_two_gauges_is_told() {
    let folder = scratch();
    let out = folder.path().to_string_lossy().into_owned();
    let log = |more: &[&str]| {
        let base = [
            "log",
            "--port",
            "/dev/none",
            "--dialect",
            "number-unit-line",
            "--out",
            &out,
        ];
        dryhold(base.iter().chain(more))
    };
    let same = log(&["--pump-port", "/dev/none"]).expect(2);
    assert!(same.complaint().contains("give each its own"), "{same:?}");
    let unknown = log(&["--pump-port", "/dev/other", "--pump-dialect", "nonsense"]).expect(2);
    assert!(unknown.complaint().contains("nonsense"), "{unknown:?}");
    log(&["--pump-baud", "9600"]).expect(2);
    let channels = log(&["--all-channels"]).expect(2);
    assert!(channels.complaint().contains("[channels]"), "{channels:?}");
    // which of the two is not there
    let gauge = Gauge::plugged_in(folder.path());
    let far = gauge.path().to_string_lossy().into_owned();
    let ran = dryhold([
        "log",
        "--port",
        &far,
        "--dialect",
        "number-unit-line",
        "--pump-port",
        "/dev/none",
        "--out",
        &out,
    ])
    .expect(1);
    assert!(ran.complaint().contains("pump-side gauge: "), "{ran:?}");
}

/// The rehearsal with two gauges, against what was simulated.
#[test]
fn the_rehearsed_lag_is_found_as_it_was_simulated() {
    let scenario = Scenario::named("two-gauges").expect("a rehearsal of this name");
    let out = scratch();
    let path = out.path().to_string_lossy();
    let base = [
        "rehearse",
        "--scenario",
        "two-gauges",
        "--speed",
        "max",
        "--out",
        &path,
    ];
    let ran = dryhold(base).expect(0);
    assert_eq!(ran.err, "", "nothing to complain about");
    let run = only_run(out.path());
    let simulation = Simulation::new(scenario, scenario.seed);
    let truth = simulation.truth().clone();
    let pump_side = truth.pump_side.clone().expect("a second gauge");

    // nothing that the second gauge said was lost, and its clock is the run's
    let said = simulation.pump_side().expect("a second gauge");
    let rows = beside(&run, PUMP_FILE);
    assert_eq!(rows.len(), said.len());
    for (row, event) in rows.iter().zip(said) {
        assert!(
            (row.elapsed_s - event.t_s).abs() < 0.002,
            "{row:?} {event:?}"
        );
        if let SimKind::Reading {
            sensed: Sensed::Measured(p),
            ..
        } = event.kind
        {
            assert!(
                (row.micron.expect("a value") - p.micron()).abs() < 0.06,
                "{row:?}"
            );
        }
    }

    let text = std::fs::read_to_string(run.join("findings.json")).expect("findings.json");
    let findings: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(findings["verdict"], truth.verdict.word());
    let told = &findings["beside"][0];
    let near = |value: &Value, wanted: f64, share: f64| {
        let value = value.as_f64().expect("a number");
        assert!(
            (value / wanted - 1.0).abs() < share,
            "{value}, not {wanted}"
        );
    };
    // gauges of 0.4 % noise and steps of a micron at 48 micron
    near(
        &told["at_target_micron"],
        pump_side.at_target_micron.expect("known"),
        0.05,
    );
    near(
        &told["at_isolation_micron"],
        pump_side.at_isolation_micron.expect("known"),
        0.05,
    );
    near(
        &told["ratio"]["at_isolation"],
        pump_side.at_isolation_ratio.expect("known"),
        0.05,
    );
    near(&told["lowest_micron"], pump_side.lowest_micron, 0.05);
    near(
        &told["reached_target_s"],
        pump_side.reached_target_s.expect("known"),
        0.1,
    );
    assert_eq!(told["hold"]["same_volume"], Value::Bool(false));
    let all = findings["findings"].as_array().expect("findings");
    let lag = all
        .iter()
        .find(|f| f["code"] == "far_side_lags")
        .expect("the lag is found");
    let text = lag["text"].as_str().expect("a text");
    let wait = truth.reached_target_s.expect("known") - pump_side.reached_target_s.expect("known");
    let wanted = format!("{:.0} min before the far side", wait / 60.0);
    assert!(text.contains(&wanted), "{wanted}: {text}");
    // the stopped pump lets air back
    assert!(all.iter().any(|f| f["code"] == "pump_side_rises_alone"));
    assert!(!all.iter().any(|f| f["code"] == "gauges_disagree"));

    let svg = std::fs::read_to_string(run.join("curve.svg")).expect("a curve");
    assert!(svg.contains("pump side (dashed)"));
    assert_well_formed(&svg);
    let html = std::fs::read_to_string(run.join("sheet.html")).expect("a sheet");
    assert!(html.contains("simulated gauge at the pump"));
    assert_self_contained(&html);
}

/// One gauge, as before: nothing is said of a second.
#[test]
fn a_single_gauge_has_nothing_beside_it() {
    let folder = scratch();
    let table = folder.path().join("one.csv");
    std::fs::write(&table, "elapsed_s,pressure_micron\n0,900\n1,800\n2,700\n").expect("a table");
    let findings = review(&table, &[]).json();
    assert_eq!(findings["beside"], Value::Array(Vec::new()));
}
