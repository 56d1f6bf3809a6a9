//! The same page over TLS: a client that trusts its certificate and no other, and those
//! who mean no good.

use super::{
    hostile::{MANY, is_delayed_by_nobody, lets_go, makes_room, of_many_addresses, serves_through},
    *,
};
use std::{
    net::Ipv4Addr,
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicUsize, Ordering},
    },
    time::SystemTime,
};

use rustls::{
    ClientConfig, ClientConnection, RootCertStore, StreamOwned, SupportedProtocolVersion,
    crypto::ring,
    pki_types::{CertificateDer, ServerName, pem::PemObject},
    version::{TLS12, TLS13},
};

use crate::connection::KEY_WITHIN;

fn certificate() -> Certificate {
    Certificate::made_for(&Reach::Loopback.names(), None, SystemTime::now()).expect("one")
}

fn encrypted(marks: bool) -> Served {
    served_with(marks, Some(certificate()))
}

type Encrypted = StreamOwned<ClientConnection, Socket>;

/// A client that trusts this certificate; its handshake comes with its first words.
pub(super) fn client(socket: Socket, trusted: &Certificate) -> Encrypted {
    client_of(socket, trusted, &[&TLS13, &TLS12])
}

fn client_of(
    socket: Socket,
    trusted: &Certificate,
    versions: &[&'static SupportedProtocolVersion],
) -> Encrypted {
    // as browsers do; else each step waits for the other end's acknowledgement
    socket.set_nodelay(true).expect("at once");
    let der = CertificateDer::from_pem_slice(trusted.to_text().as_bytes()).expect("one");
    let mut roots = RootCertStore::empty();
    roots.add(der).expect("an anchor");
    let config = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_protocol_versions(versions)
        .expect("versions")
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = ServerName::from(std::net::IpAddr::from(Ipv4Addr::LOCALHOST));
    let client = ClientConnection::new(Arc::new(config), name).expect("a client");
    StreamOwned::new(client, socket)
}

#[test]
fn the_page_comes_and_its_cookie_never_travels_in_the_clear() {
    let served = encrypted(true);
    let address = served.page.addresses(Grade::View).remove(0);
    assert!(address.starts_with("https://127.0.0.1:"), "{address}");
    let certificate = served.certificate.as_ref().expect("encrypted");
    assert_eq!(served.page.fingerprint(), Some(&*certificate.fingerprint()));
    let (head, body) = served.ask(&format!("GET /?key={}", served.key(Grade::View)), "", "");
    assert_status(&head, 200);
    assert!(body.contains("<canvas"));
    let cookie = head.lines().find(|l| l.starts_with("set-cookie"));
    let cookie = cookie.expect("a cookie");
    assert!(cookie.ends_with("; secure"), "{cookie}");
    for hard in HARD {
        assert!(head.contains(hard), "no {hard} in {head}");
    }
    assert_status(&served.ask("GET /", "", "").0, 401);
    // the page's own origin is https, and http is another site
    let cookie = served.cookie(Grade::Mark);
    assert_status(&served.post(&cookie, "{\"stamp\":\"s\"}"), 202);
    assert_eq!(
        served.asked.recv().map(|(what, _)| what),
        Ok(Asked::Stamp('s'))
    );
    let plain = served.origin().replace("https", "http");
    let headers = format!("{cookie}{plain}Content-Type: application/json\r\n");
    assert_status(
        &served.ask("POST /act", &headers, "{\"stamp\":\"s\"}").0,
        403,
    );
}

#[test]
fn both_versions_of_tls_are_spoken_and_another_certificate_is_not_believed() {
    let served = encrypted(false);
    let trusted = served.certificate.clone().expect("encrypted");
    let says = |certificate: &Certificate, version| {
        let mut line = client_of(served.socket(), certificate, &[version]);
        let key = served.key(Grade::View);
        let port = served.page.port();
        write!(
            line,
            "GET /?key={key} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n"
        )?;
        let mut first = [0; 12];
        line.read_exact(&mut first)?;
        Ok::<_, std::io::Error>((first, line.conn.protocol_version()))
    };
    for version in [&TLS12, &TLS13] {
        let (first, spoken) = says(&trusted, version).expect("an answer");
        assert_eq!(&first, b"HTTP/1.1 200");
        assert_eq!(spoken, Some(version.version));
    }
    let refused = says(&certificate(), &TLS13).expect_err("another certificate");
    assert!(refused.to_string().contains("certificate"), "{refused}");
}

#[test]
fn a_plain_request_is_told_that_the_page_is_encrypted() {
    let served = encrypted(false);
    let mut socket = served.socket();
    let key = served.key(Grade::View);
    write!(
        socket,
        "GET /?key={key} HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    )
    .expect("sent");
    let mut told = String::new();
    let begun = Instant::now();
    socket
        .read_to_string(&mut told)
        .expect("an answer, and closed");
    assert!(
        told.starts_with("HTTP/1.1 400 ") && told.contains("https://"),
        "{told}"
    );
    assert!(!told.contains("canvas") && !told.contains(key), "{told}");
    assert!(begun.elapsed() < KEY_WITHIN, "{:?}", begun.elapsed());
}

#[test]
fn a_stream_goes_on_and_ends_with_the_last_word() {
    let served = encrypted(false);
    served.publish(1, 1..=1);
    let mut viewer = served.viewer("");
    for micron in 2..50 {
        served.publish(micron, 1..=1);
        until(&mut viewer, &format!("{{\"micron\":{micron}}}")).expect("goes on");
    }
    served.publish(42, 1..=2);
    let begun = Instant::now();
    drop(served);
    let took = begun.elapsed();
    assert!(took < Duration::from_secs(2), "{took:?}");
    let rest = until(&mut viewer, "id: 1.2");
    assert!(rest.expect("the last word").contains("{\"micron\":42}"));
    assert!(until(&mut viewer, "never said").is_none(), "closed");
}

/// The first message of a client.
fn first_message(served: &Served) -> Vec<u8> {
    let certificate = served.certificate.as_ref().expect("encrypted");
    let mut client = client(served.socket(), certificate).conn;
    let mut bytes = Vec::new();
    client.write_tls(&mut bytes).expect("a first message");
    bytes
}

/// Records of a handshake message that says it is as long as one may be.
fn endless_message(bytes: usize) -> Vec<u8> {
    let mut all = Vec::new();
    let mut body = [&[1, 0, 0xff, 0xff][..], &[0; 16_000]].concat();
    while all.len() < bytes {
        let length = u16::try_from(body.len()).expect("short");
        all.extend([22, 3, 1]);
        all.extend(length.to_be_bytes());
        all.append(&mut body);
        body = vec![0; 16_000];
    }
    all.truncate(bytes);
    all
}

/// What is said to a page that speaks TLS by those who mean no good.
fn nonsense(served: &Served) -> Vec<Vec<u8>> {
    let first = first_message(served);
    let mut wrong = first.clone();
    for byte in &mut wrong[9..40] {
        *byte ^= 0x5a;
    }
    vec![
        Vec::new(),
        vec![22],
        first[..first.len() / 2].to_vec(),
        first.clone(),
        wrong,
        [first.as_slice(), &[0xff; 64]].concat(),
        endless_message(30_000),
        endless_message(60_000),
        b"GET / HTTP/1.1\r\nHost: 127".to_vec(),
        b"\x80\x2e\x01\x03\x01".to_vec(),
        vec![0; 4_000],
    ]
}

#[test]
fn two_hundred_half_handshakes_and_nonsense_lock_nobody_out() {
    serves_through(&encrypted(true), of_many_addresses(), nonsense);
}

#[test]
fn two_hundred_silent_connections_of_one_address_lock_nobody_out() {
    serves_through(&encrypted(true), vec![Ipv4Addr::LOCALHOST], |_| {
        vec![Vec::new()]
    });
}

/// They agree on the encryption, and then say their request a byte at a time.
#[test]
fn a_hundred_that_are_slow_inside_tls_lock_nobody_out() {
    let served = encrypted(true);
    let certificate = served.certificate.clone().expect("encrypted");
    let port = served.page.port();
    let over = Arc::new(AtomicBool::new(false));
    let agreed = Arc::new(AtomicUsize::new(0));
    let slow: Vec<_> = (0..MANY / 2)
        .map(|_| {
            let (over, agreed) = (Arc::clone(&over), Arc::clone(&agreed));
            let certificate = certificate.clone();
            std::thread::spawn(move || {
                while !over.load(Ordering::SeqCst) {
                    let Ok(socket) = Socket::connect(("127.0.0.1", port)) else {
                        continue;
                    };
                    let mut line = client(socket, &certificate);
                    let mut said = 0;
                    for byte in b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nCookie: a" {
                        if line
                            .write_all(&[*byte])
                            .and_then(|()| line.flush())
                            .is_err()
                        {
                            break;
                        }
                        said += 1;
                        std::thread::sleep(Duration::from_millis(100));
                    }
                    agreed.fetch_add(usize::from(said > 1), Ordering::SeqCst);
                }
            })
        })
        .collect();
    serves_through(&served, vec![Ipv4Addr::new(127, 0, 0, 2)], |_| {
        vec![Vec::new()]
    });
    over.store(true, Ordering::SeqCst);
    for one in slow {
        one.join().expect("went");
    }
    let agreed = agreed.load(Ordering::SeqCst);
    println!("{agreed} slow connections agreed on the encryption");
    assert!(agreed > MANY / 2, "{agreed}");
}

#[test]
fn a_handshake_that_is_not_finished_is_closed_after_two_seconds() {
    let served = encrypted(false);
    let first = first_message(&served);
    let half = [vec![], first[..40].to_vec(), first.clone(), vec![22, 3, 3]];
    let begun = Instant::now();
    let sockets = half.map(|bytes| {
        let mut socket = served.socket();
        socket.write_all(&bytes).expect("sent");
        socket
    });
    for mut socket in sockets {
        let _ = socket.read_to_end(&mut Vec::new());
        let took = begun.elapsed();
        assert!(took >= KEY_WITHIN && took < 2 * KEY_WITHIN, "{took:?}");
    }
}

/// Little is read of who has not shown a key, whatever it says it will send.
#[test]
fn a_message_without_end_is_not_kept() {
    let served = encrypted(false);
    let mut socket = served.socket();
    let begun = Instant::now();
    let _ = socket.write_all(&endless_message(60_000));
    let _ = socket.read_to_end(&mut Vec::new());
    assert!(begun.elapsed() < KEY_WITHIN, "{:?}", begun.elapsed());
    // nor of who agreed on the encryption and then sends a request without end
    let mut line = served.connect();
    let begun = Instant::now();
    for _ in 0..1_000 {
        let _ = line.write_all(&[b'a'; 1_000]);
    }
    let mut told = String::new();
    let _ = line.read_to_string(&mut told);
    assert!(told.is_empty() || told.contains(" 431 "), "{told}");
    assert!(begun.elapsed() < KEY_WITHIN, "{:?}", begun.elapsed());
}

#[test]
fn who_never_reads_makes_room_and_delays_nobody() {
    is_delayed_by_nobody(&encrypted(false));
    makes_room(&encrypted(false));
}

#[test]
#[ignore = "waits until a stuck browser is let go: half a minute"]
fn one_that_stopped_reading_is_let_go() {
    lets_go(&encrypted(false));
}

/// What a browser says on the line after it was let in is not counted.
#[test]
fn a_viewer_gets_more_than_any_buffer_holds() {
    let served = encrypted(false);
    served.publish(1, 1..=1);
    let mut viewer = served.viewer("");
    let filler = "x".repeat(300_000);
    served.page.publisher().publish(Published {
        run: 1,
        now: format!("{{\"micron\":2,\"filler\":\"{filler}\"}}").into(),
        ..Published::default()
    });
    let seen = until(&mut viewer, "\"micron\":2").expect("all of it");
    assert!(seen.contains(&filler));
}
