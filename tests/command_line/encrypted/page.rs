//! The page of a running recorder over TLS.

use std::{
    io::{Read, Write},
    net::TcpStream,
    path::Path,
    time::{Duration, Instant},
};

use super::system;
use headless_browser::Browser;

use crate::{
    gauge::Gauge,
    logger::Logger,
    run::{measured, scratch},
};

/// A recorder whose page is encrypted, with a data folder of its own.
struct Recorder {
    gauge: Gauge,
    logger: Logger,
    /// As it is printed.
    address: String,
    port: u16,
    fingerprint: String,
}

fn recorder(folder: &Path, name: &str) -> Recorder {
    let mut gauge = Gauge::plugged_in(folder);
    let out = folder.join(name);
    let port = gauge.path().to_string_lossy().into_owned();
    let below = out.to_string_lossy().into_owned();
    let log = ["log", "--port", &port, "--dialect", "number-unit-line"];
    let page = [
        "--view-page",
        "--view-tls",
        "--view-marks",
        "--view-port",
        "0",
    ];
    let rest = ["--no-seal", "--out", &below];
    let logger = Logger::start_where(
        &out,
        &[&log, &page[..], &rest].concat(),
        &[("XDG_DATA_HOME", &folder.join("data"))],
    );
    gauge.await_reader();
    logger.wait_for("Recording to");
    let said = logger.said();
    let after = |words: &str| {
        let line = said.lines().find_map(|l| l.strip_prefix(words));
        line.unwrap_or_else(|| panic!("no {words}: {said}"))
            .to_owned()
    };
    let address = after("Page: ");
    assert!(address.starts_with("https://127.0.0.1:"), "{address}");
    let fingerprint = said.lines().find(|l| l.matches(':').count() == 31);
    let fingerprint = fingerprint.expect("a fingerprint").trim().to_owned();
    assert!(said.contains("go on only if its SHA-256 fingerprint is this one"));
    let port = address
        .split([':', '/'])
        .nth(4)
        .and_then(|p| p.parse().ok());
    Recorder {
        gauge,
        logger,
        port: port.expect("a port"),
        address,
        fingerprint,
    }
}

fn certificate_file(folder: &Path) -> String {
    let file = folder.join("data/dryhold/page-certificate.pem");
    assert!(file.is_file());
    file.to_string_lossy().into_owned()
}

#[test]
fn openssl_sees_the_fingerprint_that_was_printed_and_two_versions_of_tls() {
    let folder = scratch();
    let Recorder {
        logger,
        port,
        fingerprint,
        ..
    } = recorder(folder.path(), "runs");
    let (place, file) = (format!("127.0.0.1:{port}"), certificate_file(folder.path()));
    let client = ["s_client", "-connect", &place, "-verify_return_error"];
    let trusting = [&client[..], &["-CAfile", &file, "-verify_ip", "127.0.0.1"]].concat();
    for (version, spoken) in [("-tls1_2", "TLSv1.2"), ("-tls1_3", "TLSv1.3")] {
        let Some((done, said, _)) = system("openssl", &[&trusting[..], &[version]].concat()) else {
            return;
        };
        assert!(
            done && said.contains("Verify return code: 0 (ok)"),
            "{said}"
        );
        assert!(
            said.contains(&format!("New, {spoken}, Cipher is")),
            "{said}"
        );
        let shown = folder.path().join("shown.pem");
        std::fs::write(&shown, said).expect("written");
        let shown = shown.to_string_lossy().into_owned();
        let read = ["x509", "-noout", "-fingerprint", "-sha256", "-in", &shown];
        let (_, read, _) = system("openssl", &read).expect("installed");
        let read = read.trim().rsplit('=').next();
        assert_eq!(read, Some(&*fingerprint));
    }
    // whatever openssl itself would still speak
    for old in ["-tls1", "-tls1_1"] {
        let weak = ["-cipher", "ALL:@SECLEVEL=0", old];
        let (done, said, _) = system("openssl", &[&trusting[..], &weak].concat()).expect("there");
        assert!(!done && !said.contains("Cipher is EC"), "{said}");
    }
    // without the certificate nobody vouches for it
    let (done, said, _) = system("openssl", &client).expect("installed");
    assert!(!done, "{said}");
    logger.interrupted();
}

#[test]
fn curl_reads_the_page_and_its_stream_if_it_trusts_the_certificate() {
    let folder = scratch();
    let Recorder {
        mut gauge,
        logger,
        address,
        port,
        ..
    } = recorder(folder.path(), "runs");
    gauge.say_micron(468.0);
    logger.wait_for_rows(1);
    let file = certificate_file(folder.path());
    let jar = folder.path().join("cookies");
    let jar = jar.to_string_lossy().into_owned();
    let trusting = [
        "-sS",
        "--max-time",
        "4",
        "--noproxy",
        "*",
        "--cacert",
        &file,
    ];
    let page = [&trusting[..], &["-c", &jar, &address]].concat();
    let Some((done, page, why)) = system("curl", &page) else {
        return;
    };
    assert!(done && page.contains("<canvas"), "{why}");
    // Netscape's format: host, subdomains, path, only when encrypted, …
    let cookies = std::fs::read_to_string(&jar).expect("cookies");
    assert!(cookies.contains("\t/\tTRUE\t"), "{cookies}");
    let stream = format!("https://127.0.0.1:{port}/stream");
    let (_, events, _) = system(
        "curl",
        &[&trusting[..], &["-N", "-b", &jar, &stream]].concat(),
    )
    .expect("installed");
    assert!(
        events.contains("event: now") && events.contains("468"),
        "{events}"
    );
    let untrusting = ["-sS", "--max-time", "4", "--noproxy", "*", &address];
    let (done, page, why) = system("curl", &untrusting).expect("installed");
    assert!(
        !done && page.is_empty() && why.contains("certificate"),
        "{why}"
    );
    // a plain request is told, and is not led on
    let plain = address.replacen("https", "http", 1);
    let plain = ["-sS", "--max-time", "4", "--noproxy", "*", &plain];
    let (_, told, _) = system("curl", &plain).expect("installed");
    assert!(told.contains("begins with https://"), "{told}");
    logger.interrupted();
}

#[test]
fn a_browser_warns_once_and_then_shows_the_page() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let folder = scratch();
    let mut recorder = recorder(folder.path(), "runs");
    browser.open(&recorder.address);
    browser.wait_for("document.body.textContent.includes('ERR_CERT_AUTHORITY_INVALID')");
    // what a person does who has compared the fingerprint
    browser.value("document.getElementById('details-button').click()");
    browser.value("document.getElementById('proceed-link').click()");
    // a browser may take its time, and what is old is struck through
    let shows = |micron| format!("document.getElementById('number').textContent === '{micron}'");
    browser.wait_for_after(&shows(468), || recorder.gauge.say_micron(468.0));
    let live = "document.getElementById('link').textContent.includes('live')";
    browser.wait_for_after(live, || recorder.gauge.say_micron(468.0));
    assert_eq!(
        browser.value("isSecureContext && location.protocol"),
        "https:"
    );
    browser.wait_for_after(&shows(301), || recorder.gauge.say_micron(301.0));
    // a mark is stamped over the same
    let stamp = "fetch('/act', {method: 'POST', headers: {'Content-Type': 'application/json'}, \
                 body: '{\"stamp\":\"s\"}'}).then(answer => answer.status)";
    assert_eq!(browser.value(stamp), 202);
    // and it does not warn again
    browser.open("about:blank");
    browser.open(&format!("https://127.0.0.1:{}/", recorder.port));
    browser.wait_for_after(&shows(301), || recorder.gauge.say_micron(301.0));
    let (_, rows) = recorder.logger.stop();
    assert!(
        rows.iter()
            .any(|row| row.mark == "isolated" || row.note.contains("[device"))
    );
}

#[test]
fn the_certificate_stays_the_same_and_is_for_its_owner() {
    use std::os::unix::fs::PermissionsExt;
    let folder = scratch();
    let first = recorder(folder.path(), "first");
    let fingerprint = first.fingerprint.clone();
    assert!(
        first
            .logger
            .said()
            .contains("A certificate for the page was made")
    );
    first.logger.interrupted();
    drop(first.gauge);
    std::fs::remove_file(folder.path().join("gauge")).expect("unplugged");
    let file = certificate_file(folder.path());
    let mode = |file: &str| std::fs::metadata(file).expect("there").permissions().mode();
    assert_eq!(mode(&file) & 0o777, 0o600);
    let second = recorder(folder.path(), "second");
    assert_eq!(second.fingerprint, fingerprint);
    assert!(!second.logger.said().contains("was made"));
    second.logger.interrupted();
}

/// Strangers who make the page work and wait: nothing of it reaches the recording, and
/// memory stays bounded.
#[test]
fn two_hundred_hostile_connections_cost_little_memory_and_no_reading() {
    let folder = scratch();
    let mut recorder = recorder(folder.path(), "runs");
    recorder.gauge.say_micron(1_000.0);
    recorder.logger.wait_for_rows(1);
    let port = recorder.port;
    // the first part of a handshake message that says it is 64 KB long
    let mut endless = vec![22, 3, 1, 0x3e, 0x84, 1, 0, 0xff, 0xff];
    endless.resize(16_009, 0);
    endless.extend([22, 3, 1, 0x36, 0xb0]);
    endless.resize(30_000, 0);
    let before = kib(&mut recorder.logger);
    let mut all: Vec<Option<TcpStream>> = (0..200).map(|_| None).collect();
    let begun = Instant::now();
    let (mut most, mut said, mut opened) = (0, 0, 0);
    while begun.elapsed() < Duration::from_secs(5) {
        for socket in &mut all {
            if !socket.as_mut().is_some_and(is_open) {
                opened += 1;
                *socket = TcpStream::connect(("127.0.0.1", port)).ok();
                if let Some(socket) = socket {
                    let _ = socket.set_nonblocking(true);
                    let _ = socket.write(&endless);
                }
            }
        }
        said += 1;
        recorder.gauge.say_micron(1_000.0 - f64::from(said));
        most = most.max(kib(&mut recorder.logger));
        std::thread::sleep(Duration::from_millis(50));
    }
    assert!(opened >= 400, "{opened}");
    let grown = most.saturating_sub(before);
    println!("{opened} connections; memory {before} KiB before, {grown} more at most");
    // 256 places, of each 32 KB at most, and what TLS keeps beside it
    assert!(grown < 24 * 1_024, "{grown} KiB");
    recorder
        .logger
        .wait_for_rows(1 + usize::try_from(said).expect("few"));
    let (_, rows) = recorder.logger.stop();
    let expected: Vec<f64> = (0..=said).map(|n| 1_000.0 - f64::from(n)).collect();
    assert_eq!(measured(&rows), expected);
}

#[cfg(target_os = "linux")]
fn kib(logger: &mut Logger) -> u64 {
    logger.resident_kib()
}

#[cfg(not(target_os = "linux"))]
fn kib(_: &mut Logger) -> u64 {
    0
}

fn is_open(socket: &mut TcpStream) -> bool {
    match socket.read(&mut [0; 64]) {
        Ok(read) => read > 0,
        Err(e) => e.kind() == std::io::ErrorKind::WouldBlock,
    }
}

#[test]
fn the_page_goes_with_its_option_only() {
    let folder = scratch();
    let out = folder.path().join("runs");
    let out = out.to_string_lossy();
    let log = [
        "log",
        "--port",
        "file:/dev/null",
        "--dialect",
        "number-unit-line",
    ];
    let ran = crate::run::dryhold([&log[..], &["--out", &out, "--view-tls"]].concat());
    assert!(ran.expect(2).err.contains("go with --view-page"));
}
