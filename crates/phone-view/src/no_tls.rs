//! What a build without TLS has in place of certificates: none can be made, so a page is
//! never encrypted.

use std::sync::{Arc, atomic::AtomicBool};

use tokio::io::{AsyncRead, AsyncWrite};

/// The certificate of a page. This build has no TLS, so there is none.
#[derive(Debug, Clone)]
pub enum Certificate {}

impl Certificate {
    /// Its SHA-256 in pairs of hexadecimal digits, as browsers show it.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        match *self {}
    }

    pub(crate) async fn encrypted<S: AsyncRead + AsyncWrite + Unpin>(
        &self,
        _: S,
        _: Arc<AtomicBool>,
    ) -> Option<S> {
        match *self {}
    }
}
