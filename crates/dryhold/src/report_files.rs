//! `dryhold report`: writes the curve, the sheet and the findings.

use std::{
    io::Write,
    path::{Path, PathBuf},
};

use report::{PngSize, ReportError, Sheet};
use vacuum::SheetChoices;

use crate::{
    arguments::ReportArguments,
    judged::{self, Draw, Judged},
    outcome::{Failure, Outcome, say},
    seal,
    sheet_options::SheetOptions,
};

/// Draws one record.
pub(crate) fn run(arguments: &ReportArguments) -> Result<Outcome, Failure> {
    let import = arguments.import.options()?;
    let judged = judged::judge(&arguments.path, &import, &arguments.judging, Draw::Yes)?;
    let spoken = arguments.voice.choices(judged.started_utc.as_deref());
    let out = match &arguments.out {
        Some(out) => out.clone(),
        None => default_folder(&arguments.path, judged.is_run),
    };
    let renewal = seal::Renewal::prepare(&arguments.path, &out, arguments.key.as_deref())?;
    for path in write(&judged, &out, &spoken, &arguments.sheet)? {
        say(path.display());
    }
    if let Some(renewal) = renewal {
        renewal.seal()?;
        say("The seal of the run covers them now; what it says of the record is as before.");
    }
    Ok(Outcome::Done)
}

/// The run folder itself; for a foreign CSV a folder beside where we stand.
fn default_folder(path: &Path, is_run: bool) -> PathBuf {
    if is_run {
        if path.is_dir() {
            return path.to_owned();
        }
        return path.parent().map_or_else(PathBuf::new, Path::to_owned);
    }
    let stem = path
        .file_stem()
        .map_or_else(|| "record".into(), |s| s.to_string_lossy());
    PathBuf::from(format!("{stem}-report"))
}

/// Writes every picture of a record into `out`; gives their paths.
pub(crate) fn write(
    judged: &Judged,
    out: &Path,
    spoken: &SheetChoices,
    options: &SheetOptions,
) -> Result<Vec<PathBuf>, Failure> {
    let job = judged.header.as_ref().map(|h| &h.job);
    let choices = spoken.clone().or(&options.choices(job.map(|j| &j.sheet)));
    let record = Path::new(&judged.source);
    let beside_record = record.parent().unwrap_or(Path::new("."));
    let logo = options.logo(&choices, &[record, beside_record, Path::new(".")]);
    let beside = judged.companions();
    let sheet = judged.sheet((&choices, logo.as_ref()), &beside);

    let cannot = |path: &Path, e: std::io::Error| {
        Failure::other(format!(
            "{} cannot be written: {}; check the folder and free space, or give --out DIR",
            path.display(),
            run_record::io_words(&e)
        ))
    };
    std::fs::create_dir_all(out).map_err(|e| cannot(out, e))?;
    let mut paths = Vec::new();
    // one after the other, so that no two are in memory at once
    for (name, draw) in PRODUCTS {
        let bytes = draw(&sheet).map_err(Failure::other)?;
        let path = out.join(name);
        write_whole(&path, &bytes).map_err(|e| cannot(&path, e))?;
        paths.push(path);
    }
    Ok(paths)
}

type Draws = fn(&Sheet<'_>) -> Result<Vec<u8>, ReportError>;

/// What is made from a record, in the order it is written.
const PRODUCTS: [(&str, Draws); 6] = [
    ("curve.svg", |s| {
        report::curve_svg(s).map(String::into_bytes)
    }),
    ("curve.png", |s| report::curve_png(s, PngSize::Print)),
    ("curve-small.png", |s| {
        report::curve_png(s, PngSize::Message)
    }),
    ("sheet.html", |s| {
        report::sheet_html(s).map(String::into_bytes)
    }),
    ("sheet.pdf", |s| report::sheet_pdf(s)),
    ("findings.json", |s| {
        let json = report::findings_json(s.findings, s.source) + "\n";
        Ok(json.into_bytes())
    }),
];

/// Writes a file so that a reader sees the old one or the new one, never half.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new()
        .prefix(".unfinished-")
        .tempfile_in(folder)?;
    file.write_all(bytes)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // temporary files are private; a report is to be handed on
        file.as_file()
            .set_permissions(std::fs::Permissions::from_mode(0o644))?;
    }
    file.as_file().sync_all()?;
    file.persist(path).map_err(|e| e.error)?;
    Ok(())
}
