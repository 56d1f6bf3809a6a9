//! What a build without TLS has in place of trust in a broker: nothing is encrypted, so
//! there is nobody to trust, and the options say so.

use std::str::FromStr;

use rumqttc::{ConnectionError, Transport};

use crate::tls::NO_TLS;

/// The fingerprint of a certificate; none in this build.
#[derive(Debug, Clone)]
pub(crate) enum Fingerprint {}

impl FromStr for Fingerprint {
    type Err = String;

    fn from_str(_: &str) -> Result<Self, String> {
        Err(NO_TLS.to_owned())
    }
}

/// Those whose signatures are trusted; none in this build.
#[derive(Debug, Clone)]
pub(crate) enum Authorities {}

/// There are none in this build.
pub(super) fn authorities_in(_: &str) -> Result<Authorities, String> {
    Err(NO_TLS.to_owned())
}

/// Who is believed; nobody has to be.
pub(super) struct Trust;

impl Trust {
    pub(super) fn of(_: Option<&Fingerprint>, _: Option<&Authorities>) -> Self {
        Self
    }
}

/// Encrypted connections; none in this build.
pub(super) enum Trusted {}

impl Trusted {
    pub(super) fn new(_: Trust, _: &str) -> Result<Self, String> {
        Err(NO_TLS.to_owned())
    }

    pub(super) fn transport(&self) -> Transport {
        match *self {}
    }

    pub(super) fn words(&self, _: &ConnectionError) -> Option<String> {
        match *self {}
    }
}
