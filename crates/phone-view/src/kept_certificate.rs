//! The file that keeps the certificate of the page and its key from run to run.

use std::{path::Path, time::SystemTime};

use whole_file::Put;

use crate::{
    private_file::{self, KeptFileError},
    tls::{Certificate, Unfit},
};

/// Longest file, bytes: one with sixteen names takes less than two thousand.
const MOST_BYTES: u64 = 16 * 1_024;
const DANGER: &str = "pretend to be this page";
const REMEDY: &str = "delete it, and a new certificate is made";

/// The certificate in this file; made, readable for its owner only, where there is no
/// file, and made anew where it does not fit any more. Then also why.
///
/// # Errors
/// Where the file cannot be read or written, can be read by others, or holds something
/// else.
pub fn certificate_in(
    path: &Path,
    names: &[String],
    now: SystemTime,
) -> Result<(Certificate, Option<&'static str>), KeptFileError> {
    let refused = |why: String| KeptFileError {
        path: path.to_owned(),
        why,
    };
    let kept = private_file::read(path, MOST_BYTES, DANGER, REMEDY).map_err(refused)?;
    let kept = kept.map(|text| Certificate::from_text(&text));
    let kept = kept
        .transpose()
        .map_err(|why| refused(format!("{why}; {REMEDY}")))?;
    let why = match kept.as_ref().map(|c| c.fits(names, now)) {
        Some(Ok(())) => None,
        None => Some("A certificate for the page was made"),
        Some(Err(Unfit::Names)) => Some(
            "The certificate of the page was made anew, for this computer has an address that \
             the old one does not name. Every phone warns once more",
        ),
        Some(Err(Unfit::Time)) => Some(
            "The certificate of the page was made anew, for the old one has expired or soon \
             will (or this computer's clock was set). Every phone warns once more",
        ),
    };
    if let (Some(kept), None) = (&kept, why) {
        return Ok((kept.clone(), None));
    }
    let made =
        Certificate::made_for(names, kept.as_ref(), now).map_err(|e| refused(e.to_string()))?;
    let written = whole_file::make_private_folder(whole_file::folder_of(path))
        .and_then(|()| whole_file::write(path, made.to_text().as_bytes(), Put::Private));
    written.map_err(|e| refused(plain_file::io_words(&e)))?;
    Ok((made, why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::{fs, time::Duration};

    const DAY: Duration = Duration::from_secs(24 * 3_600);

    fn names(all: &[&str]) -> Vec<String> {
        all.iter().map(|&n| n.to_owned()).collect()
    }

    #[test]
    fn a_certificate_stays_until_it_expires_or_an_address_is_new() {
        let folder = tempfile::tempdir().expect("a folder");
        // the folder is made too
        let path = folder.path().join("dryhold").join("page.pem");
        let now = SystemTime::now();
        let of = |all: &[&str], at| {
            let (certificate, why) = certificate_in(&path, &names(all), at).expect("a certificate");
            (certificate.fingerprint(), why.unwrap_or_default())
        };
        let shop = ["192.168.1.20", "127.0.0.1", "localhost"];
        let van = ["10.42.0.1", "127.0.0.1", "localhost"];
        let (first, why) = of(&shop, now);
        assert!(why.ends_with("was made"), "{why}");
        assert_eq!(of(&shop, now + 300 * DAY), (first.clone(), ""));
        let (second, why) = of(&van, now + DAY);
        assert!(second != first && why.contains("an address"), "{why}");
        // it names the shop's address too: nobody is asked again on the way back
        assert_eq!(of(&shop, now + 2 * DAY), (second.clone(), ""));
        assert_eq!(of(&van, now + 3 * DAY), (second.clone(), ""));
        let (third, why) = of(&van, now + 392 * DAY);
        assert!(third != second && why.contains("expired"), "{why}");
        // a clock that was set back
        let (fourth, why) = of(&van, now);
        assert!(fourth != third && why.contains("clock"), "{why}");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = |path: &Path| fs::metadata(path).expect("there").permissions().mode();
            assert_eq!(mode(&path) & 0o777, 0o600);
            assert_eq!(mode(&path.with_file_name("")) & 0o777, 0o700);
            fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).expect("set");
            let told = certificate_in(&path, &names(&van), now).expect_err("open to others");
            let told = told.to_string();
            assert!(told.contains("644") && told.contains(DANGER), "{told}");
            fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).expect("set");
        }
        fs::write(&path, "nothing of the kind").expect("written");
        let told = certificate_in(&path, &names(&van), now).expect_err("damaged");
        assert!(told.to_string().contains(REMEDY), "{told}");
    }
}
