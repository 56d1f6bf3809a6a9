//! `listen` with a gauge that no dialect fits, and over a network.

use std::{
    io::Write,
    net::TcpListener,
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

use crate::run::{dryhold, only_run, scratch, trace};

/// A gauge that nobody described, as invented for this test: number, label, temperature.
fn line(i: u32) -> String {
    format!("N={i};T=21.4;V={:.1}\r\n", 1013.2 - f64::from(i % 3) * 0.1)
}

fn capture(folder: &Path, text: impl Fn(u32) -> String) -> String {
    let path = folder.join("heard.capture");
    let lines: String = (0..12).map(text).collect();
    std::fs::write(&path, lines).expect("written");
    format!("file:{}", path.display())
}

#[test]
fn what_was_heard_is_shown_and_a_dialect_proposed() {
    let folder = scratch();
    let address = capture(folder.path(), line);
    let ran = dryhold(["listen", &address]).expect(1);
    for words in [
        r"  N=11;T=21.4;V=1013.0\r\n",
        "column 3  ;V=  1013.2  1013.1  1013.0  likely the pressure",
        "counts up",
        "1013.0 is what a gauge open to the air shows in mbar",
        "--pressure-column 3 --pressure-unit UNIT --keep my-gauge.toml",
    ] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    // who says that it is open to the air is told the unit
    let ran = dryhold(["listen", &address, "--open-to-air"]).expect(1);
    assert!(ran.out.contains("--pressure-unit mbar"), "{}", ran.out);

    // as the proposal says
    let kept = folder.path().join("my-gauge.toml");
    let keep = kept.display().to_string();
    let column = ["--pressure-column", "3", "--pressure-unit", "mbar"];
    let how = [&["listen", &address][..], &column, &["--keep", &keep]].concat();
    let ran = dryhold(how).expect(0);
    assert!(ran.out.contains("lines understood"), "{}", ran.out);
    assert!(ran.out.contains("1,013 mbar, which is 759,"), "{}", ran.out);

    // and it is a dialect that the logger takes
    let out = folder.path().join("runs");
    let below = out.display().to_string();
    dryhold([
        "log",
        "--port",
        &address,
        "--dialect",
        &keep,
        "--out",
        &below,
    ])
    .expect(0);
    let rows = trace(&only_run(&out));
    assert_eq!(rows.iter().filter(|r| r.state == "ok").count(), 12);
}

#[test]
fn an_assumed_unit_is_held_against_the_air() {
    let folder = scratch();
    let address = capture(folder.path(), |i| format!("{}\r\n", 1013 - i % 2));
    let ran = dryhold(["listen", &address]).expect(0);
    assert!(
        ran.out.contains("shows in mbar") && ran.out.contains("in micron it would be a vacuum"),
        "{}",
        ran.out
    );
    let kept = folder.path().join("my-gauge.toml");
    let keep = kept.display().to_string();
    let ran = dryhold([
        "listen",
        &address,
        "--pressure-unit",
        "mbar",
        "--keep",
        &keep,
    ])
    .expect(0);
    assert!(ran.out.contains("1,012 mbar, which is 759,"), "{}", ran.out);
    let text = std::fs::read_to_string(&kept).expect("kept");
    assert!(text.contains("unit = \"mbar\""), "{text}");
    let ran = dryhold(["listen", &address, "--pressure-unit", "psi"]).expect(2);
    assert!(ran.err.contains("psia"), "{ran:?}");
}

#[test]
fn a_column_that_is_not_there_is_a_usage_error() {
    let folder = scratch();
    let address = capture(folder.path(), line);
    let column = ["--pressure-column", "7", "--pressure-unit", "Pa"];
    let ran = dryhold([&["listen", &address][..], &column].concat()).expect(2);
    assert!(ran.complaint().contains("3 columns"), "{ran:?}");
    let ran = dryhold(["listen", &address, "--pressure-column", "1"]).expect(2);
    assert!(ran.complaint().contains("--pressure-unit"), "{ran:?}");
}

#[test]
fn bytes_that_are_no_text_are_shown_in_hexadecimal() {
    let folder = scratch();
    let path = folder.path().join("heard.capture");
    std::fs::write(&path, [0x81, 0xFE, 0x03].repeat(40)).expect("written");
    let ran = dryhold(["listen", &format!("file:{}", path.display())]).expect(1);
    assert!(ran.out.contains("  81 FE 03 81"), "{}", ran.out);
    assert!(ran.complaint().contains("binary"), "{ran:?}");
}

#[test]
fn a_network_connection_that_is_silent_is_not_told_of_cables_and_speeds() {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("tcp://{}", listener.local_addr().expect("its address"));
    let held = std::thread::spawn(move || listener.accept());
    let ran = dryhold(["listen", &address]).expect(1);
    let complaint = ran.complaint();
    assert!(
        complaint.contains("takes the connection and sends nothing")
            && complaint.contains("serial server"),
        "{complaint}"
    );
    assert!(!ran.out.contains("speed"), "{}", ran.out);
    drop(held.join());
}

#[test]
fn a_gauge_on_the_network_is_recognised() {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("tcp://{}", listener.local_addr().expect("its address"));
    let stop = Arc::new(AtomicBool::new(false));
    let over = Arc::clone(&stop);
    let gauge = std::thread::spawn(move || {
        let (mut line, _) = listener.accept().expect("it connects");
        while !over.load(Ordering::Relaxed) && line.write_all(b"812.0 micron\r\n").is_ok() {
            std::thread::sleep(Duration::from_millis(20));
        }
    });
    let ran = dryhold(["listen", &address]).expect(0);
    assert!(
        ran.out.contains("Recognised.") && ran.out.contains("number-unit-line"),
        "{}",
        ran.out
    );
    assert!(!ran.out.contains("8N1"), "{}", ran.out);
    stop.store(true, Ordering::Relaxed);
    gauge.join().expect("the gauge did well");
}
