//! The page of a recording: by plain requests as a viewer, and in a real browser.

mod cost;
mod in_browser;
mod viewers;

use std::{
    io::{BufRead, BufReader, Read, Write},
    net::TcpStream,
    path::Path,
    sync::{Arc, OnceLock},
    time::{Duration, Instant},
};

use serde_json::Value;

use crate::{gauge::Gauge, logger::Logger};

/// The page of a running logger.
#[derive(Debug, Clone)]
pub(crate) struct Address {
    pub(crate) port: u16,
    /// The key in the first address.
    pub(crate) key: String,
    /// The cookie of this device, once it has shown the key.
    cookie: Arc<OnceLock<String>>,
}

impl Address {
    /// What the logger prints.
    pub(crate) fn of(logger: &Logger) -> Self {
        logger.wait_for("Page: ");
        logger.wait_for("stamp");
        let said = logger.said();
        let address = said.lines().find_map(|l| l.strip_prefix("Page: http://"));
        let (place, key) = address
            .and_then(|a| a.split_once("/?key="))
            .unwrap_or_else(|| panic!("no page: {said}"));
        let (_, port) = place.rsplit_once(':').expect("a port");
        Self {
            port: port.parse().expect("a port"),
            key: key.to_owned(),
            cookie: Arc::default(),
        }
    }

    /// The same page with another key.
    pub(crate) fn with_key(&self, key: &str) -> Self {
        Self {
            port: self.port,
            key: key.to_owned(),
            cookie: Arc::default(),
        }
    }

    /// The session that the page gives for the key.
    fn cookie(&self) -> &str {
        self.cookie.get_or_init(|| {
            let mut head = String::new();
            let line = format!("HEAD /?key={}", self.key);
            let _ = self.plain(&line, "", "").read_to_string(&mut head);
            let cookie = head.lines().find_map(|l| l.strip_prefix("set-cookie: "));
            let cookie = cookie.and_then(|c| c.split(';').next());
            cookie
                .unwrap_or_else(|| panic!("no session: {head}"))
                .to_owned()
        })
    }

    /// As a person opens it, through any port that leads there.
    pub(crate) fn url(&self, port: u16) -> String {
        format!("http://127.0.0.1:{port}/?key={}", self.key)
    }

    /// A request with the session of this device.
    pub(crate) fn request(&self, line: &str, more: &str, body: &str) -> BufReader<TcpStream> {
        self.plain(line, &format!("Cookie: {}\r\n{more}", self.cookie()), body)
    }

    /// A request as it stands.
    fn plain(&self, line: &str, more: &str, body: &str) -> BufReader<TcpStream> {
        let mut socket = TcpStream::connect(("127.0.0.1", self.port)).expect("reached");
        let patience = Some(Duration::from_secs(20));
        socket.set_read_timeout(patience).expect("a limit");
        let (port, length) = (self.port, body.len());
        write!(
            socket,
            "{line} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n{more}\
             Content-Length: {length}\r\n\r\n{body}"
        )
        .expect("sent");
        BufReader::new(socket)
    }

    /// Looks on; `after` is the last thing seen.
    pub(crate) fn viewer(&self, after: Option<&str>) -> Viewer {
        let more = after.map(|id| format!("Last-Event-ID: {id}\r\n"));
        Viewer {
            reader: self.request("GET /stream", &more.unwrap_or_default(), ""),
            last_id: after.map(str::to_owned),
        }
    }

    /// Asks for an act; the status of the answer.
    pub(crate) fn act(&self, body: &str) -> u16 {
        let origin = format!(
            "Origin: http://127.0.0.1:{}\r\nContent-Type: application/json\r\n",
            self.port
        );
        let mut text = String::new();
        let mut answer = self.request("POST /act", &origin, body);
        let _ = answer.read_to_string(&mut text);
        let status = text.split(' ').nth(1).and_then(|s| s.parse().ok());
        status.unwrap_or_else(|| panic!("no status: {text}"))
    }
}

/// One stream of events.
pub(crate) struct Viewer {
    reader: BufReader<TcpStream>,
    pub(crate) last_id: Option<String>,
}

impl Viewer {
    /// The next event: its kind and data. `None` at the end.
    pub(crate) fn next(&mut self) -> Option<(String, Value)> {
        let (mut kind, mut data) = (String::new(), Value::Null);
        loop {
            let mut line = String::new();
            if self.reader.read_line(&mut line).ok()? == 0 {
                return None;
            }
            match line.trim_end().split_once(": ") {
                Some(("event", k)) => kind = k.to_owned(),
                Some(("data", d)) => data = serde_json::from_str(d).expect("JSON"),
                Some(("id", id)) => self.last_id = Some(id.to_owned()),
                None if line.trim_end().is_empty() && !kind.is_empty() => {
                    return Some((kind, data));
                }
                _ => {}
            }
        }
    }

    /// The next event of this kind that `fits`.
    pub(crate) fn find(&mut self, wanted: &str, fits: impl Fn(&Value) -> bool) -> Value {
        // the page says something every second, whether it fits or not
        let until = Instant::now() + Duration::from_secs(60);
        loop {
            let (kind, data) = self.next().expect("the stream goes on");
            assert!(
                Instant::now() < until,
                "no {wanted} fits; last: {kind} {data}"
            );
            if kind == wanted && fits(&data) {
                return data;
            }
        }
    }
}

/// A gauge and a logger with a page.
pub(crate) fn paged(folder: &Path, options: &[&str]) -> (Gauge, Logger, Address) {
    let mut gauge = Gauge::plugged_in(folder);
    let page = ["--view-page", "--view-port", "0", "--no-seal"];
    let logger = Logger::start(
        gauge.path(),
        &folder.join("runs"),
        &[&page, options].concat(),
    );
    gauge.await_reader();
    let address = Address::of(&logger);
    (gauge, logger, address)
}
