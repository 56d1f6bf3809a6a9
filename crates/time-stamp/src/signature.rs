//! Signatures of authorities: RSA and ECDSA, by public keys only.

use der::{
    Decode, Sequence,
    asn1::{ObjectIdentifier, UintRef},
};
use p256::ecdsa::signature::hazmat::PrehashVerifier;
use rsa::pkcs1v15;
use sha2::{Digest, Sha256, Sha384, Sha512};
use x509_cert::spki::{AlgorithmIdentifierOwned, SubjectPublicKeyInfoOwned};

use crate::{asn1::SHA256, refusal::Refusal};

const SHA384: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.16.840.1.101.3.4.2.2");
const SHA512: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.16.840.1.101.3.4.2.3");
/// `rsaEncryption`, RFC 8017.
const RSA: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.1.1");
/// `sha256WithRSAEncryption` and its two larger ones, RFC 8017.
const RSA_SHA256: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.1.11");
const RSA_SHA384: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.1.12");
const RSA_SHA512: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.1.13");
/// `id-ecPublicKey` and its curves, RFC 5480.
const EC: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.2.1");
const P256: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.3.1.7");
const P384: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.3.132.0.34");
/// `ecdsa-with-SHA256` and its two larger ones, RFC 5758.
const ECDSA_SHA256: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.4.3.2");
const ECDSA_SHA384: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.4.3.3");
const ECDSA_SHA512: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.4.3.4");

/// A digest that may be signed (FIPS 180-4). SHA-1 is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hash {
    Sha256,
    Sha384,
    Sha512,
}

impl Hash {
    pub(crate) fn of(algorithm: &AlgorithmIdentifierOwned) -> Result<Self, Refusal> {
        match algorithm.oid {
            SHA256 => Ok(Self::Sha256),
            SHA384 => Ok(Self::Sha384),
            SHA512 => Ok(Self::Sha512),
            oid => Err(not_known("the digest", oid)),
        }
    }

    pub(crate) fn digest(self, bytes: &[u8]) -> Vec<u8> {
        match self {
            Self::Sha256 => Sha256::digest(bytes).to_vec(),
            Self::Sha384 => Sha384::digest(bytes).to_vec(),
            Self::Sha512 => Sha512::digest(bytes).to_vec(),
        }
    }
}

pub(crate) fn not_known(what: &str, oid: ObjectIdentifier) -> Refusal {
    Refusal::NotKnown {
        what: format!("{what} {oid}"),
    }
}

/// How something was signed.
#[derive(Debug, Clone, Copy)]
enum Scheme {
    Rsa(Hash),
    Ecdsa(Hash),
}

/// `stated` is the digest that a CMS signer names beside the signature. RFC 5754 lets
/// it name plain RSA there, and then that digest was signed.
fn scheme(algorithm: &AlgorithmIdentifierOwned, stated: Option<Hash>) -> Result<Scheme, Refusal> {
    let scheme = match algorithm.oid {
        RSA_SHA256 => Scheme::Rsa(Hash::Sha256),
        RSA_SHA384 => Scheme::Rsa(Hash::Sha384),
        RSA_SHA512 => Scheme::Rsa(Hash::Sha512),
        ECDSA_SHA256 => Scheme::Ecdsa(Hash::Sha256),
        ECDSA_SHA384 => Scheme::Ecdsa(Hash::Sha384),
        ECDSA_SHA512 => Scheme::Ecdsa(Hash::Sha512),
        oid => match stated {
            Some(hash) if oid == RSA => Scheme::Rsa(hash),
            _ => return Err(not_known("the signature", oid)),
        },
    };
    let (Scheme::Rsa(hash) | Scheme::Ecdsa(hash)) = scheme;
    match stated {
        Some(stated) if stated != hash => Err(Refusal::NotSigned {
            what: "it names two digests",
        }),
        _ => Ok(scheme),
    }
}

/// An RSA public key, RFC 8017 appendix A.1.1.
#[derive(Sequence)]
struct RsaKey<'a> {
    modulus: UintRef<'a>,
    exponent: UintRef<'a>,
}

/// Whether this key made this signature over these bytes.
///
/// Of the package `rsa` only the check of a signature by a public key is used. What
/// is known against it, that the time it takes may give a private key away, does not
/// concern this: there is no secret here.
pub(crate) fn check(
    key: &SubjectPublicKeyInfoOwned,
    algorithm: &AlgorithmIdentifierOwned,
    stated: Option<Hash>,
    bytes: &[u8],
    signature: &[u8],
) -> Result<(), Refusal> {
    let scheme = scheme(algorithm, stated)?;
    let key_bytes = key
        .subject_public_key
        .as_bytes()
        .ok_or(Refusal::NotATimeStamp { what: "a key" })?;
    let fits = match (scheme, key.algorithm.oid) {
        (Scheme::Rsa(hash), RSA) => rsa(key_bytes, hash, bytes, signature)?,
        (Scheme::Ecdsa(hash), EC) => {
            let curve = key.algorithm.parameters.as_ref();
            let curve = curve.and_then(|p| p.decode_as::<ObjectIdentifier>().ok());
            let digest = hash.digest(bytes);
            match curve {
                Some(P256) => on_p256(key_bytes, &digest, signature),
                Some(P384) => on_p384(key_bytes, &digest, signature),
                Some(oid) => return Err(not_known("the curve", oid)),
                None => return Err(Refusal::NotATimeStamp { what: "a curve" }),
            }
        }
        // a key of the one kind never made a signature of the other
        _ => None,
    };
    fits.ok_or(Refusal::WrongSignature)
}

/// Keys of 2048 bits (NIST SP 800-131A) to 8192, as the package has them.
fn rsa(key: &[u8], hash: Hash, bytes: &[u8], signature: &[u8]) -> Result<Option<()>, Refusal> {
    let number = |n: UintRef<'_>| rsa::BoxedUint::from_be_slice_vartime(n.as_bytes());
    let key = RsaKey::from_der(key).map_err(|_| Refusal::NotATimeStamp { what: "a key" })?;
    let size = usize::try_from(u32::from(key.modulus.len())).unwrap_or(usize::MAX);
    if !(256..=1024).contains(&size) {
        return Err(Refusal::NotKnown {
            what: format!("an RSA key of {} bits", size.saturating_mul(8)),
        });
    }
    let Ok(key) = rsa::PublicKey::new(number(key.modulus), number(key.exponent)) else {
        return Err(Refusal::NotATimeStamp { what: "a key" });
    };
    let digest = hash.digest(bytes);
    let check = |signature: &pkcs1v15::Signature| match hash {
        Hash::Sha256 => {
            pkcs1v15::VerifyingKey::<Sha256>::new(key).verify_prehash(&digest, signature)
        }
        Hash::Sha384 => {
            pkcs1v15::VerifyingKey::<Sha384>::new(key).verify_prehash(&digest, signature)
        }
        Hash::Sha512 => {
            pkcs1v15::VerifyingKey::<Sha512>::new(key).verify_prehash(&digest, signature)
        }
    };
    Ok(pkcs1v15::Signature::try_from(signature)
        .ok()
        .and_then(|signature| check(&signature).ok()))
}

fn on_p256(key: &[u8], digest: &[u8], signature: &[u8]) -> Option<()> {
    let key = p256::ecdsa::VerifyingKey::from_sec1_bytes(key).ok()?;
    let signature = p256::ecdsa::Signature::from_der(signature).ok()?;
    key.verify_prehash(digest, &signature).ok()
}

fn on_p384(key: &[u8], digest: &[u8], signature: &[u8]) -> Option<()> {
    let key = p384::ecdsa::VerifyingKey::from_sec1_bytes(key).ok()?;
    let signature = p384::ecdsa::Signature::from_der(signature).ok()?;
    key.verify_prehash(digest, &signature).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(oid: ObjectIdentifier, stated: Option<Hash>) -> Result<Scheme, Refusal> {
        let parameters = None;
        scheme(&AlgorithmIdentifierOwned { oid, parameters }, stated)
    }

    /// RFC 5754 section 3.2: a CMS signer may name plain RSA, or RSA with its digest.
    #[test]
    fn a_signer_names_one_digest_and_signs_with_it() {
        for (oid, stated, hash) in [
            (RSA, Some(Hash::Sha384), Hash::Sha384),
            (RSA_SHA256, Some(Hash::Sha256), Hash::Sha256),
            (RSA_SHA512, None, Hash::Sha512),
        ] {
            let found = of(oid, stated);
            assert!(
                matches!(found, Ok(Scheme::Rsa(h)) if h == hash),
                "{oid}: {found:?}"
            );
        }
        let found = of(ECDSA_SHA384, Some(Hash::Sha384));
        assert!(
            matches!(found, Ok(Scheme::Ecdsa(Hash::Sha384))),
            "{found:?}"
        );
        for oid in [RSA_SHA256, ECDSA_SHA256] {
            let found = of(oid, Some(Hash::Sha512));
            assert!(
                matches!(found, Err(Refusal::NotSigned { .. })),
                "{oid}: {found:?}"
            );
        }
        // a certificate that names no digest, SHA-1 with RSA, RSASSA-PSS, Ed25519
        let unknown = [
            "1.2.840.113549.1.1.5",
            "1.2.840.113549.1.1.10",
            "1.3.101.112",
        ];
        let unknown = unknown.map(ObjectIdentifier::new_unwrap);
        for oid in unknown.into_iter().chain([RSA]) {
            let found = of(oid, None);
            let Err(Refusal::NotKnown { what }) = &found else {
                panic!("{oid}: {found:?}");
            };
            assert!(what.ends_with(&oid.to_string()), "{what}");
        }
    }
}
