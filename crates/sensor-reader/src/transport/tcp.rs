use std::time::Duration;

use tokio::net::TcpStream;

use super::link::{Link, Opening, Transport, TransportError};
use crate::Address;

/// How long a connection attempt may take before it counts as failed.
const CONNECT_WITHIN: Duration = Duration::from_secs(5);

/// A query that was not delivered for so long ends the connection, ms.
#[cfg(target_os = "linux")]
const DEAD_AFTER_MS: u32 = 25_000;

/// A byte stream over TCP: a network gauge, or a serial-to-network adapter.
#[derive(Debug, Clone)]
pub struct TcpTransport {
    host: String,
    port: u16,
}

impl TcpTransport {
    /// For `host` (name or address) and `port`.
    #[must_use]
    pub fn new(host: &str, port: u16) -> Self {
        Self {
            host: host.to_owned(),
            port,
        }
    }
}

impl Transport for TcpTransport {
    fn address(&self) -> String {
        Address::Tcp {
            host: self.host.clone(),
            port: self.port,
        }
        .to_string()
    }

    fn open(&self) -> Opening {
        let target = (self.host.clone(), self.port);
        let address = self.address();
        Box::pin(async move {
            let attempt = tokio::time::timeout(CONNECT_WITHIN, TcpStream::connect(target));
            let cause = match attempt.await {
                Ok(Ok(stream)) => {
                    notice_dead_peer(&stream);
                    return Ok(Box::new(stream) as Box<dyn Link>);
                }
                Ok(Err(error)) => error.to_string(),
                Err(_) => format!("no answer within {} s", CONNECT_WITHIN.as_secs()),
            };
            Err(TransportError::Unreachable { address, cause })
        })
    }

    fn may_be_half_open(&self) -> bool {
        true
    }

    fn explain_loss(&self, error: Option<&std::io::Error>) -> String {
        match error {
            None => "the other side closed the connection".to_owned(),
            Some(error) if error.kind() == std::io::ErrorKind::TimedOut => {
                format!("{} does not answer any more: {error}", self.address())
            }
            Some(error) => format!("the connection broke: {error}"),
        }
    }
}

/// Asks the system to probe a silent peer, so that a pulled network cable ends
/// the connection within about half a minute instead of never.
#[cfg(unix)]
fn notice_dead_peer(stream: &TcpStream) {
    use rustix::net::sockopt;
    // A refusal only costs the probing; the silence watchdog still speaks.
    let _ = sockopt::set_socket_keepalive(stream, true);
    #[cfg(target_os = "linux")]
    {
        let _ = sockopt::set_tcp_keepidle(stream, Duration::from_secs(10));
        let _ = sockopt::set_tcp_keepintvl(stream, Duration::from_secs(5));
        let _ = sockopt::set_tcp_keepcnt(stream, 3);
        // while a query waits to be delivered, the system does not probe
        let _ = sockopt::set_tcp_user_timeout(stream, DEAD_AFTER_MS);
    }
}

#[cfg(not(unix))]
fn notice_dead_peer(_: &TcpStream) {}

#[cfg(test)]
#[cfg(target_os = "linux")]
mod tests {
    use super::*;

    #[tokio::test]
    async fn the_system_is_asked_to_probe_a_silent_peer() {
        use rustix::net::sockopt;
        let listener = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
        let address = listener.local_addr().expect("its number");
        let stream = TcpStream::connect(address).await.expect("connected");
        assert_eq!(
            sockopt::socket_keepalive(&stream),
            Ok(false),
            "not by itself"
        );
        notice_dead_peer(&stream);
        assert_eq!(sockopt::socket_keepalive(&stream), Ok(true));
        let idle = sockopt::tcp_keepidle(&stream).expect("told");
        let between = sockopt::tcp_keepintvl(&stream).expect("told");
        let probes = sockopt::tcp_keepcnt(&stream).expect("told");
        assert!(idle + between * probes <= Duration::from_secs(30));
        assert_eq!(sockopt::tcp_user_timeout(&stream), Ok(DEAD_AFTER_MS));
    }
}
