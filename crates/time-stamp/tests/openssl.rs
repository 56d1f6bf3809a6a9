//! Stamps by another implementation, `openssl ts`, which has no part in this one: the
//! authority is invented and made anew by each test. Skipped, and said so, without it.

use std::time::{SystemTime, UNIX_EPOCH};

use invented_authority::{Authority, Key, Plan};
use sha2::{Digest, Sha256};
use time_stamp::{Refusal, Request, Token, Trusted};

/// What is stamped.
fn digest() -> [u8; 32] {
    Sha256::digest(b"invented: a sealed record").into()
}

fn request() -> Vec<u8> {
    Request::new(digest(), Some(0xfeed_0000_0000_0001))
        .to_der()
        .expect("a request")
}

fn trusting(pem: &[u8]) -> Trusted {
    let mut trusted = Trusted::none();
    trusted.add(pem).expect("a certificate");
    trusted
}

/// Checked in full; gives the time, the authority and who vouches for it.
fn check(answer: &[u8], trusted: &Trusted) -> Result<(String, String), Refusal> {
    let token = Token::read(answer)?;
    token.answers(0xfeed_0000_0000_0001)?;
    let signed = token.signed_over(&digest())?;
    let now = SystemTime::now().duration_since(UNIX_EPOCH).expect("now");
    let off = signed.time().timestamp() - i64::try_from(now.as_secs()).expect("now");
    assert!(off.abs() < 600, "made now: {}", signed.time());
    assert_eq!(signed.accuracy().map(|a| a.num_milliseconds()), Some(1_500));
    let root = signed.vouched_for(trusted)?;
    Ok((signed.authority(), root))
}

#[test]
fn every_kind_of_key_and_digest_is_understood() {
    for key in [Key::Rsa, Key::P256, Key::P384] {
        for digest in ["sha256", "sha384", "sha512"] {
            let plan = Plan {
                digest,
                named_by: digest,
                ..Plan::with(key)
            };
            let Some(authority) = Authority::new(plan) else {
                return;
            };
            let answer = authority.answer(&request());
            let found = check(&answer, &trusting(&authority.root()));
            let names = ("Invented signer".to_owned(), "Invented root".to_owned());
            assert_eq!(found, Ok(names), "{key:?} {digest}");
        }
    }
}

#[test]
fn openssl_reads_a_request_and_finds_in_it_what_was_asked() {
    let Some(authority) = Authority::new(Plan::with(Key::P256)) else {
        return;
    };
    authority.write("ours.tsq", &request());
    let text = authority
        .try_openssl(&["ts", "-query", "-in", "ours.tsq", "-text"])
        .expect("it is read");
    for words in [
        "Version: 1",
        "Hash Algorithm: sha256",
        "Nonce: 0xFEED000000000001",
        "Certificate required: yes",
        "Policy OID: unspecified",
    ] {
        assert!(text.contains(words), "{words} in {text}");
    }
    let hex: String = digest().iter().map(|b| format!("{b:02x}")).collect();
    let dump: String = text
        .lines()
        .filter_map(|line| line.trim().split_once(" - "))
        .flat_map(|(_, bytes)| bytes.chars().take(48))
        .filter(char::is_ascii_hexdigit)
        .collect();
    assert_eq!(dump, hex, "{text}");
}

#[test]
fn an_authority_between_is_found_in_the_stamp() {
    let plan = Plan {
        intermediate: true,
        ..Plan::with(Key::P256)
    };
    let Some(authority) = Authority::new(plan) else {
        return;
    };
    let answer = authority.answer(&request());
    let signer = "Invented signer".to_owned();
    for (trusted, name) in [
        ("root.pem", "Invented root"),
        ("between.pem", "Invented between"),
        ("signer.pem", "Invented signer"),
    ] {
        let found = check(&answer, &trusting(&authority.read(trusted)));
        assert_eq!(found, Ok((signer.clone(), name.to_owned())), "{trusted}");
    }
    // without the one between no chain leads to the root
    take_info_out(&authority);
    let alone = resigned(&authority, &[]);
    let found = check(&alone, &trusting(&authority.root()));
    let name = "Invented signer".to_owned();
    assert_eq!(found, Err(Refusal::NotTrusted { name }));
}

/// Writes the time that `answer.tsr` states into the file `info`, without its signature.
fn take_info_out(authority: &Authority) {
    authority.openssl(&[
        "ts",
        "-reply",
        "-in",
        "answer.tsr",
        "-token_out",
        "-out",
        "token",
    ]);
    authority.openssl(&[
        "cms",
        "-verify",
        "-noverify",
        "-inform",
        "DER",
        "-in",
        "token",
        "-out",
        "info",
    ]);
}

/// Signs the time in the file `info` once more by hand, with these certificates.
fn resigned(authority: &Authority, more: &[&str]) -> Vec<u8> {
    let sign = [
        "cms",
        "-sign",
        "-binary",
        "-nodetach",
        "-cades",
        "-in",
        "info",
        "-signer",
        "signer.pem",
        "-inkey",
        "signer.key",
        "-md",
        "sha256",
        "-outform",
        "DER",
        "-out",
        "again",
        "-econtent_type",
        "1.2.840.113549.1.9.16.1.4",
    ];
    authority.openssl(&[&sign[..], more].concat());
    authority.read("again")
}

/// The time of a stamp by `from`, signed by `by` instead.
fn signed_by_another(from: &Authority, by: &Authority) -> Vec<u8> {
    from.answer(&request());
    take_info_out(from);
    by.write("info", &from.read("info"));
    resigned(by, &[])
}

#[test]
fn a_certificate_that_is_not_for_time_stamps_only_is_refused() {
    let Some(good) = Authority::new(Plan::with(Key::P256)) else {
        return;
    };
    // signed by hand like this, a good one still is good
    let by_hand = signed_by_another(&good, &good);
    assert!(check(&by_hand, &trusting(&good.root())).is_ok());
    for purpose in [
        "",
        "timeStamping",
        "critical,timeStamping,clientAuth",
        "critical,codeSigning",
    ] {
        let plan = Plan {
            purpose,
            ..Plan::with(Key::P256)
        };
        let bad = Authority::new(plan).expect("as above");
        let stamp = signed_by_another(&good, &bad);
        let name = "Invented signer".to_owned();
        let found = check(&stamp, &trusting(&bad.root()));
        assert_eq!(found, Err(Refusal::NotForTimeStamps { name }), "{purpose}");
    }
}

#[test]
fn a_certificate_has_to_be_valid_at_the_time_of_the_stamp() {
    let Some(good) = Authority::new(Plan::with(Key::P256)) else {
        return;
    };
    for valid in [
        ("20200101000000Z", "20210101000000Z"),
        ("20990101000000Z", "20991231000000Z"),
    ] {
        let plan = Plan {
            valid: Some(valid),
            ..Plan::with(Key::P256)
        };
        let other = Authority::new(plan).expect("as above");
        let stamp = signed_by_another(&good, &other);
        let found = check(&stamp, &trusting(&other.root()));
        let Err(Refusal::NotValidThen { name, from, .. }) = &found else {
            panic!("{valid:?}: {found:?}");
        };
        assert_eq!(name, "Invented signer");
        assert_eq!(from.format("%Y%m%d%H%M%SZ").to_string(), valid.0);
    }
}

#[test]
fn another_root_of_the_same_name_vouches_for_nothing() {
    let Some(authority) = Authority::new(Plan::with(Key::Rsa)) else {
        return;
    };
    let other = Authority::new(Plan::with(Key::Rsa)).expect("as above");
    let answer = authority.answer(&request());
    let name = "Invented signer".to_owned();
    let not_trusted = Err(Refusal::NotTrusted { name });
    assert_eq!(check(&answer, &trusting(&other.root())), not_trusted);
    assert_eq!(check(&answer, &Trusted::none()), not_trusted);
    // one that is beside the right one does no harm
    let both = [other.root(), authority.root()].concat();
    assert!(check(&answer, &trusting(&both)).is_ok());
}

#[test]
fn an_authority_that_may_not_issue_vouches_for_nothing() {
    for between_may in [
        "basicConstraints=critical,CA:false\nkeyUsage=critical,digitalSignature",
        "keyUsage=critical,keyCertSign",
        "basicConstraints=critical,CA:true\nkeyUsage=critical,digitalSignature",
        "basicConstraints=critical,CA:true\nextendedKeyUsage=serverAuth",
    ] {
        let plan = Plan {
            intermediate: true,
            between_may,
            ..Plan::with(Key::P256)
        };
        let Some(authority) = Authority::new(plan) else {
            return;
        };
        let answer = authority.answer(&request());
        let found = check(&answer, &trusting(&authority.root()));
        let name = "Invented between".to_owned();
        assert_eq!(found, Err(Refusal::MayNotIssue { name }), "{between_may}");
    }
    // a root that allows no other authority below it
    let plan = Plan {
        intermediate: true,
        root_may: "basicConstraints=critical,CA:true,pathlen:0\nkeyUsage=critical,keyCertSign",
        ..Plan::with(Key::P256)
    };
    let authority = Authority::new(plan).expect("as above");
    let answer = authority.answer(&request());
    let found = check(&answer, &trusting(&authority.root()));
    let name = "Invented root".to_owned();
    assert_eq!(found, Err(Refusal::MayNotIssue { name }));
    assert!(check(&answer, &trusting(&authority.read("between.pem"))).is_ok());
    let plan = Plan {
        intermediate: true,
        between_may: "basicConstraints=critical,CA:true\nnameConstraints=critical,permitted;email:.invented",
        ..Plan::with(Key::P256)
    };
    let authority = Authority::new(plan).expect("as above");
    let found = check(&authority.answer(&request()), &trusting(&authority.root()));
    let Err(Refusal::UnknownRule { name, rule }) = found else {
        panic!("{found:?}");
    };
    assert_eq!((&*name, &*rule), ("Invented between", "2.5.29.30"));
}

#[test]
fn what_was_asked_has_to_be_what_is_answered() {
    let Some(authority) = Authority::new(Plan::with(Key::P256)) else {
        return;
    };
    let answer = authority.answer(&request());
    let token = Token::read(&answer).expect("read");
    assert_eq!(token.answers(1), Err(Refusal::OtherNonce));
    let other = token.signed_over(&[7; 32]).map(|_| ());
    assert_eq!(other, Err(Refusal::OtherDigest));
    // the digest of the same bytes, made in another way
    authority.write("data", b"invented: a sealed record");
    for other in ["-sha1", "-sha512"] {
        authority.openssl(&[
            "ts",
            "-query",
            "-data",
            "data",
            other,
            "-cert",
            "-out",
            "other.tsq",
        ]);
        let answer = authority.answer(&authority.read("other.tsq"));
        let token = Token::read(&answer).expect("read");
        assert_eq!(token.answers(1), Err(Refusal::OtherNonce));
        let found = token.signed_over(&digest()).map(|_| ());
        assert_eq!(found, Err(Refusal::NotSha256), "{other}");
    }
    authority.openssl(&[
        "ts",
        "-query",
        "-data",
        "data",
        "-sha256",
        "-no_nonce",
        "-cert",
        "-out",
        "q",
    ]);
    let token = Token::read(&authority.answer(&authority.read("q"))).expect("read");
    assert_eq!(token.answers(0), Err(Refusal::OtherNonce));
    assert!(token.signed_over(&digest()).is_ok());
    // without its certificate
    authority.openssl(&["ts", "-query", "-data", "data", "-sha256", "-out", "q"]);
    let token = Token::read(&authority.answer(&authority.read("q"))).expect("read");
    let found = token.signed_over(&digest()).map(|_| ());
    assert_eq!(found, Err(Refusal::NoCertificate));
}

#[test]
fn a_refusal_by_the_authority_is_told_in_its_words() {
    let Some(authority) = Authority::new(Plan::with(Key::P256)) else {
        return;
    };
    authority.write("data", b"anything");
    // a digest that this authority does not take
    authority.openssl(&["ts", "-query", "-data", "data", "-sha384", "-out", "q"]);
    let refused = Token::read(&authority.answer(&authority.read("q"))).map(|_| ());
    let Err(Refusal::NotGranted { why }) = refused else {
        panic!("{refused:?}");
    };
    assert!(why.contains("rejected the request"), "{why}");
    assert!(
        why.contains("Message digest algorithm is not supported"),
        "{why}"
    );
}

#[test]
fn the_older_way_to_name_a_certificate_is_understood() {
    let plan = Plan {
        named_by: "sha1",
        ..Plan::with(Key::Rsa)
    };
    let Some(authority) = Authority::new(plan) else {
        return;
    };
    let answer = authority.answer(&request());
    assert!(check(&answer, &trusting(&authority.root())).is_ok());
}

#[test]
fn a_key_that_is_too_short_is_refused() {
    let Some(authority) = Authority::new(Plan::with(Key::ShortRsa)) else {
        return;
    };
    let answer = authority.answer(&request());
    let what = "an RSA key of 1024 bits".to_owned();
    let found = check(&answer, &trusting(&authority.root()));
    assert_eq!(found, Err(Refusal::NotKnown { what }));
}

/// Makes the files of `tests/vectors` anew. They stay as they are: this is how they
/// came to be.
#[test]
#[ignore = "writes into the tree"]
fn make_vectors() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/vectors");
    for (name, key, digest, intermediate) in [
        ("rsa", Key::Rsa, "sha512", false),
        ("p256-between", Key::P256, "sha256", true),
        ("p384", Key::P384, "sha384", false),
    ] {
        let plan = Plan {
            digest,
            intermediate,
            ..Plan::with(key)
        };
        let authority = Authority::new(plan).expect("openssl");
        std::fs::create_dir_all(&folder).expect("a folder");
        let answer = authority.answer(&request());
        std::fs::write(folder.join(format!("{name}.tsr")), answer).expect("written");
        let root = authority.root();
        std::fs::write(folder.join(format!("{name}.pem")), root).expect("written");
    }
}
