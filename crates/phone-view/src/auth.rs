//! Who is let in: the address asked for, where a request comes from, key or session.

use std::net::{IpAddr, SocketAddr};

use axum::http::{HeaderMap, Method, StatusCode, Uri, header};

use crate::{
    key::Keys,
    session::{Session, Sessions},
};

/// Both ends of a connection.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ends {
    /// The browser's.
    pub(crate) far: SocketAddr,
    /// Ours.
    pub(crate) near: SocketAddr,
    /// True where the connection is encrypted.
    pub(crate) encrypted: bool,
}

impl Ends {
    /// How the origin of the page's own requests begins.
    const fn origin_begins(self) -> &'static str {
        match self.encrypted {
            true => "https://",
            false => "http://",
        }
    }
}

/// Why a request is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Refusal {
    /// It asks for another computer: another site's name leads here.
    Host,
    /// It comes from another site's page.
    Origin,
    /// It shows no key.
    NoKey,
    /// It shows a wrong one.
    WrongKey,
    /// The system gives no random numbers for its session.
    NoRandomNumbers,
}

impl Refusal {
    /// Status and words.
    pub(crate) const fn said(self) -> (StatusCode, &'static str) {
        match self {
            Self::Host => (
                StatusCode::FORBIDDEN,
                "Refused: open this page by the address shown on the recorder's screen, \
                 numbers and all.\n",
            ),
            Self::Origin => (
                StatusCode::FORBIDDEN,
                "Refused: the request comes from another site.\n",
            ),
            Self::NoKey => (
                StatusCode::UNAUTHORIZED,
                "Refused: this page needs its key. Scan the code on the recorder's screen, or \
                 type the whole address shown there.\n",
            ),
            Self::WrongKey => (
                StatusCode::FORBIDDEN,
                "Refused: this key is not, or no longer, the right one; every start of the \
                 recorder makes a new one. Scan the code on the recorder's screen again.\n",
            ),
            Self::NoRandomNumbers => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "Refused: the recorder's computer gives no random numbers at the moment.\n",
            ),
        }
    }
}

/// Who was let in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Admitted {
    /// Its session.
    pub(crate) session: Session,
    /// What its cookie is to hold from now on, where that is not what it holds.
    pub(crate) cookie: Option<String>,
}

/// The cookie of the page at this port: pages of several recorders on one computer do
/// not disturb each other.
pub(crate) fn cookie_name(port: u16) -> String {
    format!("dryhold-page-{port}")
}

/// Decides. Order: host, origin, key; nothing of the page is looked at before.
pub(crate) fn admit(
    keys: &Keys,
    sessions: &Sessions,
    ends: Ends,
    method: &Method,
    uri: &Uri,
    headers: &HeaderMap,
) -> Result<Admitted, Refusal> {
    let host = one(headers, header::HOST).ok_or(Refusal::Host)?;
    if !is_this_computer(host, ends.near.ip()) {
        return Err(Refusal::Host);
    }
    let reads = method == Method::GET || method == Method::HEAD;
    match one(headers, header::ORIGIN) {
        Some(origin) if origin.strip_prefix(ends.origin_begins()) == Some(host) => {}
        None if reads && !headers.contains_key(header::ORIGIN) => {}
        _ => return Err(Refusal::Origin),
    }
    let cookie = cookie(headers, &cookie_name(ends.near.port()));
    let in_address = parameter(uri, "key").filter(|_| reads);
    let grade = in_address.and_then(|given| keys.grade_of(given));
    let session = cookie.and_then(|value| sessions.read(value));
    let new = match (grade, session) {
        // the greater key makes more of the session; the lesser leaves it as it is
        (Some(grade), Some(session)) if grade > session.grade => session.with_grade(grade),
        (_, Some(session)) => {
            return Ok(Admitted {
                session,
                cookie: None,
            });
        }
        (Some(grade), None) => Session::random(grade).ok_or(Refusal::NoRandomNumbers)?,
        (None, None) if in_address.is_none() && cookie.is_none() => return Err(Refusal::NoKey),
        (None, None) => return Err(Refusal::WrongKey),
    };
    Ok(Admitted {
        session: new,
        cookie: Some(sessions.value(new)),
    })
}

/// The one header of this name; two of them are none.
fn one(headers: &HeaderMap, name: header::HeaderName) -> Option<&str> {
    let mut all = headers.get_all(name).iter();
    let only = all.next()?.to_str().ok()?;
    all.next().is_none().then_some(only)
}

/// True when `host` is the address this connection came in by, or a name of this
/// computer on a connection from itself. A site's name that was made to lead here is
/// neither.
fn is_this_computer(host: &str, near: IpAddr) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if !port.is_empty() && port.bytes().all(|b| b.is_ascii_digit()) => name,
        _ => host,
    };
    let bare = name.trim_start_matches('[').trim_end_matches(']');
    match bare.parse::<IpAddr>() {
        Ok(address) => address == near || (address.is_loopback() && near.is_loopback()),
        Err(_) => name.eq_ignore_ascii_case("localhost") && near.is_loopback(),
    }
}

fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let all = headers.get_all(header::COOKIE).iter();
    all.filter_map(|h| h.to_str().ok())
        .flat_map(|h| h.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(n, _)| *n == name)
        .map(|(_, value)| value)
}

/// A parameter of the address.
pub(crate) fn parameter<'a>(uri: &'a Uri, name: &str) -> Option<&'a str> {
    let pairs = uri.query()?.split('&').filter_map(|p| p.split_once('='));
    pairs.into_iter().find(|(n, _)| *n == name).map(|(_, v)| v)
}

#[cfg(test)]
mod tests;
