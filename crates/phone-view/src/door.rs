//! Who may come in: address asked for, where a request comes from, the key.

use std::net::{IpAddr, SocketAddr};

use axum::http::{HeaderMap, Method, StatusCode, Uri, header};

use crate::key::Key;

/// Both ends of a connection.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ends {
    /// The browser's.
    pub(crate) far: SocketAddr,
    /// Ours.
    pub(crate) near: SocketAddr,
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
        }
    }
}

/// What was shown at the door.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shown {
    /// The key in the address, on the first visit.
    InAddress,
    /// The key in the cookie.
    InCookie,
}

/// The cookie of the page at this port: pages of several recorders on one computer do
/// not disturb each other.
pub(crate) fn cookie_name(port: u16) -> String {
    format!("dryhold-page-{port}")
}

/// Decides. Order: host, origin, key; nothing of the page is looked at before.
pub(crate) fn admit(
    key: &Key,
    ends: Ends,
    method: &Method,
    uri: &Uri,
    headers: &HeaderMap,
) -> Result<Shown, Refusal> {
    let host = one(headers, header::HOST).ok_or(Refusal::Host)?;
    if !is_this_computer(host, ends.near.ip()) {
        return Err(Refusal::Host);
    }
    let reads = method == Method::GET || method == Method::HEAD;
    match one(headers, header::ORIGIN) {
        Some(origin) if origin.strip_prefix("http://") == Some(host) => {}
        None if reads && !headers.contains_key(header::ORIGIN) => {}
        _ => return Err(Refusal::Origin),
    }
    let cookie = cookie(headers, &cookie_name(ends.near.port()));
    let in_address = parameter(uri, "key").filter(|_| reads);
    match (in_address, cookie) {
        (Some(given), _) if key.is(given) => Ok(Shown::InAddress),
        (_, Some(given)) if key.is(given) => Ok(Shown::InCookie),
        (None, None) => Err(Refusal::NoKey),
        _ => Err(Refusal::WrongKey),
    }
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
mod tests {
    use super::*;

    const LAN: Ends = Ends {
        far: SocketAddr::new(IpAddr::V4(std::net::Ipv4Addr::new(192, 168, 4, 9)), 50_000),
        near: SocketAddr::new(IpAddr::V4(std::net::Ipv4Addr::new(192, 168, 4, 1)), 8431),
    };

    fn asks(
        key: &Key,
        method: Method,
        address: &str,
        headers: &[(&'static str, &str)],
    ) -> Result<Shown, Refusal> {
        let mut map = HeaderMap::new();
        for (name, value) in headers {
            map.append(*name, value.parse().expect("a value"));
        }
        admit(key, LAN, &method, &address.parse().expect("a path"), &map)
    }

    #[test]
    fn the_key_opens_by_address_and_by_cookie() {
        let key = Key::new().expect("random");
        let here = ("host", "192.168.4.1:8431");
        let address = format!("/?key={}", key.shown());
        let by = |address: &str, h: &[_]| asks(&key, Method::GET, address, h);
        assert_eq!(by(&address, &[here]), Ok(Shown::InAddress));
        let cookie = format!("a=b; dryhold-page-8431={}", key.shown());
        assert_eq!(by("/", &[here, ("cookie", &cookie)]), Ok(Shown::InCookie));
        // an old link does no harm to who has the cookie
        let old = by("/?key=old", &[here, ("cookie", &cookie)]);
        assert_eq!(old, Ok(Shown::InCookie));
        assert_eq!(by("/", &[here]), Err(Refusal::NoKey));
        assert_eq!(by("/?key=", &[here]), Err(Refusal::WrongKey));
        assert_eq!(by("/?key=0", &[here]), Err(Refusal::WrongKey));
        let other_port = cookie.replace("8431", "8432");
        let refused = by("/", &[here, ("cookie", &other_port)]);
        assert_eq!(refused, Err(Refusal::NoKey));
    }

    #[test]
    fn a_name_that_was_made_to_lead_here_is_refused_even_with_the_key() {
        let key = Key::new().expect("random");
        let address = format!("/?key={}", key.shown());
        for host in [
            "shop.example:8431",
            "192.168.4.1.example",
            "localhost:8431",
            "127.0.0.1:8431",
            "192.168.4.2:8431",
            "",
        ] {
            let refused = asks(&key, Method::GET, &address, &[("host", host)]);
            assert_eq!(refused, Err(Refusal::Host), "{host}");
        }
        let twice = [("host", "192.168.4.1:8431"), ("host", "shop.example")];
        assert_eq!(
            asks(&key, Method::GET, &address, &twice),
            Err(Refusal::Host)
        );
        assert_eq!(asks(&key, Method::GET, &address, &[]), Err(Refusal::Host));
    }

    #[test]
    fn loopback_has_its_names() {
        let near = IpAddr::from([127, 0, 0, 1]);
        // a tunnel may lead here by another port
        for host in [
            "localhost",
            "LOCALHOST:9000",
            "127.0.0.1:8431",
            "[::1]:8431",
        ] {
            assert!(is_this_computer(host, near), "{host}");
        }
        for host in ["localhost.example", "10.0.0.1", "::::", "[", "localhost:x"] {
            assert!(!is_this_computer(host, near), "{host}");
        }
    }

    #[test]
    fn other_sites_can_neither_read_nor_post() {
        let key = Key::new().expect("random");
        let here = ("host", "192.168.4.1:8431");
        let cookie = format!("dryhold-page-8431={}", key.shown());
        let post = |origin: &[(&'static str, &str)]| {
            let all = [&[here, ("cookie", cookie.as_str())], origin].concat();
            asks(&key, Method::POST, "/act", &all)
        };
        let own = post(&[("origin", "http://192.168.4.1:8431")]);
        assert_eq!(own, Ok(Shown::InCookie));
        for origin in [
            "http://shop.example",
            "null",
            "https://192.168.4.1:8431",
            "http://192.168.4.1:9000",
        ] {
            assert_eq!(
                post(&[("origin", origin)]),
                Err(Refusal::Origin),
                "{origin}"
            );
        }
        assert_eq!(
            post(&[]),
            Err(Refusal::Origin),
            "a post says where it comes from"
        );
        // the key in an address never stamps
        let address = format!("/act?key={}", key.shown());
        let by_link = asks(
            &key,
            Method::POST,
            &address,
            &[here, ("origin", "http://192.168.4.1:8431")],
        );
        assert_eq!(by_link, Err(Refusal::NoKey));
    }
}
