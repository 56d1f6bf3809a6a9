//! From the certificate that signed a stamp to one that is trusted.

use chrono::{DateTime, Utc};
use der::{Decode, DecodePem};
use x509_cert::Certificate;

use crate::{
    certificate::{has_known_rules, is_signed_by, may_issue, name, was_valid},
    refusal::{NotACertificate, Refusal},
};

/// Most authorities between the one that signs stamps and one that is trusted.
const MOST_BETWEEN: usize = 4;

/// Most signatures of certificates that are looked at for one stamp, whatever it holds.
const MOST_SIGNATURES: usize = 24;

const BEGIN: &str = "-----BEGIN CERTIFICATE-----";
const END: &str = "-----END CERTIFICATE-----";

/// Certificates that the reader of a stamp trusts: of an authority's root, of one
/// below it, or of the authority that signs stamps itself.
#[derive(Debug, Clone, Default)]
pub struct Trusted {
    certificates: Vec<Certificate>,
}

impl Trusted {
    /// Nobody yet.
    #[must_use]
    pub fn none() -> Self {
        Self::default()
    }

    /// True when nobody is trusted.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.certificates.is_empty()
    }

    /// Adds the certificates of a file: one or more as PEM (RFC 7468) with any text
    /// around them, or one as DER.
    ///
    /// # Errors
    /// When there is none in it, or one of them cannot be read: nothing is passed over.
    pub fn add(&mut self, file: &[u8]) -> Result<(), NotACertificate> {
        let mut found = Vec::new();
        if let Ok(text) = std::str::from_utf8(file)
            && text.contains(BEGIN)
        {
            for block in text.split(BEGIN).skip(1) {
                let inside = block.split(END).next().filter(|i| i.len() < block.len());
                let inside = inside.ok_or(NotACertificate)?;
                let whole = format!("{BEGIN}{inside}{END}\n");
                let read = Certificate::from_pem(whole.as_bytes());
                found.push(read.map_err(|_| NotACertificate)?);
            }
        } else {
            found.push(Certificate::from_der(file).map_err(|_| NotACertificate)?);
        }
        self.certificates.extend(found);
        Ok(())
    }
}

/// Names the trusted certificate to which a chain leads from the one that signed.
pub(crate) fn trace(
    signer: &Certificate,
    brought: &[Certificate],
    trusted: &Trusted,
    at: DateTime<Utc>,
) -> Result<String, Refusal> {
    let mut search = Search {
        brought,
        trusted,
        at,
        signatures: 0,
        why: None,
    };
    let mut path = vec![signer];
    match search.from(&mut path) {
        Some(root) => Ok(root),
        None => Err(search
            .why
            .unwrap_or_else(|| Refusal::NotTrusted { name: name(signer) })),
    }
}

struct Search<'a> {
    brought: &'a [Certificate],
    trusted: &'a Trusted,
    at: DateTime<Utc>,
    signatures: usize,
    /// Why a chain that nearly was one is none.
    why: Option<Refusal>,
}

impl<'a> Search<'a> {
    /// `path` begins with the certificate that signed the stamp; its last is the one
    /// that somebody has to vouch for.
    fn from(&mut self, path: &mut Vec<&'a Certificate>) -> Option<String> {
        let last = *path.last()?;
        let trusted = self.trusted;
        if trusted.certificates.contains(last) {
            return Some(name(last));
        }
        // authorities below the one that is looked for now
        let between = path.len() - 1;
        let issuer = last.tbs_certificate().issuer();
        let has_name = |c: &&Certificate| c.tbs_certificate().subject() == issuer;
        for root in trusted.certificates.iter().filter(has_name) {
            if self.vouches(root, last, between) {
                return Some(name(root));
            }
        }
        if between == MOST_BETWEEN {
            return None;
        }
        for next in self.brought.iter().filter(has_name) {
            if path.contains(&next) || !self.vouches(next, last, between) {
                continue;
            }
            path.push(next);
            if let Some(root) = self.from(path) {
                return Some(root);
            }
            path.pop();
        }
        None
    }

    /// Whether one vouches for the other; remembers the first reason why not.
    fn vouches(&mut self, issuer: &Certificate, of: &Certificate, between: usize) -> bool {
        if self.signatures == MOST_SIGNATURES {
            return false;
        }
        self.signatures += 1;
        let signed = is_signed_by(of, issuer);
        // another key of the same name says nothing against the chain
        if signed == Err(Refusal::WrongSignature) {
            return false;
        }
        let fits = signed
            .and_then(|()| may_issue(issuer, between))
            .and_then(|()| has_known_rules(issuer))
            .and_then(|()| was_valid(issuer, self.at));
        match fits {
            Ok(()) => true,
            Err(why) => {
                self.why.get_or_insert(why);
                false
            }
        }
    }
}
