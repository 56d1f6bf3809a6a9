//! What is done to a claim that lies there: changed after sealing, packed, mistyped.

use std::{
    fs,
    io::Write as _,
    path::{Path, PathBuf},
};

use rehearsal::rng::Rng;

/// A serial number with one slip of the hand.
pub(super) fn slipped(serial: &str, rng: &mut Rng) -> String {
    let mut signs: Vec<char> = serial.chars().collect();
    let at = 4 + (rng.unit() * (signs.len() - 5) as f64) as usize;
    match (rng.unit() * 4.0) as u32 {
        0 => {
            signs.remove(at);
        }
        1 => signs.insert(at, '7'),
        2 => {
            let differing = (3..signs.len() - 1).find(|i| signs[*i] != signs[*i + 1]);
            let at = differing.unwrap_or(at);
            signs.swap(at, at + 1);
        }
        _ => signs[at] = if signs[at] == '0' { 'O' } else { '0' },
    }
    signs.into_iter().collect()
}

/// Changes a sealed run: a reading, a row less, the end, the job, the seal.
pub(super) fn tamper(folder: &Path, rng: &mut Rng) {
    let trace = folder.join("trace.csv");
    let text = fs::read_to_string(&trace).expect("a trace");
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let middle = 2 + (rng.unit() * (lines.len() - 4) as f64) as usize;
    match (rng.unit() * 5.0) as u32 {
        0 => {
            let cells: Vec<&str> = lines[middle].split(',').collect();
            let changed: Vec<String> = cells
                .iter()
                .enumerate()
                .map(|(i, cell)| {
                    if i == 3 {
                        format!("{cell}1")
                    } else {
                        (*cell).to_owned()
                    }
                })
                .collect();
            lines[middle] = changed.join(",");
        }
        1 => {
            lines.remove(middle);
        }
        2 => lines.truncate(lines.len() * 3 / 4),
        3 => {
            let path = folder.join("job.toml");
            let job = fs::read_to_string(&path).expect("a job");
            fs::write(&path, job.replace("drier renewed", "evaporator renewed")).expect("written");
            return;
        }
        _ => {
            let path = folder.join("seal.json");
            let seal = fs::read_to_string(&path).expect("a seal");
            fs::write(&path, seal.replacen("2026", "2025", 1)).expect("written");
            return;
        }
    }
    fs::write(&trace, lines.join("\n") + "\n").expect("written");
}

/// The run folder as a zip archive in its place.
pub(super) fn packed(folder: &Path) -> PathBuf {
    let path = folder.with_extension("zip");
    let file = fs::File::create(&path).expect("an archive");
    let mut zip = zip::ZipWriter::new(file);
    for entry in fs::read_dir(folder).expect("a folder") {
        let entry = entry.expect("a file");
        let name = entry.file_name().to_string_lossy().into_owned();
        let options: zip::write::SimpleFileOptions = Default::default();
        zip.start_file(name, options).expect("an entry");
        zip.write_all(&fs::read(entry.path()).expect("bytes"))
            .expect("packed");
    }
    zip.finish().expect("an archive");
    fs::remove_dir_all(folder).expect("gone");
    path
}
