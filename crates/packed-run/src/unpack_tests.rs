use std::io::Write as _;

use zip::{ZipWriter, write::SimpleFileOptions};

use super::*;

fn archive(folder: &Path, files: &[(&str, &[u8])]) -> PathBuf {
    let path = folder.join("run.zip");
    let mut zip = ZipWriter::new(File::create(&path).expect("a file"));
    for (name, bytes) in files {
        let deflated = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        match name.strip_suffix('/') {
            Some(name) => zip.add_directory(name, deflated).expect("a folder"),
            None => {
                zip.start_file(*name, deflated).expect("a name");
                zip.write_all(bytes).expect("bytes");
            }
        }
    }
    zip.finish().expect("an archive");
    path
}

fn refused(files: &[(&str, &[u8])]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let path = archive(folder.path(), files);
    let why = unpack(&path).expect_err("refused").to_string();
    assert!(why.contains("run.zip"), "{why}");
    why
}

#[test]
fn a_run_folder_comes_out_as_it_was() {
    let folder = tempfile::tempdir().expect("a folder");
    for (prefix, name) in [("", "run"), ("2026-INVENTED/", "2026-INVENTED")] {
        let trace = format!("{prefix}trace.csv");
        let job = format!("{prefix}job.toml");
        let mut files: Vec<(&str, &[u8])> = vec![
            (&trace, b"seq,elapsed_s\n"),
            (&job, b"id = 1\n"),
            ("__MACOSX/._x", b"x"),
        ];
        if !prefix.is_empty() {
            files.insert(0, (prefix, b""));
        }
        let path = archive(folder.path(), &files);
        assert!(is_archive(&path));
        let unpacked = unpack(&path).expect("a run");
        let at = unpacked.folder().to_owned();
        assert!(at.ends_with(name), "{}", at.display());
        assert_eq!(
            std::fs::read(at.join("trace.csv")).expect("there"),
            b"seq,elapsed_s\n"
        );
        assert_eq!(std::fs::read_dir(&at).expect("a folder").count(), 2);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let above = at.parent().expect("a folder").metadata().expect("there");
            assert_eq!(above.permissions().mode() & 0o077, 0, "private");
        }
        drop(unpacked);
        assert!(!at.exists(), "nothing is left behind");
    }
}

#[test]
fn what_no_run_folder_holds_is_refused() {
    let trace: (&str, &[u8]) = ("trace.csv", b"x");
    for (files, words) in [
        (vec![("job.toml", &b"x"[..])], "no trace.csv"),
        (vec![trace, ("../x", b"x")], "leads out of the folder"),
        (vec![trace, ("/etc/x", b"x")], "leads out of the folder"),
        (vec![trace, ("Trace.CSV", b"x")], "twice"),
        (vec![trace, ("a/b/c", b"x")], "folder inside a folder"),
        (
            vec![("a/trace.csv", b"x"), ("b/trace.csv", b"x")],
            "several folders",
        ),
    ] {
        let why = refused(&files);
        assert!(why.contains(words), "{words}: {why}");
    }
}

#[test]
fn links_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("run.zip");
    let mut zip = ZipWriter::new(File::create(&path).expect("a file"));
    zip.add_symlink("trace.csv", "/etc/hostname", SimpleFileOptions::default())
        .expect("a link");
    zip.finish().expect("an archive");
    let why = unpack(&path).expect_err("a link").to_string();
    assert!(why.contains("it is a link"), "{why}");
}

#[test]
fn too_much_is_not_unpacked() {
    let zeros = vec![0_u8; 4 << 20];
    let why = refused(&[("trace.csv", &zeros)]);
    assert!(why.contains("larger than 1 MB"), "{why}");
    let folder = tempfile::tempdir().expect("a folder");
    let path = archive(
        folder.path(),
        &[("trace.csv", b"0123456789"), ("job.toml", b"x")],
    );
    let bounds = |files, bytes| Bounds {
        files,
        bytes,
        ..Bounds::USUAL
    };
    assert!(bounds(2, 11).unpack(&path).is_ok());
    let why = bounds(2, 10).unpack(&path).expect_err("too large");
    assert!(matches!(why, PackedError::TooLarge { .. }), "{why}");
    let why = bounds(1, 11).unpack(&path).expect_err("too many");
    assert!(matches!(why, PackedError::TooManyFiles { .. }), "{why}");
}

#[test]
fn a_damaged_archive_is_said_to_be() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut x = 1_u32;
    let noise: Vec<u8> = (0..20_000)
        .map(|_| {
            x = x.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (x >> 24) as u8
        })
        .collect();
    let path = archive(folder.path(), &[("trace.csv", &noise)]);
    let whole = std::fs::read(&path).expect("there");
    std::fs::write(&path, &whole[..whole.len() / 2]).expect("written");
    let why = unpack(&path).expect_err("cut").to_string();
    assert!(why.contains("damaged"), "{why}");
    assert!(is_archive(&path), "by its name");
    let mut flipped = whole.clone();
    flipped[5_000] ^= 0x40;
    std::fs::write(&path, &flipped).expect("written");
    let why = unpack(&path).expect_err("flipped").to_string();
    assert!(
        why.contains("trace.csv") && why.contains("damaged"),
        "{why}"
    );
}

#[test]
fn other_files_are_no_archives() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = folder.path().join("x.csv");
    std::fs::write(&text, "PK,1\n").expect("written");
    assert!(!is_archive(&text) && !is_archive(folder.path()));
    assert!(!is_archive(&folder.path().join("absent.zip")));
    let workbook = archive(folder.path(), &[("[Content_Types].xml", b"<x/>")]);
    assert!(!is_archive(&workbook), "said elsewhere to be a workbook");
}
