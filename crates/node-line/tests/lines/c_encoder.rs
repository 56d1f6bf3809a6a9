//! The C encoder of the firmware notes, compiled here, against this one.

use std::{
    io::Write,
    process::{Command, Stdio},
};

use proptest::{
    strategy::{Strategy, ValueTree},
    test_runner::TestRunner,
};

use crate::{
    any::{line, sent},
    rows,
};

const LINES: usize = 5_000;

/// What the C encoder makes of the rows; `None` without a C compiler.
fn printed_by_c(rows: &str) -> Option<String> {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let program = folder.path().join("test_encoder");
    let notes = rows::notes();
    let compiled = Command::new("cc")
        .args([
            "-std=c99",
            "-Wall",
            "-Wextra",
            "-Wpedantic",
            "-Werror",
            "-o",
        ])
        .arg(&program)
        .args([notes.join("encoder.c"), notes.join("test_encoder.c")])
        .status();
    match compiled {
        Ok(status) => assert!(status.success(), "the C encoder does not compile"),
        Err(e) => {
            skipped_tests::skip(format_args!(
                "no C compiler (cc: {e}) to compare the C encoder with"
            ));
            return None;
        }
    }
    let mut child = Command::new(program)
        .arg("--print")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the C encoder starts");
    let mut stdin = child.stdin.take().expect("its input");
    let output = std::thread::scope(|scope| {
        scope.spawn(move || stdin.write_all(rows.as_bytes()).expect("rows"));
        child.wait_with_output().expect("its lines")
    });
    assert!(output.status.success());
    Some(String::from_utf8(output.stdout).expect("ASCII"))
}

#[test]
fn c_and_rust_write_the_same_bytes() {
    let mut runner = TestRunner::deterministic();
    let lines: Vec<_> = (0..LINES)
        .map(|_| line().new_tree(&mut runner).expect("a line").current())
        .collect();
    let rows: String = lines.iter().map(|l| rows::row(l) + "\n").collect();
    let Some(printed) = printed_by_c(&rows) else {
        return;
    };
    let printed: Vec<&str> = printed.lines().collect();
    assert_eq!(printed.len(), LINES);
    for (line, c) in lines.iter().zip(printed) {
        assert_eq!(
            String::from_utf8(sent(line)),
            Ok(format!("{c}\n")),
            "{line:?}"
        );
    }
}

#[test]
fn c_and_rust_refuse_the_same() {
    let vectors = rows::vectors();
    let all: String = vectors.iter().map(|(row, _)| format!("{row}\n")).collect();
    let Some(printed) = printed_by_c(&all) else {
        return;
    };
    assert_eq!(printed.lines().count(), vectors.len());
    for ((row, expected), c) in vectors.iter().zip(printed.lines()) {
        assert_eq!(expected.as_deref().unwrap_or("refused"), c, "{row}");
    }
}
