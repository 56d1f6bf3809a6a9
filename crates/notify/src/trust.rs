//! Which broker is believed to be the shop's, where the connection to it is encrypted:
//! the one that shows one certificate, or one that is signed by somebody who is trusted.
//! There is no way to believe any.

use std::{
    io,
    path::Path,
    str::FromStr,
    sync::{Arc, Mutex, PoisonError},
};

use phone_view::fingerprint;
use plain_file::Links;
use rumqttc::{ConnectionError, TlsConfiguration, TlsError, Transport};
use rustls::{
    CertificateError, ClientConfig, DigitallySignedStruct, Error, RootCertStore, SignatureScheme,
    client::{
        WebPkiServerVerifier,
        danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier},
    },
    crypto::{
        CryptoProvider, ring, verify_tls12_signature as verify_tls12,
        verify_tls13_signature as verify_tls13,
    },
    pki_types::{CertificateDer, ServerName, UnixTime, pem::PemObject},
    version::{TLS12, TLS13},
};

/// Hexadecimal digits of a SHA-256.
const DIGITS: usize = 64;
/// Longest file of an authority, bytes: room for a dozen.
const MOST_BYTES: u64 = 64 * 1_024;

/// The SHA-256 fingerprint of a certificate, as `fingerprint` spells it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fingerprint(String);

impl FromStr for Fingerprint {
    type Err = String;

    /// In any usual spelling: with colons, with blanks, with neither, with openssl's words
    /// before it.
    fn from_str(text: &str) -> Result<Self, String> {
        let (_, pairs) = text.rsplit_once('=').unwrap_or(("", text));
        let digits = pairs.chars().filter(|c| !matches!(c, ':' | ' '));
        let digits: Vec<char> = digits.map(|c| c.to_ascii_uppercase()).collect();
        if digits.len() != DIGITS || !digits.iter().all(char::is_ascii_hexdigit) {
            return Err(format!(
                "a SHA-256 fingerprint has {DIGITS} hexadecimal digits (openssl x509 -noout \
                 -fingerprint -sha256 -in FILE)"
            ));
        }
        let pairs: Vec<String> = digits.chunks(2).map(String::from_iter).collect();
        Ok(Self(pairs.join(":")))
    }
}

/// Those whose signatures are trusted.
#[derive(Debug, Clone)]
pub struct Authorities(Arc<RootCertStore>);

/// Reads them before anything is recorded.
pub fn authorities_in(file: &str) -> Result<Authorities, String> {
    let bytes = plain_file::read(Path::new(file), MOST_BYTES, Links::Follow)
        .map_err(|e| plain_file::io_words(&e))?;
    let all: Result<Vec<_>, _> = CertificateDer::pem_slice_iter(&bytes).collect();
    let all = all.unwrap_or_default();
    let mut trusted = RootCertStore::empty();
    let (_, unread) = trusted.add_parsable_certificates(all);
    if trusted.is_empty() || unread > 0 {
        return Err(
            "it holds no certificate that can be read; it must be in PEM, beginning \
                    with -----BEGIN CERTIFICATE-----"
                .into(),
        );
    }
    Ok(Authorities(Arc::new(trusted)))
}

/// What a broker that speaks plainly does with a first message of TLS.
const NO_TLS_THERE: &str = "it does not speak TLS at this port; brokers usually do at 8883";

/// Who is believed.
#[derive(Debug, Clone)]
pub enum Trust {
    /// Who is signed for by those whom this computer trusts.
    System,
    /// Who is signed for by these, and by nobody else.
    Signed(Authorities),
    /// Who shows this certificate, and no other.
    One(Fingerprint),
}

impl Trust {
    /// As the options say.
    /// By the certificate with this fingerprint, or by these authorities; else by those that
    /// this computer trusts.
    pub fn of(one: Option<&Fingerprint>, signed: Option<&Authorities>) -> Self {
        match (one, signed) {
            (Some(one), _) => Self::One(one.clone()),
            (None, Some(signed)) => Self::Signed(signed.clone()),
            (None, None) => Self::System,
        }
    }
}

/// Connections to a broker that is believed.
pub(crate) struct Trusted {
    config: Arc<ClientConfig>,
    trust: Trust,
    host: String,
    shown: Shown,
}

/// The fingerprint of the certificate that was shown last.
type Shown = Arc<Mutex<Option<String>>>;

impl Trusted {
    /// For the broker at this host.
    ///
    /// # Errors
    /// In words, where nobody is trusted.
    pub(crate) fn new(trust: Trust, host: &str) -> Result<Self, String> {
        let provider = Arc::new(ring::default_provider());
        let signed = |roots: Arc<RootCertStore>| {
            let builder = WebPkiServerVerifier::builder_with_provider(roots, Arc::clone(&provider));
            builder.build().map_err(|e| e.to_string())
        };
        let signed = match &trust {
            Trust::System => Some(signed(Arc::new(of_this_computer()?))?),
            Trust::Signed(Authorities(roots)) => Some(signed(Arc::clone(roots))?),
            Trust::One(_) => None,
        };
        let one = match &trust {
            Trust::One(Fingerprint(one)) => Some(one.clone()),
            Trust::System | Trust::Signed(_) => None,
        };
        let shown = Shown::default();
        let check = Check {
            signed,
            one,
            shown: Arc::clone(&shown),
            provider: Arc::clone(&provider),
        };
        let config = ClientConfig::builder_with_provider(provider)
            .with_protocol_versions(&[&TLS13, &TLS12])
            .map_err(|e| e.to_string())?
            // the library's word for a check of one's own; this one only ever asks for more
            .dangerous()
            .with_custom_certificate_verifier(Arc::new(check))
            .with_no_client_auth();
        Ok(Self {
            config: Arc::new(config),
            trust,
            host: host.to_owned(),
            shown,
        })
    }

    pub(crate) fn transport(&self) -> Transport {
        Transport::tls_with_config(TlsConfiguration::Rustls(Arc::clone(&self.config)))
    }

    /// Why there is no encrypted connection, for a technician; `None` where it is for
    /// another reason.
    pub(crate) fn words(&self, why: &ConnectionError) -> Option<String> {
        use io::ErrorKind::{BrokenPipe, ConnectionReset, UnexpectedEof};
        let ConnectionError::Tls(why) = why else {
            return None;
        };
        let why = match why {
            TlsError::TLS(why) => why,
            TlsError::Io(e) => match e.get_ref().and_then(|inner| inner.downcast_ref()) {
                Some(why) => why,
                None if matches!(e.kind(), UnexpectedEof | ConnectionReset | BrokenPipe) => {
                    return Some(NO_TLS_THERE.into());
                }
                None => return Some(plain_file::io_words(e)),
            },
            why => return Some(why.to_string()),
        };
        Some(match why {
            Error::InvalidCertificate(why) => self.mistrust(why),
            Error::InvalidMessage(_) => NO_TLS_THERE.into(),
            Error::PeerIncompatible(_) => "it speaks neither TLS 1.2 nor 1.3 as this does".into(),
            Error::AlertReceived(alert) => format!("it refuses to speak TLS: {alert:?}"),
            why => format!("TLS: {why}"),
        })
    }

    fn mistrust(&self, why: &CertificateError) -> String {
        use CertificateError as E;
        let host = &self.host;
        let shown = self.shown.lock().unwrap_or_else(PoisonError::into_inner);
        let shown = shown.as_deref().unwrap_or("not known");
        match why {
            E::ApplicationVerificationFailure => format!(
                "it shows another certificate than that of --mqtt-fingerprint, with the \
                 fingerprint {shown}: it has a new one, or somebody stands between"
            ),
            E::BadSignature if matches!(self.trust, Trust::One(_)) => {
                "it shows the certificate of --mqtt-fingerprint and cannot prove that it is its \
                 own: somebody stands between"
                    .into()
            }
            E::Expired | E::ExpiredContext { .. } => {
                "its certificate has expired, or this computer's clock is wrong".into()
            }
            E::NotValidYet | E::NotValidYetContext { .. } => {
                "its certificate is not valid yet, or this computer's clock is wrong".into()
            }
            E::NotValidForName | E::NotValidForNameContext { .. } => format!(
                "its certificate is not for {host}; give the name or address that it is for, or \
                 --mqtt-fingerprint"
            ),
            _ => {
                let by = match self.trust {
                    Trust::Signed(_) => "the authority of --mqtt-ca-file",
                    Trust::System | Trust::One(_) => "anybody whom this computer trusts",
                };
                let why = match why {
                    E::UnknownIssuer | E::BadSignature => {
                        format!("its certificate is not signed by {by}")
                    }
                    why if why.to_string().contains("CaUsedAsEndEntity") => {
                        "its certificate is an authority's own".into()
                    }
                    why => format!("its certificate does not do: {why}"),
                };
                format!(
                    "{why}. It has the fingerprint {shown}: compare that with the certificate \
                     at the broker itself, and give --mqtt-fingerprint if it is the same"
                )
            }
        }
    }
}

/// Those whom the system trusts.
fn of_this_computer() -> Result<RootCertStore, String> {
    let mut roots = RootCertStore::empty();
    let found = rustls_native_certs::load_native_certs();
    roots.add_parsable_certificates(found.certs);
    if roots.is_empty() {
        return Err(
            "this computer has no list of those it trusts; give --mqtt-fingerprint or \
                    --mqtt-ca-file"
                .into(),
        );
    }
    Ok(roots)
}

/// Looks at the certificate that a broker shows, and remembers which one it was.
#[derive(Debug)]
struct Check {
    /// Believes who is signed for.
    signed: Option<Arc<WebPkiServerVerifier>>,
    /// Believes who shows this one.
    one: Option<String>,
    shown: Shown,
    provider: Arc<CryptoProvider>,
}

impl ServerCertVerifier for Check {
    fn verify_server_cert(
        &self,
        shown: &CertificateDer<'_>,
        between: &[CertificateDer<'_>],
        name: &ServerName<'_>,
        ocsp: &[u8],
        now: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        let seen = fingerprint(shown);
        let believed = match (&self.one, &self.signed) {
            (Some(one), _) if *one == seen => Ok(ServerCertVerified::assertion()),
            (None, Some(signed)) => signed.verify_server_cert(shown, between, name, ocsp, now),
            _ => Err(CertificateError::ApplicationVerificationFailure.into()),
        };
        *self.shown.lock().unwrap_or_else(PoisonError::into_inner) = Some(seen);
        believed
    }

    // whoever shows a certificate has to prove that its key is theirs

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        shown: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let known = &self.provider.signature_verification_algorithms;
        verify_tls12(message, shown, signed, known)
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        shown: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let known = &self.provider.signature_verification_algorithms;
        verify_tls13(message, shown, signed, known)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        self.provider
            .signature_verification_algorithms
            .supported_schemes()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use phone_view::Certificate;
    use rustls::{
        ClientConnection, ServerConfig, ServerConnection, SupportedProtocolVersion,
        pki_types::PrivateKeyDer,
        server::{ClientHello, ResolvesServerCert},
        sign::CertifiedKey,
    };
    use std::time::SystemTime;

    #[test]
    fn a_fingerprint_is_read_in_any_usual_spelling() {
        let pairs = ["0A"; 32].join(":");
        for spelled in [
            pairs.clone(),
            pairs.to_lowercase(),
            pairs.replace(':', ""),
            pairs.replace(':', " "),
            format!("sha256 Fingerprint={pairs}"),
        ] {
            assert_eq!(spelled.parse(), Ok(Fingerprint(pairs.clone())), "{spelled}");
        }
        // SHA-1, one digit short, something else, nothing
        for wrong in [&pairs[..59], &pairs[1..], &pairs.replace('A', "G"), "", "ä"] {
            assert!(wrong.parse::<Fingerprint>().is_err(), "{wrong}");
        }
    }

    /// A server that shows a certificate, with a key that may be another's.
    #[derive(Debug)]
    struct Shows(Arc<CertifiedKey>);

    impl ResolvesServerCert for Shows {
        fn resolve(&self, _: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
            Some(Arc::clone(&self.0))
        }
    }

    /// How a handshake ends, seen from the recorder, with whoever shows `certificate` and
    /// has the key of `key`.
    fn meets(
        trusted: &Trusted,
        certificate: &Certificate,
        key: &Certificate,
        version: &'static SupportedProtocolVersion,
    ) -> Result<(), Error> {
        let der = CertificateDer::from_pem_slice(certificate.to_text().as_bytes());
        let key = PrivateKeyDer::from_pem_slice(key.to_text().as_bytes()).expect("a key");
        let key = ring::sign::any_supported_type(&key).expect("a key that signs");
        let shown = Shows(Arc::new(CertifiedKey::new(vec![der.expect("one")], key)));
        let server = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_protocol_versions(&[version])
            .expect("versions")
            .with_no_client_auth()
            .with_cert_resolver(Arc::new(shown));
        let mut server = ServerConnection::new(Arc::new(server)).expect("a server");
        let name = ServerName::try_from("127.0.0.1").expect("an address");
        let mut client = ClientConnection::new(Arc::clone(&trusted.config), name)?;
        while client.is_handshaking() {
            let mut bytes = Vec::new();
            client.write_tls(&mut bytes).expect("in memory");
            server.read_tls(&mut &bytes[..]).expect("in memory");
            server.process_new_packets()?;
            bytes.clear();
            while server.wants_write() {
                server.write_tls(&mut bytes).expect("in memory");
            }
            let mut rest = &bytes[..];
            while !rest.is_empty() {
                client.read_tls(&mut rest).expect("in memory");
                client.process_new_packets()?;
            }
        }
        Ok(())
    }

    #[test]
    fn to_copy_a_certificate_is_not_enough() {
        let made = || Certificate::made_for(&["127.0.0.1".into()], None, SystemTime::now());
        let (brokers, others) = (made().expect("one"), made().expect("one"));
        let one: Fingerprint = brokers.fingerprint().parse().expect("its fingerprint");
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("ca.pem");
        std::fs::write(&file, brokers.to_text()).expect("written");
        let signed = authorities_in(&file.to_string_lossy()).expect("one");
        for trust in [Trust::One(one), Trust::Signed(signed)] {
            let trusted = Trusted::new(trust, "127.0.0.1").expect("trusted");
            for version in [&TLS12, &TLS13] {
                let meets = |shown, key| meets(&trusted, shown, key, version);
                assert_eq!(meets(&brokers, &brokers), Ok(()));
                let copied = meets(&brokers, &others).expect_err("not its key");
                assert_eq!(copied, CertificateError::BadSignature.into());
                assert!(meets(&others, &others).is_err(), "another certificate");
                let words = trusted.words(&ConnectionError::Tls(TlsError::TLS(copied)));
                let words = words.expect("of TLS");
                let pinned = matches!(trusted.trust, Trust::One(_));
                assert_eq!(words.contains("somebody stands between"), pinned, "{words}");
            }
        }
    }

    #[test]
    fn a_file_without_an_authority_is_refused() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("ca.pem");
        let name = file.to_string_lossy();
        assert!(authorities_in(&name).is_err_and(|why| why.contains("no such file")));
        let empty = "-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n";
        for wrong in ["", "nothing of the kind", empty] {
            std::fs::write(&file, wrong).expect("written");
            assert!(authorities_in(&name).is_err_and(|why| why.contains("PEM")));
        }
    }
}
