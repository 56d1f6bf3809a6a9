//! The page for phones, asked by anybody.
//!
//! Input: whether marks are switched on, then what a browser sends on one connection.
//!
//! Promises: who shows neither key nor session gets nothing but a refusal, and stamps
//! nothing; who may look on stamps nothing; what is stamped is a known letter, a number
//! or a remark of one bounded line, and only by a post of the page's own origin; every
//! answer has the headers that bind a browser; no answer holds a key; and every
//! connection ends.

use std::{
    net::{IpAddr, Ipv4Addr, SocketAddr},
    sync::{Arc, LazyLock, Mutex, PoisonError},
};

use phone_view::{Asked, Happened, Keys, Published, Requests, Stamp};
use tokio::io::{AsyncReadExt, AsyncWriteExt, DuplexStream};

/// Longest request.
const MOST_BYTES: usize = 8_192;
/// Turns of the server in which nothing comes, after which nothing is waited for.
const QUIET_TURNS: usize = 40;
/// Longest answer that is read: the page itself is smaller.
const MOST_ANSWER: usize = 200_000;

const VIEW: &str = "0123456789abcdef0123456789abcdef";
const MARK: &str = "fedcba98765432100123456789abcdef";
/// Sessions of the device 0000; the second part is a code that only these keys give.
const VIEW_SESSION: &str = "v000000000000000000000705a22404547815ed2902dfa561f229";
const MARK_SESSION: &str = "m00000000000000000000bf516eda59549594c3cb086d0df892c2";
/// What only a viewer may see.
const SECRET: &str = "468.123";

static KEYS: LazyLock<Keys> = LazyLock::new(|| {
    let keys = Keys::from_text(&format!("view {VIEW}\nmark {MARK}\n"));
    keys.unwrap_or_else(|e| panic!("{e}"))
});

/// Checks one input.
pub fn check(data: &[u8]) {
    let Some((flags, request)) = data.split_first() else {
        return;
    };
    let request = &request[..request.len().min(MOST_BYTES)];
    let marks = flags & 1 == 1;
    let (answer, asked) = answered(request, marks);
    let holds = |what: &str| request.windows(what.len()).any(|w| w == what.as_bytes());
    let text = String::from_utf8_lossy(&answer);
    let may_look = [VIEW, MARK, VIEW_SESSION, MARK_SESSION]
        .into_iter()
        .any(holds);
    if !may_look {
        for granted in [SECRET, "<canvas", "set-cookie", " 200 ", " 202 "] {
            assert!(!text.contains(granted), "a stranger got {granted}: {text}");
        }
    }
    if !asked.is_empty() {
        assert!(
            marks && holds(MARK_SESSION),
            "stamped by who may not: {asked:?}"
        );
        assert!(holds("http://127.0.0.1:8431"), "stamped from elsewhere");
        assert!(text.contains(" 202 "), "stamped and not said: {text}");
    }
    asked.iter().for_each(assert_known);
    assert_hard(&text);
    for key in [VIEW, MARK] {
        assert!(!text.contains(key), "an answer holds a key: {text}");
    }
}

fn assert_known((asked, device): &(Asked, String)) {
    assert_eq!(device, "0000");
    match asked {
        Asked::Stamp(key) => assert_eq!(*key, 's'),
        Asked::Undo(_) => {}
        Asked::Note(note) => {
            let length = note.chars().count();
            assert!((1..=200).contains(&length), "{length} characters");
            assert!(!note.contains(char::is_control), "{note:?}");
        }
    }
}

/// Every answer of the page; what no request could be read from is refused by the
/// library, without a word.
fn assert_hard(text: &str) {
    let Some((head, body)) = text.split_once("\r\n\r\n") else {
        return assert!(text.is_empty(), "half an answer: {text}");
    };
    let head = head.to_lowercase();
    if head.starts_with("http/1.1 4") && head.contains("content-length: 0") && body.is_empty() {
        return;
    }
    for header in [
        "content-security-policy: default-src 'none'",
        "x-content-type-options: nosniff",
        "referrer-policy: no-referrer",
        "cache-control: no-store",
        "cross-origin-resource-policy: same-origin",
    ] {
        assert!(head.contains(header), "no {header} in {head}");
    }
    assert!(!head.contains("access-control-allow"), "{head}");
}

/// What the page answers, and what was asked of the recorder.
fn answered(request: &[u8], marks: bool) -> (Vec<u8>, Vec<(Asked, String)>) {
    let asked = Arc::new(Mutex::new(Vec::new()));
    let heard = Arc::clone(&asked);
    let stamps = vec![Stamp {
        key: 's',
        label: "pump-side valve shut".into(),
    }];
    let requests = Requests::new(&KEYS, marks.then_some(stamps), move |what, device| {
        let mut heard = heard.lock().unwrap_or_else(PoisonError::into_inner);
        heard.push((what, device.to_string()));
        true
    });
    let requests = requests.unwrap_or_else(|e| panic!("{e}"));
    requests.publisher().publish(Published {
        run: 1,
        now: format!("{{\"micron\":{SECRET}}}").into(),
        curve: (1, "{}".into()),
        happened: [Happened {
            number: 1,
            text: "{}".into(),
        }]
        .into(),
    });
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_time()
        .build();
    let runtime = runtime.unwrap_or_else(|e| panic!("no runtime: {e}"));
    let local = |port| SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), port);
    let answer = runtime.block_on(async {
        let (near, far) = tokio::io::duplex(2 * MOST_ANSWER);
        let serving = requests.answer(near, local(50_000), local(8431));
        tokio::join!(serving, browse(far, request)).1
    });
    drop(runtime);
    let asked = std::mem::take(&mut *asked.lock().unwrap_or_else(PoisonError::into_inner));
    (answer, asked)
}

/// Sends everything, reads until nothing more comes, goes.
async fn browse(mut page: DuplexStream, request: &[u8]) -> Vec<u8> {
    let mut answer = Vec::new();
    let _ = page.write_all(request).await;
    let mut quiet = 0;
    while quiet < QUIET_TURNS && answer.len() < MOST_ANSWER {
        let before = answer.len();
        tokio::select! {
            biased;
            read = page.read_buf(&mut answer) => match read {
                Ok(1..) => {}
                Ok(0) | Err(_) => return answer,
            },
            () = tokio::task::yield_now() => {}
        }
        quiet = if answer.len() > before { 0 } else { quiet + 1 };
    }
    answer
}
