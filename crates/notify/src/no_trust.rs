//! What a build without TLS has in place of trust in a broker: nothing is encrypted, so
//! there is nobody to trust, and the options say so.

use std::str::FromStr;

use rumqttc::{ConnectionError, Transport};

/// Said wherever encryption is asked for. The options exist in every build, so that a
/// command or a service file that uses them is told this, and not that they are unknown.
pub const NO_TLS: &str = "this build of dryhold cannot encrypt; build it with TLS (cargo \
                          install --path crates/dryhold --features tls)";

/// The fingerprint of a certificate; none in this build.
#[derive(Debug, Clone)]
pub enum Fingerprint {}

impl FromStr for Fingerprint {
    type Err = String;

    fn from_str(_: &str) -> Result<Self, String> {
        Err(NO_TLS.to_owned())
    }
}

/// Those whose signatures are trusted; none in this build.
#[derive(Debug, Clone)]
pub enum Authorities {}

/// There are none in this build.
pub fn authorities_in(_: &str) -> Result<Authorities, String> {
    Err(NO_TLS.to_owned())
}

/// Who is believed; nobody has to be.
pub struct Trust;

impl Trust {
    /// By the certificate with this fingerprint, or by these authorities; else by those that
    /// this computer trusts.
    pub fn of(_: Option<&Fingerprint>, _: Option<&Authorities>) -> Self {
        Self
    }
}

/// Encrypted connections; none in this build.
pub(crate) enum Trusted {}

impl Trusted {
    pub(crate) fn new(_: Trust, _: &str) -> Result<Self, String> {
        Err(NO_TLS.to_owned())
    }

    pub(crate) fn transport(&self) -> Transport {
        match *self {}
    }

    pub(crate) fn words(&self, _: &ConnectionError) -> Option<String> {
        match *self {}
    }
}
