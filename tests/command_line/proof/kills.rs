//! `kill -9` at random moments of a recording, in start, rows and closing work.

use std::{
    path::{Path, PathBuf},
    sync::{
        Mutex,
        atomic::{AtomicUsize, Ordering},
    },
    time::{Duration, Instant},
};

use run_record::{Answer, is_sealed, verify};

use super::{Row, feeder::Feeder};
use crate::{
    kill::{LOSS, random},
    logger::{Logger, wait_until, whole_rows},
    parts::measured_in,
    run::{dryhold, only_run, runs, scratch},
};

/// Recordings at the same time.
const AT_ONCE: usize = 2;

/// What the logger was at when it was killed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    BeforeTheFirstRow,
    InRows,
    /// After Ctrl-C: last words, sync, review, curve, sheet, seal.
    Closing,
}

/// One kill and what it cost.
struct Killed {
    phase: Phase,
    /// Rows in the record; `None` when no record had begun.
    kept: Option<usize>,
    sealed: bool,
    /// Said before the kill (or before Ctrl-C) and not in the record.
    lost_rows: usize,
    /// Age of the oldest reading lost.
    lost: Duration,
    resumed: Option<Resumed>,
}

/// What `log --resume` did afterwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Resumed {
    WentOn,
    /// There was nothing to go on with, or it was sealed already.
    Refused,
}

/// Lets a recording live for a random time and kills it. `None` when it had ended
/// before.
fn kill_once(number: usize, folder: &Path, closing: Duration) -> Option<Killed> {
    let out = folder.join(number.to_string());
    let feeder = Feeder::start(0);
    let mut logger = Logger::start_on(feeder.port(), "number-unit-line", &out, &[]);
    let ms = Duration::from_millis;
    let closes = number % 3 == 2;
    let (said, owed_until, killed_at) = if closes {
        wait_until("rows", || has_rows(&out));
        std::thread::sleep(random(ms(0), ms(60)));
        let said = feeder.silent();
        let stopped = Instant::now();
        logger.interrupt();
        std::thread::sleep(random(ms(0), closing));
        if logger.has_ended() {
            return None;
        }
        let at = Instant::now();
        logger.kill();
        (said, stopped, at)
    } else {
        // some live long enough for syncs and the screen's ticks
        let longest = if number % 20 == 7 { ms(2_500) } else { ms(150) };
        std::thread::sleep(random(ms(0), longest));
        let at = Instant::now();
        logger.kill();
        (feeder.silent(), at, at)
    };
    let kept = look_at(&out);
    let rows = kept.unwrap_or(0);
    let owed = said.iter().filter(|at| **at <= owed_until).count();
    let sealed = kept.is_some() && is_sealed(&only_run(&out));
    let killed = Killed {
        phase: match rows {
            _ if closes => Phase::Closing,
            0 => Phase::BeforeTheFirstRow,
            _ => Phase::InRows,
        },
        kept,
        sealed,
        lost_rows: owed.saturating_sub(rows),
        lost: match said.get(rows) {
            Some(first_lost) if rows < owed => killed_at - *first_lost,
            _ => Duration::ZERO,
        },
        resumed: number.is_multiple_of(10).then(|| resume(&out, kept)),
    };
    // a record that never began left nothing to clear away
    let _ = std::fs::remove_dir_all(&out);
    Some(killed)
}

fn has_rows(out: &Path) -> bool {
    runs(out).first().is_some_and(|run| whole_rows(run) > 0)
}

/// The record of a killed logger, if it had begun: it opens, its rows follow from
/// each other and are what the gauge said from the first on, and no other file is
/// half written. Gives how many rows.
fn look_at(out: &Path) -> Option<usize> {
    let all = runs(out);
    assert!(all.len() <= 1, "{all:?}");
    let run = all.first().filter(|run| run.join("trace.csv").is_file())?;
    let found = verify(run).unwrap_or_else(|e| panic!("{}: {e}", run.display()));
    assert!(found.chain.is_intact(), "{found}");
    let answer = found.answer(false);
    let expected = match is_sealed(run) {
        true => Answer::AsSealed,
        false => Answer::NotSealed,
    };
    assert_eq!(answer, expected, "{found}");
    let kept = measured_in(run);
    let said: Vec<f64> = (0..kept.len()).map(|i| i as f64).collect();
    assert_eq!(kept, said, "from the first on, without a hole");
    for (name, end) in [
        ("job.toml", "\n"),
        ("curve.svg", "</svg>"),
        ("sheet.html", "</html>"),
        ("findings.json", "}"),
    ] {
        if let Ok(text) = std::fs::read_to_string(run.join(name)) {
            let whole = text.ends_with(end) || text.trim_end().ends_with(end);
            assert!(whole, "{name} is half written");
        }
    }
    Some(kept.len())
}

/// Goes on with a killed run, ends it properly, and verifies it with the binary.
fn resume(out: &Path, kept: Option<usize>) -> Resumed {
    let nothing = || out.join("nothing");
    let run: PathBuf = runs(out).first().cloned().unwrap_or_else(nothing);
    let shown = run.to_string_lossy().into_owned();
    let Some(kept) = kept.filter(|_| !is_sealed(&run)) else {
        dryhold(["log", "--resume", &shown]).expect(1).complaint();
        return Resumed::Refused;
    };
    let feeder = Feeder::start(kept);
    let go_on = ["log", "--resume", &shown, "--port", feeder.port()];
    let logger = Logger::start_plain(out, &go_on);
    wait_until("more rows", || measured_in(&run).len() > kept + 20);
    let said = feeder.silent();
    logger.interrupted().expect(0);
    let values: Vec<f64> = (0..kept + said.len()).map(|i| i as f64).collect();
    assert_eq!(measured_in(&run), values, "resumed after {kept} rows");
    let verified = dryhold(["verify", &shown]).expect(0);
    assert!(verified.out.contains("UNCHANGED since it was sealed"));
    Resumed::WentOn
}

/// How long the closing work takes when nobody interferes.
fn closing_work(folder: &Path) -> Duration {
    let out = folder.join("closing");
    let longest = (0..3).map(|_| {
        let feeder = Feeder::start(0);
        let logger = Logger::start_on(feeder.port(), "number-unit-line", &out, &[]);
        wait_until("rows", || has_rows(&out));
        drop(feeder.silent());
        let began = Instant::now();
        logger.interrupted().expect(0);
        std::fs::remove_dir_all(&out).expect("cleared away");
        began.elapsed()
    });
    longest.max().unwrap_or_default()
}

/// Kills so many recordings; every one is looked at before the next.
pub(super) fn rows(count: usize) -> Vec<Row> {
    let folder = scratch();
    let closing = closing_work(folder.path());
    let (next, all) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    let so_far = || all.lock().map_or(count, |all| all.len());
    std::thread::scope(|scope| {
        for _ in 0..AT_ONCE {
            scope.spawn(|| {
                while so_far() < count {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    let killed = kill_once(number, folder.path(), closing);
                    all.lock().expect("nobody panicked").extend(killed);
                }
            });
        }
    });
    summary(&all.into_inner().expect("nobody panicked"))
}

fn summary(all: &[Killed]) -> Vec<Row> {
    let of = |what: &dyn Fn(&Killed) -> bool| all.iter().filter(|k| what(k)).count();
    let in_phase = |phase| of(&|k| k.phase == phase);
    let with_record = of(&|k| k.kept.is_some());
    let longest = all.iter().map(|k| k.lost).max().unwrap_or_default();
    let most = all.iter().map(|k| k.lost_rows).max().unwrap_or(0);
    assert!(longest < LOSS, "{longest:?} lost");
    let kept: usize = all.iter().filter_map(|k| k.kept).sum();
    let went_on = of(&|k| k.resumed == Some(Resumed::WentOn));
    let refused = of(&|k| k.resumed == Some(Resumed::Refused));
    vec![
        Row::new(
            "kill −9 at random moments of `dryhold log`, 1,000 readings a second",
            format!(
                "{} kills: {} before the first row, {} in rows, {} in the closing work after Ctrl-C",
                all.len(),
                in_phase(Phase::BeforeTheFirstRow),
                in_phase(Phase::InRows),
                in_phase(Phase::Closing)
            ),
            "≥ 1,000",
        ),
        Row::new(
            "records that open, every row follows, no file half written",
            format!(
                "{with_record} of {with_record} ({} already sealed), {kept} rows; {} kills before \
                 a record had begun",
                of(&|k| k.sealed),
                all.len() - with_record
            ),
            "all",
        ),
        Row::new(
            "largest loss of one kill",
            format!("{} ms, {most} rows", longest.as_millis()),
            "≤ 1 s",
        ),
        Row::new(
            "every tenth goes on with `--resume`, is closed and verified",
            format!(
                "{went_on} of {went_on} whole; {refused} refused in one line: sealed already, or \
                 no record begun"
            ),
            "all",
        ),
    ]
}
