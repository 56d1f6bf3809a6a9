//! A time stamp of an authority, and a certificate to check it with.
//!
//! Input: the bytes of the answer. The same bytes are tried as a certificate.
//!
//! Promises: nobody can make a stamp of an authority that is trusted: what is believed
//! says the time of one of the three that are known (`crates/time-stamp/tests/vectors`),
//! whatever else is changed in it. Words are one line and not too long.

use std::sync::LazyLock;

use time_stamp::{Refusal, Signed, Token, Trusted};

/// The SHA-256 of "invented: a sealed record", which the known stamps are over.
const DIGEST: [u8; 32] = [
    0xe9, 0x06, 0xd2, 0x33, 0x77, 0xbe, 0xae, 0xa6, 0x40, 0x97, 0x12, 0xa0, 0xba, 0x80, 0xf3, 0xe2,
    0xf9, 0x93, 0x38, 0xd8, 0x48, 0x2a, 0x47, 0x36, 0x7e, 0x4c, 0xa5, 0xdf, 0x48, 0x96, 0xa6, 0xa6,
];

macro_rules! vector {
    ($name:literal) => {
        include_bytes!(concat!("../../../crates/time-stamp/tests/vectors/", $name))
    };
}

const ROOTS: [&[u8]; 3] = [
    vector!("rsa.pem"),
    vector!("p256-between.pem"),
    vector!("p384.pem"),
];

const STAMPS: [&[u8]; 3] = [
    vector!("rsa.tsr"),
    vector!("p256-between.tsr"),
    vector!("p384.tsr"),
];

struct Known {
    trusted: Trusted,
    stamps: Vec<Signed>,
}

static KNOWN: LazyLock<Known> = LazyLock::new(|| {
    let mut trusted = Trusted::none();
    let read = ROOTS.iter().all(|root| trusted.add(root).is_ok());
    assert!(read, "a committed certificate");
    let stamps = STAMPS.iter().filter_map(|s| believed(s, &trusted).ok());
    let stamps: Vec<Signed> = stamps.collect();
    assert_eq!(stamps.len(), STAMPS.len(), "a committed stamp");
    Known { trusted, stamps }
});

fn believed(bytes: &[u8], trusted: &Trusted) -> Result<Signed, Refusal> {
    let signed = Token::read(bytes)?.signed_over(&DIGEST)?;
    signed.vouched_for(trusted)?;
    Ok(signed)
}

/// Checks one input.
pub fn check(data: &[u8]) {
    let known = &*KNOWN;
    match believed(data, &known.trusted) {
        Ok(signed) => {
            let said = (signed.time(), signed.accuracy(), signed.authority());
            let is_known = |s: &Signed| (s.time(), s.accuracy(), s.authority()) == said;
            assert!(
                known.stamps.iter().any(is_known),
                "a stamp was made: {said:?}"
            );
        }
        Err(refusal) => {
            let words = refusal.to_string();
            assert!(!words.contains(char::is_control), "{words:?}");
            assert!(words.chars().count() < 500, "{words:?}");
        }
    }
    if let Err(error) = Trusted::none().add(data) {
        assert!(!error.to_string().contains(char::is_control));
    }
}
