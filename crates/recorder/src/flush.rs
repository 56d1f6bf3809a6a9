//! Recording ends and the disk still does not take the last rows: they are kept
//! elsewhere, or the program waits.

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use run_record::{Rescued, RunWriter};

use crate::operator::Operator;

/// How often the disk is tried again.
const RETRY: Duration = Duration::from_secs(5);

/// Returns once every row is on some disk, or the technician gave up.
pub(crate) async fn flush_or_rescue(writer: &mut RunWriter, operator: &dyn Operator) {
    let Err(trouble) = writer.sync() else {
        return;
    };
    operator.warn(&trouble.to_string());
    if rescue(writer, operator) {
        return;
    }
    operator.warn(&format!(
        "the last {} rows could not be kept anywhere. Free some space: it is tried again every \
         {} s. Ctrl-C gives up and loses them",
        writer.rows_waiting(),
        RETRY.as_secs()
    ));
    let mut given_up = operator.gives_up();
    loop {
        tokio::select! {
            () = &mut given_up => {
                operator.warn(&format!("given up: the last {} rows are lost", writer.rows_waiting()));
                return;
            }
            () = tokio::time::sleep(RETRY) => {}
        }
        if writer.sync().is_ok() {
            operator.tell("The disk takes rows again: the record is whole.");
            return;
        }
        if rescue(writer, operator) {
            return;
        }
    }
}

/// Tries to keep the rows elsewhere, and says how to put them back.
fn rescue(writer: &mut RunWriter, operator: &dyn Operator) -> bool {
    let folder = writer.folder().to_owned();
    for place in places(&folder) {
        if let Ok(rescued) = writer.rescue(&place) {
            operator.warn(&put_back(&rescued, &folder));
            return true;
        }
    }
    false
}

fn put_back(rescued: &Rescued, folder: &Path) -> String {
    format!(
        "the last {} rows are kept in {} instead. As soon as there is room, and before this \
         computer is switched off, copy {} from there into {}: then the record is whole \
         (dryhold verify shows it)",
        rescued.rows,
        rescued.folder.display(),
        rescued.files.join(" and "),
        folder.display()
    )
}

/// Where else rows may be kept: the system's temporary folder if it is on
/// another disk, else the home folder.
fn places(folder: &Path) -> Vec<PathBuf> {
    let temporary = std::env::temp_dir();
    let elsewhere = !on_same_disk(&temporary, folder);
    let mut places: Vec<PathBuf> = elsewhere.then_some(temporary).into_iter().collect();
    places.extend(std::env::home_dir().filter(|home| home.is_dir()));
    places
}

#[cfg(unix)]
fn on_same_disk(a: &Path, b: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (a.metadata(), b.metadata()) {
        (Ok(a), Ok(b)) => a.dev() == b.dev(),
        // a folder that is gone is on no disk
        _ => false,
    }
}

#[cfg(not(unix))]
fn on_same_disk(a: &Path, b: &Path) -> bool {
    a.components().next() == b.components().next()
}
