//! What a build without TLS has in place of the page's certificate.

use phone_view::{Certificate, Reach};

use crate::{outcome::Failure, tls::NO_TLS};

/// There is none in this build.
pub(super) fn of_page(_: Reach) -> Result<Certificate, Failure> {
    Err(Failure::usage(format!("--view-tls: {NO_TLS}")))
}
