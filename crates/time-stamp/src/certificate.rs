//! What one certificate says of itself (RFC 5280), and what it may be used for.

use chrono::{DateTime, Utc};
use der::{Decode, Encode, asn1::ObjectIdentifier, oid::AssociatedOid};
use x509_cert::{
    Certificate,
    ext::pkix::{BasicConstraints, ExtendedKeyUsage, KeyUsage},
};

use crate::{
    refusal::{Refusal, shown},
    signature,
};

/// `id-kp-timeStamping`, RFC 3161 section 2.3.
const TIME_STAMPING: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.3.6.1.5.5.7.3.8");
/// `anyExtendedKeyUsage`, RFC 5280 section 4.2.1.12.
const ANY_USE: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.29.37.0");
const COMMON_NAME: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.4.3");
const ORGANISATION: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.4.10");

/// Rules that may be marked as binding: constraints, uses, other names of the
/// subject, and policies, of which nothing is asked here.
const KNOWN_RULES: [ObjectIdentifier; 5] = [
    BasicConstraints::OID,
    KeyUsage::OID,
    ExtendedKeyUsage::OID,
    ObjectIdentifier::new_unwrap("2.5.29.17"),
    ObjectIdentifier::new_unwrap("2.5.29.32"),
];

/// The name of whom it was made out to, as people say it: the common name, else the
/// organisation, else all of it.
pub(crate) fn name(certificate: &Certificate) -> String {
    let subject = certificate.tbs_certificate().subject();
    let one = |wanted: ObjectIdentifier| {
        let part = subject.iter().find(|part| part.oid == wanted)?;
        // text in whatever form: the bytes of those in use are read alike
        let text = shown(part.value.value());
        (!text.is_empty()).then_some(text)
    };
    one(COMMON_NAME)
        .or_else(|| one(ORGANISATION))
        .unwrap_or_else(|| shown(subject.to_string().as_bytes()))
}

/// An extension, and whether it is binding. One that is there twice or cannot be read
/// is no extension at all.
fn extension<'a, T: Decode<'a, Error = der::Error> + AssociatedOid>(
    certificate: &'a Certificate,
) -> Result<Option<(bool, T)>, Refusal> {
    let found = certificate.tbs_certificate().get_extension::<T>();
    found.map_err(|_| Refusal::NotATimeStamp {
        what: "a rule of a certificate",
    })
}

/// Whether it was valid then.
pub(crate) fn was_valid(certificate: &Certificate, at: DateTime<Utc>) -> Result<(), Refusal> {
    let validity = certificate.tbs_certificate().validity();
    let moment = |time: x509_cert::time::Time| {
        let seconds = i64::try_from(time.to_unix_duration().as_secs()).ok()?;
        DateTime::from_timestamp(seconds, 0)
    };
    let (Some(from), Some(to)) = (moment(validity.not_before), moment(validity.not_after)) else {
        return Err(Refusal::NotATimeStamp {
            what: "the dates of a certificate",
        });
    };
    // both ends count; the last second counts as a whole
    if at >= from && at.timestamp() <= to.timestamp() {
        return Ok(());
    }
    Err(Refusal::NotValidThen {
        name: name(certificate),
        at,
        from,
        to,
    })
}

/// Whether every rule that it marks as binding is one that is known here.
pub(crate) fn has_known_rules(certificate: &Certificate) -> Result<(), Refusal> {
    let all = certificate.tbs_certificate().extensions();
    let unknown = all
        .into_iter()
        .flatten()
        .find(|e| e.critical && !KNOWN_RULES.contains(&e.extn_id));
    match unknown {
        None => Ok(()),
        Some(e) => Err(Refusal::UnknownRule {
            name: name(certificate),
            rule: e.extn_id.to_string(),
        }),
    }
}

/// RFC 3161 section 2.3: for time stamps and nothing else, and binding. Where the uses
/// of the key are stated, it may sign.
pub(crate) fn is_for_time_stamps(certificate: &Certificate) -> Result<(), Refusal> {
    let uses = extension::<ExtendedKeyUsage>(certificate)?;
    let only = matches!(&uses, Some((true, uses)) if uses.0 == [TIME_STAMPING]);
    let key = extension::<KeyUsage>(certificate)?;
    let may_sign = key.is_none_or(|(_, key)| key.digital_signature() || key.non_repudiation());
    if only && may_sign {
        return Ok(());
    }
    Err(Refusal::NotForTimeStamps {
        name: name(certificate),
    })
}

/// RFC 5280 section 6.1.4: an authority, whose key may sign certificates, with this
/// many other authorities between it and the one that signs stamps. Where its uses are
/// narrowed, time stamps are among them.
pub(crate) fn may_issue(certificate: &Certificate, between: usize) -> Result<(), Refusal> {
    let no = || Refusal::MayNotIssue {
        name: name(certificate),
    };
    let (_, constraints) = extension::<BasicConstraints>(certificate)?.ok_or_else(no)?;
    let key = extension::<KeyUsage>(certificate)?;
    let uses = extension::<ExtendedKeyUsage>(certificate)?;
    let fits = constraints.ca
        && constraints
            .path_len_constraint
            .is_none_or(|most| between <= usize::from(most))
        && key.is_none_or(|(_, key)| key.key_cert_sign())
        && uses
            .is_none_or(|(_, uses)| uses.0.contains(&TIME_STAMPING) || uses.0.contains(&ANY_USE));
    fits.then_some(()).ok_or_else(no)
}

/// Whether `issuer` signed it.
pub(crate) fn is_signed_by(certificate: &Certificate, issuer: &Certificate) -> Result<(), Refusal> {
    let cannot = || Refusal::NotATimeStamp {
        what: "a certificate",
    };
    let signed = certificate.tbs_certificate();
    // the same is stated twice, and only one of them is signed
    if signed.signature() != certificate.signature_algorithm() {
        return Err(cannot());
    }
    let bytes = signed.to_der().map_err(|_| cannot())?;
    signature::check(
        issuer.tbs_certificate().subject_public_key_info(),
        certificate.signature_algorithm(),
        None,
        &bytes,
        certificate.signature().as_bytes().ok_or_else(cannot)?,
    )
}
