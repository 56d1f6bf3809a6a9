//! The structures of RFC 3161 and RFC 5816, as far as they are needed.

use der::{
    Any, Sequence,
    asn1::{BitString, Int, ObjectIdentifier, OctetString, Uint},
};
use x509_cert::{ext::Extensions, spki::AlgorithmIdentifierOwned};

/// SHA-1, only to know by its digest which certificate is meant.
pub(crate) const SHA1: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.3.14.3.2.26");
/// SHA-256 (FIPS 180-4).
pub(crate) const SHA256: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.16.840.1.101.3.4.2.1");
/// `id-signedData`, RFC 5652 section 5.1.
pub(crate) const SIGNED_DATA: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.7.2");
/// `id-ct-TSTInfo`, RFC 3161 section 2.4.2.
pub(crate) const TST_INFO: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.1.4");
/// `id-contentType`, RFC 5652 section 11.1.
pub(crate) const CONTENT_TYPE: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.3");
/// `id-messageDigest`, RFC 5652 section 11.2.
pub(crate) const MESSAGE_DIGEST: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.4");
/// `id-aa-signingCertificate`, RFC 2634 section 5.4.
pub(crate) const SIGNING_CERTIFICATE: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.12");
/// `id-aa-signingCertificateV2`, RFC 5035 section 3.
pub(crate) const SIGNING_CERTIFICATE_V2: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.47");

/// What is to be stamped: a digest, and how it was made.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct MessageImprint {
    pub(crate) hash_algorithm: AlgorithmIdentifierOwned,
    pub(crate) hashed_message: OctetString,
}

/// RFC 3161 section 2.4.1.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct TimeStampReq {
    pub(crate) version: u8,
    pub(crate) message_imprint: MessageImprint,
    #[asn1(optional = "true")]
    pub(crate) req_policy: Option<ObjectIdentifier>,
    #[asn1(optional = "true")]
    pub(crate) nonce: Option<Uint>,
    #[asn1(default = "Default::default")]
    pub(crate) cert_req: bool,
}

/// RFC 3161 section 2.4.2. The words for a person are kept as they came: some
/// authorities give them in another form than the standard's.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct PkiStatusInfo {
    pub(crate) status: u8,
    #[asn1(optional = "true")]
    pub(crate) status_string: Option<Vec<Any>>,
    #[asn1(optional = "true")]
    pub(crate) fail_info: Option<BitString>,
}

/// RFC 3161 section 2.4.2.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct TimeStampResp {
    pub(crate) status: PkiStatusInfo,
    #[asn1(optional = "true")]
    pub(crate) time_stamp_token: Option<Any>,
}

/// What the authority states, RFC 3161 section 2.4.2. The time is kept as it came,
/// because it may have a fraction of a second, which DER types for certificates have
/// not.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct TstInfo {
    pub(crate) version: u8,
    pub(crate) policy: ObjectIdentifier,
    pub(crate) message_imprint: MessageImprint,
    pub(crate) serial_number: Int,
    pub(crate) gen_time: Any,
    #[asn1(optional = "true")]
    pub(crate) accuracy: Option<Accuracy>,
    #[asn1(default = "Default::default")]
    pub(crate) ordering: bool,
    #[asn1(optional = "true")]
    pub(crate) nonce: Option<Int>,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT", optional = "true")]
    pub(crate) tsa: Option<Any>,
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", optional = "true")]
    pub(crate) extensions: Option<Extensions>,
}

/// How far the time may be off, to either side.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct Accuracy {
    #[asn1(optional = "true")]
    pub(crate) seconds: Option<u32>,
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", optional = "true")]
    pub(crate) millis: Option<u16>,
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", optional = "true")]
    pub(crate) micros: Option<u16>,
}

/// RFC 2634 section 5.4: the certificate that signs, by its SHA-1.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct EssCertId {
    pub(crate) cert_hash: OctetString,
    #[asn1(optional = "true")]
    pub(crate) issuer_serial: Option<Any>,
}

/// RFC 2634 section 5.4.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct SigningCertificate {
    pub(crate) certs: Vec<EssCertId>,
    #[asn1(optional = "true")]
    pub(crate) policies: Option<Any>,
}

/// RFC 5035 section 4: the certificate that signs, by its SHA-256 or another digest.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct EssCertIdV2 {
    #[asn1(optional = "true")]
    pub(crate) hash_algorithm: Option<AlgorithmIdentifierOwned>,
    pub(crate) cert_hash: OctetString,
    #[asn1(optional = "true")]
    pub(crate) issuer_serial: Option<Any>,
}

/// RFC 5035 section 3.
#[derive(Clone, Debug, PartialEq, Eq, Sequence)]
pub(crate) struct SigningCertificateV2 {
    pub(crate) certs: Vec<EssCertIdV2>,
    #[asn1(optional = "true")]
    pub(crate) policies: Option<Any>,
}
