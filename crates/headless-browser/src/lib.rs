//! A real browser without a window, for tests of pages: driven through its own debugging
//! protocol. Where there is none, tests say so and pass (`DRYHOLD_BROWSER=1` makes that a
//! failure).
//!
//! ```no_run
//! use headless_browser::Browser;
//!
//! // `None`, with the reason printed, where there is none
//! if let Some(mut browser) = Browser::start() {
//!     browser.open("about:blank");
//!     assert_eq!(browser.value("1 + 1"), 2);
//!     assert!(browser.complaints.is_empty());
//! }
//! ```
//!
//! # What this crate never does
//! It is in no program: only tests depend on it. Whatever goes wrong it says by panicking,
//! as a test does.

use std::{
    fmt::Debug,
    io::{BufRead, BufReader},
    net::TcpStream,
    path::PathBuf,
    process::{Child, Command, Stdio},
    time::{Duration, Instant},
};

use base64::{Engine as _, engine::general_purpose::STANDARD};
use serde_json::{Value, json};
use tungstenite::{Message, WebSocket};

const NAMES: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];
const PATIENCE: Duration = Duration::from_secs(60);

/// One page in a browser of its own.
pub struct Browser {
    child: Child,
    socket: WebSocket<TcpStream>,
    session: String,
    calls: u64,
    /// What the browser complained of: refused by the policy, thrown by the script.
    pub complaints: Vec<String>,
    _profile: tempfile::TempDir,
}

fn program() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    NAMES
        .iter()
        .flat_map(|name| folders.iter().map(move |f| f.join(name)))
        .find(|p| p.is_file())
}

impl Browser {
    /// Starts one; `None`, with the reason printed, where there is none.
    ///
    /// # Panics
    /// When it does not start, or there is none and `DRYHOLD_BROWSER` is set.
    #[must_use]
    pub fn start() -> Option<Self> {
        let Some(program) = program() else {
            assert!(
                std::env::var_os("DRYHOLD_BROWSER").is_none(),
                "DRYHOLD_BROWSER is set, and there is none of {NAMES:?}"
            );
            skipped_tests::skip(format_args!("none of {NAMES:?} is installed"));
            return None;
        };
        let profile = must(tempfile::tempdir(), "a folder for its profile");
        let started = Command::new(program)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--no-first-run",
            ])
            .args([
                "--disable-background-networking",
                "--disable-component-update",
            ])
            .args(["--disable-sync", "--remote-debugging-port=0"])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .stderr(Stdio::piped())
            .stdout(Stdio::null())
            .spawn();
        let mut child = must(started, "the browser starts");
        let mut stderr = BufReader::new(some(child.stderr.take(), "its words"));
        let mut line = String::new();
        let url = loop {
            line.clear();
            let read = must(stderr.read_line(&mut line), "its words");
            assert!(read > 0, "the browser ended");
            if let Some((_, url)) = line.split_once("listening on ") {
                break url.trim().to_owned();
            }
        };
        // it goes on talking; nobody may block it
        std::thread::spawn(move || std::io::copy(&mut stderr, &mut std::io::sink()));
        let place = url.strip_prefix("ws://").and_then(|u| u.split('/').next());
        let place = some(place, "an address in its words");
        let stream = must(TcpStream::connect(place), "a connection to it");
        must(stream.set_read_timeout(Some(PATIENCE)), "a time limit");
        let (socket, _) = must(tungstenite::client(&url, stream), "its protocol");
        let mut browser = Self {
            child,
            socket,
            session: String::new(),
            calls: 0,
            complaints: Vec::new(),
            _profile: profile,
        };
        let target = browser.call("Target.createTarget", &json!({"url": "about:blank"}));
        let attach = json!({"targetId": target["targetId"], "flatten": true});
        let session = browser.call("Target.attachToTarget", &attach);
        browser.session = some(session["sessionId"].as_str(), "a session").to_owned();
        for domain in ["Page", "Runtime", "Log"] {
            browser.call(&format!("{domain}.enable"), &json!({}));
        }
        Some(browser)
    }

    /// Sends a command of the protocol and gives its result.
    ///
    /// # Panics
    /// When the browser refuses it, ended, or does not answer within a minute.
    pub fn call(&mut self, method: &str, parameters: &Value) -> Value {
        self.calls += 1;
        let mut message = json!({"id": self.calls, "method": method, "params": parameters});
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        let message = Message::text(message.to_string());
        must(self.socket.send(message), "a browser that listens");
        loop {
            let answer = must(self.socket.read(), "an answer of the browser");
            let Message::Text(text) = answer else {
                continue;
            };
            let answer: Value = must(serde_json::from_str(&text), "JSON");
            self.note(&answer);
            if answer["id"] == self.calls {
                assert!(answer["error"].is_null(), "{method}: {answer}");
                return answer["result"].clone();
            }
        }
    }

    fn note(&mut self, message: &Value) {
        let said = match message["method"].as_str() {
            Some("Runtime.exceptionThrown") => &message["params"]["exceptionDetails"],
            Some("Log.entryAdded") => &message["params"]["entry"],
            _ => return,
        };
        // a connection that was cut on purpose is no fault of the page
        if said["source"] != "network" {
            self.complaints.push(said.to_string());
        }
    }

    /// Goes to an address.
    ///
    /// # Panics
    /// As [`value`](Self::value).
    pub fn open(&mut self, url: &str) {
        self.call("Page.navigate", &json!({"url": url}));
    }

    /// Like a phone of this size, or a screen.
    ///
    /// # Panics
    /// As [`value`](Self::value).
    pub fn resize(&mut self, width: u32, height: u32) {
        let phone = width < 600;
        self.call(
            "Emulation.setDeviceMetricsOverride",
            &json!({"width": width, "height": height, "mobile": phone,
                "deviceScaleFactor": if phone { 2 } else { 1 }}),
        );
    }

    /// What an expression gives, or what it threw.
    fn evaluate(&mut self, expression: &str) -> Result<Value, Value> {
        let asked = json!({"expression": expression, "returnByValue": true,
            "awaitPromise": true, "userGesture": true});
        let mut answer = self.call("Runtime.evaluate", &asked);
        match answer["exceptionDetails"].take() {
            Value::Null => Ok(answer["result"]["value"].take()),
            thrown => Err(thrown),
        }
    }

    /// What an expression gives.
    ///
    /// # Panics
    /// When it throws, and when the browser does not answer.
    #[track_caller]
    pub fn value(&mut self, expression: &str) -> Value {
        self.evaluate(expression)
            .unwrap_or_else(|thrown| panic!("{expression}: {thrown}"))
    }

    /// Waits until an expression is true; before the page is there it may throw.
    ///
    /// # Panics
    /// When that takes more than a minute.
    #[track_caller]
    pub fn wait_for(&mut self, expression: &str) {
        self.wait_for_after(expression, || {});
    }

    /// Waits until an expression is true, and does something each half second meanwhile.
    ///
    /// # Panics
    /// When that takes more than a minute.
    #[track_caller]
    pub fn wait_for_after(&mut self, expression: &str, mut again: impl FnMut()) {
        let give_up = Instant::now() + PATIENCE;
        let mut next = Instant::now();
        while self.evaluate(expression) != Ok(Value::Bool(true)) {
            if Instant::now() >= next {
                again();
                next = Instant::now() + Duration::from_millis(500);
            }
            if Instant::now() > give_up {
                let text = self.value("document.body.innerText");
                panic!("{expression}: waited in vain\n{text}");
            }
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// A key pressed and let go, by the browser's own input; `key` and `text` as the
    /// protocol names them ("Enter", "\r").
    ///
    /// # Panics
    /// As [`value`](Self::value).
    pub fn press(&mut self, key: &str, code: u32, text: &str) {
        for kind in ["keyDown", "keyUp"] {
            let mut asked = json!({"type": kind, "key": key, "code": key,
                "windowsVirtualKeyCode": code});
            if kind == "keyDown" {
                asked["text"] = json!(text);
            }
            self.call("Input.dispatchKeyEvent", &asked);
        }
    }

    /// Light or dark, as the system of whoever looks says.
    ///
    /// # Panics
    /// As [`value`](Self::value).
    pub fn prefer(&mut self, scheme: &str) {
        let feature = json!([{"name": "prefers-color-scheme", "value": scheme}]);
        self.call("Emulation.setEmulatedMedia", &json!({"features": feature}));
    }

    /// A picture of what is in the window, PNG.
    ///
    /// # Panics
    /// As [`value`](Self::value).
    #[must_use]
    pub fn picture(&mut self) -> Vec<u8> {
        let answer = self.call("Page.captureScreenshot", &json!({"format": "png"}));
        decoded(&answer)
    }

    /// The page as it is printed, PDF.
    ///
    /// # Panics
    /// As [`value`](Self::value).
    #[must_use]
    pub fn print(&mut self) -> Vec<u8> {
        let asked = json!({"preferCSSPageSize": true, "printBackground": false});
        decoded(&self.call("Page.printToPDF", &asked))
    }

    /// Fingers at these places of the page, by the browser's own input.
    ///
    /// # Panics
    /// As [`value`](Self::value).
    pub fn touch(&mut self, kind: &str, places: &[(f64, f64)]) {
        let points: Vec<Value> = places
            .iter()
            .enumerate()
            .map(|(id, (x, y))| json!({"x": x, "y": y, "id": id}))
            .collect();
        let asked = json!({"type": kind, "touchPoints": points});
        self.call("Input.dispatchTouchEvent", &asked);
    }
}

fn decoded(answer: &Value) -> Vec<u8> {
    let text = some(answer["data"].as_str(), "data");
    must(STANDARD.decode(text), "Base64")
}

/// What a test cannot go on without.
#[track_caller]
fn must<T, E: Debug>(got: Result<T, E>, what: &str) -> T {
    got.unwrap_or_else(|error| panic!("{what}: {error:?}"))
}

#[track_caller]
fn some<T>(got: Option<T>, what: &str) -> T {
    got.unwrap_or_else(|| panic!("there is no {what}"))
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
