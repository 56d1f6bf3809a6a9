//! What may be asked for, and by whom.

use std::{
    sync::{Arc, Mutex, PoisonError},
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
use serde::{Deserialize, Serialize};
use tokio::{
    io::{AsyncRead, AsyncWrite},
    sync::watch,
};

use crate::{
    auth::{self, Admitted, Ends, Refusal},
    connection::{self, Caller, Connections},
    hub::Publisher,
    key::{Grade, KeyError, Keys},
    pages::{Sheet, harden},
    places::{Leaves, Places, Who},
    rate::{Allowance, Rate},
    session::{Device, Session, Sessions},
    stream,
};

/// Viewers at once.
pub const MOST_VIEWERS: usize = 16;
/// Of these, those that a device finds which may stamp marks, when the others are taken.
const KEPT_FOR_MARKS: usize = 4;
/// A viewer that took nothing for so long gives its place to one that comes.
const IDLE: Duration = Duration::from_secs(5);
/// Longest wait for the body of a request.
const BODY_WITHIN: Duration = Duration::from_secs(5);
/// Longest body, bytes.
const BODY_MOST: usize = 2_048;
/// Longest remark, characters.
const NOTE_MOST: usize = 200;
/// Requests of one address without a key, first visits with one, those of one device.
const REQUESTS: Allowance = Allowance {
    at_once: 40.0,
    per_s: 8.0,
};
/// Wrong keys of one address, before it is told to wait.
const WRONG: Allowance = Allowance {
    at_once: 8.0,
    per_s: 0.1,
};
/// Marks of one device.
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

/// The page without a network: every request of every connection.
#[derive(Debug)]
pub struct Requests {
    shared: Arc<Shared>,
    stop: watch::Sender<bool>,
}

impl Requests {
    /// Answers for who holds these keys. With `stamps` the page offers them; without, it
    /// only shows. `asked` is told what a device asks for, and must not wait; it gives
    /// false where nobody is there to do it.
    ///
    /// # Errors
    /// Where no sessions can be made of the keys.
    pub fn new(
        keys: &Keys,
        stamps: Option<Vec<Stamp>>,
        asked: impl Fn(Asked, Device) -> bool + Send + Sync + 'static,
    ) -> Result<Self, KeyError> {
        let viewers = Places::new(MOST_VIEWERS, Leaves::IdleFor(IDLE));
        let (stop, stopped) = watch::channel(false);
        let shared = Arc::new(Shared {
            keys: keys.clone(),
            sessions: Sessions::of(keys).ok_or(KeyError::NotKeys)?,
            sheet: Sheet::new(),
            stamps,
            asked: Box::new(asked),
            publisher: Publisher::new(viewers.clone()),
            viewers,
            stopped,
            strangers: Mutex::new(Rate::new(REQUESTS)),
            keyed: Mutex::new(Rate::new(REQUESTS)),
            wrong: Mutex::new(Rate::new(WRONG)),
            marks: Mutex::new(Rate::new(MARKS)),
        });
        Ok(Self { shared, stop })
    }

    /// What to publish through.
    #[must_use]
    pub fn publisher(&self) -> Publisher {
        self.shared.publisher.clone()
    }

    /// Answers the one request of a connection, over anything that carries bytes. For
    /// whoever has no network, as a test.
    pub async fn answer(
        &self,
        stream: impl AsyncRead + AsyncWrite + Unpin + 'static,
        far: std::net::SocketAddr,
        near: std::net::SocketAddr,
    ) {
        let ends = Ends {
            far,
            near,
            encrypted: false,
        };
        let caller = Caller::stranger(ends, &Connections::new());
        connection::answer(stream, self.router(), caller).await;
    }

    /// Ends every stream when `stopped` says so.
    pub(crate) async fn end_with(&self, mut stopped: watch::Receiver<bool>) {
        let _ = stopped.wait_for(|stop| *stop).await;
        self.stop.send_replace(true);
    }

    pub(crate) fn router(&self) -> Router {
        let shared = Arc::clone(&self.shared);
        Router::new()
            .route("/", get(page))
            .route("/stream", get(listening))
            .route("/act", post(act))
            .fallback(async || said(StatusCode::NOT_FOUND, "There is nothing here.\n"))
            .layer(middleware::from_fn_with_state(Arc::clone(&shared), guard))
            .with_state(shared)
    }
}

/// What requests share.
struct Shared {
    keys: Keys,
    sessions: Sessions,
    sheet: Sheet,
    stamps: Option<Vec<Stamp>>,
    asked: Box<dyn Fn(Asked, Device) -> bool + Send + Sync>,
    publisher: Publisher,
    viewers: Places,
    stopped: watch::Receiver<bool>,
    strangers: Mutex<Rate>,
    keyed: Mutex<Rate>,
    wrong: Mutex<Rate>,
    marks: Mutex<Rate>,
}

impl std::fmt::Debug for Shared {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Shared")
    }
}

impl Shared {
    /// What a device may stamp.
    fn stamps_of(&self, session: Session) -> Option<&[Stamp]> {
        let stamps = self.stamps.as_deref()?;
        (session.grade >= Grade::Mark).then_some(stamps)
    }

    /// What a viewer is told first.
    fn hello(&self, session: Session) -> String {
        let stamps = self.stamps_of(session);
        serde_json::json!({
            "marks": stamps.is_some(),
            "stamps": stamps.unwrap_or_default(),
            "device": session.device().to_string(),
        })
        .to_string()
    }
}

fn allows(rate: &Mutex<Rate>, who: Who) -> bool {
    let mut rate = rate.lock().unwrap_or_else(PoisonError::into_inner);
    rate.take(who, Instant::now())
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
    State(shared): State<Arc<Shared>>,
    Extension(caller): Extension<Caller>,
    request: Request,
    next: Next,
) -> Response {
    let (method, uri, headers) = (request.method(), request.uri(), request.headers());
    let (keys, sessions) = (&shared.keys, &shared.sessions);
    let mut response = match auth::admit(keys, sessions, caller.ends, method, uri, headers) {
        Ok(admitted) => let_in(&shared, &caller, admitted, request, next).await,
        Err(refusal) => refused(&shared, caller.ends, refusal),
    };
    harden(response.headers_mut());
    response
}

/// Those who hold a key are counted by their device, so that no stranger can use up what
/// they may ask for.
async fn let_in(
    shared: &Shared,
    caller: &Caller,
    admitted: Admitted,
    mut request: Request,
    next: Next,
) -> Response {
    let Admitted { session, cookie } = admitted;
    let device = Who::Device(session.device());
    caller.admitted(device);
    let who = match &cookie {
        Some(_) => Who::Arriving(caller.ends.far.ip(), session.grade),
        None => device,
    };
    if !allows(&shared.keyed, who) {
        return too_often();
    }
    request.extensions_mut().insert(session);
    let mut response = next.run(request).await;
    if let Some(cookie) = cookie.and_then(|value| set_cookie(caller.ends, &value)) {
        response.headers_mut().insert(header::SET_COOKIE, cookie);
    }
    response
}

fn set_cookie(ends: Ends, value: &str) -> Option<header::HeaderValue> {
    let name = auth::cookie_name(ends.near.port());
    let secure = if ends.encrypted { "; Secure" } else { "" };
    let rest = "HttpOnly; SameSite=Strict; Path=/; Max-Age=86400";
    format!("{name}={value}; {rest}{secure}").parse().ok()
}

fn refused(shared: &Shared, ends: Ends, refusal: Refusal) -> Response {
    let who = Who::Address(ends.far.ip());
    let guesses = refusal == Refusal::WrongKey;
    if !allows(&shared.strangers, who) || (guesses && !allows(&shared.wrong, who)) {
        return too_often();
    }
    let (status, words) = refusal.said();
    said(status, words)
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

async fn page(State(shared): State<Arc<Shared>>) -> Response {
    let mut response = Html(shared.sheet.html.clone()).into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_SECURITY_POLICY, shared.sheet.policy.clone());
    response
}

async fn listening(
    State(shared): State<Arc<Shared>>,
    Extension(caller): Extension<Caller>,
    Extension(session): Extension<Session>,
    request: Request,
) -> Response {
    let kept = match session.grade {
        Grade::View if shared.stamps.is_some() => KEPT_FOR_MARKS,
        Grade::View | Grade::Mark => 0,
    };
    let who = Who::Device(session.device());
    let Some(place) = shared.viewers.enter(who, &caller.leave, kept) else {
        return said(
            StatusCode::SERVICE_UNAVAILABLE,
            "As many as can look on already do (16). Close the page on another device.\n",
        );
    };
    caller.moved_on();
    let said_last = request.headers().get("last-event-id");
    let seen = said_last
        .and_then(|id| id.to_str().ok())
        .or_else(|| auth::parameter(request.uri(), "after"))
        .and_then(stream::seen);
    let hello = shared.hello(session);
    let stream = stream::of(shared.publisher.subscribe(), &hello, seen, place);
    let mut stopped = shared.stopped.clone();
    let until = async move {
        let _ = stopped.wait_for(|stop| *stop).await;
        // what was published last still goes out
        tokio::time::sleep(Duration::from_millis(100)).await;
    };
    Sse::new(futures_util::StreamExt::take_until(stream, Box::pin(until))).into_response()
}

async fn act(
    State(shared): State<Arc<Shared>>,
    Extension(session): Extension<Session>,
    request: Request<Body>,
) -> Response {
    debug_assert_eq!(request.method(), Method::POST);
    let Some(stamps) = shared.stamps_of(session) else {
        return said(
            StatusCode::FORBIDDEN,
            match shared.stamps {
                None => {
                    "Refused: this page only shows. Marks from here are switched on at the \
                     recorder.\n"
                }
                Some(_) => {
                    "Refused: this device may look on only. To stamp marks, scan the code on \
                     the recorder's screen.\n"
                }
            },
        );
    };
    if !allows(&shared.marks, Who::Device(session.device())) {
        return too_often();
    }
    let json = request.headers().get(header::CONTENT_TYPE);
    if json.is_none_or(|kind| kind.as_bytes() != b"application/json") {
        return said(StatusCode::UNSUPPORTED_MEDIA_TYPE, "JSON is expected.\n");
    }
    let body = axum::body::to_bytes(request.into_body(), BODY_MOST);
    let Ok(Ok(body)) = tokio::time::timeout(BODY_WITHIN, body).await else {
        return said(StatusCode::BAD_REQUEST, "Too long, or too slow.\n");
    };
    let known = match serde_json::from_slice(&body) {
        Ok(Asked::Stamp(key)) if stamps.iter().any(|s| s.key == key) => Some(Asked::Stamp(key)),
        Ok(Asked::Undo(number)) => Some(Asked::Undo(number)),
        Ok(Asked::Note(note)) => remark(&note).map(Asked::Note),
        Ok(Asked::Stamp(_)) | Err(_) => None,
    };
    let Some(asked) = known else {
        return said(StatusCode::BAD_REQUEST, "No such act.\n");
    };
    if (shared.asked)(asked, session.device()) {
        said(StatusCode::ACCEPTED, "Passed on.\n")
    } else {
        said(
            StatusCode::SERVICE_UNAVAILABLE,
            "NOT stamped: nothing is being recorded at this moment. Try again once the \
             pressure is shown.\n",
        )
    }
}

/// A remark on one line, not empty and not too long.
fn remark(text: &str) -> Option<String> {
    let line = text.split(char::is_control).collect::<Vec<_>>().join(" ");
    let line = line.trim();
    let fits = !line.is_empty() && line.chars().count() <= NOTE_MOST;
    fits.then(|| line.to_owned())
}
