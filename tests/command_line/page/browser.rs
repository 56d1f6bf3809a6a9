//! A real browser without a window, driven through its own debugging protocol. Where
//! there is none, tests say so and pass (`DRYHOLD_BROWSER=1` makes that a failure).

use std::{
    io::{BufRead, BufReader},
    net::TcpStream,
    path::PathBuf,
    process::{Child, Command, Stdio},
    time::{Duration, Instant},
};

use serde_json::{Value, json};
use tungstenite::{Message, WebSocket};

const NAMES: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];
const PATIENCE: Duration = Duration::from_secs(60);

/// One page in a browser of its own.
pub(crate) struct Browser {
    child: Child,
    socket: WebSocket<TcpStream>,
    session: String,
    calls: u64,
    /// What the browser complained of: refused by the policy, thrown by the script.
    pub(crate) complaints: Vec<String>,
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
    pub(crate) fn start() -> Option<Self> {
        let Some(program) = program() else {
            assert!(
                std::env::var_os("DRYHOLD_BROWSER").is_none(),
                "DRYHOLD_BROWSER is set, and there is none of {NAMES:?}"
            );
            skipped_tests::skip(format_args!("none of {NAMES:?} is installed"));
            return None;
        };
        let profile = tempfile::tempdir().expect("a folder");
        let mut child = Command::new(program)
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
            .spawn()
            .expect("the browser starts");
        let mut stderr = BufReader::new(child.stderr.take().expect("its words"));
        let mut line = String::new();
        let url = loop {
            line.clear();
            let read = stderr.read_line(&mut line).expect("its words");
            assert!(read > 0, "the browser ended");
            if let Some((_, url)) = line.split_once("listening on ") {
                break url.trim().to_owned();
            }
        };
        // it goes on talking; nobody may block it
        std::thread::spawn(move || std::io::copy(&mut stderr, &mut std::io::sink()));
        let place = url.strip_prefix("ws://").and_then(|u| u.split('/').next());
        let stream = TcpStream::connect(place.expect("a place")).expect("reached");
        stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
        let (socket, _) = tungstenite::client(&url, stream).expect("it speaks");
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
        browser.session = session["sessionId"].as_str().expect("a session").to_owned();
        for domain in ["Page", "Runtime", "Log"] {
            browser.call(&format!("{domain}.enable"), &json!({}));
        }
        Some(browser)
    }

    fn call(&mut self, method: &str, parameters: &Value) -> Value {
        self.calls += 1;
        let mut message = json!({"id": self.calls, "method": method, "params": parameters});
        if !self.session.is_empty() {
            message["sessionId"] = json!(self.session);
        }
        let message = Message::text(message.to_string());
        self.socket.send(message).expect("the browser listens");
        loop {
            let answer = self.socket.read().expect("the browser answers");
            let Message::Text(text) = answer else {
                continue;
            };
            let answer: Value = serde_json::from_str(&text).expect("JSON");
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

    pub(crate) fn open(&mut self, url: &str) {
        self.call("Page.navigate", &json!({"url": url}));
    }

    /// Like a phone of this size, or a screen.
    pub(crate) fn resize(&mut self, width: u32, height: u32) {
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
    #[track_caller]
    pub(crate) fn value(&mut self, expression: &str) -> Value {
        self.evaluate(expression)
            .unwrap_or_else(|thrown| panic!("{expression}: {thrown}"))
    }

    /// Waits until an expression is true; before the page is there it may throw.
    #[track_caller]
    pub(crate) fn wait_for(&mut self, expression: &str) {
        self.wait_for_after(expression, || {});
    }

    /// Waits until an expression is true, and does something each half second meanwhile.
    #[track_caller]
    pub(crate) fn wait_for_after(&mut self, expression: &str, mut again: impl FnMut()) {
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

    /// Fingers at these places of the page, by the browser's own input.
    pub(crate) fn touch(&mut self, kind: &str, places: &[(f64, f64)]) {
        let points: Vec<Value> = places
            .iter()
            .enumerate()
            .map(|(id, (x, y))| json!({"x": x, "y": y, "id": id}))
            .collect();
        let asked = json!({"type": kind, "touchPoints": points});
        self.call("Input.dispatchTouchEvent", &asked);
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
