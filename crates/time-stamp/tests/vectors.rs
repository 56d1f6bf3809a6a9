//! Stamps that `openssl ts` (3.0) once made, and damage done to them. They lie in
//! `tests/vectors` and need no openssl; the authority is invented, its private keys
//! were thrown away (`make_vectors` in `tests/openssl` shows how they came to be).

use std::{fs, path::Path};

use proptest::prelude::*;
use sha2::{Digest, Sha256};
use time_stamp::{LONGEST, NotACertificate, Refusal, Signed, Token, Trusted};

const NAMES: [&str; 3] = ["rsa", "p256-between", "p384"];

fn read(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/vectors");
    fs::read(folder.join(name)).expect("a committed file")
}

fn stamp(name: &str) -> (Vec<u8>, Trusted) {
    let mut trusted = Trusted::none();
    trusted
        .add(&read(&format!("{name}.pem")))
        .expect("a certificate");
    (read(&format!("{name}.tsr")), trusted)
}

fn check(answer: &[u8], trusted: &Trusted) -> Result<(Signed, String), Refusal> {
    let digest: [u8; 32] = Sha256::digest(b"invented: a sealed record").into();
    let token = Token::read(answer)?;
    token.answers(0xfeed_0000_0000_0001)?;
    let signed = token.signed_over(&digest)?;
    let root = signed.vouched_for(trusted)?;
    Ok((signed, root))
}

#[test]
fn a_stamp_of_another_implementation_is_good_for_ever() {
    for name in NAMES {
        let (answer, trusted) = stamp(name);
        let (signed, root) = check(&answer, &trusted).expect(name);
        assert_eq!(root, "Invented root");
        assert_eq!(signed.authority(), "Invented signer");
        let day = signed.time().format("%Y-%m-%d").to_string();
        assert_eq!(day, "2026-11-30", "{name}");
        assert_eq!(signed.accuracy().map(|a| a.num_milliseconds()), Some(1_500));
    }
}

#[test]
fn the_stamp_alone_is_read_like_the_whole_answer() {
    for name in NAMES {
        let (answer, trusted) = stamp(name);
        // behind SEQUENCE (4 bytes) and the status "granted" (30 03 02 01 00)
        assert_eq!(&answer[4..9], [0x30, 3, 2, 1, 0]);
        assert!(check(&answer[9..], &trusted).is_ok(), "{name}");
    }
}

/// Whatever is changed, nobody is told another time or another authority; and nothing
/// that was signed can be changed at all.
#[test]
fn every_changed_byte_is_found_or_changes_nothing() {
    for name in NAMES {
        let (answer, trusted) = stamp(name);
        let (good, _) = check(&answer, &trusted).expect(name);
        let mut passed = 0;
        for place in 0..answer.len() {
            for change in [0x01, 0x80, 0xff] {
                let mut other = answer.clone();
                other[place] ^= change;
                if let Ok((signed, root)) = check(&other, &trusted) {
                    passed += 1;
                    assert_eq!(signed.time(), good.time(), "{name}, byte {place}");
                    assert_eq!(signed.accuracy(), good.accuracy(), "{name}, byte {place}");
                    assert_eq!(signed.authority(), good.authority(), "{name}, byte {place}");
                    assert_eq!(root, "Invented root", "{name}, byte {place}");
                }
            }
        }
        println!(
            "{name}: {passed} of {} changes say nothing else",
            3 * answer.len()
        );
        assert!(passed * 20 < 3 * answer.len(), "{name}: {passed}");
    }
}

#[test]
fn the_time_cannot_be_changed() {
    for name in NAMES {
        let (answer, trusted) = stamp(name);
        let text = b"20261130";
        let places = answer.windows(text.len()).enumerate();
        let places: Vec<usize> = places.filter(|(_, w)| w == text).map(|(i, _)| i).collect();
        assert!(!places.is_empty(), "{name}");
        for place in places {
            let mut other = answer.clone();
            other[place + 3] = b'5';
            let found = check(&other, &trusted).map(|_| ());
            assert_eq!(found, Err(Refusal::WrongSignature), "{name}");
        }
    }
}

#[test]
fn a_stamp_cut_short_or_made_longer_is_none() {
    let (answer, trusted) = stamp("rsa");
    for length in 0..answer.len() {
        assert!(check(&answer[..length], &trusted).is_err(), "{length}");
    }
    let longer = [&answer[..], &[0]].concat();
    assert!(matches!(
        check(&longer, &trusted),
        Err(Refusal::NotATimeStamp { .. })
    ));
    let bytes = LONGEST + 1;
    let found = Token::read(&vec![0x30; bytes]).map(|_| ());
    assert_eq!(found, Err(Refusal::TooLong { bytes }));
}

#[test]
fn an_authority_that_refuses_is_told() {
    // TimeStampResp by hand: status 2 (rejection), a text, failure badAlg (bit 0)
    let refused = [
        0x30, 0x12, 0x30, 0x10, 2, 1, 2, 0x30, 7, 0x0c, 5, b's', b'o', b'r', b'r', b'y', 3, 2, 7,
        0x80,
    ];
    let found = Token::read(&refused).map(|_| ());
    let why = "it rejected the request, \"sorry\"".to_owned();
    assert_eq!(found, Err(Refusal::NotGranted { why }));
    let nothing = Token::read(&[0x30, 5, 0x30, 3, 2, 1, 0]).map(|_| ());
    let why = "it granted a stamp and sent none".to_owned();
    assert_eq!(nothing, Err(Refusal::NotGranted { why }));
}

#[test]
fn certificates_are_read_as_text_and_as_bytes() {
    let pem = read("rsa.pem");
    let both = [
        &b"Invented root, for tests\r\n"[..],
        &pem,
        b"\n",
        &read("p384.pem"),
    ]
    .concat();
    let windows = String::from_utf8(both).expect("text").replace('\n', "\r\n");
    let mut trusted = Trusted::none();
    trusted.add(windows.as_bytes()).expect("two");
    for name in ["rsa", "p384"] {
        assert!(check(&stamp(name).0, &trusted).is_ok(), "{name}");
    }
    let der = der_of(&pem);
    let mut trusted = Trusted::none();
    trusted.add(&der).expect("one");
    assert!(check(&stamp("rsa").0, &trusted).is_ok());

    let cut = &pem[..pem.len() - 30];
    let other = b"-----BEGIN PUBLIC KEY-----\nAAAA\n-----END PUBLIC KEY-----\n";
    for wrong in [&b""[..], b"text", cut, other, &der[1..], &[0xff, 0xfe]] {
        let mut trusted = Trusted::none();
        assert_eq!(trusted.add(wrong), Err(NotACertificate));
        assert!(trusted.is_empty());
    }
}

fn der_of(pem: &[u8]) -> Vec<u8> {
    use der::Decode;
    let (label, der) = der::pem::decode_vec(pem).expect("PEM");
    assert_eq!(label, "CERTIFICATE");
    der::AnyRef::from_der(&der).expect("DER");
    der
}

proptest! {
    #[test]
    fn no_bytes_stop_it(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        prop_assert!(Token::read(&bytes).is_err());
        prop_assert!(Trusted::none().add(&bytes).is_err());
    }

    #[test]
    fn no_mixture_of_stamps_stops_it(
        one in 0usize..3, other in 0usize..3, cut in any::<prop::sample::Index>(),
        on in any::<prop::sample::Index>(), junk in proptest::collection::vec(any::<u8>(), 0..8),
    ) {
        let (first, trusted) = stamp(NAMES[one]);
        let (second, _) = stamp(NAMES[other]);
        let (cut, on) = (cut.index(first.len()), on.index(second.len()));
        let mixed = [&first[..cut], &junk, &second[on..]].concat();
        let whole = mixed == first;
        prop_assert!(check(&mixed, &trusted).is_err() || whole || one == other);
    }
}
