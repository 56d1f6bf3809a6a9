//! The server: one thread, one connection after the other, each with its limits.

use std::{
    net::{Ipv4Addr, SocketAddr},
    sync::{Arc, Mutex, PoisonError},
    thread::JoinHandle,
    time::{Duration, Instant},
};

use axum::{
    Router,
    body::Body,
    extract::{Extension, Request, State},
    http::{Method, StatusCode, header},
    middleware::{self, Next},
    response::{Html, IntoResponse, Response, Sse},
    routing::{get, post},
};
use hyper::{body::Incoming, server::conn::http1, service::Service};
use hyper_util::{
    rt::{TokioIo, TokioTimer},
    service::TowerToHyperService,
};
use serde::{Deserialize, Serialize};
use tokio::{
    net::{TcpListener, TcpStream},
    runtime::Handle,
    sync::watch,
};
use tokio_io_timeout::TimeoutStream;

use crate::{
    address::Reach,
    crowd::{Crowd, Place},
    door::{self, Ends, Refusal, Shown},
    hub::Publisher,
    key::Key,
    pages::{Sheet, harden},
    rate::{Allowance, Rate},
    stream,
};

/// Viewers at once.
pub const MOST_VIEWERS: usize = 16;
/// A browser that takes nothing for so long is let go.
pub const STUCK: Duration = Duration::from_secs(20);
/// Connections at once, and of one address.
const CONNECTIONS: (usize, usize) = (64, 24);
/// Longest wait for the head of a request, or its body.
const HEAD_WITHIN: Duration = Duration::from_secs(5);
/// Longest body, bytes.
const BODY_MOST: usize = 2_048;
/// Longest remark, characters.
const NOTE_MOST: usize = 200;
/// Requests of one address.
const REQUESTS: Allowance = Allowance {
    at_once: 40.0,
    per_s: 8.0,
};
/// Wrong keys of one address, before it is told to wait.
const WRONG: Allowance = Allowance {
    at_once: 8.0,
    per_s: 0.1,
};
/// Marks of one address.
const MARKS: Allowance = Allowance {
    at_once: 8.0,
    per_s: 1.0,
};

/// An act that can be stamped.
#[derive(Debug, Clone, Serialize)]
pub struct Stamp {
    /// Its letter.
    pub key: char,
    /// What it says on the button.
    pub label: String,
}

/// What a person asks for on the page.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Asked {
    /// The act with this letter.
    Stamp(char),
    /// To take back the mark with this number.
    Undo(u64),
    /// A remark, one line, at most 200 characters.
    Note(String),
}

/// How a page is served.
#[derive(Debug)]
pub struct Options {
    /// Who can reach it.
    pub reach: Reach,
    /// At which port; 0 for any that is free.
    pub port: u16,
    /// The key.
    pub key: Key,
    /// What may be stamped; `None`: the page only shows.
    pub stamps: Option<Vec<Stamp>>,
}

/// Why a page cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    /// The port is taken, or not allowed.
    #[error(
        "the page cannot be served at port {port}: {source}; choose another port, 0 for any \
         that is free"
    )]
    Port {
        /// The port.
        port: u16,
        /// Why.
        source: std::io::Error,
    },
    /// The system gives no thread.
    #[error("the page cannot be served: {0}")]
    System(#[from] std::io::Error),
}

/// A page that is being served, until it is dropped.
#[derive(Debug)]
pub struct Page {
    publisher: Publisher,
    port: u16,
    reach: Reach,
    key: Key,
    stop: watch::Sender<bool>,
    runtime: Handle,
    thread: Option<JoinHandle<()>>,
}

impl Page {
    /// Serves a page. `asked` is called on the server's thread and must not wait.
    ///
    /// # Errors
    /// Where the port is taken or the system gives no thread.
    pub fn serve(
        options: Options,
        asked: impl Fn(Asked) + Send + Sync + 'static,
    ) -> Result<Self, PageError> {
        let Options {
            reach,
            port,
            key,
            stamps,
        } = options;
        let at = |source| PageError::Port { port, source };
        let listener = std::net::TcpListener::bind((reach.listens_at(), port)).map_err(at)?;
        listener.set_nonblocking(true)?;
        let port = listener.local_addr()?.port();
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()?;
        let handle = runtime.handle().clone();
        let viewers = Crowd::new(MOST_VIEWERS, MOST_VIEWERS);
        let publisher = Publisher::new(viewers.clone());
        let (stop, stopped) = watch::channel(false);
        let house = Arc::new(House {
            key: key.clone(),
            sheet: Sheet::new(),
            hello: hello(stamps.as_deref()),
            stamps,
            asked: Box::new(asked),
            publisher: publisher.clone(),
            viewers,
            stopped: stopped.clone(),
            requests: Mutex::new(Rate::new(REQUESTS)),
            wrong: Mutex::new(Rate::new(WRONG)),
            marks: Mutex::new(Rate::new(MARKS)),
        });
        let thread = std::thread::Builder::new()
            .name("page".into())
            .spawn(move || {
                runtime.block_on(listen(listener, router(house), stopped));
                // what was written is on its way; nobody is waited for
                runtime.shutdown_timeout(Duration::from_millis(50));
            })?;
        Ok(Self {
            publisher,
            port,
            reach,
            key,
            stop,
            runtime: handle,
            thread: Some(thread),
        })
    }

    /// What to publish through.
    #[must_use]
    pub fn publisher(&self) -> Publisher {
        self.publisher.clone()
    }

    /// Runs this on the page's own thread, where what it does delays nobody but viewers.
    /// It is dropped with the page.
    pub fn spawn(&self, what: impl Future<Output = ()> + Send + 'static) {
        self.runtime.spawn(what);
    }

    /// The port it is served at.
    #[must_use]
    pub fn port(&self) -> u16 {
        self.port
    }

    /// Addresses with the key, the likeliest first. Empty where this computer is in no
    /// network.
    #[must_use]
    pub fn addresses(&self) -> Vec<String> {
        let whole = |a: &Ipv4Addr| format!("http://{a}:{}/?key={}", self.port, self.key.shown());
        self.reach.found_at().iter().map(whole).collect()
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        self.stop.send_replace(true);
        if let Some(thread) = self.thread.take() {
            // ends within a moment; a panic in it is no concern of the record
            let _ = thread.join();
        }
    }
}

fn hello(stamps: Option<&[Stamp]>) -> String {
    serde_json::json!({
        "marks": stamps.is_some(),
        "stamps": stamps.unwrap_or_default(),
    })
    .to_string()
}

/// What requests share.
struct House {
    key: Key,
    sheet: Sheet,
    hello: String,
    stamps: Option<Vec<Stamp>>,
    asked: Box<dyn Fn(Asked) + Send + Sync>,
    publisher: Publisher,
    viewers: Crowd,
    stopped: watch::Receiver<bool>,
    requests: Mutex<Rate>,
    wrong: Mutex<Rate>,
    marks: Mutex<Rate>,
}

fn allows(rate: &Mutex<Rate>, ends: Ends) -> bool {
    let mut rate = rate.lock().unwrap_or_else(PoisonError::into_inner);
    rate.take(ends.far.ip(), Instant::now())
}

fn router(house: Arc<House>) -> Router {
    Router::new()
        .route("/", get(page))
        .route("/stream", get(listening))
        .route("/act", post(act))
        .fallback(async || said(StatusCode::NOT_FOUND, "There is nothing here.\n"))
        .layer(middleware::from_fn_with_state(Arc::clone(&house), guard))
        .with_state(house)
}

/// Lets connections in while there is room.
async fn listen(listener: std::net::TcpListener, router: Router, stopped: watch::Receiver<bool>) {
    let Ok(listener) = TcpListener::from_std(listener) else {
        return;
    };
    let crowd = Crowd::new(CONNECTIONS.0, CONNECTIONS.1);
    let mut ending = stopped.clone();
    loop {
        let accepted = tokio::select! {
            _ = ending.wait_for(|stop| *stop) => break,
            accepted = listener.accept() => accepted,
        };
        match accepted {
            Ok((stream, far)) => {
                // one that finds no place is closed
                if let Some(place) = crowd.enter(far.ip()) {
                    tokio::spawn(connection(stream, far, router.clone(), place));
                }
            }
            // too many open files, for instance
            Err(_) => tokio::time::sleep(Duration::from_millis(200)).await,
        }
    }
    // a last look for those who read
    let end = tokio::time::Instant::now() + Duration::from_millis(300);
    while crowd.count() > 0 && tokio::time::Instant::now() < end {
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
}

async fn connection(stream: TcpStream, far: SocketAddr, router: Router, _place: Place) {
    let Ok(near) = stream.local_addr() else {
        return;
    };
    // one small piece after the other, at once
    let _ = stream.set_nodelay(true);
    let mut stream = TimeoutStream::new(stream);
    stream.set_write_timeout(Some(STUCK));
    let inner = TowerToHyperService::new(router);
    let service = hyper::service::service_fn(move |mut request: hyper::Request<Incoming>| {
        request.extensions_mut().insert(Ends { far, near });
        inner.call(request)
    });
    // errors are the browser's: it went away, was too slow, or spoke nonsense
    let _ = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_WITHIN)
        .max_headers(64)
        .max_buf_size(16 * 1024)
        .keep_alive(false)
        .serve_connection(TokioIo::new(Box::pin(stream)), service)
        .await;
}

fn said(status: StatusCode, words: &'static str) -> Response {
    (
        status,
        [(header::CONTENT_TYPE, "text/plain; charset=utf-8")],
        words,
    )
        .into_response()
}

/// Stands before everything.
async fn guard(
    State(house): State<Arc<House>>,
    Extension(ends): Extension<Ends>,
    mut request: Request,
    next: Next,
) -> Response {
    let mut response = if !allows(&house.requests, ends) {
        too_often()
    } else {
        let (method, uri) = (request.method(), request.uri());
        match door::admit(&house.key, ends, method, uri, request.headers()) {
            Ok(shown) => {
                request.extensions_mut().insert(shown);
                next.run(request).await
            }
            Err(Refusal::WrongKey) if !allows(&house.wrong, ends) => too_often(),
            Err(refusal) => {
                let (status, words) = refusal.said();
                said(status, words)
            }
        }
    };
    harden(response.headers_mut());
    response
}

fn too_often() -> Response {
    let mut response = said(
        StatusCode::TOO_MANY_REQUESTS,
        "Too many requests from here: wait ten seconds.\n",
    );
    let wait = header::HeaderValue::from_static("10");
    response.headers_mut().insert(header::RETRY_AFTER, wait);
    response
}

async fn page(
    State(house): State<Arc<House>>,
    Extension(ends): Extension<Ends>,
    Extension(shown): Extension<Shown>,
) -> Response {
    let mut response = Html(house.sheet.html.clone()).into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_SECURITY_POLICY, house.sheet.policy.clone());
    if shown == Shown::InAddress {
        let cookie = format!(
            "{}={}; HttpOnly; SameSite=Strict; Path=/; Max-Age=86400",
            door::cookie_name(ends.near.port()),
            house.key.shown()
        );
        if let Ok(cookie) = cookie.parse() {
            headers.insert(header::SET_COOKIE, cookie);
        }
    }
    response
}

async fn listening(
    State(house): State<Arc<House>>,
    Extension(ends): Extension<Ends>,
    request: Request,
) -> Response {
    let Some(place) = house.viewers.enter(ends.far.ip()) else {
        return said(
            StatusCode::SERVICE_UNAVAILABLE,
            "As many as can look on already do (16). Close the page on another device.\n",
        );
    };
    let said_last = request.headers().get("last-event-id");
    let seen = said_last
        .and_then(|id| id.to_str().ok())
        .or_else(|| door::parameter(request.uri(), "after"))
        .and_then(stream::seen);
    let stream = stream::of(house.publisher.subscribe(), &house.hello, seen, place);
    let mut stopped = house.stopped.clone();
    let until = async move {
        let _ = stopped.wait_for(|stop| *stop).await;
        // what was published last still goes out
        tokio::time::sleep(Duration::from_millis(100)).await;
    };
    Sse::new(futures_util::StreamExt::take_until(stream, Box::pin(until))).into_response()
}

async fn act(
    State(house): State<Arc<House>>,
    Extension(ends): Extension<Ends>,
    request: Request<Body>,
) -> Response {
    debug_assert_eq!(request.method(), Method::POST);
    let Some(stamps) = &house.stamps else {
        return said(
            StatusCode::FORBIDDEN,
            "Refused: this page only shows. Marks from here are switched on at the recorder.\n",
        );
    };
    if !allows(&house.marks, ends) {
        return too_often();
    }
    let json = request.headers().get(header::CONTENT_TYPE);
    if json.is_none_or(|kind| kind.as_bytes() != b"application/json") {
        return said(StatusCode::UNSUPPORTED_MEDIA_TYPE, "JSON is expected.\n");
    }
    let body = axum::body::to_bytes(request.into_body(), BODY_MOST);
    let Ok(Ok(body)) = tokio::time::timeout(HEAD_WITHIN, body).await else {
        return said(StatusCode::BAD_REQUEST, "Too long, or too slow.\n");
    };
    let known = match serde_json::from_slice(&body) {
        Ok(Asked::Stamp(key)) if stamps.iter().any(|s| s.key == key) => Some(Asked::Stamp(key)),
        Ok(Asked::Undo(number)) => Some(Asked::Undo(number)),
        Ok(Asked::Note(note)) => remark(&note).map(Asked::Note),
        Ok(Asked::Stamp(_)) | Err(_) => None,
    };
    match known {
        Some(asked) => {
            (house.asked)(asked);
            said(StatusCode::ACCEPTED, "Passed on.\n")
        }
        None => said(StatusCode::BAD_REQUEST, "No such act.\n"),
    }
}

/// A remark on one line, not empty and not too long.
fn remark(text: &str) -> Option<String> {
    let line = text.split(char::is_control).collect::<Vec<_>>().join(" ");
    let line = line.trim();
    let fits = !line.is_empty() && line.chars().count() <= NOTE_MOST;
    fits.then(|| line.to_owned())
}

#[cfg(test)]
mod tests;
