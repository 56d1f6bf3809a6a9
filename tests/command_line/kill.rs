//! kill -9 and a cut-off write: at most a second is lost, and never the file.

use std::{
    collections::hash_map::RandomState,
    hash::BuildHasher,
    path::Path,
    time::{Duration, Instant},
};

use crate::{
    gauge::Gauge,
    logger::Logger,
    run::{dryhold, measured, only_run, review, scratch, trace},
};

/// Most that may be lost.
pub(crate) const LOSS: Duration = Duration::from_secs(1);

/// A random time span between these.
pub(crate) fn random(from: Duration, to: Duration) -> Duration {
    let dice = RandomState::new().hash_one(Instant::now());
    from + Duration::from_nanos(dice % (to - from).as_nanos().max(1) as u64)
}

/// Records at 250 readings a second until it is killed after `alive`; gives how
/// many readings the record must hold.
fn record_and_kill(folder: &Path, out: &Path, alive: Duration) -> usize {
    let mut gauge = Gauge::plugged_in(folder);
    let logger = Logger::start(gauge.path(), out, &[]);
    gauge.await_reader();
    let started = Instant::now();
    let mut said = Vec::new();
    while started.elapsed() < alive {
        gauge.say_micron(said.len() as f64);
        said.push(Instant::now());
        std::thread::sleep(Duration::from_millis(4));
    }
    logger.kill();
    let killed = Instant::now();
    std::fs::remove_file(gauge.path()).expect("the link goes");
    said.iter().filter(|at| killed - **at > LOSS).count()
}

#[test]
fn killed_at_any_moment_at_most_a_second_is_lost() {
    let folder = scratch();
    for _ in 0..4 {
        let alive = random(Duration::from_millis(200), Duration::from_millis(2500));
        let out = folder.path().join(format!("{}ms", alive.as_millis()));
        let owed = record_and_kill(folder.path(), &out, alive);
        let run = only_run(&out);
        assert!(run.join("job.toml").is_file());
        let verified = dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
        let known = verified.out.contains("NOT SEALED. Its");
        assert!(known, "killed after {alive:?}: {}", verified.out);

        let kept = measured(&trace(&run));
        assert!(kept.len() >= owed, "{alive:?}: {} of {owed}", kept.len());
        let said: Vec<f64> = (0..kept.len()).map(|i| i as f64).collect();
        assert_eq!(kept, said, "from the first on, without a hole");
        if kept.is_empty() {
            review(&run, &[]).expect(1).complaint();
        } else {
            let findings = review(&run, &[]).expect(11).json();
            assert_eq!(findings["data"]["rows"], kept.len());
        }
    }
}

#[test]
fn after_a_kill_the_port_is_free_and_the_record_stays() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let first = Logger::start(gauge.path(), &out, &[]);
    gauge.await_reader();
    (0..50).for_each(|i| gauge.say_micron(f64::from(i)));
    first.wait_for_rows(50);
    let killed = only_run(&out);
    first.kill();
    let before = std::fs::read(killed.join("trace.csv")).expect("trace.csv");

    let again = folder.path().join("again");
    let second = Logger::start(gauge.path(), &again, &[]);
    gauge.await_reader();
    (0..50).for_each(|i| gauge.say_micron(f64::from(i)));
    second.wait_for_rows(50);
    second.stop().0.expect(0);
    let after = std::fs::read(killed.join("trace.csv")).expect("trace.csv");
    assert!(before == after, "nobody touches a record that was left");
    dryhold(["report".as_ref(), killed.as_os_str()]).expect(0);
    assert!(killed.join("sheet.html").is_file());
}

/// A power cut leaves the last row half written: it is passed over and told.
#[test]
fn a_torn_last_row_costs_that_row() {
    let folder = scratch();
    let out = folder.path().join("runs");
    record_and_kill(folder.path(), &out, Duration::from_millis(800));
    let run = only_run(&out);
    let whole = std::fs::read(run.join("trace.csv")).expect("trace.csv");
    let ends: Vec<usize> = (0..whole.len()).filter(|i| whole[*i] == b'\n').collect();
    let last_but_one = ends[ends.len() - 2] + 1;
    let rows = ends.len() - 1;
    assert!(rows > 20, "{rows} rows");
    for cut in [last_but_one + 1, last_but_one + 30, whole.len() - 2] {
        std::fs::write(run.join("trace.csv"), &whole[..cut]).expect("written");
        let verified = dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
        let told = format!(
            "cut off while row {} of trace.csv was being written",
            rows + 1
        );
        assert!(verified.out.contains(&told), "{told} in {}", verified.out);
        let findings = review(&run, &[]).expect(11).json();
        assert_eq!(findings["data"]["rows"], rows as u64 - 1);
        let spoken = dryhold(["review".as_ref(), run.as_os_str()]).expect(11);
        assert!(spoken.out.contains("cut off while row"), "{}", spoken.out);
    }
    // only the line end is missing: the link says that the row is whole
    std::fs::write(run.join("trace.csv"), &whole[..whole.len() - 1]).expect("written");
    dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    assert_eq!(review(&run, &[]).expect(11).json()["data"]["rows"], rows);
    // zeros behind the last row, as some file systems leave them
    let zeros = [whole.as_slice(), &[0; 4096]].concat();
    std::fs::write(run.join("trace.csv"), zeros).expect("written");
    dryhold(["verify".as_ref(), run.as_os_str()]).expect(0);
    assert_eq!(review(&run, &[]).expect(11).json()["data"]["rows"], rows);
}
