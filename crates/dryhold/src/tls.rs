//! What a build without TLS says where encryption is asked for.

/// Why not, and how to get it. The options exist in every build, so that a command or a
/// service file that uses them is told this, and not that they are unknown.
#[cfg(not(feature = "tls"))]
pub(crate) const NO_TLS: &str = "this build of dryhold cannot encrypt; build it with TLS (cargo \
                                 install --path crates/dryhold --features tls)";
