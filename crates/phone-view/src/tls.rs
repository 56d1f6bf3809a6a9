//! The page's own certificate, and connections that are encrypted with it (TLS 1.2 and
//! 1.3: RFC 5246, RFC 8446).
//!
//! Nobody vouches for the certificate: it is signed by its own key. A browser says so
//! once; a person compares the fingerprint with the one on the recorder's screen.

use std::{
    fmt,
    net::IpAddr,
    pin::Pin,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    task::{Context, Poll, ready},
    time::{Duration, SystemTime, UNIX_EPOCH},
};

use rcgen::{
    CertificateParams, DnType, ExtendedKeyUsagePurpose, IsCa, KeyPair, KeyUsagePurpose,
    date_time_ymd,
};
use rustls::{
    RootCertStore, ServerConfig,
    client::{verify_server_cert_signed_by_trust_anchor, verify_server_name},
    crypto::ring,
    pki_types::{CertificateDer, PrivateKeyDer, ServerName, UnixTime, pem::PemObject},
    server::{NoServerSessionStorage, ParsedCertificate},
    version::{TLS12, TLS13},
};
use sha2::{Digest, Sha256};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio_rustls::TlsAcceptor;

/// How long a certificate is valid from the day on which it is made.
const VALID: Duration = Duration::from_secs(396 * 24 * 3_600);
/// And before it, for a phone whose clock is behind.
const VALID_BEFORE: Duration = Duration::from_secs(24 * 3_600);
/// With less than this left a new one is made: a run may last days.
const LEFT_AT_LEAST: Duration = Duration::from_secs(7 * 24 * 3_600);
/// Names in one certificate, those of networks this computer was in before among them.
const MOST_NAMES: usize = 16;
/// Bytes that are read of a connection before it has shown a key. The first message of a
/// browser takes about two thousand, its request less than a thousand.
const BEFORE_KEY: usize = 32 * 1024;
/// What one connection may keep waiting to be sent, bytes.
const SEND_BUFFER: usize = 16 * 1024;

/// A certificate that this computer made for its page, with the key that belongs to it.
///
/// Its `Debug` shows the fingerprint only.
#[derive(Clone)]
pub struct Certificate {
    text: String,
    names: Vec<String>,
    der: CertificateDer<'static>,
    server: Arc<ServerConfig>,
}

/// Why there is no certificate.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CertificateError {
    /// It cannot be made.
    #[error("no certificate can be made for the page ({0})")]
    NotMade(String),
    /// The text is something else.
    #[error("it does not hold a certificate of a page and the key that belongs to it")]
    NotACertificate,
}

/// Why a certificate does not do any more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfit {
    /// It is not valid at this time, or not for much longer.
    Time,
    /// The page is served at an address that it does not name.
    Names,
}

impl Certificate {
    /// A new one for a page that is served at these addresses and names, valid from `now`
    /// for 396 days. It also names what `before` names, so that a computer that goes
    /// forth and back between networks does not need a new one each time.
    ///
    /// # Errors
    /// Where the system gives no random numbers, or a name is none.
    pub fn made_for(
        names: &[String],
        before: Option<&Self>,
        now: SystemTime,
    ) -> Result<Self, CertificateError> {
        let not_made = |e: rcgen::Error| CertificateError::NotMade(e.to_string());
        let mut all = names.to_vec();
        all.extend(before.map_or(&[][..], |b| &b.names).iter().cloned());
        let mut seen = std::collections::BTreeSet::new();
        all.retain(|name| seen.insert(name.clone()));
        all.truncate(MOST_NAMES.max(names.len()));
        let mut params = CertificateParams::new(all.clone()).map_err(not_made)?;
        let name = &mut params.distinguished_name;
        name.push(DnType::CommonName, "dryhold page");
        let day = date_time_ymd(1970, 1, 1) + since_1970(now).min(LATEST);
        params.not_before = day - VALID_BEFORE;
        params.not_after = day + VALID;
        params.is_ca = IsCa::ExplicitNoCa;
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        // ECDSA with P-256 and SHA-256, which every browser knows
        let key = KeyPair::generate().map_err(not_made)?;
        let made = params.self_signed(&key).map_err(not_made)?;
        let names = all.join(" ");
        Self::from_text(&format!(
            "{NAMES}{names}\n{}{}",
            made.pem(),
            key.serialize_pem()
        ))
    }

    /// The one in a text of the form [`Certificate::to_text`] gives.
    ///
    /// # Errors
    /// Where the text is something else, or the key belongs to another certificate.
    pub fn from_text(text: &str) -> Result<Self, CertificateError> {
        let none = CertificateError::NotACertificate;
        let bytes = text.as_bytes();
        let der = CertificateDer::from_pem_slice(bytes).map_err(|_| none.clone())?;
        let key = PrivateKeyDer::from_pem_slice(bytes).map_err(|_| none.clone())?;
        let certificate = ParsedCertificate::try_from(&der).map_err(|_| none.clone())?;
        // what it says beside the certificate counts where the certificate says it too
        let names = text.lines().next().and_then(|l| l.strip_prefix(NAMES));
        let names = names.unwrap_or_default().split(' ').map(str::to_owned);
        let names = names.filter(|name| is_named(&certificate, name)).collect();
        let builder = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_protocol_versions(&[&TLS13, &TLS12])
            .map_err(|_| none.clone())?;
        let mut server = builder
            .with_no_client_auth()
            // refuses a key that does not belong to it
            .with_single_cert(vec![der.clone()], key)
            .map_err(|_| none)?;
        server.alpn_protocols = vec![b"http/1.1".to_vec()];
        // nothing is kept for whoever was here before
        server.session_storage = Arc::new(NoServerSessionStorage {});
        server.send_tls13_tickets = 0;
        Ok(Self {
            text: text.to_owned(),
            names,
            der,
            server: Arc::new(server),
        })
    }

    /// Names, certificate and key as text (PEM, RFC 7468), to be kept where nobody else
    /// can read it.
    #[must_use]
    pub fn to_text(&self) -> &str {
        &self.text
    }

    /// Its SHA-256 in pairs of hexadecimal digits, as browsers show it.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        fingerprint(&self.der)
    }

    /// Whether a browser that trusts it would take it for a page at these addresses and
    /// names, now and in a week. It is looked at as a browser looks at it.
    ///
    /// # Errors
    /// Why it would not.
    pub fn fits(&self, names: &[String], now: SystemTime) -> Result<(), Unfit> {
        let parsed = ParsedCertificate::try_from(&self.der).map_err(|_| Unfit::Names)?;
        let mut trusted = RootCertStore::empty();
        trusted.add(self.der.clone()).map_err(|_| Unfit::Time)?;
        let algorithms = ring::default_provider().signature_verification_algorithms;
        for at in [now, now + LEFT_AT_LEAST] {
            let at = UnixTime::since_unix_epoch(since_1970(at));
            let all = algorithms.all;
            verify_server_cert_signed_by_trust_anchor(&parsed, &trusted, &[], at, all)
                .map_err(|_| Unfit::Time)?;
        }
        let all = names.iter().all(|name| is_named(&parsed, name));
        if all { Ok(()) } else { Err(Unfit::Names) }
    }

    /// The encrypted connection, once both ends have agreed on it. `None` where they do
    /// not. Before `keyed` not much is read of it.
    pub(crate) async fn encrypted<S: AsyncRead + AsyncWrite + Unpin>(
        &self,
        stream: S,
        keyed: Arc<AtomicBool>,
    ) -> Option<impl AsyncRead + AsyncWrite + Unpin + use<S>> {
        let left = BEFORE_KEY;
        let stream = LittleBeforeKey {
            stream,
            keyed,
            left,
        };
        let acceptor = TlsAcceptor::from(Arc::clone(&self.server));
        let limit = |connection: &mut rustls::ServerConnection| {
            connection.set_buffer_limit(Some(SEND_BUFFER));
        };
        acceptor.accept_with(stream, limit).await.ok()
    }
}

impl fmt::Debug for Certificate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Certificate({})", self.fingerprint())
    }
}

/// The fingerprint of a certificate (DER, X.690): its SHA-256 in pairs of hexadecimal
/// digits, as browsers show it.
#[must_use]
pub fn fingerprint(certificate: &[u8]) -> String {
    let digest = Sha256::digest(certificate);
    let pairs: Vec<String> = digest.iter().map(|byte| format!("{byte:02X}")).collect();
    pairs.join(":")
}

/// How the line of its names begins.
const NAMES: &str = "names: ";

/// A clock that says more than this (the year 2191) is wrong; dates can be written down
/// until then and for a certificate's time after.
const LATEST: Duration = Duration::from_secs(7_000_000_000);

fn since_1970(time: SystemTime) -> Duration {
    time.duration_since(UNIX_EPOCH).unwrap_or_default()
}

/// True where the certificate is for this address or name.
fn is_named(certificate: &ParsedCertificate<'_>, name: &str) -> bool {
    let name = match name.parse::<IpAddr>() {
        Ok(address) => ServerName::from(address),
        Err(_) => match ServerName::try_from(name) {
            Ok(name) => name,
            Err(_) => return false,
        },
    };
    verify_server_name(certificate, &name).is_ok()
}

/// A stream of which little is read before a key was shown, whatever the other end sends:
/// messages that never end would be kept in memory.
struct LittleBeforeKey<S> {
    stream: S,
    keyed: Arc<AtomicBool>,
    left: usize,
}

impl<S: AsyncRead + Unpin> AsyncRead for LittleBeforeKey<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<std::io::Result<()>> {
        let before = buffer.filled().len();
        ready!(Pin::new(&mut self.stream).poll_read(cx, buffer))?;
        if !self.keyed.load(Ordering::Relaxed) {
            let read = buffer.filled().len() - before;
            let left = self.left.checked_sub(read);
            self.left = left.ok_or(std::io::ErrorKind::FileTooLarge)?;
        }
        Poll::Ready(Ok(()))
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for LittleBeforeKey<S> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<std::io::Result<usize>> {
        Pin::new(&mut self.stream).poll_write(cx, bytes)
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}

#[cfg(test)]
mod tests;
