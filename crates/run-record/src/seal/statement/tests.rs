use chrono::TimeZone;

use super::*;

fn seal(key: &SealKey) -> Seal {
    let digest = |c: &str| FileDigest {
        bytes: 3,
        sha256: c.repeat(64),
    };
    let link = Link::from_text(b"0123456789abcdef").unwrap();
    Seal {
        software: "dryhold \"x\" \\ é".into(),
        sealed_utc: Utc.with_ymd_and_hms(2026, 3, 14, 9, 58, 12).unwrap(),
        later: true,
        products_utc: None,
        record_sha256: "e".repeat(64),
        register: None,
        key: key.public(),
        files: vec![
            SealedFile {
                name: "job.toml".into(),
                kind: FileKind::Record,
                digest: digest("a"),
            },
            SealedFile {
                name: "Foto \"1\".jpg".into(),
                kind: FileKind::Attached,
                digest: digest("b"),
            },
        ],
        traces: vec![SealedTrace {
            name: "trace.csv".into(),
            lines: 5,
            rows: 5,
            last_line: 5,
            last_utc: Some("2026-03-14T09:57:12.000Z".into()),
            seed: link,
            last_link: link,
            every: 2,
            links: "a1b2c3d4e5f6".into(),
        }],
    }
}

fn key() -> SealKey {
    let folder = tempfile::tempdir().unwrap();
    SealKey::load_or_make(&folder.path().join("k")).unwrap().0
}

fn is_signed(bytes: &[u8]) -> bool {
    matches!(open(bytes), Opened::Signed(_))
}

#[test]
fn a_seal_comes_back() {
    let key = key();
    let wanted = seal(&key);
    let bytes = wanted.to_bytes(&key).unwrap();
    let Opened::Signed(found) = open(&bytes) else {
        panic!("{}", String::from_utf8_lossy(&bytes));
    };
    assert_eq!(*found, wanted);
    // and it is JSON for everybody
    let value: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
    assert_eq!(value["schema"], "dryhold.seal/1");
    assert_eq!(value["signature"].as_str().unwrap().len(), 128);
    let trace = &found.traces[0];
    assert_eq!(trace.kept(1), None);
    assert_eq!(trace.kept(2), Some(b"a1b2c3".as_slice()));
    assert_eq!(trace.kept(4), Some(b"d4e5f6".as_slice()));
    assert_eq!(trace.kept(5), Some(b"012345".as_slice()));
    assert_eq!(trace.kept(6), None);
}

#[test]
fn no_byte_of_a_seal_may_change() {
    let key = key();
    let bytes = seal(&key).to_bytes(&key).unwrap();
    for at in 0..bytes.len() {
        for flip in [0x01, 0x20, 0x80] {
            let mut edited = bytes.clone();
            edited[at] ^= flip;
            assert!(!is_signed(&edited), "byte {at} ^ {flip:#x}");
        }
        let mut shorter = bytes.clone();
        shorter.remove(at);
        assert!(!is_signed(&shorter), "byte {at} removed");
        let mut longer = bytes.clone();
        longer.insert(at, b' ');
        assert!(!is_signed(&longer), "a blank at {at}");
    }
    for more in ["\n", " ", "x"] {
        assert!(!is_signed(&[&bytes, more.as_bytes()].concat()), "{more:?}");
    }
}

#[test]
fn a_seal_of_a_later_version_is_not_called_changed() {
    let key = key();
    let text = String::from_utf8(seal(&key).to_bytes(&key).unwrap()).unwrap();
    let (body, _) = text.split_once("  \"signature\"").unwrap();
    let signed = body.replace("dryhold.seal/1", "dryhold.seal/2");
    let signature = hex(&key.sign(&[DOMAIN, signed.as_bytes()].concat()));
    let later = format!("{signed}  \"signature\": \"{signature}\"\n}}\n");
    let Opened::Newer { schema, key: by } = open(later.as_bytes()) else {
        panic!("{later}");
    };
    assert_eq!((schema.as_str(), by), ("dryhold.seal/2", key.public()));
}

#[test]
fn a_signed_seal_may_still_not_name_files_elsewhere() {
    let key = key();
    for name in ["../job.toml", "/etc/passwd", "a/b", "..", "c:x", ""] {
        let mut hostile = seal(&key);
        hostile.files[1].name = name.into();
        let bytes = hostile.to_bytes(&key).unwrap();
        assert!(matches!(open(&bytes), Opened::Broken { .. }), "{name}");
    }
    // nor stand in a register under a link that is not its own
    let mut hostile = seal(&key);
    hostile.register = Some(RegisterEntry {
        series: "0".repeat(16),
        number: 1,
        run: "x".into(),
        before: "0".repeat(64),
        link: "0".repeat(64),
    });
    assert!(!is_signed(&hostile.to_bytes(&key).unwrap()));
    let mut hostile = seal(&key);
    hostile.traces[0].every = 0;
    assert!(!is_signed(&hostile.to_bytes(&key).unwrap()));
}

#[test]
fn whatever_bytes_come_are_refused_without_harm() {
    for bytes in [
        &b""[..],
        b"{}",
        b"\"\n}\n",
        &[b'f'; 400],
        b"{\n  \"signature\": \"\"\n}\n",
    ] {
        assert!(matches!(open(bytes), Opened::Broken { .. }));
    }
}
