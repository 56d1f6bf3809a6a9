//! Which option or command of the program settles what a key or a seal lacks.
//!
//! The libraries below say what is missing as data; only here it is tied to an option.

use run_record::SealError;
use seal_keys::{KeyError, KeyProblem};

/// The error of a key in one line, with what settles it.
pub(crate) fn key_error(error: &KeyError) -> String {
    format!("{error}{}", key_advice(error.problem()))
}

/// The same of a seal.
pub(crate) fn seal_error(error: &SealError) -> String {
    let advice = error.key_problem().map_or("", key_advice);
    format!("{error}{advice}")
}

/// What follows the text of the problem; empty where no option or command helps.
fn key_advice(problem: &KeyProblem) -> &'static str {
    match problem {
        KeyProblem::Locked => {
            ": name the file that holds it with --passphrase-file, or with the environment \
             variable DRYHOLD_PASSPHRASE_FILE"
        }
        KeyProblem::ReplacementCutOff => ": \"dryhold key --replace\" brings it to its end",
        KeyProblem::Revoked { .. } => ". Make a new one with \"dryhold key --replace\"",
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    use chrono::Utc;
    use seal_keys::{Passphrase, SealKey, revoke_key, set_passphrase};

    use super::*;

    /// The key problems that no test of the command line brings about in one process.
    #[test]
    fn what_a_key_lacks_names_the_option_or_command_that_gives_it() {
        let folder = tempfile::tempdir().expect("done");
        let path = folder.path().join("own/key.pem");
        let (key, _) = SealKey::load_or_make(&path).expect("done");
        let mut passphrase = Passphrase::new();
        assert!(b"invented".iter().all(|b| passphrase.push(*b)));
        set_passphrase(&key, Some(&passphrase)).expect("done");
        let locked = key_error(&SealKey::load(&path).expect_err("refused"));
        assert!(
            locked.ends_with(
                "this private key is locked with a passphrase, and there is none: name the file \
                 that holds it with --passphrase-file, or with the environment variable \
                 DRYHOLD_PASSPHRASE_FILE"
            ),
            "{locked}"
        );
        revoke_key(&key, None, "invented", "x", Utc::now()).expect("done");
        let revoked = key_error(&key.check_in_use().expect_err("refused"));
        assert!(
            revoked.ends_with(". Make a new one with \"dryhold key --replace\""),
            "{revoked}"
        );
        assert_eq!(
            format!("cut off{}", key_advice(&KeyProblem::ReplacementCutOff)),
            "cut off: \"dryhold key --replace\" brings it to its end"
        );
    }
}
