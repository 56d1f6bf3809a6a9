//! What belongs to a warranty claim: numbers, customer, parts, and one photo, from the job
//! file to the second page of the sheet.

use std::{
    fs,
    path::{Path, PathBuf},
};

use crate::run::{Ran, dryhold, only_run, scratch};

const JOB: &str = "\
[job]
id = \"INVENTED-9\"
invented = true
work_order = \"WO-1187\"
claim = \"CL-0093\"
customer = \"B. Nobody (invented)\"
site = \"1 Example Street (invented)\"
leak_location = \"joint at the drier\"
parts_fitted = \"drier INV-30\"
compressor_serial_old = \"C-551\"
compressor_serial_new = \"C-603\"
recovered = \"41 g\"
charged = \"2 oz\"
photo = \"plate.png\"
";

/// A picture of two colours with more pixels than are kept.
fn picture(path: &Path) {
    let (width, height) = (2_400_u32, 1_200_u32);
    let pixels = (0..width * height).flat_map(|i| match i % width < width / 2 {
        true => [200_u8, 30, 30],
        false => [30, 30, 200],
    });
    let pixels: Vec<u8> = pixels.collect();
    let mut encoder = png::Encoder::new(fs::File::create(path).expect("a file"), width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(&pixels).expect("pixels");
}

/// Records the sample capture for this job; gives the run folder.
fn recorded(folder: &Path, job: &str) -> (PathBuf, Ran) {
    let capture = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/dialects/number-unit-line.capture");
    let job_file = folder.join("job.toml");
    fs::write(&job_file, job).expect("written");
    let out = folder.join("runs");
    let text = |path: &Path| path.display().to_string();
    let ran = dryhold([
        "log",
        "--port",
        &format!("file:{}", capture.display()),
        "--dialect",
        "number-unit-line",
        "--job",
        &text(&job_file),
        "--out",
        &text(&out),
    ])
    .expect(0);
    (only_run(&out), ran)
}

fn html(run: &Path) -> String {
    fs::read_to_string(run.join("sheet.html")).expect("the sheet")
}

#[test]
fn what_belongs_to_a_claim_is_on_the_sheet_and_under_the_seal() {
    let folder = scratch();
    picture(&folder.path().join("plate.png"));
    let (run, _) = recorded(folder.path(), JOB);
    let job = fs::read_to_string(run.join("job.toml")).expect("the job");
    for row in [
        "claim = \"CL-0093\"",
        "recovered_g = 41.0",
        "charged_g = 56.69904625",
        "photo = \"photo.jpg\"",
    ] {
        assert!(job.contains(row), "{row}: {job}");
    }
    let photo = fs::read(run.join("photo.jpg")).expect("the photo");
    assert!(
        photo.starts_with(b"\xFF\xD8") && photo.len() < 400_000,
        "{}",
        photo.len()
    );
    let sheet = html(&run);
    for words in [
        "claim CL-0093, work order WO-1187",
        "B. Nobody (invented)",
        "joint at the drier",
        "C-551",
        "C-603",
        "56.7 g",
        "data:image/jpeg;base64,",
    ] {
        assert!(sheet.contains(words), "{words}");
    }
    let pdf = fs::read(run.join("sheet.pdf")).expect("the sheet");
    let has = |bytes: &[u8]| pdf.windows(bytes.len()).any(|w| w == bytes);
    assert!(has(b"/DCTDecode"), "the photo is in it");

    // the photo is part of what is sealed
    let path = run.display().to_string();
    dryhold(["verify", &path]).expect(0);
    fs::write(run.join("photo.jpg"), [&photo[..], b"x"].concat()).expect("written");
    let ran = dryhold(["verify", &path]).expect(12);
    assert!(ran.out.contains("photo.jpg"), "{}", ran.out);
}

#[test]
fn customer_site_and_photo_are_personal() {
    let folder = scratch();
    picture(&folder.path().join("plate.png"));
    let (run, _) = recorded(folder.path(), JOB);
    let out = folder.path().join("shown");
    let (path, to) = (run.display().to_string(), out.display().to_string());
    dryhold(["report", &path, "--out", &to, "--no-personal-data"]).expect(0);
    let sheet = html(&out);
    assert!(sheet.contains("CL-0093") && sheet.contains("C-603"));
    for hidden in ["B. Nobody", "Example Street", "image/jpeg"] {
        assert!(!sheet.contains(hidden), "{hidden}");
    }
    dryhold(["report", &path, "--out", &to, "--leave-out", "claim"]).expect(0);
    assert!(!html(&out).contains("CL-0093"));
}

#[test]
fn a_photo_that_cannot_be_read_costs_the_photo_only() {
    let folder = scratch();
    fs::write(folder.path().join("plate.png"), "no picture").expect("written");
    let (run, ran) = recorded(folder.path(), JOB);
    assert!(
        ran.err
            .contains("plate.png is left out: it is neither JPEG nor PNG"),
        "{}",
        ran.err
    );
    assert!(!run.join("photo.jpg").exists());
    assert!(!html(&run).contains("image/jpeg") && html(&run).contains("CL-0093"));
    // a job of somebody else's names a file of this computer
    let job = fs::read_to_string(run.join("job.toml")).expect("the job");
    let job = job.replace("[job]", "[job]\nphoto = \"/etc/hostname\"");
    fs::write(run.join("job.toml"), job).expect("written");
    let out = folder.path().join("other");
    let (path, to) = (run.display().to_string(), out.display().to_string());
    let ran = dryhold(["report", &path, "--out", &to]).expect(0);
    assert!(
        ran.err.contains("only name a file inside its run folder"),
        "{}",
        ran.err
    );
}

#[test]
fn a_job_without_a_claim_has_one_page_as_before() {
    let folder = scratch();
    let (run, _) = recorded(folder.path(), "[job]\nid = \"1\"\ninvented = true\n");
    let pdf = fs::read(run.join("sheet.pdf")).expect("the sheet");
    assert!(!pdf.windows(10).any(|w| w == b"/DCTDecode"));
    assert!(!html(&run).contains("class=\"overleaf\""));
}
