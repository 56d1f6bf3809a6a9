use super::*;
use crate::key::Grade;

const LAN: Ends = Ends {
    far: SocketAddr::new(IpAddr::V4(std::net::Ipv4Addr::new(192, 168, 4, 9)), 50_000),
    near: SocketAddr::new(IpAddr::V4(std::net::Ipv4Addr::new(192, 168, 4, 1)), 8431),
    encrypted: false,
};
const HERE: (&str, &str) = ("host", "192.168.4.1:8431");

struct AuthScene {
    keys: Keys,
    sessions: Sessions,
}

impl AuthScene {
    fn new() -> Self {
        let keys = Keys::random().expect("random");
        let sessions = Sessions::of(&keys).expect("any key will do");
        Self { keys, sessions }
    }

    fn key(&self, grade: Grade) -> &str {
        self.keys.of(grade).shown()
    }

    fn by_key(&self, grade: Grade) -> String {
        format!("/?key={}", self.key(grade))
    }

    /// The cookie of a device that has shown this key.
    fn cookie(&self, grade: Grade) -> String {
        let shown = self.asks(Method::GET, &self.by_key(grade), &[HERE]);
        let value = shown.expect("let in").cookie.expect("a cookie");
        format!("dryhold-page-8431={value}")
    }

    fn asks(
        &self,
        method: Method,
        address: &str,
        headers: &[(&'static str, &str)],
    ) -> Result<Admitted, Refusal> {
        self.asks_at(LAN, method, address, headers)
    }

    fn asks_at(
        &self,
        ends: Ends,
        method: Method,
        address: &str,
        headers: &[(&'static str, &str)],
    ) -> Result<Admitted, Refusal> {
        let mut map = HeaderMap::new();
        for (name, value) in headers {
            map.append(*name, value.parse().expect("a value"));
        }
        let uri = address.parse().expect("a path");
        admit(&self.keys, &self.sessions, ends, &method, &uri, &map)
    }

    /// What it may do, and whether its cookie changes.
    fn gets(
        &self,
        address: &str,
        headers: &[(&'static str, &str)],
    ) -> Result<(Grade, bool), Refusal> {
        let admitted = self.asks(Method::GET, address, headers)?;
        Ok((admitted.session.grade, admitted.cookie.is_some()))
    }
}

#[test]
fn a_key_opens_by_address_and_its_session_by_cookie() {
    let scene = AuthScene::new();
    for grade in [Grade::View, Grade::Mark] {
        let address = scene.by_key(grade);
        assert_eq!(scene.gets(&address, &[HERE]), Ok((grade, true)));
        let cookie = format!("a=b; {}", scene.cookie(grade));
        assert!(!cookie.contains(scene.key(grade)), "the key is not in it");
        assert_eq!(
            scene.gets("/", &[HERE, ("cookie", &cookie)]),
            Ok((grade, false))
        );
        // an old link does no harm to who has the cookie
        let old = scene.gets("/?key=old", &[HERE, ("cookie", &cookie)]);
        assert_eq!(old, Ok((grade, false)));
        let other_port = cookie.replace("8431", "8432");
        let refused = scene.gets("/", &[HERE, ("cookie", &other_port)]);
        assert_eq!(refused, Err(Refusal::NoKey));
        // the key itself in a cookie opens nothing
        let key = format!("dryhold-page-8431={}", scene.key(grade));
        let refused = scene.gets("/", &[HERE, ("cookie", &key)]);
        assert_eq!(refused, Err(Refusal::WrongKey));
    }
    assert_eq!(scene.gets("/", &[HERE]), Err(Refusal::NoKey));
    assert_eq!(scene.gets("/?key=", &[HERE]), Err(Refusal::WrongKey));
    assert_eq!(scene.gets("/?key=0", &[HERE]), Err(Refusal::WrongKey));
}

#[test]
fn a_device_keeps_its_name_when_it_shows_the_greater_key() {
    let scene = AuthScene::new();
    let device = |address: &str, cookie: &str| {
        let asked = scene.asks(Method::GET, address, &[HERE, ("cookie", cookie)]);
        asked.expect("let in").session
    };
    let cookie = scene.cookie(Grade::View);
    let before = device("/", &cookie);
    let after = device(&scene.by_key(Grade::Mark), &cookie);
    assert_eq!((before.grade, after.grade), (Grade::View, Grade::Mark));
    assert_eq!(before.device(), after.device());
    // and the lesser key takes nothing away
    let cookie = scene.cookie(Grade::Mark);
    assert_eq!(
        device(&scene.by_key(Grade::View), &cookie).grade,
        Grade::Mark
    );
}

#[test]
fn a_name_that_was_made_to_lead_here_is_refused_even_with_the_key() {
    let scene = AuthScene::new();
    let address = scene.by_key(Grade::Mark);
    for host in [
        "shop.example:8431",
        "192.168.4.1.example",
        "localhost:8431",
        "127.0.0.1:8431",
        "192.168.4.2:8431",
        "",
    ] {
        let refused = scene.gets(&address, &[("host", host)]);
        assert_eq!(refused, Err(Refusal::Host), "{host}");
    }
    let twice = [HERE, ("host", "shop.example")];
    assert_eq!(scene.gets(&address, &twice), Err(Refusal::Host));
    assert_eq!(scene.gets(&address, &[]), Err(Refusal::Host));
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
    let scene = AuthScene::new();
    let cookie = scene.cookie(Grade::Mark);
    let post = |ends: Ends, origin: &[(&'static str, &str)]| {
        let all = [&[HERE, ("cookie", cookie.as_str())], origin].concat();
        let asked = scene.asks_at(ends, Method::POST, "/act", &all);
        asked.map(|a| a.session.grade)
    };
    let own = post(LAN, &[("origin", "http://192.168.4.1:8431")]);
    assert_eq!(own, Ok(Grade::Mark));
    for origin in [
        "http://shop.example",
        "null",
        "https://192.168.4.1:8431",
        "http://192.168.4.1:9000",
    ] {
        let refused = post(LAN, &[("origin", origin)]);
        assert_eq!(refused, Err(Refusal::Origin), "{origin}");
    }
    let unsaid = post(LAN, &[]);
    assert_eq!(
        unsaid,
        Err(Refusal::Origin),
        "a post says where it comes from"
    );
    let encrypted = Ends {
        encrypted: true,
        ..LAN
    };
    let own = post(encrypted, &[("origin", "https://192.168.4.1:8431")]);
    assert_eq!(own, Ok(Grade::Mark));
    let plain = post(encrypted, &[("origin", "http://192.168.4.1:8431")]);
    assert_eq!(plain, Err(Refusal::Origin));
    // the key in an address never stamps
    let address = format!("/act?key={}", scene.key(Grade::Mark));
    let headers = [HERE, ("origin", "http://192.168.4.1:8431")];
    let by_link = scene.asks(Method::POST, &address, &headers);
    assert_eq!(by_link, Err(Refusal::NoKey));
}
