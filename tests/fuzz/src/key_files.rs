//! Files about keys: what a shop states of its keys, the list of a desk, a private key
//! with or without a lock.
//!
//! Input: a byte that chooses the reader, then the bytes of the file. Of statements a
//! second byte says where edits stand in the sample; the bytes behind it are edits, three
//! each: a place of two bytes, and the new byte.
//!
//! Promises: **no statement is believed that was not signed**, whatever is done to one
//! that was; a list is taken whole, or one line of error names the line; a private key is
//! read, or one line of error says why, in bounded time; what is read twice is the same.

use std::path::Path;

use seal_keys::{
    KeyStatement, Passphrase, PublicKey, SealKey, read_revoked_list, read_statements,
    split_statements,
};

use super::{entries::assert_one_line, scratch};

const SAMPLE: &str = include_str!("../../../samples/keys/INVENTED-shop.statement");

/// Longest file looked at; the sample has 2 kB.
const MOST_BYTES: usize = 8192;

/// Checks one input.
pub fn check(data: &[u8]) {
    let data = &data[..data.len().min(MOST_BYTES)];
    let Some((which, data)) = data.split_first() else {
        return;
    };
    match which % 4 {
        0 => statements(&String::from_utf8_lossy(data)),
        1 => edited(data),
        2 => scratch::in_folder(|folder| list(&folder.join("revoked.txt"), data)),
        _ => scratch::in_folder(|folder| private_key(&folder.join("key.pem"), data)),
    }
}

fn statements(text: &str) {
    let found = read_statements(text);
    assert_eq!(found, read_statements(text));
    let signed: Vec<KeyStatement> = read_statements(SAMPLE).into_iter().flatten().collect();
    for stated in found.iter().flatten() {
        assert!(signed.contains(stated), "nobody signed {stated:?}");
    }
    let (key, rest) = split_statements(text);
    assert_eq!(format!("{key}{rest}"), text);
    let _ = PublicKey::parse(key);
}

fn edited(edits: &[u8]) {
    let mut bytes = SAMPLE.as_bytes().to_vec();
    for edit in edits.chunks_exact(3).take(12) {
        let place = usize::from(u16::from_le_bytes([edit[0], edit[1]])) % bytes.len();
        bytes[place] = edit[2];
    }
    statements(&String::from_utf8_lossy(&bytes));
}

fn list(path: &Path, data: &[u8]) {
    scratch::put(path, data);
    match read_revoked_list(path) {
        Ok(keys) => {
            let words = |line: &&[u8]| {
                let first = line.iter().find(|b| !b.is_ascii_whitespace());
                first.is_some_and(|b| *b != b'#')
            };
            assert!(keys.len() <= data.split(|b| *b == b'\n').filter(words).count());
            for key in keys {
                assert_eq!(key.fingerprint.len(), 24);
                assert_one_line(&key.reason);
            }
        }
        Err(e) => assert_one_line(&e.to_string()),
    }
}

fn private_key(path: &Path, data: &[u8]) {
    scratch::put(path, data);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let closed = std::fs::Permissions::from_mode(0o600);
        std::fs::set_permissions(path, closed).unwrap_or_else(|e| panic!("{e}"));
    }
    let mut passphrase = Passphrase::new();
    b"correct horse"
        .iter()
        .for_each(|b| assert!(passphrase.push(*b)));
    let half = SealKey::public_half(path);
    match SealKey::unlock(path, &passphrase) {
        Ok(key) => {
            if let Ok(Some(half)) = half {
                assert_eq!(half, key.public());
            }
        }
        Err(e) => assert_one_line(&e.to_string()),
    }
}
