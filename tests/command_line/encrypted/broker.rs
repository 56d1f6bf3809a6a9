//! A broker of the system's that speaks TLS only, with certificates that openssl made.

use std::path::Path;

use serde_json::Value;

use super::system;
use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until},
    nudges::Broker,
    run::{dryhold, scratch},
};

/// Certificates in a folder: an authority, a broker's that it signed for some names, and
/// one that is signed by itself.
struct Certificates {
    folder: String,
}

impl Certificates {
    fn made(folder: &Path, names: &str) -> Option<Self> {
        std::fs::create_dir_all(folder).expect("a folder");
        let made = Self {
            folder: folder.to_string_lossy().into_owned(),
        };
        let key = [
            "-newkey",
            "ec",
            "-pkeyopt",
            "ec_paramgen_curve:P-256",
            "-nodes",
        ];
        let authority = [
            "req",
            "-x509",
            "-days",
            "2",
            "-subj",
            "/CN=invented authority",
        ];
        let files = [
            "-keyout",
            &made.file("ca.key"),
            "-out",
            &made.file("ca.pem"),
        ];
        openssl(&[&authority[..], &key, &files].concat())?;
        let own = ["req", "-x509", "-days", "2", "-subj", "/CN=invented broker"];
        let files = [
            "-keyout",
            &made.file("own.key"),
            "-out",
            &made.file("own.pem"),
        ];
        openssl(&[&own[..], &key, &files].concat())?;
        let asks = ["req", "-subj", "/CN=invented broker"];
        let files = [
            "-keyout",
            &made.file("broker.key"),
            "-out",
            &made.file("asks.pem"),
        ];
        openssl(&[&asks[..], &key, &files].concat())?;
        std::fs::write(made.file("names"), format!("subjectAltName={names}")).expect("written");
        openssl(
            &[
                &["x509", "-req", "-days", "2", "-in", &made.file("asks.pem")][..],
                &["-CA", &made.file("ca.pem"), "-CAkey", &made.file("ca.key")],
                &["-CAcreateserial", "-extfile", &made.file("names")],
                &["-out", &made.file("broker.pem")],
            ]
            .concat(),
        )?;
        Some(made)
    }

    fn file(&self, name: &str) -> String {
        format!("{}/{name}", self.folder)
    }

    fn fingerprint(&self, name: &str) -> String {
        let file = self.file(name);
        let read = ["x509", "-noout", "-fingerprint", "-sha256", "-in", &file];
        let (_, said, _) = system("openssl", &read).expect("installed");
        said.trim().to_owned()
    }

    /// A broker that shows the one of this name.
    fn broker(&self, name: &str) -> Option<Broker> {
        // root's own files, and the broker may be somebody else
        let listens = format!(
            "certfile {}\nkeyfile {}\nallow_anonymous true\nuser root",
            self.file(&format!("{name}.pem")),
            self.file(&format!("{name}.key"))
        );
        Broker::start(Path::new(&self.folder), &listens)
    }
}

fn openssl(arguments: &[&str]) -> Option<()> {
    let (done, _, why) = system("openssl", arguments)?;
    assert!(done, "openssl {arguments:?}: {why}");
    Some(())
}

/// A recorder that tells this port, with what it trusts.
fn telling(gauge: &Gauge, out: &Path, port: u16, trust: &[&str]) -> Logger {
    let address = format!("mqtts://127.0.0.1:{port}/bays/3");
    let mqtt = ["--no-seal", "--mqtt", &address];
    Logger::start(gauge.path(), out, &[&mqtt, trust].concat())
}

#[test]
fn a_broker_that_is_trusted_is_told_and_no_other() {
    let folder = scratch();
    let Some(made) = Certificates::made(&folder.path().join("shop"), "IP:127.0.0.1") else {
        return;
    };
    let elsewhere = Certificates::made(&folder.path().join("elsewhere"), "IP:127.0.0.1");
    let elsewhere = elsewhere.expect("made as before");
    let Some(broker) = made.broker("broker") else {
        return;
    };
    let mut gauge = Gauge::plugged_in(folder.path());
    let (authority, others) = (made.file("ca.pem"), elsewhere.file("ca.pem"));
    let listener = ["--cafile", &authority];
    let right = made.fingerprint("broker.pem");
    let wrong = made.fingerprint("own.pem");
    let shown = right.rsplit('=').next().expect("pairs");
    // refused first: nothing may have reached the broker by then
    for (name, trust, words) in [
        (
            "wrong",
            &["--mqtt-fingerprint", &wrong][..],
            "another certificate than that of",
        ),
        (
            "others",
            &["--mqtt-ca-file", &others],
            "not signed by the authority of --mqtt-ca-file",
        ),
        (
            "nobody",
            &[],
            "not signed by anybody whom this computer trusts",
        ),
    ] {
        let logger = telling(&gauge, &folder.path().join(name), broker.port, trust);
        gauge.await_reader();
        gauge.say_micron(999.0);
        logger.wait_for("is not reached");
        let (ran, rows) = logger.stop();
        assert!(
            ran.out.contains(words) && ran.out.contains(shown),
            "{name}: {ran:?}"
        );
        assert_eq!(rows.iter().filter(|r| r.micron.is_some()).count(), 1);
    }
    for (name, trust) in [
        ("pinned", &["--mqtt-fingerprint", &right][..]),
        ("signed", &["--mqtt-ca-file", &authority]),
    ] {
        let logger = telling(&gauge, &folder.path().join(name), broker.port, trust);
        gauge.await_reader();
        gauge.say_micron(468.0);
        let state = || -> Value {
            let heard = broker.message_to(&listener, "bays/3/state");
            assert!(
                !heard.contains("999"),
                "told by one that did not trust it: {heard}"
            );
            serde_json::from_str(&heard).unwrap_or_default()
        };
        wait_until("the state", || {
            let state = state();
            state["pressure"]["digits"] == "468" && state["recording"] == true
        });
        let alive = || broker.message_to(&listener, "bays/3/alive");
        assert_eq!(alive(), "online");
        logger.stop();
        wait_until("offline", || alive() == "offline");
    }
}

#[test]
fn a_certificate_signed_by_itself_or_for_another_name_is_told_apart() {
    let folder = scratch();
    let Some(made) = Certificates::made(&folder.path().join("shop"), "DNS:broker.invalid") else {
        return;
    };
    let Some(broker) = made.broker("broker") else {
        return;
    };
    let gauge = Gauge::plugged_in(folder.path());
    let told = |name: &str, port, trust: &[&str], words: &str| {
        let logger = telling(&gauge, &folder.path().join(name), port, trust);
        logger.wait_for(words);
        logger.interrupted();
    };
    let authority = made.file("ca.pem");
    let by_authority = ["--mqtt-ca-file", &authority];
    let words = "its certificate is not for 127.0.0.1";
    told("name", broker.port, &by_authority, words);
    drop(broker);
    // as `openssl req -x509` makes them: an authority's own
    let broker = made.broker("own").expect("as before");
    let own = made.file("own.pem");
    let words = "an authority's own. It has the fingerprint";
    told("itself", broker.port, &["--mqtt-ca-file", &own], words);
    let pinned = made.fingerprint("own.pem");
    let trust = ["--mqtt-fingerprint", &*pinned];
    let logger = telling(&gauge, &folder.path().join("pinned"), broker.port, &trust);
    // its name is not looked at
    let listener = ["--cafile", &*own, "--insecure"];
    wait_until("online", || {
        broker.message_to(&listener, "bays/3/alive") == "online"
    });
    logger.interrupted();
    drop(broker);
    let plain = Broker::start(Path::new(&made.folder), "allow_anonymous true").expect("there");
    told(
        "plain",
        plain.port,
        &trust,
        "does not speak TLS at this port",
    );
}

#[test]
fn what_is_trusted_is_looked_at_before_anything_is_recorded() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let out = out.to_string_lossy();
    let fingerprint = "00".repeat(32);
    let log = [
        "log",
        "--port",
        "file:/dev/null",
        "--dialect",
        "number-unit-line",
    ];
    let (plain, encrypted) = ("mqtt://127.0.0.1:1/b", "mqtts://127.0.0.1:1/b");
    for (mqtt, words) in [
        (
            &["--mqtt", plain, "--mqtt-fingerprint", &fingerprint][..],
            "mqtts://",
        ),
        (
            &["--mqtt", encrypted, "--mqtt-fingerprint", "00"],
            "64 hexadecimal digits",
        ),
        (
            &["--mqtt", encrypted, "--mqtt-ca-file", "/nowhere"],
            "no such file",
        ),
        (
            &["--mqtt", encrypted, "--mqtt-ca-file", "Cargo.toml"],
            "PEM",
        ),
        (&["--mqtt-fingerprint", &fingerprint], "--mqtt"),
    ] {
        let ran = dryhold([&log[..], &["--out", &out], mqtt].concat()).expect(2);
        assert!(ran.err.contains(words), "{mqtt:?}: {ran:?}");
        assert!(!folder.path().join("runs").exists(), "nothing was begun");
    }
}
