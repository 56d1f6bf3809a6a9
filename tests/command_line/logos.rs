//! Logos that are made to do harm: whoever draws the sheet of somebody's claim loses at
//! most the picture. Each is drawn for real, with its time and memory measured.

use std::{
    fs,
    io::Write,
    os::unix::fs::symlink,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use crate::{
    curves::Curve,
    run::{BINARY, Ran, dryhold, only_run, scratch},
};

/// A logo takes no longer, whatever is in it …
const MOST_TIME: Duration = Duration::from_secs(2);
/// … and no more memory, KiB.
const MOST_KIB: u64 = 200 * 1024;

const SVG: &str = "<svg xmlns='http://www.w3.org/2000/svg' \
                   xmlns:xlink='http://www.w3.org/1999/xlink' viewBox='0 0 40 12'>";

fn svg(inside: &str) -> Vec<u8> {
    format!("{SVG}{inside}</svg>").into_bytes()
}

/// A PNG file of one colour with this size in its head.
fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header().expect("a head");
    let rows = vec![0; 4 * width as usize * height as usize];
    writer.write_image_data(&rows).expect("pixels");
    drop(writer);
    bytes
}

/// Says that the picture is larger than it is.
fn with_size(mut png: Vec<u8>, side: u32) -> Vec<u8> {
    png[16..20].copy_from_slice(&side.to_be_bytes());
    png[20..24].copy_from_slice(&side.to_be_bytes());
    let check = crc32(&png[12..29]);
    png[29..33].copy_from_slice(&check.to_be_bytes());
    png
}

/// The check value of PNG chunks (ISO/IEC 15948, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32, byte: &u8| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| match c & 1 {
            1 => 0xEDB8_8320 ^ (c >> 1),
            _ => c >> 1,
        })
    };
    !bytes.iter().fold(u32::MAX, step)
}

/// Shapes that repeat shapes, two each: 2 to the power of `n`.
fn repeated(n: u32) -> String {
    let mut all = "<g id='g0'><path d='M0 0h9v9z'/></g>".to_owned();
    for i in 1..n {
        let below = i - 1;
        all += &format!("<g id='g{i}'><use href='#g{below}'/><use xlink:href='#g{below}'/></g>");
    }
    all
}

/// Shapes cut by shapes that are cut by shapes, ten each; named by style rules only.
fn cut(n: u32) -> String {
    let mut all = String::from("<style>");
    for i in 1..n {
        all += &format!(".c{i}{{clip-path:url(#p{})}}", i - 1);
    }
    all += "</style><clipPath id='p0'><rect width='40' height='12'/></clipPath>";
    for i in 1..n {
        let one = format!("<rect class='c{i}' width='40' height='12'/>");
        all += &format!("<clipPath id='p{i}'>{}</clipPath>", one.repeat(10));
    }
    all + &format!(
        "<rect clip-path='url(#p{})' width='40' height='12'/>",
        n - 1
    )
}

/// A curve of as many arcs as fit into the file.
fn long_path(dashes: &str) -> String {
    let arcs = "a9 9 0 1 1 .1 .1".repeat(50_000);
    format!("<path fill='none' stroke='#000' stroke-width='30' {dashes} d='M1 1{arcs}'/>")
}

/// Rules of style for every element, none of which fits.
fn styled() -> String {
    let rules: String = (0..20_000)
        .map(|i| format!(".a .b{i} g>g+g{{fill:red}}"))
        .collect();
    format!("<style>{rules}</style>{}", "<g class='a'/>".repeat(15_000))
}

/// What attackers bring, by name.
fn hostile() -> Vec<(&'static str, Vec<u8>)> {
    let filter = "<filter id='f' x='-900' y='-900' width='9999' height='9999'>\
                  <feTurbulence baseFrequency='9' numOctaves='9999'/>\
                  <feGaussianBlur stdDeviation='9999'/></filter>\
                  <rect filter='url(#f)' width='40' height='12'/>";
    let pattern = "<pattern id='p' width='.001' height='.001' patternUnits='userSpaceOnUse'>\
                   <rect width='1' height='1' fill='url(#p)'/></pattern>\
                   <rect width='40' height='12' fill='url(#p)'/>";
    let entities = (1..9).fold(
        "<!DOCTYPE svg [<!ENTITY e0 'xxxxxxxxxx'>".to_owned(),
        |all, i| {
            let one = format!("&e{};", i - 1);
            format!("{all}<!ENTITY e{i} '{}'>", one.repeat(10))
        },
    );
    let nested = "<g>".repeat(100_000) + &"</g>".repeat(100_000);
    vec![
        ("filters", svg(filter)),
        ("patterns", svg(pattern)),
        ("repeated shapes", svg(&repeated(60))),
        ("shapes cut by shapes", svg(&cut(12))),
        ("a long path", svg(&long_path(""))),
        (
            "a long dashed path",
            svg(&long_path("stroke-dasharray='.0001 .0001'")),
        ),
        (
            "coordinates without measure",
            svg(
                "<path d='M-9e37 9e37L9e37 -9e37A9e37 1e-30 7 1 1 3e38 3e38z' stroke='#000' stroke-width='9e37'/>",
            ),
        ),
        ("rules of style", svg(&styled())),
        ("elements inside each other", svg(&nested)),
        (
            "entities",
            format!("{entities}]>{SVG}<title>&e8;</title></svg>").into_bytes(),
        ),
        (
            "many elements",
            svg(&"<path d='M0 0h40v12z' opacity='.5'/>".repeat(19_000)),
        ),
        (
            "layers",
            svg(&("<g opacity='.9'>".repeat(90)
                + &"<rect width='40' height='12'/>".repeat(9)
                + &"</g>".repeat(90))),
        ),
        (
            "a picture in the picture",
            svg("<image href='/dev/zero' width='40' height='12'/>"),
        ),
        ("a very large PNG", png(4096, 4096)),
        (
            "a PNG that says it is larger than it is",
            with_size(png(8, 8), 4096),
        ),
        ("a PNG of 65,535 to a side", with_size(png(8, 8), 65_535)),
        ("rubbish", vec![0; 1 << 20]),
    ]
}

/// What a drawing process took.
#[derive(Debug, Default)]
struct Took {
    time: Duration,
    kib: u64,
}

/// Draws a sheet with this logo, and watches the process that draws the logo.
fn draw(folder: &Path, logo: &Path, out: &str) -> (Ran, Took) {
    let report = Command::new(BINARY)
        .args(["report", "b.csv", "--out", out, "--logo"])
        .arg(logo)
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let id = report.id();
    let ended = std::thread::spawn(move || report.wait_with_output());
    let mut took = Took::default();
    let mut since = None;
    while !ended.is_finished() {
        let children = fs::read_to_string(format!("/proc/{id}/task/{id}/children"));
        let child = children.unwrap_or_default();
        if let Some(child) = child.split_whitespace().next() {
            let since = *since.get_or_insert_with(Instant::now);
            let status = fs::read_to_string(format!("/proc/{child}/status")).unwrap_or_default();
            let peak = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
            let kib = peak.and_then(|l| l.split_whitespace().next()?.parse().ok());
            took.kib = took.kib.max(kib.unwrap_or(0));
            took.time = since.elapsed();
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    let output = ended.join().expect("watched").expect("it ran");
    (Ran::of(&output), took)
}

/// The bars of hostile logos: 2 s and 200 MB each, and the sheet is made all the same.
#[cfg(target_os = "linux")]
#[test]
fn a_hostile_logo_costs_two_seconds_at_most_and_the_picture() {
    let folder = scratch();
    fs::write(folder.path().join("b.csv"), Curve::of("gross-leak").plain()).expect("written");
    let mut most_kib = 0;
    for (name, bytes) in hostile() {
        assert!(bytes.len() <= 1 << 20, "{name}: {} bytes", bytes.len());
        let logo = folder.path().join("logo");
        fs::write(&logo, &bytes).expect("written");
        let (ran, took) = draw(folder.path(), &logo, "o");
        let said = ran.err.replace('\n', " ");
        println!("{name}: {:?}, {} KiB. {said}", took.time, took.kib);
        let ran = ran.expect(0);
        assert!(took.time <= MOST_TIME, "{name}: {took:?}");
        assert!(took.kib <= MOST_KIB, "{name}: {took:?}");
        most_kib = most_kib.max(took.kib);
        let pdf = fs::read(folder.path().join("o/sheet.pdf")).expect("a sheet");
        assert!(pdf.starts_with(b"%PDF"), "{name}");
        let sheet = fs::read_to_string(folder.path().join("o/sheet.html")).expect("a sheet");
        let is_drawn = sheet.contains("data:image");
        assert!(
            is_drawn || said.contains("is not printed"),
            "{name}: {ran:?}"
        );
        fs::remove_dir_all(folder.path().join("o")).expect("removed");
    }
    assert!(most_kib > 10_000, "the process that draws was not seen");
}

/// The process that draws has taken its rights away before it reads a byte.
#[cfg(target_os = "linux")]
#[test]
fn the_drawing_process_can_open_no_file_and_take_little_memory() {
    let mut child = Command::new(BINARY)
        .arg("draw-picture")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("it starts");
    let limits = format!("/proc/{}/limits", child.id());
    let is_set = |text: &str, name: &str, most: u64| {
        let line = text.lines().find(|l| l.starts_with(name));
        let words: Vec<&str> = line.unwrap_or_default()[name.len()..]
            .split_whitespace()
            .collect();
        words[0].parse::<u64>().is_ok_and(|limit| limit <= most) && words[0] == words[1]
    };
    let started = Instant::now();
    loop {
        let text = fs::read_to_string(&limits).expect("its limits");
        if is_set(&text, "Max open files", 0)
            && is_set(&text, "Max data size", MOST_KIB * 1024)
            && is_set(&text, "Max cpu time", 3)
            && is_set(&text, "Max file size", 0)
        {
            break;
        }
        assert!(started.elapsed() < Duration::from_secs(20), "{text}");
        std::thread::sleep(Duration::from_millis(5));
    }
    // and draws all the same
    let logo = svg("<rect width='40' height='12' fill='#102030'/>");
    let mut input = child.stdin.take().expect("its input");
    input.write_all(&logo).expect("taken");
    drop(input);
    let answer = child.wait_with_output().expect("it ends").stdout;
    assert_eq!(answer[..9], [1, 144, 1, 0, 0, 120, 0, 0, 0], "400 × 120");
    assert_eq!(answer[9..12], [0x10, 0x20, 0x30]);
}

/// A run folder of somebody whose job names this logo.
fn claim(parent: &Path, logo: &str) -> PathBuf {
    let run = parent.join("claim");
    let _ = fs::remove_dir_all(&run);
    fs::create_dir_all(run.join("sub")).expect("a folder");
    let sample = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/runs/20261125T105154Z-rehearsal-foaming-oil");
    fs::copy(sample.join("trace.csv"), run.join("trace.csv")).expect("copied");
    let job = fs::read_to_string(sample.join("job.toml")).expect("job.toml");
    let job = format!("{job}\n[sheet]\nlogo = {logo:?}\n");
    fs::write(run.join("job.toml"), job).expect("written");
    run
}

/// A logo that can be drawn lies in every place that a claim may try to name: only the
/// one inside its own folder is taken.
#[test]
fn a_claim_names_no_file_outside_its_folder() {
    let folder = scratch();
    let black = svg("<rect width='40' height='12'/>");
    let outside = folder.path().join("outside.svg");
    let report = |logo: &str, put: fn(&Path, &Path)| {
        let run = claim(folder.path(), logo);
        for place in [&outside, &run.join("logo.svg"), &run.join("sub/deep.svg")] {
            fs::write(place, &black).expect("written");
        }
        put(&run, &outside);
        let out = folder.path().join("o");
        let (run, out) = (run.to_string_lossy(), out.to_string_lossy());
        let started = Instant::now();
        let ran = dryhold(["report", &run, "--out", &out]).expect(0);
        assert!(started.elapsed() < Duration::from_secs(20), "{ran:?}");
        let sheet = fs::read_to_string(Path::new(&*out).join("sheet.html")).expect("a sheet");
        (sheet.contains("data:image"), ran.err)
    };
    let nothing = |_: &Path, _: &Path| {};
    assert!(
        report("logo.svg", nothing).0,
        "the one in the folder is printed"
    );
    let absolute = outside.to_string_lossy().into_owned();
    for logo in [
        &*absolute,
        "../outside.svg",
        "sub/deep.svg",
        "./logo.svg",
        "..",
        "/dev/zero",
    ] {
        let (printed, said) = report(logo, nothing);
        assert!(!printed, "{logo}");
        assert!(
            said.contains("only name a file inside its run folder"),
            "{said}"
        );
    }
    let as_link = |run: &Path, outside: &Path| {
        let _ = fs::remove_file(run.join("logo.svg"));
        symlink(outside, run.join("logo.svg")).expect("a link");
    };
    let (printed, said) = report("logo.svg", as_link);
    assert!(!printed && said.contains("it is a link to"), "{said}");
    let as_pipe = |run: &Path, _: &Path| {
        let _ = fs::remove_file(run.join("logo.svg"));
        let made = Command::new("mkfifo").arg(run.join("logo.svg")).status();
        assert!(made.is_ok_and(|s| s.success()), "mkfifo");
    };
    let (printed, said) = report("logo.svg", as_pipe);
    assert!(!printed && said.contains("it is a named pipe"), "{said}");
    // what a person names may lie anywhere, but not be a device
    let run = claim(folder.path(), "logo.svg");
    let run = run.to_string_lossy();
    let out = folder.path().join("p");
    let out = out.to_string_lossy();
    let zero = dryhold(["report", &run, "--out", &out, "--logo", "/dev/zero"]).expect(0);
    assert!(zero.complaint().contains("it is a device"), "{zero:?}");
    let given = dryhold(["report", &run, "--out", &out, "--logo", &absolute]).expect(0);
    assert!(given.err.is_empty(), "{given:?}");
}

/// A job file names the shop's logo by a path: `log` puts the file into the run folder,
/// where the seal covers it, and the sheet is the same wherever that folder goes.
#[test]
fn the_logo_of_a_job_file_goes_into_the_run_folder() {
    let folder = scratch();
    let pictures = folder.path().join("pictures");
    fs::create_dir(&pictures).expect("a folder");
    let logo = svg("<rect width='40' height='12' fill='#104080'/>");
    fs::write(pictures.join("shop.svg"), &logo).expect("written");
    let job =
        "[job]\nid = \"INVENTED-9\"\ninvented = true\n[sheet]\nlogo = \"pictures/shop.svg\"\n";
    let file = folder.path().join("job.toml");
    fs::write(&file, job).expect("written");
    let capture = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/dialects/number-unit-line.capture");
    let port = format!("file:{}", capture.display());
    let (file, out) = (file.to_string_lossy(), folder.path().join("runs"));
    let shown = out.to_string_lossy();
    let log = ["log", "--dialect", "number-unit-line", "--port", &port];
    dryhold(log.iter().chain(&["--job", &file, "--out", &shown])).expect(0);
    let run = only_run(&out);
    assert_eq!(fs::read(run.join("logo.svg")).expect("the logo"), logo);
    let header = fs::read_to_string(run.join("job.toml")).expect("job.toml");
    assert!(header.contains("logo = \"logo.svg\""), "{header}");
    let sheet = |run: &Path| fs::read_to_string(run.join("sheet.html")).expect("a sheet");
    assert!(sheet(&run).contains("data:image"));
    let path = run.to_string_lossy();
    dryhold(["verify", &path]).expect(0);
    fs::write(run.join("logo.svg"), "<svg/>").expect("written");
    let ran = dryhold(["verify", &path]).expect(12);
    assert!(ran.out.contains("logo.svg was changed"), "{}", ran.out);
    // one that is not there costs the logo only
    fs::remove_dir_all(&pictures).expect("removed");
    let again = folder.path().join("again");
    let shown = again.to_string_lossy();
    let ran = dryhold(log.iter().chain(&["--job", &file, "--out", &shown])).expect(0);
    assert!(ran.err.contains("is left out"), "{ran:?}");
    let header = fs::read_to_string(only_run(&again).join("job.toml")).expect("job.toml");
    assert!(!header.contains("logo ="), "{header}");
}
