//! The time stamp of a seal through the binary: asked for, kept, checked. The authority
//! is `openssl ts` behind a small server; without openssl it is said and skipped.

use std::fs;

use crate::{
    run::{dryhold_at, only_run},
    sealing::record,
};

mod desk;

use desk::{Case, hex, http, served, text};
use invented_authority::{Authority, Key, Plan};

#[test]
fn a_seal_is_stamped_and_checked_without_a_network() {
    for key in [Key::Rsa, Key::P384] {
        let plan = Plan {
            intermediate: true,
            ..Plan::with(key)
        };
        let Some(case) = Case::new(plan) else { return };
        let root = text(&case.root);
        let none = case.verify(&[]).expect(0);
        assert!(
            none.out
                .contains("No time stamp: when it was sealed is only"),
            "{}",
            none.out
        );
        assert_eq!(
            case.verify(&["--json"]).json()["time_stamp"]["answer"],
            "absent"
        );
        let missing = case.verify(&["--timestamp-root", root]).expect(12);
        assert!(missing.out.contains("NO TIME STAMP"), "{}", missing.out);

        let seal = case.read("seal.json");
        let ran = case.stamp();
        assert!(
            ran.out.contains("said to be by Invented signer"),
            "{}",
            ran.out
        );
        assert_eq!(case.read("seal.json"), seal, "the seal is as it was");
        assert_eq!(case.read("stamped-seal.json"), seal);

        let unknown = case.verify(&[]).expect(0);
        for words in [
            "carries a time stamp of 20",
            "not checked: no certificate of",
        ] {
            assert!(unknown.out.contains(words), "{words} in {}", unknown.out);
        }
        assert!(
            !unknown.out.contains("Not covered by the seal"),
            "{}",
            unknown.out
        );
        let known = case.verify(&["--timestamp-root", root]).expect(0);
        for words in [
            "UNCHANGED since it was sealed",
            "The seal existed at 20",
            " UTC ± 2 s, said by Invented signer",
            "\"Invented root\" that you gave",
            "does not show that the clock of",
        ] {
            assert!(known.out.contains(words), "{words} in {}", known.out);
        }
        let json = case
            .verify(&["--timestamp-root", root, "--json"])
            .expect(0)
            .json();
        let stamp = &json["time_stamp"];
        assert_eq!(stamp["answer"], "checked");
        assert_eq!(stamp["accuracy_s"], 1.5);
        assert_eq!(stamp["vouched_for_by"], "Invented root");
        // a rehearsal played at once has rows of times that have not come yet
        let ahead = stamp["recorder_clock_ahead_s"].as_f64().expect("seconds");
        assert!(ahead > 600.0, "{ahead}");
        let warned = "THE CLOCK OF THE RECORDER WAS AHEAD by at least";
        assert!(known.out.contains(warned), "{}", known.out);
        // by a stamp that nobody vouches for it is not said for sure
        assert!(!unknown.out.contains(warned), "{}", unknown.out);
        let perhaps = "If that time is right, the clock of the recorder was ahead by";
        for said in [&unknown.out, &ran.out] {
            assert!(said.contains(perhaps), "{said}");
        }

        let several = [
            "verify",
            text(&case.run),
            text(&case.run),
            "--timestamp-root",
            root,
        ];
        let listed = case.elsewhere(&several).expect(0);
        assert_eq!(
            listed.out.matches("The seal existed at 20").count(),
            2,
            "{}",
            listed.out
        );

        let again = case.seal(&["--timestamp", "http://127.0.0.1:1/"]).expect(0);
        assert!(
            again.out.contains("has a time stamp already"),
            "{}",
            again.out
        );
    }
}

/// What openssl itself says of the two files, as FORMAT.md tells to ask.
#[test]
fn openssl_checks_the_stamp_without_this_program() {
    let Some(case) = Case::new(Plan::with(Key::P256)) else {
        return;
    };
    case.stamp();
    case.authority
        .write("seal", &case.read("stamped-seal.json"));
    case.authority.write("stamp", &case.read("seal.tsr"));
    let check = [
        "ts", "-verify", "-data", "seal", "-in", "stamp", "-CAfile", "root.pem",
    ];
    case.authority.openssl(&check);
    case.authority.write("seal", b"{}");
    case.authority
        .try_openssl(&check)
        .expect_err("another seal");
}

#[test]
fn the_certificates_to_check_with_are_a_file_or_a_folder() {
    let Some(case) = Case::new(Plan::with(Key::P256)) else {
        return;
    };
    case.stamp();
    let other = Authority::new(Plan::with(Key::P256)).expect("as above");
    let folder = case.at("authorities");
    fs::create_dir(&folder).expect("a folder");
    let empty = case.verify(&["--timestamp-root", text(&folder)]).expect(2);
    assert!(empty.complaint().contains("no file NAME.pem"), "{empty:?}");
    fs::write(folder.join("other.pem"), other.root()).expect("written");
    let ran = case.verify(&["--timestamp-root", text(&folder)]).expect(12);
    for words in [
        "UNCHANGED since it was sealed",
        "ITS TIME STAMP DOES NOT FIT",
        "no certificate that was given vouches for \"Invented signer\"",
    ] {
        assert!(ran.out.contains(words), "{words} in {}", ran.out);
    }
    fs::write(folder.join("right.pem"), case.authority.root()).expect("written");
    case.verify(&["--timestamp-root", text(&folder)]).expect(0);
    fs::write(folder.join("third.pem"), "no certificate").expect("written");
    let ran = case.verify(&["--timestamp-root", text(&folder)]).expect(2);
    assert!(ran.complaint().contains("third.pem"), "{ran:?}");
    let ran = case
        .verify(&["--timestamp-root", "/no/such/file"])
        .expect(2);
    assert!(ran.complaint().contains("/no/such/file"), "{ran:?}");
}

#[test]
fn a_sheet_made_anew_does_not_undo_the_stamp() {
    let Some(case) = Case::new(Plan::with(Key::P256)) else {
        return;
    };
    case.stamp();
    let (seal, stamped) = (case.read("seal.json"), case.read("stamped-seal.json"));
    let report = ["report", text(&case.run), "--target-micron", "400"];
    dryhold_at(&case.at("home"), report).expect(0);
    assert_ne!(case.read("seal.json"), seal);
    assert_eq!(case.read("stamped-seal.json"), stamped);
    let ran = case
        .verify(&["--timestamp-root", text(&case.root)])
        .expect(0);
    for words in ["The seal existed at", "sealed anew after the time stamp"] {
        assert!(ran.out.contains(words), "{words} in {}", ran.out);
    }
}

#[test]
fn a_request_is_carried_to_another_computer_and_the_answer_back() {
    let Some(case) = Case::new(Plan::with(Key::P256)) else {
        return;
    };
    let (question, answer) = (case.at("question.tsq"), case.at("answer.tsr"));
    let ran = case
        .seal(&["--timestamp-request", text(&question)])
        .expect(0);
    assert!(ran.out.contains("--timestamp-answer"), "{}", ran.out);
    let waiting = case.verify(&[]).expect(0);
    assert!(waiting.out.contains("No time stamp yet"), "{}", waiting.out);
    // meanwhile a sheet is made anew, which renews the seal
    let report = ["report", text(&case.run), "--target-micron", "400"];
    dryhold_at(&case.at("home"), report).expect(0);

    let asked = fs::read(&question).expect("the request");
    fs::write(&answer, case.authority.answer(&asked)).expect("written");
    let ran = case.seal(&["--timestamp-answer", text(&answer)]).expect(0);
    assert!(ran.out.contains("time stamp of 20"), "{}", ran.out);
    case.verify(&["--timestamp-root", text(&case.root)])
        .expect(0);

    // it is no stamp of another run
    let out = case.at("second");
    record(&case.at("home"), &out, &[]);
    let second = only_run(&out);
    let wrong = ["seal", text(&second), "--timestamp-answer", text(&answer)];
    let ran = case.elsewhere(&wrong).expect(1);
    assert!(
        ran.complaint().contains("made for something else"),
        "{ran:?}"
    );
    assert!(!second.join("seal.tsr").exists() && !second.join("stamped-seal.json").exists());
    let both = [
        "seal",
        text(&second),
        text(&case.run),
        "--timestamp-answer",
        "x",
    ];
    case.elsewhere(&both).expect(2);
    case.seal(&["--timestamp-answer", "/no/such/file"])
        .expect(0);
    let missing = ["seal", text(&second), "--timestamp-answer", "/no/such/file"];
    let ran = case.elsewhere(&missing).expect(1);
    assert!(ran.complaint().contains("/no/such/file"), "{ran:?}");
}

/// Whatever an authority or the network does, the seal is as it was.
#[test]
fn a_failed_request_is_told_and_harms_nothing() {
    let Some(case) = Case::new(Plan::with(Key::P256)) else {
        return;
    };
    let seal = case.read("seal.json");
    let failed = |answer: &(dyn Fn(&[u8]) -> Vec<u8> + Sync), words: &str| {
        let ran = served(answer, |url| case.seal(&["--timestamp", url])).expect(1);
        let said = ran.complaint();
        assert!(said.contains(words), "{words} in {said}");
        assert!(
            said.contains("it is sealed, but has no time stamp"),
            "{said}"
        );
        assert!(said.contains("Try again later: dryhold seal "), "{said}");
        assert_eq!(case.read("seal.json"), seal, "{words}");
        assert!(
            !case.has("seal.tsr") && !case.has("stamped-seal.json"),
            "{words}"
        );
    };
    failed(
        &|_| b"HTTP/1.1 503 Busy\r\nContent-Length: 0\r\n\r\n".to_vec(),
        "HTTP status 503",
    );
    failed(
        &|_| http(b"<html>Welcome</html>"),
        "no time stamp of RFC 3161",
    );
    failed(&|_| http(&[]), "no time stamp of RFC 3161");
    failed(&|_| http(&vec![0x30; 70_000]), "longer than any time stamp");
    failed(&|_| vec![0xff; 5000], "speaks no HTTP");
    failed(&|_| Vec::new(), "broke off");
    // an authority that does not take what was asked
    let refusal = [0x30, 5, 0x30, 3, 2, 1, 2];
    failed(&|_| http(&refusal), "it rejected the request");
    // a stamp of an earlier request, and one with a wrong signature
    let keep = |request: &[u8]| {
        let mut answer = case.authority.answer(request);
        if let Some(last) = answer.last_mut() {
            *last ^= 1;
        }
        http(&answer)
    };
    failed(&keep, "signature does not fit");
    case.authority.openssl(&[
        "ts",
        "-query",
        "-digest",
        &hex(&seal),
        "-sha256",
        "-cert",
        "-out",
        "q",
    ]);
    let replayed = case.authority.answer(&case.authority.read("q"));
    failed(&|_| http(&replayed), "not made for this request");

    let nobody = case.seal(&["--timestamp", "http://127.0.0.1:1/"]).expect(1);
    assert!(
        nobody.complaint().contains("cannot be reached"),
        "{nobody:?}"
    );
    let tls = case
        .seal(&["--timestamp", "https://stamps.invented/"])
        .expect(2);
    assert!(tls.complaint().contains("http:// address"), "{tls:?}");
    // and then it works
    case.stamp();
    case.verify(&["--timestamp-root", text(&case.root)])
        .expect(0);
}

#[test]
fn a_stamp_that_does_not_fit_is_12_and_left_as_it_is() {
    let Some(case) = Case::new(Plan::with(Key::P256)) else {
        return;
    };
    case.stamp();
    let stamp = case.read("seal.tsr");
    let file = |name: &str| case.run.join(name);
    let wrong = |words: &str| {
        let ran = case.verify(&[]).expect(12);
        assert!(
            ran.out.contains("ITS TIME STAMP DOES NOT FIT: "),
            "{}",
            ran.out
        );
        assert!(ran.out.contains(words), "{words} in {}", ran.out);
        let json = case.verify(&["--json"]).expect(12).json();
        assert_eq!(json["time_stamp"]["answer"], "does_not_fit");
        // of several, each has its line
        let listed = case
            .elsewhere(&["verify", text(&case.run), text(&case.run)])
            .expect(12);
        assert!(listed.out.contains(words), "{words} in {}", listed.out);
    };
    let mut other = stamp.clone();
    *other.last_mut().expect("bytes") ^= 1;
    fs::write(file("seal.tsr"), &other).expect("written");
    wrong("its signature does not fit its text");
    let ran = case.seal(&["--timestamp", "http://127.0.0.1:1/"]).expect(1);
    assert!(
        ran.complaint()
            .contains("move seal.tsr and stamped-seal.json out"),
        "{ran:?}"
    );
    assert_eq!(case.read("seal.tsr"), other, "left as it is");
    fs::write(file("seal.tsr"), "").expect("written");
    wrong("no time stamp of RFC 3161");
    fs::write(file("seal.tsr"), vec![0; 70_000]).expect("written");
    wrong("seal.tsr: ");
    fs::remove_file(file("seal.tsr")).expect("removed");
    std::os::unix::fs::symlink("/dev/zero", file("seal.tsr")).expect("a link");
    wrong("seal.tsr: it is a link");
    fs::remove_file(file("seal.tsr")).expect("removed");
    fs::write(file("seal.tsr"), &stamp).expect("written");
    case.verify(&[]).expect(0);

    let stamped = case.read("stamped-seal.json");
    fs::write(file("stamped-seal.json"), "{}").expect("written");
    wrong("stamped-seal.json is no seal as a key left it");
    // the seal of another run of the same key, with its own good stamp
    let out = case.at("second");
    record(&case.at("home"), &out, &[]);
    let second = only_run(&out);
    served(
        |request| http(&case.authority.answer(request)),
        |url| case.elsewhere(&["seal", text(&second), "--timestamp", url]),
    )
    .expect(0);
    for name in ["seal.tsr", "stamped-seal.json"] {
        fs::copy(second.join(name), file(name)).expect("copied");
    }
    wrong("stamped-seal.json, which was stamped, is not the seal of this record");
    // the seal itself is over these bytes while nothing was made anew
    fs::write(file("seal.tsr"), &stamp).expect("written");
    fs::remove_file(file("stamped-seal.json")).expect("removed");
    case.verify(&["--timestamp-root", text(&case.root)])
        .expect(0);
    fs::write(file("stamped-seal.json"), stamped).expect("written");
    // a seal that was taken away leaves its stamp behind
    fs::remove_file(file("seal.json")).expect("removed");
    wrong("seal.json, which it was made for, is missing");
}

#[test]
fn only_a_record_that_is_as_it_was_sealed_is_stamped() {
    let Some(case) = Case::new(Plan::with(Key::P256)) else {
        return;
    };
    let out = case.at("bare");
    record(&case.at("home"), &out, &["--no-seal"]);
    let bare = only_run(&out);
    // one that has no seal gets it first
    let sealed = served(
        |request| http(&case.authority.answer(request)),
        |url| dryhold_at(&case.at("home"), ["seal", text(&bare), "--timestamp", url]),
    )
    .expect(0);
    for words in ["sealed, by the key", "time stamp of 20"] {
        assert!(sealed.out.contains(words), "{words} in {}", sealed.out);
    }
    let both = ["verify", text(&bare), "--timestamp-root", text(&case.root)];
    let ran = case.elsewhere(&both).expect(0);
    assert!(
        !ran.out.contains("sealed anew after"),
        "the sheet is covered: {}",
        ran.out
    );

    fs::write(case.run.join("job.toml"), "[job]\nid = \"x\"\n").expect("written");
    let ran = case.seal(&["--timestamp", "http://127.0.0.1:1/"]).expect(1);
    assert!(ran.complaint().contains("job.toml was changed"), "{ran:?}");
    assert!(!case.has("stamped-seal.json"));
}
