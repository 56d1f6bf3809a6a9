//! Clock times and temperatures as people type them.

use std::fmt::Write as _;

use crate::run::{dryhold, log_of, review, scratch};

/// A table of one reading a second: pump-down for ten minutes, shut at 600 s, level hold.
fn table(first_column: &str, time: impl Fn(u32) -> String) -> String {
    let mut text = format!("{first_column},p_micron\n");
    for s in 0..1_500_u32 {
        let p = if s < 600 {
            90_000.0 * (-f64::from(s) / 80.0).exp() + 60.0
        } else {
            60.0
        };
        writeln!(text, "{},{:.1}", time(s), p + f64::from(s % 3)).expect("memory");
    }
    text
}

fn isolated(json: &serde_json::Value) -> Option<f64> {
    json["rounds"][0]["hold"]["isolated_at_s"].as_f64()
}

#[test]
fn the_isolation_may_be_a_time_of_day() {
    let folder = scratch();
    let local = folder.path().join("local.csv");
    let clock = |s: u32| {
        let s = 13 * 3600 + 55 * 60 + s;
        format!("{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
    };
    std::fs::write(
        &local,
        table("time", |s| format!("2026-03-14 {}", clock(s))),
    )
    .expect("written");
    let bare = folder.path().join("bare.csv");
    std::fs::write(&bare, table("time", clock)).expect("written");
    let plain = folder.path().join("plain.csv");
    std::fs::write(&plain, table("t_s", |s| s.to_string())).expect("written");
    let known = isolated(&review(&plain, &["--isolated-at", "600"]).json());
    assert_eq!(known, Some(600.0));
    for (path, typed) in [
        (&local, "14:05"),
        (&local, "2:05pm"),
        (&local, "2026-03-14 14:05:00"),
        (&bare, "14:05"),
        (&plain, "10m"),
    ] {
        let json = review(path, &["--isolated-at", typed]).json();
        assert_eq!(isolated(&json), known, "{typed}");
        if typed != "10m" {
            let notes = json["data"]["notes"].to_string();
            assert!(
                notes.contains("by the clock of the file"),
                "{typed}: {notes}"
            );
        }
    }
    for (path, typed, words) in [
        (&plain, "14:05", "does not say at what time of day"),
        (&local, "2:05", "write 2:05pm for the afternoon"),
        (&local, "16:00", "lies outside of the record"),
        (&local, "2026-03-14T14:05:00Z", "no time zone"),
        (&bare, "2026-03-14 14:05", "without a date"),
    ] {
        let ran = review(path, &["--isolated-at", typed]).expect(2);
        assert!(ran.complaint().contains(words), "{typed}: {ran:?}");
    }
    let ran = review(&plain, &["--isolated-at", "soon"]).expect(2);
    assert!(ran.err.contains("2:05pm"), "{ran:?}");
}

#[test]
fn a_time_of_day_that_comes_twice_is_asked_back() {
    let folder = scratch();
    let path = folder.path().join("long.csv");
    let rows: String = (0..1_600_u32)
        .map(|m| {
            let (day, m) = (14 + (m + 60) / 1440, (m + 60) % 1440);
            format!(
                "2026-03-{day} {:02}:{:02}:00,{}\n",
                m / 60,
                m % 60,
                90 + m % 3
            )
        })
        .collect();
    std::fs::write(&path, format!("time,p_micron\n{rows}")).expect("written");
    let ran = review(&path, &["--isolated-at", "1:30"]).expect(2);
    assert!(ran.complaint().contains("give the date too"), "{ran:?}");
    let dated = review(&path, &["--isolated-at", "2026-03-15 01:30"]).json();
    assert_eq!(isolated(&dated), Some(24.5 * 3600.0));
}

#[test]
fn temperatures_may_be_in_fahrenheit_everywhere() {
    let folder = scratch();
    let path = folder.path().join("plain.csv");
    std::fs::write(&path, table("t_s", |s| s.to_string())).expect("written");
    let celsius = review(&path, &["--ambient-c", "21.1"]).out;
    for typed in [
        ["--ambient", "70F"],
        ["--ambient-c", "70F"],
        ["--ambient", "21.1 C"],
    ] {
        assert_eq!(review(&path, &typed).out, celsius, "{typed:?}");
    }
    let cold = review(&path, &["--coldest-part-c", "-25"]).out;
    assert_eq!(review(&path, &["--coldest-part", "-13F"]).out, cold);
    let ran = review(&path, &["--ambient", "70"]).expect(2);
    assert!(ran.err.contains("70C or 70F"), "{ran:?}");
    let ran = review(&path, &["--ambient-c", "70"]).expect(2);
    assert!(ran.err.contains("write F behind it"), "{ran:?}");
    let ran = review(&path, &["--ambient", "70F", "--ambient-c", "21"]).expect(2);
    assert!(ran.err.contains("cannot be used with"), "{ran:?}");

    let job = folder.path().join("job.toml");
    let capture = folder.path().join("c.capture");
    std::fs::write(&capture, "812.0 micron\n810.0 micron\n").expect("written");
    let (port, job_path) = (
        format!("file:{}", capture.display()),
        job.display().to_string(),
    );
    for (n, lines) in [
        "ambient = \"70 F\"",
        "ambient_c = \"70 F\"",
        "ambient_c = 21.1",
    ]
    .into_iter()
    .enumerate()
    {
        std::fs::write(&job, format!("[job]\nid = \"1\"\n{lines}\n")).expect("written");
        let out = folder.path().join(n.to_string());
        let below = out.display().to_string();
        let log = log_of(&port, &below);
        dryhold([&log[..], &["--job", &job_path]].concat()).expect(0);
        let header = std::fs::read_to_string(crate::run::only_run(&out).join("job.toml"));
        assert!(
            header.expect("it is there").contains("ambient_c = 21.1"),
            "{lines}"
        );
    }
    for (lines, words) in [
        ("ambient = \"70\"", "\"21 C\" or \"70 F\""),
        ("ambient_c = 70", "write \"70 F\""),
        ("ambient = \"70 F\"\nambient_c = 21", "given twice"),
        ("coldest_part_c = \"cold\"", "\"70 F\""),
    ] {
        std::fs::write(&job, format!("[job]\nid = \"1\"\n{lines}\n")).expect("written");
        let log = [
            "log",
            "--port",
            &port,
            "--dialect",
            "number-unit-line",
            "--job",
            &job_path,
        ];
        let ran = dryhold(log).expect(1);
        assert!(ran.complaint().contains(words), "{lines}: {ran:?}");
    }
}
