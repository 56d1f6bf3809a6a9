//! The certificate, read by openssl where there is one.

use super::*;
use std::process::{Command, Stdio};

const DAY: Duration = Duration::from_secs(24 * 3_600);

fn names(all: &[&str]) -> Vec<String> {
    all.iter().map(|&n| n.to_owned()).collect()
}

/// Noon on 14 March 2026, UTC.
fn noon() -> SystemTime {
    UNIX_EPOCH + Duration::from_secs(1_773_489_600)
}

fn made(all: &[&str]) -> Certificate {
    Certificate::made_for(&names(all), None, noon()).expect("a certificate")
}

#[test]
fn a_certificate_is_read_back_with_its_key_and_no_other() {
    let (one, other) = (made(&["10.0.0.1"]), made(&["10.0.0.1"]));
    let again = Certificate::from_text(one.to_text()).expect("its own text");
    assert_eq!(again.fingerprint(), one.fingerprint());
    assert_ne!(other.fingerprint(), one.fingerprint());
    let key_at = |text: &str| text.find("-----BEGIN PRIVATE").expect("a key");
    let (text, foreign) = (one.to_text(), other.to_text());
    let mixed = text[..key_at(text)].to_owned() + &foreign[key_at(foreign)..];
    let half = &text[..key_at(text)];
    for wrong in ["", "names: 10.0.0.1\n", half, &mixed, &text[..200]] {
        assert!(Certificate::from_text(wrong).is_err(), "{wrong}");
    }
    assert!(!format!("{one:?}").contains("PRIVATE"));
}

#[test]
fn it_fits_its_names_and_its_time() {
    let one = made(&["192.168.1.20", "localhost"]);
    let fits = |all: &[&str], at| one.fits(&names(all), at);
    for at in [noon(), noon() - DAY / 2, noon() + 388 * DAY] {
        assert_eq!(fits(&["192.168.1.20"], at), Ok(()));
        assert_eq!(fits(&["localhost", "192.168.1.20"], at), Ok(()));
        assert_eq!(fits(&["192.168.1.21"], at), Err(Unfit::Names));
        assert_eq!(fits(&["shop"], at), Err(Unfit::Names));
    }
    for at in [noon() - 2 * DAY, noon() + 390 * DAY, UNIX_EPOCH] {
        assert_eq!(fits(&["localhost"], at), Err(Unfit::Time));
    }
    // names that only the first line claims are not believed
    let claimed = one.to_text().replacen(NAMES, "names: 10.9.8.7 ", 1);
    let claimed = Certificate::from_text(&claimed).expect("a certificate");
    assert_eq!(claimed.names, ["192.168.1.20", "localhost"]);
}

#[test]
fn a_new_one_names_what_the_old_one_named_but_not_without_end() {
    let old = made(&["192.168.1.20", "localhost"]);
    let all = names(&["10.42.0.1", "localhost"]);
    let new = Certificate::made_for(&all, Some(&old), noon()).expect("a certificate");
    assert_eq!(new.names, ["10.42.0.1", "localhost", "192.168.1.20"]);
    let mut last = new;
    for n in 0..40 {
        let all = names(&[&format!("10.0.0.{n}"), "localhost"]);
        last = Certificate::made_for(&all, Some(&last), noon()).expect("a certificate");
        assert_eq!(last.fits(&all, noon()), Ok(()));
    }
    assert_eq!(last.names.len(), MOST_NAMES);
    assert!(last.names.contains(&"10.0.0.38".into()));
}

/// A wrong clock gives a certificate all the same: recording does not depend on it.
#[test]
fn no_clock_is_too_wrong() {
    for at in [
        UNIX_EPOCH,
        UNIX_EPOCH - 400 * 366 * DAY,
        UNIX_EPOCH + 10_000 * 366 * DAY,
    ] {
        let made = Certificate::made_for(&names(&["localhost"]), None, at);
        assert!(made.is_ok(), "{at:?}");
    }
}

/// Read by a program that shares no code with this.
#[test]
fn openssl_reads_the_same_fingerprint_names_and_days() {
    let one = made(&["192.168.1.20", "localhost"]);
    let folder = std::env::temp_dir().join(format!("dryhold-certificate-{}", std::process::id()));
    std::fs::write(&folder, one.to_text()).expect("written");
    let read = Command::new("openssl")
        .args([
            "x509",
            "-noout",
            "-fingerprint",
            "-sha256",
            "-dates",
            "-text",
        ])
        .arg("-in")
        .arg(&folder)
        .stdin(Stdio::null())
        .output();
    let _ = std::fs::remove_file(&folder);
    let Ok(read) = read else {
        skipped_tests::skip("openssl is not installed");
        return;
    };
    let text = String::from_utf8_lossy(&read.stdout).into_owned();
    for words in [
        one.fingerprint().as_str(),
        "notBefore=Mar 13 12:00:00 2026 GMT",
        "notAfter=Apr 14 12:00:00 2027 GMT",
        "IP Address:192.168.1.20, DNS:localhost",
        "NIST CURVE: P-256",
        "ecdsa-with-SHA256",
        "TLS Web Server Authentication",
        "CA:FALSE",
        "Version: 3",
    ] {
        assert!(text.contains(words), "no {words} in {text}");
    }
}
