//! A notification on the desktop: a message bus of the test's own, with a notification
//! service of the test's own on it (freedesktop.org, Desktop Notifications
//! Specification 1.2: the method `Notify` and its arguments).
#![cfg(target_os = "linux")]

use std::{
    collections::HashMap,
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    sync::{Arc, Mutex},
};

use zbus::{OwnedVariant, connection::Builder};

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    nudges::said_once,
    run::scratch,
};

/// What a desktop was asked to show.
#[derive(Debug, Clone)]
struct Shown {
    title: String,
    text: String,
    urgency: Option<u8>,
}

struct Desk(Arc<Mutex<Vec<Shown>>>);

#[zbus::interface(name = "org.freedesktop.Notifications")]
impl Desk {
    #[expect(clippy::too_many_arguments, reason = "the specification's own")]
    fn notify(
        &self,
        _app_name: String,
        _replaces: u32,
        _icon: String,
        title: String,
        text: String,
        _actions: Vec<String>,
        hints: HashMap<String, OwnedVariant>,
        _expires_ms: i32,
    ) -> u32 {
        let mut all = self.0.lock().expect("nobody panicked");
        let urgency = hints.get("urgency").and_then(|v| u8::try_from(v).ok());
        all.push(Shown {
            title,
            text,
            urgency,
        });
        u32::try_from(all.len()).expect("few")
    }
}

/// A message bus that ends with the test.
struct Bus {
    process: Child,
    address: PathBuf,
}

impl Bus {
    fn start(folder: &Path) -> Option<Self> {
        let socket = folder.join("bus");
        let address = format!("unix:path={}", socket.display());
        let process = Command::new("dbus-daemon")
            .args(["--session", "--nofork", "--nopidfile"])
            .arg(format!("--address={address}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        let Ok(process) = process else {
            skipped_tests::skip("dbus-daemon is not installed");
            return None;
        };
        wait_until("the bus", || socket.exists());
        Some(Self {
            process,
            address: address.into(),
        })
    }

    fn record(&self, gauge: &Gauge, out: &Path) -> Logger {
        let port = gauge.path().to_string_lossy().into_owned();
        let below = out.to_string_lossy().into_owned();
        let log = ["log", "--port", &port, "--dialect", "number-unit-line"];
        let options = ["--no-seal", "--notify", "--out", &below];
        let bus = [("DBUS_SESSION_BUS_ADDRESS", self.address.as_path())];
        Logger::start_where(out, &[&log[..], &options].concat(), &bus)
    }
}

impl Drop for Bus {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

#[test]
fn a_lost_gauge_is_shown_and_stays_until_it_is_seen() {
    let folder = scratch();
    let Some(bus) = Bus::start(folder.path()) else {
        return;
    };
    let shown = Arc::new(Mutex::new(Vec::new()));
    let address = bus.address.to_string_lossy().into_owned();
    let desk = Desk(Arc::clone(&shown));
    let _desktop = zbus::block_on(async {
        let bus = Builder::address(address.as_str()).name("org.freedesktop.Notifications");
        let bus = bus.serve_at("/org/freedesktop/Notifications", desk);
        bus.build().await.expect("on the bus")
    });
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = bus.record(&gauge, &folder.path().join("runs"));
    gauge.await_reader();
    gauge.say_micron(468.0);
    logger.wait_for_rows(1);
    gauge.unplug();
    let all = || shown.lock().expect("nobody panicked").clone();
    let lost = || all().into_iter().find(|s: &Shown| s.text.contains("lost"));
    wait_until("a notification", || lost().is_some());
    let lost = lost().expect("shown");
    assert!(lost.title.starts_with("dryhold: "), "{lost:?}");
    assert_eq!(lost.urgency, Some(2), "critical: {lost:?}");
    let said = logger.interrupted().out;
    assert!(!said.contains("--notify"), "{said}");
}

#[test]
fn without_a_desktop_it_is_said_once_and_costs_nothing() {
    let folder = scratch();
    let Some(bus) = Bus::start(folder.path()) else {
        return;
    };
    let mut gauge = Gauge::plugged_in(folder.path());
    let logger = bus.record(&gauge, &folder.path().join("runs"));
    said_once(&mut gauge, logger, "--notify", "is there a desktop?");
}
