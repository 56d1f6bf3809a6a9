//! Under which address the page is reached.

use std::net::{IpAddr, Ipv4Addr, TcpListener, UdpSocket};

use qrcode::{EcLevel, QrCode, render::unicode::Dense1x2};

/// Who can reach the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// This computer only.
    Loopback,
    /// Every computer of the networks this one is in.
    Lan,
}

impl Reach {
    /// What to listen at.
    pub(crate) const fn listens_at(self) -> Ipv4Addr {
        match self {
            Self::Loopback => Ipv4Addr::LOCALHOST,
            Self::Lan => Ipv4Addr::UNSPECIFIED,
        }
    }

    /// True when nobody serves anything at this port.
    #[must_use]
    pub fn is_free(self, port: u16) -> bool {
        TcpListener::bind((self.listens_at(), port)).is_ok()
    }

    /// Every address and name under which the page can be asked for: what its certificate
    /// has to name.
    #[cfg(feature = "tls")]
    #[must_use]
    pub fn names(self) -> Vec<String> {
        let mut names: Vec<String> = self.found_at().iter().map(Ipv4Addr::to_string).collect();
        names.extend([Ipv4Addr::LOCALHOST.to_string(), "localhost".into()]);
        names
    }

    /// Where others find it, the likeliest first.
    pub(crate) fn found_at(self) -> Vec<Ipv4Addr> {
        match self {
            Self::Loopback => vec![Ipv4Addr::LOCALHOST],
            Self::Lan => lan_addresses(),
        }
    }
}

/// Addresses of this computer in its networks. Asks the system only; nothing is sent.
fn lan_addresses() -> Vec<Ipv4Addr> {
    let mut found: Vec<Ipv4Addr> = if_addrs::get_if_addrs()
        .unwrap_or_default()
        .into_iter()
        .filter_map(|interface| match interface.ip() {
            IpAddr::V4(a) if !a.is_loopback() && !a.is_link_local() => Some(a),
            _ => None,
        })
        .collect();
    found.sort_by_key(|a| !a.is_private());
    found.dedup();
    // the one that leads out of the house comes first; a hotspot may have none
    if let Some(first) = towards_the_outside()
        && let Some(place) = found.iter().position(|a| *a == first)
    {
        found.remove(place);
        found.insert(0, first);
    }
    found
}

/// The address a packet to elsewhere would carry. "Connecting" a datagram socket sends
/// none; 192.0.2.1 belongs to nobody (RFC 5737).
fn towards_the_outside() -> Option<Ipv4Addr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    match socket.local_addr().ok()?.ip() {
        IpAddr::V4(a) if !a.is_loopback() && !a.is_unspecified() => Some(a),
        _ => None,
    }
}

/// An address as a code for a camera (QR code, ISO/IEC 18004), in half blocks: two
/// modules to a character. `dark_screen` says that letters are lighter than what is
/// behind them; the code is dark on light either way. `None` where it is too long.
#[must_use]
pub fn code_for_camera(address: &str, dark_screen: bool) -> Option<String> {
    let code = QrCode::with_error_correction_level(address, EcLevel::M).ok()?;
    let (dark, light) = match dark_screen {
        true => (Dense1x2::Light, Dense1x2::Dark),
        false => (Dense1x2::Dark, Dense1x2::Light),
    };
    let mut drawn = code.render::<Dense1x2>();
    Some(drawn.dark_color(dark).light_color(light).build())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_square_and_fits_a_terminal() {
        let address = "http://192.168.100.100:65535/?key=0123456789abcdef0123456789abcdef";
        let code = code_for_camera(address, true).expect("short enough");
        let lines: Vec<&str> = code.lines().collect();
        let columns = lines[0].chars().count();
        assert!(
            columns <= 50 && lines.len() <= 25,
            "{columns} × {}",
            lines.len()
        );
        assert!(lines.iter().all(|l| l.chars().count() == columns));
        assert!(code_for_camera(&"x".repeat(10_000), true).is_none());
    }

    #[test]
    fn loopback_is_loopback() {
        assert_eq!(Reach::Loopback.found_at(), [Ipv4Addr::LOCALHOST]);
        assert!(Reach::Lan.found_at().iter().all(|a| !a.is_loopback()));
    }
}
