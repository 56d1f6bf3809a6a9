use super::*;
use std::path::Path;

use chrono::TimeZone;
use ed25519_dalek::SigningKey;

use crate::{key::SealKey, key_statement::RegisterEnd, register::RegisterEntry};

fn key(name: char) -> PublicKey {
    let seed = [name as u8; 32];
    SealKey::at(Path::new("/none/key.pem"), SigningKey::from_bytes(&seed)).public()
}

fn day(day: u32) -> DateTime<Utc> {
    Utc.with_ymd_and_hms(2026, 3, day, 12, 0, 0).unwrap()
}

/// `old` was replaced by `new` on a day; its register ended with number 7.
fn stated(old: char, new: char, on: u32) -> KeyReplacement {
    KeyReplacement {
        old: key(old),
        new: key(new),
        stated_utc: day(on),
        register: Some(RegisterEnd {
            series: "series".into(),
            number: 7,
            link: "link 7".into(),
        }),
        software: String::new(),
    }
}

/// What a desk holds: given keys, replacements, revoked keys with the day.
fn ring(given: &str, all: &[KeyReplacement], revoked: &[(char, Option<u32>)]) -> KeyRing {
    let parts = KeyRingParts {
        given: given.chars().map(key).collect(),
        statements: all
            .iter()
            .map(|s| {
                (
                    "shop.statement".into(),
                    Ok(KeyStatement::Replaced(Box::new(s.clone()))),
                )
            })
            .collect(),
        revoked: revoked
            .iter()
            .map(|(name, since)| RevokedKey {
                fingerprint: key(*name).fingerprint(),
                since_utc: since.map(day),
                reason: "stolen".into(),
                source: "list, line 1".into(),
            })
            .collect(),
    };
    KeyRing::new(parts, day(20))
}

fn known(ring: &KeyRing, names: &str) -> String {
    let is_known = |c: &char| ring.knows(&key(*c)) == Some(true);
    names.chars().filter(is_known).collect()
}

fn seal(on: u32, number: Option<u64>) -> SealFacts {
    SealFacts {
        sealed_utc: day(on),
        products_utc: None,
        register: number.map(|number| RegisterEntry {
            series: "series".into(),
            number,
            run: String::new(),
            before: format!("link {}", number - 1),
            link: format!("link {number}"),
        }),
    }
}

fn trouble(ring: &KeyRing, by: char, seal: &SealFacts) -> Option<String> {
    let standing = ring.standing(&key(by), Some(seal));
    standing.trouble.map(|t| t.to_string())
}

#[test]
fn a_key_is_known_through_the_statements_of_a_whole_line() {
    let line = [
        stated('a', 'b', 2),
        stated('b', 'c', 4),
        stated('c', 'd', 6),
    ];
    let of_old = ring("a", &line, &[]);
    assert_eq!(known(&of_old, "abcdx"), "abcd");
    let words = of_old.standing(&key('c'), None).way_in_words().unwrap();
    let (a, b, c) = (
        key('a').fingerprint(),
        key('b').fingerprint(),
        key('c').fingerprint(),
    );
    assert_eq!(
        words,
        format!(
            "which replaced {b} on 2026-03-04 12:00:00 UTC; {b} replaced {a} on 2026-03-02 \
             12:00:00 UTC"
        )
    );
    let of_new = ring("c", &line[..2], &[]);
    let words = of_new.standing(&key('b'), None).way_in_words().unwrap();
    assert_eq!(
        words,
        format!("which {c} replaced on 2026-03-04 12:00:00 UTC")
    );
    assert_eq!(of_old.standing(&key('a'), None).way_in_words(), None);
    // whoever was given the newest knows the older ones: it has signed as well
    assert_eq!(known(&ring("d", &line, &[]), "abcdx"), "abcd");
    // in any order, and with one missing
    let mut back = line.clone();
    back.reverse();
    assert_eq!(known(&ring("a", &back, &[]), "abcd"), "abcd");
    assert_eq!(
        known(&ring("a", &[line[0].clone(), line[2].clone()], &[]), "abcd"),
        "ab"
    );
    // nobody asked
    assert_eq!(ring("", &line, &[]).knows(&key('a')), None);
    assert!(ring("a", &line, &[]).doubtful().is_empty());
    let replay = [line[0].clone(), line[0].clone()];
    assert!(
        ring("a", &replay, &[]).doubtful().is_empty(),
        "the same once more"
    );
}

#[test]
fn a_replaced_key_seals_nothing_afterwards() {
    let line = [stated('a', 'b', 10)];
    for given in ["a", "b", "ab"] {
        let ring = ring(given, &line, &[]);
        assert_eq!(trouble(&ring, 'a', &seal(9, Some(7))), None, "{given}");
        assert_eq!(
            trouble(&ring, 'a', &seal(10, None)),
            None,
            "the same moment"
        );
        let words = trouble(&ring, 'a', &seal(11, None)).unwrap();
        assert!(words.contains("was replaced by"), "{words}");
        assert_eq!(trouble(&ring, 'b', &seal(11, Some(8))), None, "{given}");
        // products made anew count as well
        let anew = SealFacts {
            products_utc: Some(day(12)),
            ..seal(9, Some(7))
        };
        assert!(trouble(&ring, 'a', &anew).is_some(), "{given}");
    }
}

/// The date in a seal is whatever its maker writes. The numbers of the register are not.
#[test]
fn a_thief_who_dates_a_seal_back_is_caught_by_its_number() {
    let ring = ring("a", &[stated('a', 'b', 10)], &[]);
    assert_eq!(trouble(&ring, 'a', &seal(9, Some(6))), None);
    let words = trouble(&ring, 'a', &seal(9, Some(8))).unwrap();
    assert!(words.contains("Number 8"), "{words}");
    let other_last = SealFacts {
        register: seal(9, Some(7)).register.map(|e| RegisterEntry {
            link: "another".into(),
            ..e
        }),
        ..seal(9, Some(7))
    };
    assert!(trouble(&ring, 'a', &other_last).is_some());
    // the new key goes on where the old one ended
    assert!(trouble(&ring, 'b', &seal(11, Some(7))).is_some());
    assert_eq!(trouble(&ring, 'b', &seal(11, Some(9))), None);
    let other_before = SealFacts {
        register: seal(11, Some(8)).register.map(|e| RegisterEntry {
            before: "another".into(),
            ..e
        }),
        ..seal(11, Some(8))
    };
    assert!(trouble(&ring, 'b', &other_before).is_some());
    // another series is told by the register
    let mut anew = seal(11, Some(1));
    anew.register.as_mut().unwrap().series = "another".into();
    assert_eq!(trouble(&ring, 'b', &anew), None);
}

#[test]
fn two_keys_that_both_replace_one_are_both_not_believed() {
    let fork = [stated('a', 'b', 10), stated('a', 'x', 12)];
    let of_old = ring("a", &fork, &[]);
    assert_eq!(known(&of_old, "abx"), "a");
    assert_eq!(of_old.doubtful().len(), 2);
    let standing = of_old.standing(&key('x'), None);
    assert!(standing.is_unknown);
    assert!(
        standing.doubtful[0].why.contains("one of the two"),
        "{standing:?}"
    );
    // the earlier date counts for the old key
    assert!(trouble(&of_old, 'a', &seal(11, None)).is_some());
    // a key that was given stays known
    assert_eq!(known(&ring("ab", &fork, &[]), "abx"), "ab");
}

#[test]
fn circles_futures_and_dates_out_of_order_are_not_believed() {
    let circle = [stated('a', 'b', 2), stated('b', 'a', 4)];
    assert_eq!(known(&ring("a", &circle, &[]), "ab"), "a");
    let long = [
        stated('a', 'b', 2),
        stated('b', 'c', 4),
        stated('c', 'a', 6),
    ];
    let found = ring("a", &long, &[]);
    assert_eq!(known(&found, "abc"), "a");
    assert!(
        found.doubtful().iter().all(|d| d.why.contains("circle")),
        "{found:?}"
    );
    // a circle further on leaves the way to it alone, and ends
    let behind = [
        stated('a', 'b', 2),
        stated('b', 'c', 4),
        stated('c', 'b', 6),
    ];
    assert_eq!(known(&ring("a", &behind, &[]), "abc"), "ab");
    let future = ring("a", &[stated('a', 'b', 22)], &[]);
    assert_eq!(known(&future, "ab"), "a");
    assert!(future.doubtful()[0].why.contains("still to come"));
    assert_eq!(
        known(&ring("a", &[stated('a', 'b', 21)], &[]), "ab"),
        "ab",
        "clocks differ"
    );
    let backwards = [stated('a', 'b', 6), stated('b', 'c', 4)];
    assert_eq!(known(&ring("a", &backwards, &[]), "abc"), "ab");
}

#[test]
fn a_revoked_key_vouches_for_no_other_whatever_the_date() {
    let line = [stated('a', 'b', 10)];
    for since in [None, Some(5), Some(15)] {
        let found = ring("a", &line, &[('a', since)]);
        assert_eq!(known(&found, "ab"), "a", "{since:?}");
        assert!(found.doubtful()[0].why.contains("telephone"));
        // the new key was given: it has signed as well, and is no thief
        assert_eq!(known(&ring("b", &line, &[('a', since)]), "ab"), "ab");
    }
    let long = [stated('a', 'b', 10), stated('b', 'c', 12)];
    assert_eq!(known(&ring("a", &long, &[('b', None)]), "abc"), "ab");
}

#[test]
fn a_revoked_key_is_named_from_its_date_on() {
    let words = trouble(&ring("a", &[], &[('a', None)]), 'a', &seal(1, None)).unwrap();
    assert!(
        words.contains("not to be trusted: stolen (list, line 1)"),
        "{words}"
    );
    let dated = ring("", &[], &[('a', Some(5))]);
    assert_eq!(trouble(&dated, 'a', &seal(4, None)), None);
    let words = trouble(&dated, 'a', &seal(5, None)).unwrap();
    assert!(words.contains("since 2026-03-05"), "{words}");
    assert_eq!(trouble(&dated, 'b', &seal(9, None)), None);
    let anew = SealFacts {
        products_utc: Some(day(6)),
        ..seal(4, None)
    };
    assert!(trouble(&dated, 'a', &anew).is_some());
    // a seal in a format that is not known has no date
    assert!(dated.standing(&key('a'), None).trouble.is_some());
    // of two entries the wider counts, in any order
    for two in [[('a', Some(5)), ('a', None)], [('a', None), ('a', Some(5))]] {
        assert!(trouble(&ring("", &[], &two), 'a', &seal(4, None)).is_some());
    }
}

/// A revocation that was damaged on its way must not leave the key trusted in silence.
#[test]
fn a_statement_that_does_not_verify_and_may_revoke_counts_against_the_key() {
    let bad = |may_revoke| {
        let parts = KeyRingParts {
            given: vec![key('a')],
            statements: vec![(
                "shop.statement".into(),
                Err(BadStatement {
                    why: "cut off",
                    keys: vec![key('a')],
                    may_revoke,
                }),
            )],
            ..KeyRingParts::default()
        };
        KeyRing::new(parts, day(20))
    };
    let standing = bad(true).standing(&key('a'), Some(&seal(1, None)));
    assert!(standing.is_revoked());
    assert!(
        standing
            .trouble
            .unwrap()
            .to_string()
            .contains("shop.statement: cut off")
    );
    assert_eq!(
        bad(false).standing(&key('a'), Some(&seal(1, None))).trouble,
        None
    );
}

#[test]
fn the_keys_of_a_shop_form_one_line() {
    let line = [stated('a', 'b', 2), stated('b', 'c', 4)];
    let ring = ring("a", &line, &[]);
    for (of, whole) in [('a', "a"), ('b', "ab"), ('c', "abc"), ('x', "x")] {
        let keys: Vec<PublicKey> = whole.chars().map(key).collect();
        assert_eq!(ring.line_of(&key(of)), keys, "{of}");
    }
}
