//! A shop, a desk and a time-stamp authority behind a small server.

use std::{
    fs,
    io::{Read, Write},
    net::{TcpListener, TcpStream},
    path::{Path, PathBuf},
    thread,
    time::Duration,
};

use crate::{
    run::{Ran, dryhold_at, only_run, scratch},
    sealing::record,
};

use invented_authority::{Authority, Plan};

/// A shop with one sealed run, an authority, and a desk that trusts it.
pub(super) struct Case {
    scratch: tempfile::TempDir,
    pub(super) run: PathBuf,
    pub(super) authority: Authority,
    pub(super) root: PathBuf,
}

impl Case {
    pub(super) fn new(plan: Plan) -> Option<Self> {
        let authority = Authority::new(plan)?;
        let scratch = scratch();
        let out = scratch.path().join("out");
        record(&scratch.path().join("home"), &out, &[]);
        let root = scratch.path().join("root.pem");
        fs::write(&root, authority.root()).expect("written");
        Some(Self {
            run: only_run(&out),
            scratch,
            authority,
            root,
        })
    }

    pub(super) fn at(&self, name: &str) -> PathBuf {
        self.scratch.path().join(name)
    }

    pub(super) fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.run.join(name)).expect("a file of the run")
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.run.join(name).exists()
    }

    /// Somebody else's computer: no key is there, and none is made.
    pub(super) fn elsewhere(&self, arguments: &[&str]) -> Ran {
        let desk = self.at("desk");
        let ran = dryhold_at(&desk, arguments);
        assert!(!desk.exists(), "no key is needed for {arguments:?}");
        ran
    }

    pub(super) fn seal(&self, options: &[&str]) -> Ran {
        self.elsewhere(&[&["seal", text(&self.run)], options].concat())
    }

    pub(super) fn verify(&self, options: &[&str]) -> Ran {
        self.elsewhere(&[&["verify", text(&self.run)], options].concat())
    }

    pub(super) fn stamp(&self) -> Ran {
        served(
            |request| http(&self.authority.answer(request)),
            |url| self.seal(&["--timestamp", url]),
        )
        .expect(0)
    }
}

pub(super) fn text(path: &Path) -> &str {
    path.to_str().expect("UTF-8")
}

pub(super) fn http(body: &[u8]) -> Vec<u8> {
    let head = format!(
        "HTTP/1.1 200 OK\r\nContent-Type: application/timestamp-reply\r\nContent-Length: {}\r\n\r\n",
        body.len()
    );
    [head.as_bytes(), body].concat()
}

/// Runs `act` with the address of a server that answers one request in this way.
pub(super) fn served<R>(
    answer: impl Fn(&[u8]) -> Vec<u8> + Sync,
    act: impl FnOnce(&str) -> R,
) -> R {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}/stamps", listener.local_addr().expect("bound"));
    thread::scope(|scope| {
        let server = scope.spawn(|| {
            let (stream, _) = listener.accept().expect("somebody asks");
            answer_one(stream, &answer);
        });
        let done = act(&address);
        if !server.is_finished() {
            // nobody asked: nothing may wait for ever for that
            drop(TcpStream::connect(listener.local_addr().expect("bound")));
        }
        server.join().expect("the server");
        done
    })
}

fn answer_one(mut stream: TcpStream, answer: &impl Fn(&[u8]) -> Vec<u8>) {
    stream
        .set_read_timeout(Some(Duration::from_secs(30)))
        .expect("set");
    let mut asked = Vec::new();
    let mut buffer = [0; 4096];
    let body = loop {
        let count = stream.read(&mut buffer).expect("a request");
        assert!(count > 0, "cut off: {asked:?}");
        asked.extend_from_slice(&buffer[..count]);
        let head = asked.windows(4).position(|w| w == b"\r\n\r\n");
        if let Some(end) = head.map(|at| at + 4)
            && asked.len() - end >= length_in(&asked[..end])
        {
            break asked.split_off(end);
        }
    };
    // whoever asked may have hung up
    drop(stream.write_all(&answer(&body)));
}

fn length_in(head: &[u8]) -> usize {
    let head = String::from_utf8_lossy(head).to_lowercase();
    let mut lines = head.lines();
    let length = lines.find_map(|l| l.strip_prefix("content-length:"));
    length.expect("a length").trim().parse().expect("a number")
}

/// The SHA-256 of bytes, by the program of the system.
pub(super) fn hex(bytes: &[u8]) -> String {
    let folder = scratch();
    let file = folder.path().join("bytes");
    fs::write(&file, bytes).expect("written");
    let ran = std::process::Command::new("openssl")
        .args(["dgst", "-sha256", "-r"])
        .arg(&file)
        .output()
        .expect("openssl runs");
    String::from_utf8_lossy(&ran.stdout)[..64].to_owned()
}
