//! Sends a request to a time-stamp authority (RFC 3161 section 3.4) and takes its
//! answer: bytes, of which nothing is believed here.

use std::time::Duration;

use http_body_util::{BodyExt, Full, LengthLimitError, Limited};
use hyper::{
    Request, StatusCode, Uri,
    body::Bytes,
    client::conn::http1,
    header::{CONTENT_TYPE, HOST, LOCATION, USER_AGENT},
};
use hyper_util::rt::TokioIo;
use tokio::net::TcpStream;

/// How long an authority may take, from the look-up of its name to its last byte.
pub(crate) const PATIENCE: Duration = Duration::from_secs(30);

/// Where an authority is asked: `http://` only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Address {
    host: String,
    port: u16,
    authority: String,
    path: String,
}

impl Address {
    /// Reads a URL.
    pub(crate) fn parse(text: &str) -> Result<Self, String> {
        let form = "an address is written http://HOST/PATH";
        let uri: Uri = text.parse().map_err(|_| form.to_owned())?;
        match uri.scheme_str() {
            Some("http") => {}
            Some("https") => {
                return Err(
                    "https:// is not spoken here, and not needed: only a digest is sent, and the \
                     answer is signed by the authority and checked. Give its http:// address; most \
                     authorities have one"
                        .into(),
                );
            }
            _ => return Err(form.into()),
        }
        let authority = uri.authority().ok_or(form)?;
        if authority.as_str().contains('@') {
            return Err("a name and password in the address are not sent: leave them out".into());
        }
        // brackets around an address of IP version 6 are for the URL only
        let host = authority.host().trim_matches(['[', ']']).to_owned();
        (!host.is_empty()).then_some(()).ok_or(form)?;
        Ok(Self {
            host,
            port: authority.port_u16().unwrap_or(80),
            authority: authority.as_str().to_owned(),
            path: uri.path_and_query().map_or("/", |p| p.as_str()).to_owned(),
        })
    }
}

/// The answer of an authority, or why there is none.
pub(crate) fn ask(
    address: &Address,
    request: Vec<u8>,
    patience: Duration,
) -> Result<Vec<u8>, String> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|e| e.to_string())?;
    let asked = runtime.block_on(async {
        let whole = tokio::time::timeout(patience, send(address, request)).await;
        whole.unwrap_or_else(|_| {
            let seconds = patience.as_secs();
            Err(format!("it did not answer within {seconds} s"))
        })
    });
    // a look-up of a name that still waits is left alone
    runtime.shutdown_background();
    asked
}

async fn send(address: &Address, request: Vec<u8>) -> Result<Vec<u8>, String> {
    let stream = TcpStream::connect((address.host.as_str(), address.port)).await;
    let stream = stream.map_err(|e| {
        format!(
            "it cannot be reached: {}; check the address and the network",
            plain_file::io_words(&e)
        )
    })?;
    let broke_off = |_| "it broke off, or speaks no HTTP".to_owned();
    let (mut sender, connection) = http1::handshake(TokioIo::new(stream))
        .await
        .map_err(broke_off)?;
    let request = Request::post(&address.path)
        .header(HOST, &address.authority)
        .header(USER_AGENT, concat!("dryhold ", env!("CARGO_PKG_VERSION")))
        .header(CONTENT_TYPE, "application/timestamp-query")
        .body(Full::new(Bytes::from(request)))
        .map_err(|_| "its address cannot be asked for".to_owned())?;
    let answer = async {
        let answer = sender.send_request(request).await.map_err(broke_off)?;
        if answer.status() != StatusCode::OK {
            return Err(other_status(
                answer.status(),
                answer.headers().get(LOCATION),
            ));
        }
        let body = Limited::new(answer.into_body(), time_stamp::LONGEST);
        let collected = body
            .collect()
            .await
            .map_err(|e| match e.is::<LengthLimitError>() {
                true => "its answer is longer than any time stamp".to_owned(),
                false => "it broke off, or speaks no HTTP".to_owned(),
            })?;
        Ok(collected.to_bytes().to_vec())
    };
    // the connection works while the answer is awaited
    tokio::pin!(answer);
    tokio::select! {
        biased;
        answer = &mut answer => answer,
        _ = connection => answer.await,
    }
}

/// What an answer without a stamp says.
fn other_status(status: StatusCode, elsewhere: Option<&hyper::header::HeaderValue>) -> String {
    let place = elsewhere.and_then(|place| place.to_str().ok());
    match place.filter(|_| status.is_redirection()) {
        Some(place) => format!(
            "it says that it moved to {}: if that is right, give that address",
            place.chars().take(200).collect::<String>()
        ),
        None => format!("it answered with HTTP status {status}"),
    }
}

#[cfg(test)]
mod tests;
