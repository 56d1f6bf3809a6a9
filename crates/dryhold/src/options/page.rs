//! Whether and to whom a recording is shown as a page.

use std::path::PathBuf;

use clap::Args;

/// Whether and to whom a recording is shown as a page.
#[derive(Debug, Default, Args)]
pub(crate) struct PageArguments {
    /// Shows the recording as a page to browsers on this computer
    #[arg(long)]
    pub(crate) view_page: bool,
    /// Shows it to phones and computers in the same network too; prints the address and
    /// a code for the camera. Who knows the address can look on
    #[arg(long)]
    pub(crate) view_lan: bool,
    /// Lets the page stamp and take back marks; otherwise it only shows. Prints a second
    /// address for those who may look on only
    #[arg(long)]
    pub(crate) view_marks: bool,
    /// Port of the page; 0 for any that is free [default: 8431, or any that is free]
    #[arg(long, value_name = "PORT")]
    pub(crate) view_port: Option<u16>,
    /// File that keeps the page's two keys (to look on, to stamp), so that its addresses
    /// stay the same from run to run; made, for its owner only, where it is missing. One
    /// that others may read, or whose keys are weak, is refused
    #[arg(long, value_name = "FILE")]
    pub(crate) view_key: Option<PathBuf>,
    /// Encrypts the page (its addresses then begin with https), with a certificate that
    /// this computer makes for itself. A browser warns once that nobody vouches for it:
    /// compare the fingerprint that is printed beside the address, and only then go on
    #[cfg_attr(not(feature = "tls"), doc = "(not in this build, which has no TLS)")]
    #[arg(long)]
    pub(crate) view_tls: bool,
}
