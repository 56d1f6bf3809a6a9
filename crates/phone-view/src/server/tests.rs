//! The served page from outside, by plain sockets: what a browser may not do is done
//! here.

use super::*;
use std::{
    io::{BufRead, BufReader, Read, Write},
    net::TcpStream as Socket,
    sync::mpsc,
    time::Instant,
};

use crate::{
    MOST_VIEWERS, STUCK,
    hub::{Happened, Published},
};

#[cfg(feature = "tls")]
mod encrypted;
mod hostile;

/// A connection as a browser has it, encrypted where the page is.
trait Line: Read + Write {}
impl<T: Read + Write> Line for T {}

struct Served {
    page: Page,
    asked: mpsc::Receiver<(Asked, Device)>,
    certificate: Option<Certificate>,
}

fn served(marks: bool) -> Served {
    served_with(marks, None)
}

fn served_with(marks: bool, certificate: Option<Certificate>) -> Served {
    let (send, asked) = mpsc::channel();
    let stamps = vec![Stamp {
        key: 's',
        label: "pump-side valve shut".into(),
    }];
    let options = Options {
        reach: Reach::Loopback,
        port: 0,
        keys: Keys::random().expect("random"),
        stamps: marks.then_some(stamps),
        certificate: certificate.clone(),
    };
    let page = Page::serve(options, move |what, device| {
        send.send((what, device)).is_ok()
    });
    Served {
        page: page.expect("a page"),
        asked,
        certificate,
    }
}

impl Served {
    fn key(&self, grade: Grade) -> &str {
        self.page.keys.of(grade).shown()
    }

    fn connect(&self) -> Box<dyn Line> {
        match &self.certificate {
            None => Box::new(self.socket()),
            #[cfg(feature = "tls")]
            Some(certificate) => Box::new(encrypted::client(self.socket(), certificate)),
            #[cfg(not(feature = "tls"))]
            Some(certificate) => match *certificate {},
        }
    }

    fn socket(&self) -> Socket {
        let socket = Socket::connect(("127.0.0.1", self.page.port())).expect("reached");
        let patience = Some(Duration::from_secs(10));
        socket.set_read_timeout(patience).expect("a time limit");
        socket
    }

    /// Sends a request; `more` are whole header lines.
    fn send(&self, line: &str, more: &str, body: &str) -> Box<dyn Line> {
        let mut socket = self.connect();
        let port = self.page.port();
        let host = match more.contains("Host:") {
            true => String::new(),
            false => format!("Host: 127.0.0.1:{port}\r\n"),
        };
        let length = body.len();
        write!(
            socket,
            "{line} HTTP/1.1\r\n{host}{more}Content-Length: {length}\r\n\r\n{body}"
        )
        .expect("sent");
        socket
    }

    /// Status line and headers, body.
    fn ask(&self, line: &str, more: &str, body: &str) -> (String, String) {
        let mut text = String::new();
        let _ = self.send(line, more, body).read_to_string(&mut text);
        let (head, body) = text.split_once("\r\n\r\n").expect("an answer");
        (head.to_lowercase(), body.to_owned())
    }

    /// The cookie of a new device that has shown this key.
    fn cookie(&self, grade: Grade) -> String {
        let line = format!("HEAD /?key={}", self.key(grade));
        let mut head = String::new();
        let _ = self.send(&line, "", "").read_to_string(&mut head);
        let value = head.lines().find_map(|l| l.strip_prefix("set-cookie: "));
        let value = value.and_then(|v| v.split(';').next());
        format!("Cookie: {}\r\n", value.unwrap_or_else(|| panic!("{head}")))
    }

    fn origin(&self) -> String {
        let scheme = match self.certificate {
            Some(_) => "https",
            None => "http",
        };
        format!("Origin: {scheme}://127.0.0.1:{}\r\n", self.page.port())
    }

    fn post(&self, cookie: &str, body: &str) -> String {
        let headers = format!(
            "{cookie}{}Content-Type: application/json\r\n",
            self.origin()
        );
        self.ask("POST /act", &headers, body).0
    }

    fn publish(&self, micron: u32, numbers: std::ops::RangeInclusive<u64>) {
        self.page.publisher().publish(Published {
            run: 1,
            now: format!("{{\"micron\":{micron}}}").into(),
            curve: (1, "{\"version\":1}".into()),
            happened: numbers
                .map(|number| Happened {
                    number,
                    text: "{}".into(),
                })
                .collect(),
        });
    }

    /// A viewer that has got as far as its first `now`.
    fn viewer(&self, more: &str) -> BufReader<Box<dyn Line>> {
        let headers = format!("{}{more}", self.cookie(Grade::View));
        let mut reader = BufReader::new(self.send("GET /stream", &headers, ""));
        assert!(until(&mut reader, "event: now").is_some());
        reader
    }
}

/// Lines up to one that contains `words`.
fn until(reader: &mut impl BufRead, words: &str) -> Option<String> {
    let mut seen = String::new();
    loop {
        let mut line = String::new();
        if reader.read_line(&mut line).ok()? == 0 {
            return None;
        }
        seen.push_str(&line);
        if line.contains(words) {
            return Some(seen);
        }
    }
}

#[track_caller]
fn assert_status(head: &str, status: u16) {
    assert!(head.starts_with(&format!("http/1.1 {status}")), "{head}");
}

const HARD: [&str; 7] = [
    "default-src 'none'",
    "frame-ancestors 'none'",
    "x-content-type-options: nosniff",
    "referrer-policy: no-referrer",
    "cache-control: no-store",
    "x-frame-options: deny",
    "cross-origin-resource-policy: same-origin",
];

#[test]
fn without_the_key_there_is_nothing_but_a_refusal() {
    let served = served(true);
    served.publish(468, 1..=1);
    let wrong = format!("Cookie: dryhold-page-{}=0123\r\n", served.page.port());
    for (line, headers, status) in [
        ("GET /", "", 401),
        ("GET /stream", "", 401),
        ("GET /nothing", "", 401),
        ("GET /?key=0123456789abcdef0123456789abcdef", "", 403),
        ("GET /stream", wrong.as_str(), 403),
        ("POST /act", "", 403),
        ("POST /act", &served.origin(), 401),
    ] {
        let (head, body) = served.ask(line, headers, "{\"stamp\":\"s\"}");
        assert_status(&head, status);
        assert!(body.starts_with("Refused"), "{body}");
        assert!(
            !body.contains("468") && !head.contains("set-cookie"),
            "{head}{body}"
        );
        for hard in HARD {
            assert!(head.contains(hard), "{line}: no {hard} in {head}");
        }
    }
    assert!(served.asked.try_recv().is_err());
}

#[test]
fn with_the_key_the_page_comes_and_the_cookie_is_another_value() {
    let served = served(false);
    let (view, mark) = (served.key(Grade::View), served.key(Grade::Mark));
    let (head, body) = served.ask(&format!("GET /?key={view}"), "", "");
    assert_status(&head, 200);
    for hard in HARD {
        assert!(head.contains(hard), "no {hard} in {head}");
    }
    assert!(
        head.contains("script-src 'sha256-") && !head.contains("unsafe"),
        "{head}"
    );
    let cookie = head
        .lines()
        .find(|l| l.starts_with("set-cookie"))
        .expect("a cookie");
    assert!(
        cookie.contains("httponly") && cookie.contains("samesite=strict"),
        "{cookie}"
    );
    assert!(body.contains("<canvas"));
    for key in [view, mark] {
        assert!(!body.contains(key) && !head.contains(key), "{head}");
    }
    let cookie = served.cookie(Grade::View);
    let (head, _) = served.ask("GET /", &cookie, "");
    assert_status(&head, 200);
    assert!(!head.contains("set-cookie"), "{head}");
    let (head, _) = served.ask("GET /nothing", &cookie, "");
    assert_status(&head, 404);
    // the key as a cookie is a stranger's guess
    let key = format!("Cookie: dryhold-page-{}={view}\r\n", served.page.port());
    assert_status(&served.ask("GET /", &key, "").0, 403);
}

#[test]
fn other_names_and_other_sites_are_refused() {
    let served = served(true);
    let cookie = served.cookie(Grade::Mark);
    let rebound = format!("Host: shop.example:{}\r\n{cookie}", served.page.port());
    assert_status(&served.ask("GET /", &rebound, "").0, 403);
    let foreign = format!("Origin: http://shop.example\r\n{cookie}");
    assert_status(&served.ask("GET /stream", &foreign, "").0, 403);
    let posted = format!("{foreign}Content-Type: application/json\r\n");
    let (head, _) = served.ask("POST /act", &posted, "{\"stamp\":\"s\"}");
    assert_status(&head, 403);
    // what a form of another site could send without being asked
    let plain = format!("{cookie}{}Content-Type: text/plain\r\n", served.origin());
    let (head, _) = served.ask("POST /act", &plain, "{\"stamp\":\"s\"}");
    assert_status(&head, 415);
    assert!(served.asked.try_recv().is_err(), "nothing was stamped");
}

#[test]
fn marks_are_passed_on_where_that_is_switched_on_and_only_known_ones() {
    let served_plain = served(false);
    let cookie = served_plain.cookie(Grade::Mark);
    assert_status(&served_plain.post(&cookie, "{\"stamp\":\"s\"}"), 403);
    assert!(served_plain.asked.try_recv().is_err());
    let served = served(true);
    let cookie = served.cookie(Grade::Mark);
    let long = format!("{{\"note\":\"{}\"}}", "x".repeat(201));
    for nonsense in [
        "{\"stamp\":\"z\"}",
        "{\"stamp\":\"ss\"}",
        "{\"stop\":1}",
        "{\"note\":\"  \"}",
        &long,
        "",
    ] {
        assert_status(&served.post(&cookie, nonsense), 400);
    }
    std::thread::sleep(Duration::from_millis(2_100));
    for (body, asked) in [
        ("{\"stamp\":\"s\"}", Asked::Stamp('s')),
        ("{\"undo\":7}", Asked::Undo(7)),
        (
            "{\"note\":\" two\\nlines \"}",
            Asked::Note("two lines".into()),
        ),
    ] {
        assert_status(&served.post(&cookie, body), 202);
        assert_eq!(served.asked.recv().map(|(what, _)| what), Ok(asked));
    }
}

/// What a viewer is greeted with.
fn hello(viewer: &mut impl BufRead) -> serde_json::Value {
    let greeting = until(viewer, "data: ").expect("a greeting");
    let data = greeting.lines().find_map(|l| l.strip_prefix("data: "));
    serde_json::from_str(data.expect("data")).expect("JSON")
}

#[test]
fn who_may_look_on_cannot_stamp_and_each_device_has_its_name() {
    let served = served(true);
    served.publish(1, 1..=1);
    let cookies = [Grade::View, Grade::Mark, Grade::Mark].map(|g| served.cookie(g));
    let greetings = cookies.each_ref().map(|cookie| {
        let mut viewer = BufReader::new(served.send("GET /stream", cookie, ""));
        hello(&mut viewer)
    });
    let may: Vec<_> = greetings.iter().map(|h| h["marks"].clone()).collect();
    assert_eq!(may, [false, true, true]);
    assert_eq!(greetings[0]["stamps"], serde_json::json!([]));
    let (head, body) = {
        let headers = format!(
            "{}{}Content-Type: application/json\r\n",
            cookies[0],
            served.origin()
        );
        served.ask("POST /act", &headers, "{\"stamp\":\"s\"}")
    };
    assert_status(&head, 403);
    assert!(body.contains("look on only"), "{body}");
    assert!(served.asked.try_recv().is_err(), "nothing was stamped");
    for (cookie, greeting) in cookies.iter().zip(&greetings).skip(1) {
        assert_status(&served.post(cookie, "{\"stamp\":\"s\"}"), 202);
        let (_, device) = served.asked.recv().expect("passed on");
        assert_eq!(greeting["device"], device.to_string());
    }
    assert_ne!(greetings[1]["device"], greetings[2]["device"]);
}

#[test]
fn who_guesses_or_hurries_is_told_to_wait() {
    let served = served(true);
    let cookie = served.cookie(Grade::View);
    let guess = |n: u32| served.ask(&format!("GET /?key={n:032x}"), "", "").0;
    let told: Vec<bool> = (0..60).map(|n| guess(n).contains(" 429 ")).collect();
    assert!(!told[0] && told[19] && told[59], "{told:?}");
    // a key still opens: nobody is locked out by another's guesses from the same address
    for _ in 0..10 {
        assert_status(&served.ask("GET /", &cookie, "").0, 200);
    }
    let other = served.cookie(Grade::View);
    let hurried = (0..60)
        .map(|_| served.ask("GET /", &cookie, "").0)
        .find(|head| head.contains(" 429 "));
    assert!(hurried.expect("limited").contains("retry-after"));
    // nor by another device that hurries
    assert_status(&served.ask("GET /", &other, "").0, 200);
}

#[test]
fn marks_are_limited() {
    let served = served(true);
    let cookie = served.cookie(Grade::Mark);
    let passed = (0..20)
        .filter(|_| served.post(&cookie, "{\"stamp\":\"s\"}").contains(" 202 "))
        .count();
    assert!((8..=12).contains(&passed), "{passed}");
}

#[test]
fn a_viewer_that_comes_again_gets_what_it_missed() {
    let served = served(false);
    served.publish(500, 1..=3);
    let mut viewer = served.viewer("");
    let seen = until(&mut viewer, "id: 1.3").expect("all three");
    assert!(
        seen.contains("id: 1.1") && seen.contains("event: curve"),
        "{seen}"
    );
    drop(viewer);
    served.publish(400, 1..=6);
    let mut again = served.viewer("Last-Event-ID: 1.3\r\n");
    let seen = until(&mut again, "id: 1.6").expect("the rest");
    assert!(
        seen.contains("id: 1.4") && !seen.contains("id: 1.3"),
        "{seen}"
    );
    assert!(
        seen.contains("{\"micron\":400}") && seen.contains("event: curve"),
        "{seen}"
    );
}

#[test]
fn at_most_sixteen_look_on() {
    let served = served(false);
    served.publish(500, 1..=1);
    let all: Vec<_> = (0..MOST_VIEWERS).map(|_| served.viewer("")).collect();
    assert_eq!(served.page.publisher().viewers(), MOST_VIEWERS);
    let (head, body) = served.ask("GET /stream", &served.cookie(Grade::View), "");
    assert_status(&head, 503);
    assert!(body.contains("16"), "{body}");
    drop(all);
    let gone = Instant::now() + Duration::from_secs(10);
    while served.page.publisher().viewers() > 0 {
        assert!(Instant::now() < gone, "viewers that went are forgotten");
        served.publish(500, 1..=1);
        std::thread::sleep(Duration::from_millis(20));
    }
    drop(served.viewer(""));
}

#[test]
fn the_last_word_reaches_viewers_and_the_server_ends() {
    let served = served(false);
    served.publish(1, 1..=1);
    let mut viewer = served.viewer("");
    served.publish(42, 1..=2);
    let begun = Instant::now();
    drop(served);
    assert!(
        begun.elapsed() < Duration::from_secs(2),
        "{:?}",
        begun.elapsed()
    );
    let rest = until(&mut viewer, "id: 1.2");
    assert!(rest.expect("the last word").contains("{\"micron\":42}"));
    assert!(until(&mut viewer, "never said").is_none(), "closed");
}

#[test]
fn a_taken_port_says_what_to_do() {
    let first = served(false);
    let options = Options {
        reach: Reach::Loopback,
        port: first.page.port(),
        keys: Keys::random().expect("random"),
        stamps: None,
        certificate: None,
    };
    let refused = Page::serve(options, |_, _| true)
        .expect_err("taken")
        .to_string();
    assert!(refused.contains("another port"), "{refused}");
}

#[test]
fn a_mark_that_nobody_takes_is_not_said_to_be_passed_on() {
    let Served { page, asked, .. } = served(true);
    // the recorder has no run, or the last one has ended
    drop(asked);
    let served = Served {
        page,
        asked: mpsc::channel().1,
        certificate: None,
    };
    let headers = format!(
        "{}{}Content-Type: application/json\r\n",
        served.cookie(Grade::Mark),
        served.origin()
    );
    let (head, body) = served.ask("POST /act", &headers, "{\"stamp\":\"s\"}");
    assert_status(&head, 503);
    assert!(body.contains("NOT stamped"), "{body}");
}
