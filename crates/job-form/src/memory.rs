//! What is remembered of the shop: `shop.toml` in the folder where programs keep
//! data. Its keys are those of a job file.

use std::{
    io,
    path::{Path, PathBuf},
};

use chrono::Local;
use console::{complain, say};
use etcetera::BaseStrategy;
use plain_file::Links;
use run_record::JobFile;
use vacuum::{GaugeIdentity, Job, Zone};
use whole_file::Put;

use crate::{document::Document, error::MemoryError};

/// The file below the folder where programs keep data.
const SHOP_FILE: &str = "dryhold/shop.toml";

const HEAD: &str = "\
# What dryhold remembers of the shop, its people and tools. `dryhold job shop` shows it,
# `dryhold job shop --edit` asks for it anew.

";

/// Where it is kept.
pub fn path() -> Result<PathBuf, MemoryError> {
    let strategy = etcetera::choose_base_strategy().map_err(|_| MemoryError::NoHome)?;
    Ok(strategy.data_dir().join(SHOP_FILE))
}

/// What is remembered is far smaller.
const MOST_BYTES: u64 = 1 << 20;

/// What is remembered; nothing when nothing was yet.
pub fn load(path: &Path) -> Result<Document, MemoryError> {
    let cannot = |why: String| MemoryError::Unusable { why };
    // checks every value; what it does not say is read as the answers themselves
    match path.try_exists() {
        Ok(false) => return Ok(Document::default()),
        Ok(true) => {}
        Err(e) => return Err(cannot(format!("{}: {e}", path.display()))),
    }
    JobFile::read(path).map_err(|e| cannot(e.to_string()))?;
    let text = plain_file::read_text(path, MOST_BYTES, Links::Follow)
        .map_err(|e| cannot(e.to_string()))?;
    let table = text
        .parse::<toml::Table>()
        .map_err(|e| cannot(e.to_string()))?;
    Ok(Document::of(table).shop())
}

/// Keeps it: whole, private, and on disk when this returns.
pub fn save(path: &Path, shop: &Document) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        whole_file::make_private_folder(folder)?;
    }
    let text = HEAD.to_owned() + &shop.to_toml();
    whole_file::write(path, text.as_bytes(), Put::Private)
}

/// Fills what a job leaves open with what is remembered, and says what it took.
/// With a job file only what belongs to shop and sheet; the gauge only when the
/// file says nothing of one; without a job file also pump and hoses.
pub fn fill(file: &mut JobFile, given: bool, second_gauge: bool) {
    let taken = match remembered() {
        Ok(Some((path, shop))) => {
            let taken = take(file, shop, given, second_gauge);
            (!taken.is_empty()).then_some((path, taken))
        }
        Ok(None) => None,
        Err(why) => {
            complain(why);
            None
        }
    };
    if let Some((path, taken)) = taken {
        say(format!(
            "From memory ({}): {}.",
            path.display(),
            taken.join(", ")
        ));
    }
    if file.zone_is_local && file.job.sheet.zone.is_none() {
        let east_s = Local::now().offset().local_minus_utc();
        file.job.sheet.zone = i16::try_from(east_s / 60).ok().map(Zone::EastMin);
    }
}

fn remembered() -> Result<Option<(PathBuf, JobFile)>, MemoryError> {
    let Ok(path) = path() else {
        return Ok(None);
    };
    if load(&path)? == Document::default() {
        return Ok(None);
    }
    let shop = JobFile::read(&path)?;
    Ok(Some((path, shop)))
}

fn take(file: &mut JobFile, shop: JobFile, given: bool, second: bool) -> Vec<&'static str> {
    let mut taken = Vec::new();
    let mut text = |name, to: &mut Option<String>, from: Option<String>| {
        if to.is_none() && from.is_some() {
            *to = from;
            taken.push(name);
        }
    };
    let from: Job = shop.job;
    text("technician", &mut file.job.technician, from.technician);
    text("licence", &mut file.job.licence, from.licence);
    text("shop", &mut file.job.shop, from.shop);
    text("logo", &mut file.job.sheet.logo, from.sheet.logo.clone());
    if !given {
        text("pump", &mut file.job.pump, from.pump);
        text("hoses", &mut file.job.hose, from.hose);
    }
    let mut gauge = |name, to: &mut GaugeIdentity, from: GaugeIdentity| {
        let nothing = GaugeIdentity::default();
        if *to == nothing && from != nothing {
            *to = from;
            taken.push(name);
        }
    };
    gauge("gauge", &mut file.job.gauge, from.gauge);
    if second {
        gauge("second gauge", &mut file.pump_gauge, shop.pump_gauge);
    }
    let before = (file.job.sheet.clone(), file.zone_is_local);
    let no_zone = file.job.sheet.zone.is_none() && !file.zone_is_local;
    let mut choices = from.sheet;
    if !no_zone {
        choices.zone = None;
    }
    file.job.sheet = file.job.sheet.clone().or(&choices);
    file.zone_is_local |= no_zone && shop.zone_is_local;
    if before != (file.job.sheet.clone(), file.zone_is_local) {
        taken.push("choices for the sheet");
    }
    taken
}

#[cfg(test)]
mod tests {
    use vacuum::{Language, Paper};

    use super::*;

    fn file(text: &str) -> JobFile {
        JobFile::from_bytes(Path::new("shop.toml"), text.as_bytes()).expect(text)
    }

    fn shop() -> JobFile {
        file(
            "[job]\ntechnician = \"A\"\nshop = \"S\"\npump = \"P\"\nhose = \"H\"\n\
             [gauge]\ndescription = \"G\"\nserial = \"1\"\n[pump_gauge]\nserial = \"2\"\n\
             [sheet]\npaper = \"letter\"\nlanguage = \"de\"\nzone = \"local\"\nleave_out = [\"oil\"]\n",
        )
    }

    #[test]
    fn a_job_file_has_the_first_word() {
        let mut job = file(
            "[job]\nid = \"1\"\nshop = \"other\"\n[gauge]\nserial = \"9\"\n\
             [sheet]\npaper = \"a4\"\nzone = \"utc\"\n",
        );
        let taken = take(&mut job, shop(), true, false);
        assert_eq!(taken, ["technician", "choices for the sheet"]);
        assert_eq!(job.job.shop.as_deref(), Some("other"));
        assert_eq!((job.job.pump, job.job.hose), (None, None));
        // a gauge is one gauge: no description of another beside this serial number
        assert_eq!(job.job.gauge.description, None);
        assert_eq!(job.job.sheet.paper, Some(Paper::A4));
        assert_eq!(job.job.sheet.language, Some(Language::German));
        assert!(job.job.sheet.zone == Some(Zone::Utc) && !job.zone_is_local);
        assert_eq!(job.pump_gauge, GaugeIdentity::default());
    }

    #[test]
    fn without_a_job_file_the_shop_is_remembered_and_no_job_is_invented() {
        let mut job = JobFile::default();
        let taken = take(&mut job, shop(), false, true);
        let all = [
            "technician",
            "shop",
            "pump",
            "hoses",
            "gauge",
            "second gauge",
        ];
        assert_eq!(taken[..6], all);
        assert_eq!((job.job.id.as_str(), job.job.serial.as_ref()), ("", None));
        assert!(job.zone_is_local);
        assert_eq!(
            take(&mut JobFile::default(), JobFile::default(), false, true),
            [""; 0]
        );
    }
}
