//! A person's own command for what happens.

use std::{
    net::{TcpListener, TcpStream},
    path::Path,
    process::{Child, Command, Stdio},
};

use serde_json::Value;

use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    run::scratch,
};

#[test]
fn the_command_hears_of_a_lost_gauge_and_of_its_return() {
    let folder = scratch();
    let heard = folder.path().join("heard.jsonl");
    let command = format!("cat >> '{}'; echo not-for-the-screen", heard.display());
    let mut gauge = Gauge::plugged_in(folder.path());
    let out = folder.path().join("runs");
    let logger = Logger::start(gauge.path(), &out, &["--no-seal", "--on-event", &command]);
    gauge.await_reader();
    gauge.say_micron(468.0);
    logger.wait_for_rows(1);
    gauge.unplug();
    let events = || -> Vec<Value> {
        let text = std::fs::read_to_string(&heard).unwrap_or_default();
        let whole = text.lines().filter(|l| l.ends_with('}'));
        whole
            .map(|l| serde_json::from_str(l).expect("JSON"))
            .collect()
    };
    let is = |kind: &str| events().iter().any(|e| e["event"] == kind);
    wait_until("lost", || is("gauge_lost"));
    gauge.plug_in();
    wait_until("back", || is("gauge_back"));
    let lost = events().into_iter().find(|e| e["event"] == "gauge_lost");
    let lost = lost.expect("heard");
    assert_eq!(lost["grave"], true);
    assert!(
        lost["text"].as_str().expect("words").contains("lost"),
        "{lost}"
    );
    assert!(lost["folder"].as_str().expect("a folder").contains("runs"));
    let ran = logger.interrupted();
    assert!(!ran.out.contains("not-for-the-screen"), "{ran:?}");
}

#[test]
fn a_command_that_hangs_or_fails_is_said_once_and_costs_nothing() {
    let folder = scratch();
    let mut gauge = Gauge::plugged_in(folder.path());
    let out = folder.path().join("runs");
    let logger = Logger::start(gauge.path(), &out, &["--no-seal", "--on-event", "exit 7"]);
    said_once(&mut gauge, logger, "--on-event", "--on-event failed");
}

/// The gauge goes twice, which calls twice in vain: that is said once, by the name of the
/// option, and costs no reading.
pub(crate) fn said_once(gauge: &mut Gauge, logger: Logger, option: &str, words: &str) {
    gauge.await_reader();
    gauge.say_micron(468.0);
    logger.wait_for_rows(1);
    for readings in [2, 3] {
        gauge.unplug();
        std::thread::sleep(std::time::Duration::from_millis(400));
        gauge.plug_in();
        gauge.await_reader();
        gauge.say_micron(469.0);
        // what is not read yet when the plug is pulled is lost with it
        logger.wait_for_readings(readings);
    }
    logger.wait_for(words);
    let (ran, rows) = logger.stop();
    assert_eq!(ran.out.matches(option).count(), 1, "{}", ran.out);
    assert_eq!(rows.iter().filter(|r| r.micron.is_some()).count(), 3);
}

/// A broker of the system's own, where there is one.
pub(crate) struct Broker {
    process: Child,
    pub(crate) port: u16,
}

/// Who may come to it.
const ANYBODY: &str = "allow_anonymous true";

impl Broker {
    /// One that listens as the lines of `who` say.
    pub(crate) fn start(folder: &Path, who: &str) -> Option<Self> {
        let socket = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = socket.local_addr().expect("its address").port();
        drop(socket);
        Self::start_at(folder, port, who)
    }

    fn start_at(folder: &Path, port: u16, who: &str) -> Option<Self> {
        let file = folder.join("broker.conf");
        let text = format!("listener {port} 127.0.0.1\n{who}\n");
        std::fs::write(&file, text).expect("written");
        // where the system keeps programs for services
        let path = format!("{}:/usr/sbin", std::env::var("PATH").unwrap_or_default());
        let process = Command::new("mosquitto")
            .env("PATH", path)
            .arg("-c")
            .arg(&file)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        let Ok(process) = process else {
            skipped_tests::skip("mosquitto is not installed");
            return None;
        };
        wait_until("the broker", || {
            TcpStream::connect(("127.0.0.1", port)).is_ok()
        });
        Some(Self { process, port })
    }

    /// The next message of a topic, retained or new.
    fn message(&self, topic: &str) -> String {
        self.message_to(&[], topic)
    }

    /// The same for somebody with a name, or who speaks TLS.
    pub(crate) fn message_to(&self, who: &[&str], topic: &str) -> String {
        let port = self.port.to_string();
        let heard = Command::new("mosquitto_sub")
            .args(["-h", "127.0.0.1", "-p", &port, "-C", "1", "-W", "15"])
            .args(["-t", topic])
            .args(who)
            .output()
            .expect("mosquitto_sub comes with mosquitto-clients");
        String::from_utf8(heard.stdout)
            .expect("UTF-8")
            .trim()
            .to_owned()
    }
}

impl Drop for Broker {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

#[test]
fn a_broker_is_told_and_found_again() {
    let folder = scratch();
    let Some(broker) = Broker::start(folder.path(), ANYBODY) else {
        return;
    };
    let mut gauge = Gauge::plugged_in(folder.path());
    let out = folder.path().join("runs");
    let port = broker.port;
    let address = format!("mqtt://127.0.0.1:{port}/bays/3");
    let logger = Logger::start(gauge.path(), &out, &["--no-seal", "--mqtt", &address]);
    gauge.await_reader();
    gauge.say_micron(468.0);
    let state = |broker: &Broker| -> Value {
        serde_json::from_str(&broker.message("bays/3/state")).unwrap_or_default()
    };
    wait_until("the state", || {
        state(&broker)["pressure"]["digits"] == "468"
    });
    assert_eq!(broker.message("bays/3/alive"), "online");
    drop(broker);
    logger.wait_for("is not reached");
    gauge.say_micron(300.0);
    let broker = Broker::start_at(folder.path(), port, ANYBODY).expect("as before");
    wait_until("the state again", || {
        state(&broker)["pressure"]["digits"] == "300"
    });
    let (_, rows) = logger.stop();
    assert_eq!(rows.iter().filter(|r| r.micron.is_some()).count(), 2);
    assert_eq!(broker.message("bays/3/alive"), "offline");
    assert_eq!(state(&broker)["recording"], false);
    // one that dies is said to be gone by the broker itself
    let again = folder.path().join("again");
    let dying = Logger::start(gauge.path(), &again, &["--no-seal", "--mqtt", &address]);
    wait_until("online", || broker.message("bays/3/alive") == "online");
    dying.kill();
    wait_until("offline", || broker.message("bays/3/alive") == "offline");
}

#[test]
fn a_broker_that_wants_a_name_gets_it_and_a_wrong_password_is_told() {
    let folder = scratch();
    let names = folder.path().join("names");
    let made = Command::new("mosquitto_passwd")
        .args(["-b", "-c"])
        .arg(&names)
        .args(["bay", "quiet-hold"])
        .stderr(Stdio::null())
        .status();
    // root's own file, and the broker may be somebody else
    let who = format!(
        "allow_anonymous false\npassword_file {}\nuser root",
        names.display()
    );
    let broker = made.ok().and_then(|_| Broker::start(folder.path(), &who));
    let Some(broker) = broker else {
        return;
    };
    let mut gauge = Gauge::plugged_in(folder.path());
    let secret = folder.path().join("password");
    let told_to = |user: &str, words: &str| {
        std::fs::write(&secret, words).expect("written");
        let address = format!("mqtt://{user}127.0.0.1:{}/bays/3", broker.port);
        let file = secret.to_string_lossy().into_owned();
        let out = folder.path().join(words.len().to_string()).join(user);
        let mqtt = [
            "--no-seal",
            "--mqtt",
            &address,
            "--mqtt-password-file",
            &file,
        ];
        Logger::start(gauge.path(), &out, &mqtt)
    };
    let wrong = told_to("bay@", "loud-hold");
    wrong.wait_for("refuses the user bay or the password");
    wrong.interrupted();
    let nobody = told_to("", "nobody");
    nobody.wait_for("it wants a user name");
    nobody.interrupted();
    let right = told_to("bay@", "quiet-hold\n");
    gauge.await_reader();
    gauge.say_micron(468.0);
    let bay = ["-u", "bay", "-P", "quiet-hold"];
    wait_until("online", || {
        broker.message_to(&bay, "bays/3/alive") == "online"
    });
    let (ran, _) = right.stop();
    assert!(
        !ran.out.contains("quiet-hold") && !ran.err.contains("quiet-hold"),
        "{ran:?}"
    );
}
