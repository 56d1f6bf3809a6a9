//! A run folder in a zip archive: read, judged, checked and drawn as the folder itself.

use std::{
    fs,
    io::Write as _,
    path::{Path, PathBuf},
};

use zip::{CompressionMethod, ZipWriter, write::SimpleFileOptions};

use crate::run::{dryhold, review, scratch};

const SEALED: &str = "20260314T091500Z-INVENTED-sealed";

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples/runs")
        .join(name)
}

/// Packs the files of a folder, each through `change`.
fn pack(from: &Path, to: &Path, change: impl Fn(&str, Vec<u8>) -> Vec<u8>) {
    let mut zip = ZipWriter::new(fs::File::create(to).expect("an archive"));
    let name = from.file_name().expect("a name").to_string_lossy();
    let deflated = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    zip.add_directory(name.clone(), deflated).expect("a folder");
    for file in fs::read_dir(from).expect("a folder") {
        let file = file.expect("a file");
        let file_name = file.file_name().to_string_lossy().into_owned();
        let bytes = fs::read(file.path()).expect("its bytes");
        zip.start_file(format!("{name}/{file_name}"), deflated)
            .expect("a name");
        zip.write_all(&change(&file_name, bytes)).expect("bytes");
    }
    zip.finish().expect("a whole archive");
}

/// What was printed, with the path of the folder and of the archive as one.
fn without(text: &str, path: &Path) -> String {
    text.replace(&*path.to_string_lossy(), "RECORD")
}

#[test]
fn an_archive_says_what_its_folder_says() {
    let place = scratch();
    for name in [
        SEALED,
        "20260314T091500Z-INVENTED-full-disk",
        "20260315T140000Z-INVENTED-power-cut",
    ] {
        let folder = sample(name);
        let archive = place.path().join(format!("{name}.zip"));
        pack(&folder, &archive, |_, bytes| bytes);
        let (of_folder, of_archive) = (review(&folder, &[]), review(&archive, &[]));
        assert_eq!(of_archive.status, of_folder.status);
        assert_eq!(
            without(&of_archive.out, &archive),
            without(&of_folder.out, &folder)
        );
        for options in [&[][..], &["--json"]] {
            let verify = |path: &Path| {
                let path = path.to_string_lossy();
                dryhold([&["verify", &path][..], options].concat())
            };
            let (of_folder, of_archive) = (verify(&folder), verify(&archive));
            assert_eq!(of_archive.status, of_folder.status);
            assert_eq!(
                without(&of_archive.out, &archive),
                without(&of_folder.out, &folder)
            );
            assert_eq!(of_archive.err, of_folder.err);
        }
    }
}

#[test]
fn the_sheet_of_an_archive_goes_where_it_is_told() {
    let place = scratch();
    let archive = place.path().join("run.zip");
    pack(&sample(SEALED), &archive, |_, bytes| bytes);
    let before = fs::read(&archive).expect("its bytes");
    let out = place.path().join("out");
    let (path, to) = (archive.display().to_string(), out.display().to_string());
    dryhold(["report", &path, "--out", &to]).expect(0);
    for file in ["sheet.pdf", "sheet.html", "curve.svg", "findings.json"] {
        assert!(out.join(file).is_file(), "{file}");
    }
    assert_eq!(fs::read(&archive).expect("its bytes"), before);
    let html = fs::read_to_string(out.join("sheet.html")).expect("the sheet");
    assert!(!html.contains("dryhold-"), "no temporary folder is named");
}

#[test]
fn an_altered_record_in_an_archive_is_found() {
    let place = scratch();
    let archive = place.path().join("run.zip");
    pack(&sample(SEALED), &archive, |name, bytes| match name {
        "trace.csv" => {
            let text = String::from_utf8(bytes).expect("text");
            let row = text.lines().nth(3).expect("a row").to_owned();
            text.replacen(&row, &row.replacen(",ok,", ",over,", 1), 1)
                .into_bytes()
        }
        _ => bytes,
    });
    let ran = dryhold(["verify".as_ref(), archive.as_os_str()]).expect(12);
    assert!(ran.out.contains("ALTERED"), "{}", ran.out);
    assert!(ran.out.contains(&*archive.to_string_lossy()), "{}", ran.out);
}

#[test]
fn what_is_no_run_is_one_line() {
    let place = scratch();
    let archive = place.path().join("run.zip");
    let mut zip = ZipWriter::new(fs::File::create(&archive).expect("an archive"));
    zip.start_file("../../trace.csv", SimpleFileOptions::default())
        .expect("a name");
    zip.finish().expect("a whole archive");
    for command in ["review", "verify", "report"] {
        let ran = dryhold([command.as_ref(), archive.as_os_str()]).expect(1);
        let complaint = ran.complaint();
        assert!(
            complaint.contains("run.zip") && complaint.contains("leads out of the folder"),
            "{complaint}"
        );
    }
    fs::write(&archive, b"PK\x03\x04 and nothing else").expect("written");
    let ran = dryhold(["review".as_ref(), archive.as_os_str()]).expect(1);
    assert!(ran.complaint().contains("damaged or no zip"), "{ran:?}");
    // an error of a record names the archive, not where it was unpacked
    let folder = place.path().join("20260314T091500Z-BAD");
    fs::create_dir(&folder).expect("a folder");
    fs::write(folder.join("trace.csv"), "not a trace\n").expect("written");
    pack(&folder, &archive, |_, bytes| bytes);
    let ran = dryhold(["review".as_ref(), archive.as_os_str()]);
    assert!(ran.status != 0);
    let complaint = ran.complaint();
    assert!(
        complaint.contains("run.zip") && !complaint.contains("dryhold-"),
        "{complaint}"
    );
}
