//! The page and the broker over TLS, by programs that share no code with this: curl,
//! openssl, a browser, a broker of the system's. Each test that needs one that is not
//! there says so. Built with the feature `tls`; without it there is one test, that the
//! options say so.

#[cfg(feature = "tls")]
mod broker;
#[cfg(feature = "tls")]
mod page;

/// Runs a program of the system's; `None`, with the reason printed, where there is none.
/// Status 0 or not, standard output, standard error.
#[cfg(feature = "tls")]
fn system(program: &str, arguments: &[&str]) -> Option<(bool, String, String)> {
    let ran = std::process::Command::new(program)
        .args(arguments)
        .stdin(std::process::Stdio::null())
        .output();
    let Ok(ran) = ran else {
        skipped_tests::skip(format_args!("{program} is not installed"));
        return None;
    };
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Some((ran.status.success(), text(&ran.stdout), text(&ran.stderr)))
}

/// Whoever asks for what a build cannot do is told how to get it, before anything is
/// recorded.
#[cfg(not(feature = "tls"))]
#[test]
fn a_build_without_tls_says_how_to_get_one() {
    use crate::run::{dryhold, scratch};

    let folder = scratch();
    let out = folder.path().join("runs");
    let out = out.to_string_lossy();
    let to = "mqtts://127.0.0.1:1/bays/3";
    for asked in [
        &["--view-page", "--view-tls"][..],
        &["--mqtt", to],
        &["--mqtt", "mqtt://127.0.0.1:1/b", "--mqtt-fingerprint", "00"],
        &["--mqtt", "mqtt://127.0.0.1:1/b", "--mqtt-ca-file", "ca.pem"],
    ] {
        let log = ["log", "--port", "file:/dev/null", "--dialect"];
        let all = [&log, &["number-unit-line", "--out", &out][..], asked].concat();
        let ran = dryhold(all).expect(2);
        assert!(ran.err.contains("--features tls"), "{asked:?}: {ran:?}");
        assert!(!folder.path().join("runs").exists(), "nothing was begun");
    }
    let help = dryhold(["log", "--help"]).expect(0).out;
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(help.matches("not in this build").count(), 4, "{help}");
}
