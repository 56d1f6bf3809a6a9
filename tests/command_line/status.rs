//! Exit statuses: 0 pass, 10 fail, 11 not proven, 2 usage, 1 any other error, 12
//! altered; of several paths the worst.

use std::path::{Path, PathBuf};

use crate::{
    curves::Curve,
    run::{Ran, dryhold, dryhold_at, scratch},
};

fn table(folder: &Path, name: &str) -> PathBuf {
    let path = folder.join(format!("{name}.csv"));
    std::fs::write(&path, Curve::of(name).marked()).expect("written");
    path
}

fn review_all(paths: &[&Path], json: bool) -> Ran {
    let flag = json.then_some(Path::new("--json"));
    dryhold([Path::new("review")].iter().chain(&flag).chain(paths))
}

#[test]
fn a_verdict_is_an_exit_status() {
    let folder = scratch();
    for (name, status, word) in [
        ("tight-and-dry", 0, "PASS"),
        ("gross-leak", 10, "FAIL"),
        ("hold-cut-short", 11, "NOT PROVEN"),
    ] {
        let path = table(folder.path(), name);
        let spoken = review_all(&[&path], false).expect(status);
        assert!(spoken.out.contains(word), "{}", spoken.out);
        assert!(spoken.out.contains(&*path.to_string_lossy()));
        assert_eq!(spoken.err, "");
        review_all(&[&path], true).expect(status);
    }
}

#[test]
fn of_several_paths_the_worst_decides() {
    let folder = scratch();
    let pass = table(folder.path(), "tight-and-dry");
    let fail = table(folder.path(), "gross-leak");
    let open = table(folder.path(), "hold-cut-short");
    let unitless = folder.path().join("unitless.csv");
    std::fs::write(&unitless, "time (s),pressure\n0,1\n1,1\n").expect("written");
    let missing = folder.path().join("missing.csv");
    for (paths, status) in [
        (vec![&pass, &pass], 0),
        (vec![&open, &pass], 11),
        (vec![&pass, &open], 11),
        (vec![&open, &fail, &pass], 10),
        (vec![&fail, &unitless, &pass], 2),
        (vec![&missing, &pass], 1),
        (vec![&pass, &fail, &missing, &unitless, &open], 1),
    ] {
        let paths: Vec<&Path> = paths.into_iter().map(PathBuf::as_path).collect();
        review_all(&paths, true).expect(status);
    }
}

#[test]
fn a_bad_path_does_not_stop_the_good_ones() {
    let folder = scratch();
    let pass = table(folder.path(), "tight-and-dry");
    let fail = table(folder.path(), "gross-leak");
    let missing = folder.path().join("missing.csv");
    let ran = review_all(&[&pass, &missing, &fail], true).expect(1);
    let sources: Vec<String> = ran
        .json_lines()
        .iter()
        .map(|f| f["source"].as_str().expect("a source").to_owned())
        .collect();
    let expected = [&pass, &fail].map(|p| p.display().to_string());
    assert_eq!(sources, expected);
    assert!(ran.complaint().contains("missing.csv"));
    let spoken = review_all(&[&pass, &missing, &fail], false).expect(1);
    assert!(spoken.out.contains("PASS") && spoken.out.contains("FAIL"));
}

#[test]
fn wrong_usage_is_2() {
    let data = scratch();
    let folder = scratch();
    let path = table(folder.path(), "gross-leak").display().to_string();
    for arguments in [
        &["review"][..],
        &["review", "--no-such-option", &path],
        &["review", &path, "--hold-min", "-3"],
        &["review", &path, "--hold-min", "ten"],
        &["review", &path, "--volume-l", "0"],
        &["review", &path, "--ambient-c", "400"],
        &["review", &path, "--isolated-at", "-1"],
        &["review", &path, "--refrigerant", "R-0000x"],
        &[
            "review",
            &path,
            "--target-micron",
            "500",
            "--ceiling-micron",
            "300",
        ],
        &["review", &path, "--time-unit", "fortnight"],
        &["log"],
        &[
            "log",
            "--port",
            "tcp://nowhere",
            "--dialect",
            "number-unit-line",
        ],
        &["report"],
        &["verify"],
        &["verify", &path, "--public-key", "0123"],
        &["seal"],
        &["log", "--no-seal", "--key", "k"],
        &["fly"],
        &[],
    ] {
        // where no gauge is remembered
        let ran = dryhold_at(data.path(), arguments).expect(2);
        assert_eq!(ran.out, "", "{arguments:?}");
        assert!(!ran.err.is_empty(), "{arguments:?}");
    }
}

#[test]
fn help_and_version_are_no_errors() {
    let help = dryhold(["--help"]).expect(0);
    for command in [
        "rehearse", "ports", "listen", "log", "review", "report", "verify", "seal", "key",
    ] {
        assert!(help.out.contains(command), "{command} in {}", help.out);
        let own = dryhold([command, "--help"]).expect(0);
        assert!(own.out.contains("Usage"), "{}", own.out);
    }
    for caution in ["nitrogen", "regulator", "compressor", "eyes"] {
        assert!(help.out.contains(caution), "{caution} in {}", help.out);
    }
    assert!(dryhold(["--version"]).expect(0).out.starts_with("dryhold "));
}

/// `review | head -1` must not end in a complaint.
#[test]
fn a_closed_pipe_is_no_error() {
    use std::process::Stdio;
    let folder = scratch();
    let path = table(folder.path(), "tight-and-dry");
    let mut child = crate::run::command()
        .arg("review")
        .args(vec![&path; 3])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("started");
    drop(child.stdout.take());
    let ran = Ran::of(&child.wait_with_output().expect("its end"));
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
}

/// Several are judged at once; what is said must not show it.
#[test]
fn several_paths_say_what_each_says_alone_in_their_order() {
    let folder = scratch();
    let names = [
        "tight-and-dry",
        "gross-leak",
        "hold-cut-short",
        "leak-and-moisture",
    ];
    let mut paths: Vec<PathBuf> = names.map(|n| table(folder.path(), n)).to_vec();
    let short = folder.path().join("short.csv");
    std::fs::write(&short, "elapsed_s,pressure_micron\n0,900\n1,899\n").expect("written");
    let unitless = folder.path().join("unitless.csv");
    std::fs::write(&unitless, "time (s),pressure\n0,1\n1,1\n").expect("written");
    let missing = folder.path().join("missing.csv");
    // quick ones between slow ones, the same twice, more than wait at a time
    paths.extend([short, unitless, missing]);
    let paths: Vec<&Path> = (0..42).map(|i| &*paths[i * 5 % paths.len()]).collect();
    for json in [true, false] {
        let (mut out, mut err, mut worst) = (Vec::new(), String::new(), Vec::new());
        for path in &paths {
            let alone = review_all(&[path], json);
            if !alone.out.is_empty() {
                out.push(alone.out);
            }
            err.push_str(&alone.err);
            worst.push(alone.status);
        }
        assert!(worst.contains(&1) && worst.contains(&2) && worst.contains(&0));
        let together = review_all(&paths, json).expect(1);
        assert_eq!(together.out, out.join(if json { "" } else { "\n" }));
        assert_eq!(together.err, err);
    }
}
