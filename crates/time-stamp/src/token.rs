//! The answer of an authority: read, and its signature checked.

use chrono::{DateTime, TimeDelta, Utc};
use cms::{
    cert::CertificateChoices,
    content_info::ContentInfo,
    signed_data::{SignedData, SignerIdentifier, SignerInfo},
};
use der::{Any, Decode, Encode, asn1::ObjectIdentifier, asn1::OctetString};
use sha1::Sha1;
use sha2::Digest;
use x509_cert::{Certificate, ext::pkix::SubjectKeyIdentifier};

use crate::{
    LONGEST,
    asn1::{
        CONTENT_TYPE, MESSAGE_DIGEST, PkiStatusInfo, SHA1, SHA256, SIGNED_DATA,
        SIGNING_CERTIFICATE, SIGNING_CERTIFICATE_V2, SigningCertificate, SigningCertificateV2,
        TST_INFO, TimeStampResp, TstInfo,
    },
    certificate::{has_known_rules, is_for_time_stamps, name, was_valid},
    chain::{Trusted, trace},
    moment::generalized_time,
    refusal::{Refusal, shown},
    signature::{self, Hash},
};

/// A time stamp as it was read: nothing in it is believed yet.
#[derive(Debug, Clone)]
pub struct Token {
    /// The bytes that the signature covers by their digest.
    content: OctetString,
    info: TstInfo,
    time: DateTime<Utc>,
    signer: SignerInfo,
    certificates: Vec<Certificate>,
}

/// A time stamp whose signature fits what it says. Whether whoever signed it is an
/// authority is [`Signed::vouched_for`].
#[derive(Debug, Clone)]
pub struct Signed {
    token: Token,
    signer: Certificate,
}

fn unreadable(what: &'static str) -> Refusal {
    Refusal::NotATimeStamp { what }
}

impl Token {
    /// Reads the answer of an authority (`TimeStampResp`), or the stamp alone that is
    /// in it (`TimeStampToken`).
    ///
    /// # Errors
    /// When it is no such thing, or the authority refused.
    pub fn read(bytes: &[u8]) -> Result<Self, Refusal> {
        if bytes.len() > LONGEST {
            return Err(Refusal::TooLong { bytes: bytes.len() });
        }
        let content = match TimeStampResp::from_der(bytes) {
            Ok(answer) => granted(&answer.status, answer.time_stamp_token)?
                .decode_as::<ContentInfo>()
                .map_err(|_| unreadable("the signed part"))?,
            Err(_) => ContentInfo::from_der(bytes).map_err(|_| unreadable("its outer form"))?,
        };
        if content.content_type != SIGNED_DATA {
            return Err(Refusal::NotSigned {
                what: "it holds no signed data",
            });
        }
        let signed = content.content.decode_as::<SignedData>();
        Self::of(signed.map_err(|_| unreadable("the signed part"))?)
    }

    fn of(signed: SignedData) -> Result<Self, Refusal> {
        let not_signed = |what| Refusal::NotSigned { what };
        let inside = signed.encap_content_info;
        if inside.econtent_type != TST_INFO {
            return Err(not_signed("what it signs is no time"));
        }
        let content = inside.econtent.ok_or_else(|| unreadable("the time"))?;
        let content: OctetString = content.decode_as().map_err(|_| unreadable("the time"))?;
        let info = TstInfo::from_der(content.as_bytes()).map_err(|_| unreadable("the time"))?;
        if info.version != 1 {
            return Err(Refusal::NotKnown {
                what: format!("version {} of the format", info.version),
            });
        }
        // such an extension has to be kept, and none is known
        let extensions = info.extensions.iter().flatten();
        if let Some(rule) = extensions.into_iter().find(|e| e.critical) {
            return Err(signature::not_known("the extension", rule.extn_id));
        }
        let time = generalized_time(&info.gen_time).ok_or_else(|| unreadable("the time"))?;
        let mut signers = signed.signer_infos.0.into_vec().into_iter();
        let (Some(signer), None) = (signers.next(), signers.next()) else {
            return Err(not_signed("there is not one who signed it"));
        };
        let all = signed.certificates.into_iter().flat_map(|c| c.0.into_vec());
        let certificates = all.filter_map(|choice| match choice {
            CertificateChoices::Certificate(certificate) => Some(certificate),
            CertificateChoices::Other(_) => None,
        });
        Ok(Self {
            certificates: certificates.collect(),
            content,
            info,
            time,
            signer,
        })
    }

    /// The time it states: not to be believed before the signature was checked.
    #[must_use]
    pub fn time(&self) -> DateTime<Utc> {
        self.time
    }

    /// Whether it answers the request that had this random number.
    ///
    /// # Errors
    /// When it has another one, or none.
    pub fn answers(&self, nonce: u64) -> Result<(), Refusal> {
        let bytes = self.info.nonce.as_ref().map(|n| n.as_bytes());
        let value = bytes.and_then(|bytes| {
            // a number below zero is none that was sent
            let is_positive = bytes.first().is_some_and(|b| b & 0x80 == 0);
            let start = bytes.iter().position(|b| *b != 0).unwrap_or(bytes.len());
            let short = bytes.get(start..).filter(|b| b.len() <= 8 && is_positive)?;
            Some(short.iter().fold(0, |sum, b| sum << 8 | u64::from(*b)))
        });
        match value {
            Some(value) if value == nonce => Ok(()),
            _ => Err(Refusal::OtherNonce),
        }
    }

    /// Checks that it covers this SHA-256, that its signature fits the certificate it
    /// names, and that this one is for time stamps and was valid at its time.
    ///
    /// # Errors
    /// The first of these that is not so.
    pub fn signed_over(self, digest: &[u8; 32]) -> Result<Signed, Refusal> {
        let imprint = &self.info.message_imprint;
        if imprint.hash_algorithm.oid != SHA256 {
            return Err(Refusal::NotSha256);
        }
        if imprint.hashed_message.as_bytes() != digest {
            return Err(Refusal::OtherDigest);
        }
        let signer = self
            .certificates
            .iter()
            .find(|c| is_meant(&self.signer.sid, c));
        let signer = signer.ok_or(Refusal::NoCertificate)?.clone();
        self.check_signature(&signer)?;
        has_known_rules(&signer)?;
        is_for_time_stamps(&signer)?;
        was_valid(&signer, self.time)?;
        Ok(Signed {
            signer,
            token: self,
        })
    }

    /// RFC 5652 section 5.4: the signature covers the attributes, and these the content.
    fn check_signature(&self, signer: &Certificate) -> Result<(), Refusal> {
        let not_signed = |what| Refusal::NotSigned { what };
        let attributes = self.signer.signed_attrs.as_ref();
        let attributes = attributes.ok_or_else(|| not_signed("nothing says what was signed"))?;
        let one = |wanted: ObjectIdentifier| -> Result<Option<&Any>, Refusal> {
            let mut all = attributes.iter().filter(|a| a.oid == wanted);
            let (Some(first), None) = (all.next(), all.next()) else {
                let is_there = attributes.iter().any(|a| a.oid == wanted);
                return match is_there {
                    true => Err(not_signed("it says twice what was signed")),
                    false => Ok(None),
                };
            };
            let only = first.values.get(0).filter(|_| first.values.len() == 1);
            only.map(Some)
                .ok_or_else(|| not_signed("it says twice what was signed"))
        };
        let kind = one(CONTENT_TYPE)?.and_then(|v| v.decode_as::<ObjectIdentifier>().ok());
        if kind != Some(TST_INFO) {
            return Err(not_signed("it was signed as something else"));
        }
        let hash = Hash::of(&self.signer.digest_alg)?;
        let digest = one(MESSAGE_DIGEST)?.and_then(|v| v.decode_as::<OctetString>().ok());
        if digest.is_none_or(|d| d.as_bytes() != hash.digest(self.content.as_bytes())) {
            return Err(Refusal::WrongSignature);
        }
        match (one(SIGNING_CERTIFICATE_V2)?, one(SIGNING_CERTIFICATE)?) {
            (None, None) => return Err(not_signed("it does not say by which certificate")),
            (v2, v1) => {
                let named = v2.map_or(Ok(true), |v| is_named_v2(v, signer))?
                    && v1.map_or(Ok(true), |v| is_named_v1(v, signer))?;
                if !named {
                    return Err(Refusal::OtherCertificate);
                }
            }
        }
        let bytes = attributes
            .to_der()
            .map_err(|_| unreadable("what was signed"))?;
        signature::check(
            signer.tbs_certificate().subject_public_key_info(),
            &self.signer.signature_algorithm,
            Some(hash),
            &bytes,
            self.signer.signature.as_bytes(),
        )
    }
}

impl Signed {
    /// The time it states.
    #[must_use]
    pub fn time(&self) -> DateTime<Utc> {
        self.token.time
    }

    /// How far the time may be off, to either side, as the authority says; `None` where
    /// it does not.
    #[must_use]
    pub fn accuracy(&self) -> Option<TimeDelta> {
        let stated = self.token.info.accuracy.as_ref()?;
        Some(
            TimeDelta::seconds(stated.seconds.unwrap_or(0).into())
                + TimeDelta::milliseconds(stated.millis.unwrap_or(0).into())
                + TimeDelta::microseconds(stated.micros.unwrap_or(0).into()),
        )
    }

    /// The name in the certificate that signed. Anybody can make a certificate with
    /// any name.
    #[must_use]
    pub fn authority(&self) -> String {
        name(&self.signer)
    }

    /// Names the trusted certificate that vouches for whoever signed, perhaps by way of
    /// others that came with the stamp.
    ///
    /// # Errors
    /// When none does.
    pub fn vouched_for(&self, trusted: &Trusted) -> Result<String, Refusal> {
        let token = &self.token;
        trace(&self.signer, &token.certificates, trusted, token.time)
    }
}

/// The stamp in an answer, where there is one.
fn granted(status: &PkiStatusInfo, token: Option<Any>) -> Result<Any, Refusal> {
    let texts = status.status_string.iter().flatten();
    let said: Vec<String> = texts.map(|text| shown(text.value())).collect();
    let refused = |short: &str| Refusal::NotGranted {
        why: match said.is_empty() {
            true => short.to_owned(),
            false => format!("{short}, \"{}\"", shown(said.join(" ").as_bytes())),
        },
    };
    match (status.status, token) {
        // granted, also with changes: what was changed is looked at
        (0 | 1, Some(token)) => Ok(token),
        (0 | 1, None) => Err(refused("it granted a stamp and sent none")),
        (2, _) => Err(refused("it rejected the request")),
        (3, _) => Err(refused("it is to be asked again later")),
        (status, _) => Err(refused(&format!("status {status}"))),
    }
}

/// Whether the signer's entry means this certificate.
fn is_meant(id: &SignerIdentifier, certificate: &Certificate) -> bool {
    let own = certificate.tbs_certificate();
    match id {
        SignerIdentifier::IssuerAndSerialNumber(id) => {
            id.issuer == *own.issuer() && id.serial_number == *own.serial_number()
        }
        SignerIdentifier::SubjectKeyIdentifier(id) => own
            .get_extension::<SubjectKeyIdentifier>()
            .is_ok_and(|own| own.is_some_and(|(_, own)| own == *id)),
    }
}

/// RFC 5035 section 3: the first certificate named is that of the signer.
fn is_named_v2(value: &Any, signer: &Certificate) -> Result<bool, Refusal> {
    let named: SigningCertificateV2 = value
        .decode_as()
        .map_err(|_| unreadable("the name of the signer's certificate"))?;
    let Some(first) = named.certs.first() else {
        return Ok(false);
    };
    let hash = first.hash_algorithm.as_ref();
    let bytes = signer.to_der().map_err(|_| unreadable("a certificate"))?;
    let digest = match hash {
        None => Hash::Sha256.digest(&bytes),
        Some(algorithm) if algorithm.oid == SHA1 => Sha1::digest(&bytes).to_vec(),
        Some(algorithm) => Hash::of(algorithm)?.digest(&bytes),
    };
    Ok(first.cert_hash.as_bytes() == digest)
}

/// RFC 2634 section 5.4. It names the certificate by a SHA-1, which many authorities
/// still do. The chain does not rest on it: the certificate itself is signed with
/// something better.
fn is_named_v1(value: &Any, signer: &Certificate) -> Result<bool, Refusal> {
    let named: SigningCertificate = value
        .decode_as()
        .map_err(|_| unreadable("the name of the signer's certificate"))?;
    let bytes = signer.to_der().map_err(|_| unreadable("a certificate"))?;
    let digest = Sha1::digest(&bytes);
    Ok(named
        .certs
        .first()
        .is_some_and(|first| first.cert_hash.as_bytes() == digest.as_slice()))
}
