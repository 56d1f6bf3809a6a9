//! What became of the keys of a folder: `keys.statement` beside them.

use std::{
    io,
    path::{Path, PathBuf},
};

use plain_file::Links;

use super::{
    error::{KeyError, KeyProblem},
    key_statement::{KeyStatement, read_statements},
    public_key::PublicKey,
};

/// What became of the keys of a folder.
const STATEMENTS_NAME: &str = "keys.statement";
/// Largest such file that is read, bytes: more than a thousand statements.
const LARGEST: u64 = 1 << 20;

/// What the statements beside a key say, in the order they were made.
///
/// # Errors
/// When they cannot be read, or one does not verify.
pub(crate) fn read_own(key_file: &Path) -> Result<Vec<KeyStatement>, KeyError> {
    let path = key_file.with_file_name(STATEMENTS_NAME);
    let problem = |problem| KeyError::new(&path, problem);
    let statements = read_statements(&own_text(&path)?);
    let sound = statements.into_iter().collect::<Result<_, _>>();
    sound.map_err(|bad| problem(KeyProblem::StatementBroken { why: bad.why }))
}

fn own_text(path: &Path) -> Result<String, KeyError> {
    match plain_file::read_text(path, LARGEST, Links::Follow) {
        Ok(text) => Ok(text),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(String::new()),
        Err(e) => Err(KeyError::new(path, KeyProblem::StatementsUnreadable(e))),
    }
}

/// The keys that a key replaced, the last one first.
pub(crate) fn replaced_by_key(statements: &[KeyStatement], key: &PublicKey) -> Vec<PublicKey> {
    let mut before: Vec<PublicKey> = Vec::new();
    let mut of = *key;
    loop {
        let old = statements.iter().find_map(|stated| match stated {
            KeyStatement::Replaced(r) if r.new == of => Some(r.old),
            _ => None,
        });
        match old {
            Some(old) if old != *key && !before.contains(&old) => {
                before.push(old);
                of = old;
            }
            _ => return before,
        }
    }
}

/// What is to be handed on with the public half of a key: the statements by which it
/// replaced others, and those that revoke any of these. Text of a file, empty without
/// any; and the keys it replaced, the last one first.
///
/// # Errors
/// When the statements cannot be read, or one does not verify.
pub fn statements_to_hand_on(
    key_file: &Path,
    key: &PublicKey,
) -> Result<(String, Vec<PublicKey>), KeyError> {
    let path = key_file.with_file_name(STATEMENTS_NAME);
    let text = own_text(&path)?;
    let before = replaced_by_key(&read_own(key_file)?, key);
    let is_of = |k: &PublicKey| k == key || before.contains(k);
    let mut out = String::new();
    let mut block = String::new();
    for line in text.lines() {
        block.push_str(line);
        block.push('\n');
        if line == "}" {
            let counts = read_statements(&block)
                .into_iter()
                .any(|stated| match stated {
                    Ok(KeyStatement::Replaced(r)) => is_of(&r.old) && is_of(&r.new),
                    Ok(KeyStatement::Revoked(r)) => is_of(&r.key),
                    Err(_) => false,
                });
            if counts {
                out.push_str(&block);
            }
            block.clear();
        }
    }
    Ok((out, before))
}

/// Adds a statement to those of a folder: after a power cut it is there, or not at all.
pub(crate) fn add(key_file: &Path, statement: &str) -> Result<(), KeyError> {
    let path = key_file.with_file_name(STATEMENTS_NAME);
    let mut text = own_text(&path)?;
    if !text.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    text.push_str(statement);
    whole_file::put(
        whole_file::folder_of(&path),
        STATEMENTS_NAME,
        text.as_bytes(),
    )
    .map_err(|e| KeyError::new(&path, KeyProblem::NotKept(e)))
}

/// Where a new key lies until it takes the place of the old one.
pub(crate) fn ready_file(key_file: &Path) -> PathBuf {
    key_file.with_extension("next.pem")
}
