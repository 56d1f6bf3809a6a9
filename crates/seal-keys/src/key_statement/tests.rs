use super::*;
use std::path::Path;

use ed25519_dalek::SigningKey;

use crate::key::SealKey;

fn key(seed: u8) -> SealKey {
    SealKey::at(
        Path::new("/none/key.pem"),
        SigningKey::from_bytes(&[seed; 32]),
    )
}

fn by(key: &SealKey) -> impl Fn(&[u8]) -> [u8; 64] {
    |text| key.sign(text)
}

fn at(text: &str) -> DateTime<Utc> {
    moment(text).unwrap()
}

fn replacement(old: &SealKey, new: &SealKey) -> KeyReplacement {
    KeyReplacement {
        old: old.public(),
        new: new.public(),
        stated_utc: at("2026-03-14T09:15:00Z"),
        register: Some(RegisterEnd {
            series: "00112233445566ff".into(),
            number: 7,
            link: "ab".repeat(32),
        }),
        software: "dryhold 0.1.0".into(),
    }
}

fn revocation(key: &SealKey) -> KeyRevocation {
    KeyRevocation {
        key: key.public(),
        since_utc: Some(at("2026-03-01T00:00:00Z")),
        reason: "the van was broken into".into(),
        stated_utc: at("2026-03-14T09:15:00Z"),
        software: "dryhold 0.1.0".into(),
    }
}

fn text() -> String {
    let (old, new) = (key(1), key(2));
    replacement(&old, &new).to_text(by(&old), by(&new)).unwrap()
}

fn why(text: &str) -> String {
    let mut all = read_statements(text);
    assert_eq!(all.len(), 1, "{all:?}");
    all.remove(0)
        .map_or_else(|bad| bad.why.to_owned(), |good| format!("{good:?}"))
}

#[test]
fn what_was_stated_is_read_back_also_one_behind_the_other() {
    let (old, new) = (key(1), key(2));
    let both = format!(
        "{}\n\n{}",
        text(),
        revocation(&old).to_text(by(&old)).unwrap()
    );
    let stated = [
        Ok(KeyStatement::Replaced(Box::new(replacement(&old, &new)))),
        Ok(KeyStatement::Revoked(Box::new(revocation(&old)))),
    ];
    assert_eq!(read_statements(&both), stated);
    // mail and editors write other line ends
    assert_eq!(read_statements(&both.replace('\n', "\r\n")), stated);
    assert!(read_statements(" \n\n").is_empty());
    let without = KeyReplacement {
        register: None,
        ..replacement(&old, &new)
    };
    let text = without.to_text(by(&old), by(&new)).unwrap();
    assert_eq!(
        read_statements(&text),
        [Ok(KeyStatement::Replaced(Box::new(without)))]
    );
}

#[test]
fn a_key_before_the_statements_is_told_apart() {
    let pem = key(2).public().to_pem().unwrap();
    let both = format!("{pem}{}", text());
    assert_eq!(split_statements(&both), (&*pem, &*text()));
    assert_eq!(split_statements(&pem), (&*pem, ""));
    assert_eq!(split_statements(&text()).0, "");
}

/// Every byte is signed or fixed.
#[test]
fn a_statement_with_any_byte_changed_does_not_verify() {
    let text = text();
    let sound = read_statements(&text);
    for i in 0..text.len() {
        let mut bytes = text.clone().into_bytes();
        bytes[i] ^= 1;
        let Ok(changed) = String::from_utf8(bytes) else {
            continue;
        };
        assert!(
            read_statements(&changed).iter().all(Result::is_err),
            "byte {i}: {changed}"
        );
    }
    // cut off anywhere, but for the last line end
    for length in 1..text.len() - 1 {
        let found = read_statements(&text[..length]);
        assert!(
            found.iter().all(Result::is_err) && !found.is_empty(),
            "{length}"
        );
    }
    assert_eq!(read_statements(text.trim_end()), sound);
}

#[test]
fn both_keys_have_to_sign_each_for_itself() {
    let (old, new, thief) = (key(1), key(2), key(3));
    let stated = replacement(&old, &new);
    // somebody who holds neither, or only one of the two
    for (by_old, by_new, who) in [
        (&thief, &new, "the old key has not signed"),
        (&old, &thief, "the new key has not signed"),
        (&new, &old, "the old key has not signed"),
        (&old, &old, "the new key has not signed"),
        (&new, &new, "the old key has not signed"),
    ] {
        let forged = stated.to_text(by(by_old), by(by_new)).unwrap();
        assert!(why(&forged).contains(who), "{}", why(&forged));
    }
    // the signatures of a genuine one under another text
    let genuine = text();
    let other = genuine.replace(&new.public().to_hex(), &thief.public().to_hex());
    assert!(why(&other).contains("has not signed"));
    let later = genuine.replace("2026-03-14", "2027-03-14");
    assert!(why(&later).contains("has not signed"));
    // a key by itself
    let circle = replacement(&old, &old).to_text(by(&old), by(&old)).unwrap();
    assert!(why(&circle).contains("by itself"));
    // only the key itself revokes it
    let forged = revocation(&old).to_text(by(&thief)).unwrap();
    assert!(why(&forged).contains("the key has not signed"));
}

/// A signature for one thing is none for another: a seal is no statement.
#[test]
fn a_signature_made_for_a_seal_signs_no_statement() {
    let old = key(1);
    let text = revocation(&old).to_text(by(&old)).unwrap();
    let (signed, _) = cut(&text, BY_ONE).unwrap();
    let for_a_seal = old.sign(&[b"dryhold seal 1\n", signed.as_bytes()].concat());
    let forged = format!("{signed}  \"signature\": \"{}\"\n}}\n", hex(&for_a_seal));
    assert!(why(&forged).contains("has not signed"));
    let right = old.sign(&[DOMAIN, signed.as_bytes()].concat());
    let right = format!("{signed}  \"signature\": \"{}\"\n}}\n", hex(&right));
    assert_eq!(right, text);
}

#[test]
fn what_is_no_statement_says_so_and_names_the_keys_in_it() {
    for text in ["x", "{\n}\n", "{\n\"schema\": 1\n}\n", "[]", "\u{0}"] {
        assert!(read_statements(text).iter().all(Result::is_err), "{text}");
    }
    let newer = text().replace("key-replaced/1", "key-retired/1");
    let found = read_statements(&newer).remove(0).unwrap_err();
    assert!(found.why.contains("later one"), "{found:?}");
    assert!(found.may_revoke);
    assert_eq!(found.keys, [key(1).public(), key(2).public()]);
    let cut_off = &text()[..text().len() - 100];
    let found = read_statements(cut_off).remove(0).unwrap_err();
    assert!(!found.may_revoke, "it says that it replaces");
    assert_eq!(found.keys.len(), 2);
}

/// One that is damaged takes none of the others with it.
#[test]
fn what_stands_before_a_sound_statement_does_not_hide_it() {
    let cut_off = &text()[..text().len() - 100];
    for before in ["Dear desk,\nhere it is.\n", cut_off, "}\n", "{\n{\n"] {
        let found = read_statements(&format!("{before}\n{}", text()));
        assert!(
            found[..found.len() - 1].iter().all(Result::is_err),
            "{found:?}"
        );
        assert!(
            found.len() > 1 && found[found.len() - 1].is_ok(),
            "{found:?}"
        );
    }
}

#[test]
fn a_reason_is_one_short_line() {
    let old = key(1);
    let stated = KeyRevocation {
        reason: format!("a\nb\u{1b}[2J{}", "x".repeat(999)),
        ..revocation(&old)
    };
    let text = stated.to_text(by(&old)).unwrap();
    let Some(Ok(KeyStatement::Revoked(read))) = read_statements(&text).pop() else {
        panic!("{text}");
    };
    assert!(read.reason.starts_with("a b[2Jxxx"), "{}", read.reason);
    assert_eq!(read.reason.chars().count(), LONGEST_REASON);
}
