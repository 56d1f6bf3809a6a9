//! A recording, and everything around it that can go wrong.

use std::{
    collections::{BTreeMap, BTreeSet},
    io::{Read, Write},
    net::{TcpListener, TcpStream},
    path::{Path, PathBuf},
    time::{Duration, Instant, SystemTime},
};

use rustix::process::{Pid, Signal, test_kill_process};
use tempfile::TempDir;

use super::{Act, Dice, PER_S, record::look_at};
use crate::{
    full_disk::SmallDisk,
    gauge::Gauge,
    logger::wait_until,
    run::{runs, scratch},
    screen::Screen,
};

/// After a disturbance that a recorder needs a moment to deal with it is not killed for
/// so long: the second of the promise, and its tick.
const SETTLES: Duration = Duration::from_millis(1_400);
/// After a full disk was freed: the recorder tries it again every five seconds.
const DISK_SETTLES: Duration = Duration::from_secs(7);
/// How large the disk is that fills up.
const DISK: &str = "size=24m";

pub(super) struct World {
    folder: TempDir,
    disk: Option<SmallDisk>,
    out: PathBuf,
    gauge: Gauge,
    /// When each reading was said, by the computer's clock.
    said: Vec<SystemTime>,
    screen: Screen,
    /// The run folder that is written.
    run: PathBuf,
    /// Readings up to this one were looked for already.
    looked: usize,
    /// No kill before this moment.
    settled_at: Instant,
    port: u16,
    viewers: Vec<TcpStream>,
    seen: BTreeSet<usize>,
    named: BTreeSet<usize>,
    counts: BTreeMap<Act, u32>,
    /// What was done since the recording began, for who looks for the reason of a failure.
    history: Vec<(Instant, Act)>,
    records: u32,
}

impl World {
    pub(super) fn begin(dice: &mut Dice) -> Self {
        let folder = scratch();
        let disk = SmallDisk::mount(&folder.path().join("disk"), DISK);
        let place = disk.as_ref().map_or(folder.path(), |disk| &disk.0);
        let out = place.join("runs");
        let gauge = Gauge::plugged_in(folder.path());
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = listener.local_addr().expect("its number").port();
        drop(listener);
        let (screen, run) = start(folder.path(), &out, port, None, dice);
        let mut world = Self {
            folder,
            disk,
            out,
            gauge,
            said: Vec::new(),
            screen,
            run,
            looked: 0,
            settled_at: Instant::now(),
            port,
            viewers: Vec::new(),
            seen: BTreeSet::new(),
            named: BTreeSet::new(),
            counts: BTreeMap::new(),
            history: Vec::new(),
            records: 0,
        };
        world.gauge.await_reader();
        world
    }

    /// The gauge speaks for so long.
    pub(super) fn talk(&mut self, time: Duration) {
        let until = Instant::now() + time;
        while Instant::now() < until {
            self.gauge.say_micron(self.said.len() as f64);
            self.said.push(SystemTime::now());
            std::thread::sleep(Duration::from_secs(1) / PER_S);
        }
    }

    fn settles(&mut self, time: Duration) {
        self.settled_at = self.settled_at.max(Instant::now() + time);
    }

    pub(super) fn act(&mut self, act: Act, dice: &mut Dice) {
        *self.counts.entry(act).or_default() += 1;
        self.history.push((Instant::now(), act));
        let trace = self.run.join("trace.csv");
        match act {
            Act::Kill => {
                self.talk(self.settled_at.saturating_duration_since(Instant::now()));
                self.kill(dice);
            }
            Act::EndCleanly => {
                self.talk(self.settled_at.saturating_duration_since(Instant::now()));
                self.end_cleanly(dice);
            }
            Act::StopAndGoOn => {
                self.screen.signal(Signal::STOP);
                self.talk(dice.between_ms(50, 3_500));
                self.screen.signal(Signal::CONT);
                self.settles(SETTLES);
            }
            Act::HoldTerminal => self.screen.keys("\x13"),
            Act::FreeTerminal => self.screen.keys("\x11"),
            Act::SuspendKey => self.screen.signal(Signal::TSTP),
            Act::DeleteTrace => {
                let _ = std::fs::remove_file(trace);
                self.settles(SETTLES);
            }
            Act::DeleteFolder => {
                let _ = std::fs::remove_dir_all(&self.run);
                self.settles(SETTLES);
            }
            Act::ReplaceTrace => {
                // as a program saves that had read it before
                let new = self.run.join("saved");
                if std::fs::copy(&trace, &new).is_ok() {
                    std::fs::rename(new, trace).expect("replaced");
                }
                self.settles(SETTLES);
            }
            Act::FillDisk => {
                let Some(disk) = &self.disk else { return };
                let filler = disk.0.join("filler");
                fill(&filler);
                self.talk(dice.between_ms(200, 4_000));
                std::fs::remove_file(filler).expect("room again");
                self.settles(DISK_SETTLES);
            }
            Act::Unplug => {
                self.gauge.unplug();
                std::thread::sleep(dice.between_ms(50, 2_500));
                self.gauge.plug_in();
                self.gauge.await_reader();
                self.settles(SETTLES);
            }
            Act::StuckViewers => {
                if self.viewers.len() > 40 {
                    self.viewers.clear();
                }
                for _ in 0..dice.below(12) {
                    self.viewers
                        .extend(stuck_viewer(self.folder.path(), self.port));
                }
            }
        }
    }

    /// kill −9, a look at what it left, and the next recording: of the same run or a new
    /// one.
    fn kill(&mut self, dice: &mut Dice) {
        let killed = SystemTime::now();
        self.screen.signal(Signal::KILL);
        wait_until("its end", || !self.screen.is_running());
        let second = Duration::from_secs(1);
        let owed = self.said.partition_point(|at| *at + second < killed);
        let resume = dice.below(2) == 0;
        self.look(owed, "killed");
        let run = resume.then(|| self.run.clone());
        self.start(run, dice);
    }

    /// Ctrl-C or a request to terminate: every reading is there, sealed and drawn, and
    /// nothing that was begun outlives it.
    fn end_cleanly(&mut self, dice: &mut Dice) {
        self.stop(if dice.below(2) == 0 {
            Signal::INT
        } else {
            Signal::TERM
        });
        self.start(None, dice);
    }

    fn stop(&mut self, signal: Signal) {
        self.gauge.drain();
        std::thread::sleep(Duration::from_millis(50));
        self.screen.signal(signal);
        let asked = Instant::now();
        wait_until("its end", || !self.screen.is_running());
        let took = asked.elapsed();
        assert!(took < Duration::from_secs(15), "it took {took:?} to end");
        self.screen.ended().expect(0);
        self.look(self.said.len(), "ended");
        for file in ["seal.json", "sheet.pdf", "findings.json"] {
            assert!(self.run.join(file).is_file(), "{file} is missing");
        }
        let left: Vec<i32> = hooks(self.folder.path()).filter(|p| runs_now(*p)).collect();
        assert!(left.is_empty(), "hooks outlive it: {left:?}");
    }

    /// Looks through the record; readings before `owed` must be in it, or in those before.
    fn look(&mut self, owed: usize, what: &str) {
        let what = &format!("{what} after {}", self.since_start());
        let found = look_at(&self.run, &self.said, what);
        self.seen.extend(found.timed);
        self.named.extend(found.named);
        let lost: Vec<usize> = (self.looked..owed)
            .filter(|n| !self.seen.contains(n) && !self.named.contains(n))
            .collect();
        assert!(
            lost.is_empty(),
            "{what}: {} of {} readings are lost: {lost:?}; {}",
            lost.len(),
            owed - self.looked,
            self.told()
        );
        self.looked = self.said.len();
        self.records += 1;
    }

    fn start(&mut self, run: Option<PathBuf>, dice: &mut Dice) {
        if run.is_none() {
            // room for the next: what was found in it is known
            for old in runs(&self.out) {
                std::fs::remove_dir_all(old).expect("cleared away");
            }
            // a run is named by the second it began in
            std::thread::sleep(Duration::from_millis(1_050));
        }
        // hooks of a killed recorder nobody could end
        for hook in hooks(self.folder.path()).filter_map(Pid::from_raw) {
            let _ = rustix::process::kill_process_group(hook, Signal::KILL);
        }
        let _ = std::fs::remove_file(self.folder.path().join("hooks"));
        // what was said to nobody is nobody's
        std::fs::remove_file(self.gauge.path()).expect("the link goes");
        self.gauge = Gauge::plugged_in(self.folder.path());
        self.viewers.clear();
        let (screen, run) = start(
            self.folder.path(),
            &self.out,
            self.port,
            run.as_deref(),
            dice,
        );
        (self.screen, self.run) = (screen, run);
        self.history.clear();
        self.gauge.await_reader();
        self.settled_at = Instant::now();
    }

    /// Ends the last recording, and says what happened.
    pub(super) fn end(mut self) -> String {
        self.talk(self.settled_at.saturating_duration_since(Instant::now()));
        // a record without a reading has no sheet
        self.talk(Duration::from_millis(300));
        self.stop(Signal::TERM);
        self.told()
    }

    /// What was done since the recording began, each with the time since then, and the
    /// files that are left.
    fn since_start(&self) -> String {
        let now = Instant::now();
        let acts: Vec<String> = self
            .history
            .iter()
            .map(|(at, act)| format!("{act:?} {:.1} s ago", (now - *at).as_secs_f64()))
            .collect();
        let files = std::fs::read_dir(&self.run).into_iter().flatten().flatten();
        let files: Vec<String> = files
            .map(|file| file.file_name().to_string_lossy().into_owned())
            .collect();
        format!("{}; left is {files:?}", acts.join(", "))
    }

    fn told(&self) -> String {
        let acts: Vec<String> = self
            .counts
            .iter()
            .map(|(act, count)| format!("{act:?} {count}"))
            .collect();
        format!(
            "chaos: {} readings said, {} recorded with their time and {} as notes, looked for in \
             {} records; {}",
            self.said.len(),
            self.seen.len(),
            self.named.len(),
            self.records,
            acts.join(", ")
        )
    }
}

/// Starts a recording; gives its run folder too.
fn start(
    folder: &Path,
    out: &Path,
    port: u16,
    resume: Option<&Path>,
    dice: &mut Dice,
) -> (Screen, PathBuf) {
    let text = |path: &Path| path.to_string_lossy().into_owned();
    let before = runs(out);
    // it says its number, and never ends
    let hook = format!("echo $$ >> '{}'; sleep 300", folder.join("hooks").display());
    let view = ["line", "spoken", "full", "off"][dice.below(4) as usize];
    let mut arguments: Vec<String> = ["log", "--view", view, "--on-event", &hook, "--view-page"]
        .map(str::to_owned)
        .to_vec();
    arguments.extend(["--view-port".to_owned(), port.to_string()]);
    arguments.extend(["--view-key".to_owned(), text(&folder.join("page.key"))]);
    match resume {
        Some(run) => arguments.extend(["--resume".to_owned(), text(run)]),
        None => arguments.extend([
            "--port".to_owned(),
            text(&folder.join("gauge")),
            "--dialect".to_owned(),
            "number-unit-line".to_owned(),
            "--out".to_owned(),
            text(out),
        ]),
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let screen = Screen::start((80, 24), &arguments, &[]);
    let run = match resume {
        Some(run) => run.to_owned(),
        None => {
            let new = || runs(out).into_iter().find(|r| !before.contains(r));
            wait_until("a run folder", || new().is_some());
            new().expect("it is there")
        }
    };
    (screen, run)
}

/// Leaves no byte free.
fn fill(filler: &Path) {
    let mut filler = std::fs::File::create(filler).expect("a file");
    while filler.write_all(&[0; 4_096]).is_ok() {}
}

/// Somebody who opens the page and never reads what is sent.
fn stuck_viewer(folder: &Path, port: u16) -> Option<TcpStream> {
    let keys = std::fs::read_to_string(folder.join("page.key")).ok()?;
    let key = keys.lines().find_map(|line| line.strip_prefix("view "))?;
    let ask = |line: &str, more: &str| {
        let mut socket = TcpStream::connect(("127.0.0.1", port)).ok()?;
        let host = format!("Host: 127.0.0.1:{port}\r\n");
        write!(socket, "{line} HTTP/1.1\r\n{host}{more}\r\n").ok()?;
        Some(socket)
    };
    let mut head = String::new();
    let mut session = ask(&format!("HEAD /?key={key}"), "Connection: close\r\n")?;
    session
        .set_read_timeout(Some(Duration::from_secs(1)))
        .ok()?;
    // what is refused for now looks on as a stranger
    let _ = session.read_to_string(&mut head);
    let cookie = head.lines().find_map(|l| l.strip_prefix("set-cookie: "));
    let cookie = cookie.and_then(|c| c.split(';').next()).unwrap_or_default();
    ask("GET /stream", &format!("Cookie: {cookie}\r\n"))
}

/// Hooks that said their numbers.
fn hooks(folder: &Path) -> impl Iterator<Item = i32> {
    let numbers = std::fs::read_to_string(folder.join("hooks")).unwrap_or_default();
    let numbers: Vec<i32> = numbers.lines().filter_map(|n| n.parse().ok()).collect();
    numbers.into_iter()
}

fn runs_now(process: i32) -> bool {
    Pid::from_raw(process).is_some_and(|pid| test_kill_process(pid).is_ok())
}
