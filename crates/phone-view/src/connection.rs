//! Connections: how many, how long, and what each may keep waiting.
//!
//! A connection comes in as a stranger. It has [`KEY_WITHIN`] to show a key; strangers
//! have places of their own, and a newcomer takes that of the oldest stranger of the
//! busiest address. Whoever has shown a key has a place elsewhere, which no stranger can
//! take. So strangers, however many, cost those who hold a key nothing but the moment in
//! which their request is read.

use std::{
    net::SocketAddr,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

use axum::Router;
use hyper::{body::Incoming, server::conn::http1, service::Service};
use hyper_util::{rt::TokioIo, service::TowerToHyperService};
use socket2::SockRef;
use tokio::{
    io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt},
    net::{TcpListener, TcpStream},
    sync::{Notify, watch},
};
use tokio_io_timeout::TimeoutStream;

use crate::{
    auth::Ends,
    places::{Leaves, Place, Places, Who},
    tls::Certificate,
};

/// A browser that takes nothing for so long is let go.
pub const STUCK: Duration = Duration::from_secs(20);
/// A connection that has shown no key for so long is closed.
pub(crate) const KEY_WITHIN: Duration = Duration::from_secs(2);
/// Connections at once that have shown no key.
const STRANGERS: usize = 256;
/// Connections at once that have shown one, those of viewers aside.
const KEYED: usize = 48;
/// What the system holds for a browser that does not take it, bytes: less than a second
/// of a page. Linux doubles it.
const SEND_BUFFER: usize = 16 * 1024;
/// What the system holds of requests, bytes.
const RECEIVE_BUFFER: usize = 16 * 1024;

/// Places of connections.
#[derive(Debug, Clone)]
pub(crate) struct Connections {
    strangers: Places,
    keyed: Places,
}

impl Connections {
    pub(crate) fn new() -> Self {
        Self {
            strangers: Places::new(STRANGERS, Leaves::Oldest),
            keyed: Places::new(KEYED, Leaves::Oldest),
        }
    }
}

/// One connection, as requests see it.
#[derive(Debug, Clone)]
pub(crate) struct Caller {
    pub(crate) ends: Ends,
    /// Told when the connection is to be closed.
    pub(crate) leave: Arc<Notify>,
    place: Arc<Mutex<Option<Place>>>,
    keyed: Arc<AtomicBool>,
    connections: Connections,
}

impl Caller {
    /// A stranger; the place of another where there is no room.
    pub(crate) fn stranger(ends: Ends, connections: &Connections) -> Self {
        let leave = Arc::default();
        let who = Who::Address(ends.far.ip());
        let place = connections.strangers.enter(who, &leave, 0);
        Self {
            ends,
            leave,
            place: Arc::new(Mutex::new(place)),
            keyed: Arc::default(),
            connections: connections.clone(),
        }
    }

    /// It has shown a key: from now on its place is among those that have.
    pub(crate) fn admitted(&self, who: Who) {
        self.keyed.store(true, Ordering::Relaxed);
        self.put(self.connections.keyed.enter(who, &self.leave, 0));
    }

    /// It has a place elsewhere.
    pub(crate) fn moved_on(&self) {
        self.put(None);
    }

    fn put(&self, place: Option<Place>) {
        let mut mine = self.place.lock().unwrap_or_else(PoisonError::into_inner);
        let before = std::mem::replace(&mut *mine, place);
        drop(mine);
        drop(before);
    }

    /// Completes when the connection has to go.
    async fn has_to_go(&self) {
        let no_key = async {
            tokio::time::sleep(KEY_WITHIN).await;
            if self.keyed.load(Ordering::Relaxed) {
                std::future::pending::<()>().await;
            }
        };
        tokio::select! {
            () = self.leave.notified() => {}
            () = no_key => {}
        }
    }
}

/// Lets connections in until `stopped`.
pub(crate) async fn listen(
    listener: std::net::TcpListener,
    router: Router,
    certificate: Option<Arc<Certificate>>,
    mut stopped: watch::Receiver<bool>,
) {
    let Ok(listener) = TcpListener::from_std(listener) else {
        return;
    };
    let connections = Connections::new();
    let open = Arc::new(());
    loop {
        let accepted = tokio::select! {
            _ = stopped.wait_for(|stop| *stop) => break,
            accepted = listener.accept() => accepted,
        };
        match accepted {
            Ok((stream, far)) => {
                let (router, certificate) = (router.clone(), certificate.clone());
                let serving = serve(stream, far, router, certificate, connections.clone());
                let open = Arc::clone(&open);
                tokio::spawn(async move {
                    serving.await;
                    drop(open);
                });
                // its request is looked at before the next comes in
                tokio::task::yield_now().await;
            }
            // too many open files, for instance
            Err(_) => tokio::time::sleep(Duration::from_millis(200)).await,
        }
    }
    // a last look for those who read
    let end = tokio::time::Instant::now() + Duration::from_millis(300);
    while Arc::strong_count(&open) > 1 && tokio::time::Instant::now() < end {
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
}

/// What one connection may keep the system from forgetting. A limit that a system does
/// not know is none; the limits above hold without.
fn limit(stream: &TcpStream) {
    let socket = SockRef::from(stream);
    // one small piece after the other, at once
    let _ = socket.set_tcp_nodelay(true);
    let _ = socket.set_send_buffer_size(SEND_BUFFER);
    let _ = socket.set_recv_buffer_size(RECEIVE_BUFFER);
    #[cfg(any(target_os = "linux", target_os = "android"))]
    let _ = socket.set_tcp_user_timeout(Some(STUCK));
}

async fn serve(
    stream: TcpStream,
    far: SocketAddr,
    router: Router,
    certificate: Option<Arc<Certificate>>,
    connections: Connections,
) {
    let Ok(near) = stream.local_addr() else {
        return;
    };
    limit(&stream);
    let ends = Ends {
        far,
        near,
        encrypted: certificate.is_some(),
    };
    let caller = Caller::stranger(ends, &connections);
    let Some(certificate) = certificate else {
        return answer(with_limit(stream), router, caller).await;
    };
    let keyed = Arc::clone(&caller.keyed);
    let answering = async {
        if asks_in_the_clear(&stream).await {
            return say_encrypted(stream).await;
        }
        if let Some(stream) = certificate.encrypted(with_limit(stream), keyed).await {
            speak(stream, router, caller.clone()).await;
        }
    };
    tokio::select! {
        () = answering => {}
        () = caller.has_to_go() => {}
    }
}

/// Lets go a browser that takes nothing.
fn with_limit(stream: TcpStream) -> impl AsyncRead + AsyncWrite + Unpin {
    let mut stream = TimeoutStream::new(stream);
    stream.set_write_timeout(Some(STUCK));
    Box::pin(stream)
}

/// True where a plain request comes in: its first letter begins no record of TLS.
async fn asks_in_the_clear(stream: &TcpStream) -> bool {
    let mut first = [0];
    stream.peek(&mut first).await.is_ok() && first[0].is_ascii_uppercase()
}

/// What a plain request is told. It is not led on to the encrypted address: whoever asked
/// has sent the key in the clear.
const ENCRYPTED: &str = "HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain; charset=utf-8\r\n\
                         Connection: close\r\nCache-Control: no-store\r\n\r\n\
                         This page is encrypted: its address begins with https://\n";

async fn say_encrypted(mut stream: TcpStream) {
    // unread bytes would make the system drop the answer
    let mut request = [0; 4_096];
    let _ = stream.read(&mut request).await;
    let _ = stream.write_all(ENCRYPTED.as_bytes()).await;
    let _ = stream.shutdown().await;
}

/// Answers the one request of a connection, unless it has to go before.
pub(crate) async fn answer(
    stream: impl AsyncRead + AsyncWrite + Unpin + 'static,
    router: Router,
    caller: Caller,
) {
    tokio::select! {
        () = speak(stream, router, caller.clone()) => {}
        () = caller.has_to_go() => {}
    }
}

async fn speak(
    stream: impl AsyncRead + AsyncWrite + Unpin + 'static,
    router: Router,
    caller: Caller,
) {
    let inner = TowerToHyperService::new(router);
    let service = hyper::service::service_fn(move |mut request: hyper::Request<Incoming>| {
        request.extensions_mut().insert(caller.clone());
        inner.call(request)
    });
    let served = http1::Builder::new()
        .max_headers(64)
        .max_buf_size(16 * 1024)
        .keep_alive(false)
        .serve_connection(TokioIo::new(stream), service);
    // errors are the browser's: it went away, was too slow, or spoke nonsense
    let _ = served.await;
}
