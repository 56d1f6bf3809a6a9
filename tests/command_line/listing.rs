//! `dryhold list`: which runs it finds, in which order, and what it rests on.

use std::{
    fs,
    path::Path,
    time::{Duration, Instant, SystemTime},
};

use crate::run::{Ran, dryhold, scratch};

/// Makes a run folder with a short, sound record by copying the sample.
fn copy_run(to: &Path) {
    let sample = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/runs/20261125T105154Z-rehearsal-foaming-oil");
    fs::create_dir_all(to).expect("a folder");
    for name in ["job.toml", "trace.csv"] {
        fs::copy(sample.join(name), to.join(name)).expect(name);
    }
}

/// The same of another job on another day. Links no longer fit; a review does not ask.
fn change_job(run: &Path, job: &str, started: &str) {
    let path = run.join("job.toml");
    let text = fs::read_to_string(&path).expect("job.toml");
    let lines = text.lines().map(|line| match line.split_once(" = ") {
        Some(("id", _)) => format!("id = \"{job}\""),
        Some(("started", _)) => format!("started = \"{started}\""),
        _ => line.to_owned(),
    });
    fs::write(&path, lines.collect::<Vec<_>>().join("\n") + "\n").expect("written");
}

/// Seals a run, and makes its findings, which the seal covers then.
fn draw(run: &Path) {
    for command in ["seal", "report"] {
        dryhold([command.as_ref(), run.as_os_str()]).expect(0);
    }
}

fn list(folder: &Path, options: &[&str]) -> Ran {
    let folder = folder.to_string_lossy();
    dryhold(["list", &folder].iter().chain(options)).expect(0)
}

fn jobs(ran: &Ran) -> Vec<String> {
    let runs = ran.json_lines();
    let job = |r: &serde_json::Value| r["job"].as_str().expect("a job").to_owned();
    runs.iter().map(job).collect()
}

#[test]
fn runs_are_found_by_day_job_and_verdict_the_newest_first() {
    let folder = scratch();
    for (name, job, started) in [
        ("a", "INVENTED-1", "2026-03-14T12:00:00.000Z"),
        ("deeper/b", "INVENTED-2", "2026-03-20T12:00:00.000Z"),
        ("c", "OTHER-3", "2026-03-17T12:00:00.000Z"),
    ] {
        let run = folder.path().join(name);
        copy_run(&run);
        change_job(&run, job, started);
    }
    let all = list(folder.path(), &["--json"]);
    assert_eq!(jobs(&all), ["INVENTED-2", "OTHER-3", "INVENTED-1"]);
    let of = |options: &[&str]| jobs(&list(folder.path(), &[&["--json"], options].concat()));
    assert_eq!(of(&["--since", "2026-03-16"]), ["INVENTED-2", "OTHER-3"]);
    assert_eq!(of(&["--until", "2026-03-18"]), ["OTHER-3", "INVENTED-1"]);
    assert_eq!(of(&["--job", "invented"]), ["INVENTED-2", "INVENTED-1"]);
    assert_eq!(of(&["--verdict", "pass"]).len(), 3);
    assert_eq!(of(&["--verdict", "fail"]), [""; 0]);
    let table = list(folder.path(), &[]).out;
    assert!(
        table.contains("2026-03-20") && table.contains("pass"),
        "{table}"
    );
    assert!(table.contains("3 reviewed just now"), "{table}");
}

#[test]
fn findings_are_read_only_while_they_hold() {
    let folder = scratch();
    let run = folder.path().join("a");
    copy_run(&run);
    draw(&run);
    let findings = run.join("findings.json");
    let reviewed = || list(folder.path(), &["--json"]).json()["reviewed_now"] == true;
    assert!(!reviewed());
    // another version's findings
    let text = fs::read_to_string(&findings).expect("findings");
    fs::write(&findings, text.replace("\"dryhold 0.", "\"dryhold 9.")).expect("written");
    assert!(reviewed());
    fs::write(&findings, &text).expect("written");
    assert!(!reviewed());
    // a record that grew since
    let trace = fs::File::options()
        .append(true)
        .open(run.join("trace.csv"))
        .expect("open");
    trace
        .set_modified(SystemTime::now() + Duration::from_secs(10))
        .expect("a time");
    assert!(reviewed());
    // rubbish
    fs::write(&findings, "{").expect("written");
    assert!(reviewed());
}

#[test]
fn hundreds_of_runs_are_listed_at_once() {
    let folder = scratch();
    let first = folder.path().join("run-0");
    copy_run(&first);
    draw(&first);
    for i in 1..300 {
        let run = folder.path().join(format!("run-{i}"));
        copy_run(&run);
        for name in ["findings.json", "seal.json"] {
            fs::copy(first.join(name), run.join(name)).expect(name);
        }
    }
    let started = Instant::now();
    let ran = list(folder.path(), &["--json"]);
    let took = started.elapsed();
    println!("300 runs listed in {took:?}");
    let all = ran.json_lines();
    assert_eq!(all.len(), 300);
    assert!(all.iter().all(|run| run["reviewed_now"] == false));
    assert!(took < Duration::from_secs(5), "{took:?}");
}

#[test]
fn a_run_that_cannot_be_read_is_told_and_the_others_are_listed() {
    let folder = scratch();
    copy_run(&folder.path().join("good"));
    let bad = folder.path().join("bad");
    fs::create_dir(&bad).expect("a folder");
    fs::write(bad.join("trace.csv"), "").expect("written");
    let ran = list(folder.path(), &[]);
    assert!(ran.err.contains("bad"), "{ran:?}");
    assert!(
        ran.out.contains("unreadable") && ran.out.contains("pass"),
        "{ran:?}"
    );
    let nowhere = dryhold(["list", "no/such/folder"]).expect(2);
    assert!(nowhere.complaint().contains("no folder"), "{nowhere:?}");
}
