//! What is sent to an authority.

use der::{
    Encode,
    asn1::{OctetString, Uint},
};
use x509_cert::spki::AlgorithmIdentifierOwned;

use crate::asn1::{MessageImprint, SHA256, TimeStampReq};

/// A request for a time stamp over a SHA-256. The authority learns the digest and
/// nothing else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Request {
    digest: [u8; 32],
    nonce: Option<u64>,
}

impl Request {
    /// For this SHA-256. With a random `nonce` the answer shows that it was made for
    /// this very request: give one where the answer is awaited, and leave it out where
    /// nobody will remember it.
    #[must_use]
    pub fn new(digest: [u8; 32], nonce: Option<u64>) -> Self {
        Self { digest, nonce }
    }

    /// The bytes of a `TimeStampReq` (RFC 3161 section 2.4.1): version 1, no policy,
    /// and the authority's certificate wanted in the answer. `None` cannot happen with
    /// a digest of this length.
    #[must_use]
    pub fn to_der(&self) -> Option<Vec<u8>> {
        let nonce = match self.nonce {
            Some(nonce) => Some(Uint::new(&nonce.to_be_bytes()).ok()?),
            None => None,
        };
        let request = TimeStampReq {
            version: 1,
            message_imprint: MessageImprint {
                hash_algorithm: AlgorithmIdentifierOwned {
                    oid: SHA256,
                    parameters: None,
                },
                hashed_message: OctetString::new(self.digest).ok()?,
            },
            req_policy: None,
            nonce,
            cert_req: true,
        };
        request.to_der().ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Put together by hand from X.690 and RFC 3161.
    #[test]
    fn the_bytes_are_those_of_the_standard() {
        let algorithm = [
            0x30, 0x0b, 0x06, 0x09, 0x60, 0x86, 0x48, 0x01, 0x65, 0x03, 0x04, 0x02, 0x01,
        ];
        let imprint = [&[0x30, 0x2f][..], &algorithm, &[0x04, 0x20], &[7; 32]].concat();
        let without = [&[0x30, 0x37, 2, 1, 1][..], &imprint, &[1, 1, 0xff]].concat();
        assert_eq!(Request::new([7; 32], None).to_der(), Some(without));
        // a first bit of 1 would be a minus: a zero goes before it
        let nonce = [0x02, 0x09, 0, 0x80, 0, 0, 0, 0, 0, 0, 1];
        let with = [&[0x30, 0x42, 2, 1, 1][..], &imprint, &nonce, &[1, 1, 0xff]].concat();
        let request = Request::new([7; 32], Some((1 << 63) + 1));
        assert_eq!(request.to_der(), Some(with));
    }
}
