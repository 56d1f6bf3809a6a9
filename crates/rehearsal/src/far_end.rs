//! The gauge's end of the line: a pseudo-terminal, or a connection on this computer where
//! the system has no pseudo-terminals.

use std::{
    io::{self, Write},
    net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream},
    path::PathBuf,
    time::Duration,
};

#[cfg(unix)]
use serialport::{SerialPort, TTYPort};
use socket2::{Domain, Socket, Type};

/// What the simulated gauge speaks over.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Line {
    /// A pseudo-terminal, opened like any serial port.
    #[cfg(unix)]
    #[cfg_attr(unix, default)]
    PseudoTerminal,
    /// A TCP connection on this computer, as a serial server's.
    #[cfg_attr(not(unix), default)]
    Loopback,
}

/// Bytes that may be on the way over a connection: so little that a reader which is slow
/// is waited for.
const ON_THE_WAY: usize = 4_096;

/// A write that takes longer is tried again, after a look whether to stop.
const WRITE_FOR: Duration = Duration::from_millis(50);

/// The gauge's end, and what keeps the other one open.
#[derive(Debug)]
pub(crate) enum FarEnd {
    /// Both ends of the pair.
    #[cfg(unix)]
    Terminal { far: TTYPort, near: TTYPort },
    /// Where it is heard, who listens there, and who was let in.
    Loopback {
        at: SocketAddr,
        listener: Option<TcpListener>,
        let_in: Option<TcpStream>,
    },
}

impl FarEnd {
    /// A fresh end, and what to open to hear it.
    pub(crate) fn new(line: Line) -> io::Result<(Self, PathBuf)> {
        match line {
            #[cfg(unix)]
            Line::PseudoTerminal => {
                let (far, near) = TTYPort::pair()?;
                let path = near
                    .name()
                    .map(PathBuf::from)
                    .ok_or_else(|| io::Error::other("it has no device path on this system"))?;
                Ok((Self::Terminal { far, near }, path))
            }
            Line::Loopback => {
                let listener = listening(SocketAddr::from((Ipv4Addr::LOCALHOST, 0)))?;
                let at = listener.local_addr()?;
                let end = Self::Loopback {
                    at,
                    listener: Some(listener),
                    let_in: None,
                };
                Ok((end, format!("tcp://{at}").into()))
            }
        }
    }

    /// Pulls the plug: the reader sees the line drop. Of a terminal what comes back is the
    /// device that takes the place of the old one.
    pub(crate) fn pull(&mut self) -> io::Result<Option<PathBuf>> {
        match self {
            #[cfg(unix)]
            Self::Terminal { .. } => {
                let (fresh, device) = Self::new(Line::PseudoTerminal)?;
                *self = fresh;
                Ok(Some(device))
            }
            Self::Loopback {
                listener, let_in, ..
            } => {
                (*listener, *let_in) = (None, None);
                Ok(None)
            }
        }
    }

    /// Puts the plug in again, where it was.
    pub(crate) fn put_back(&mut self) -> io::Result<()> {
        match self {
            #[cfg(unix)]
            Self::Terminal { .. } => {}
            Self::Loopback { at, listener, .. } => *listener = Some(listening(*at)?),
        }
        Ok(())
    }

    /// Bytes that nobody has read yet; `None` where that cannot be told.
    pub(crate) fn unread(&self) -> io::Result<Option<u32>> {
        match self {
            #[cfg(unix)]
            Self::Terminal { near, .. } => Ok(Some(near.bytes_to_read()?)),
            Self::Loopback { .. } => Ok(None),
        }
    }

    /// True once somebody can hear; always so for a terminal, which keeps what is said.
    pub(crate) fn is_heard(&mut self) -> io::Result<bool> {
        let (listener, let_in) = match self {
            #[cfg(unix)]
            Self::Terminal { .. } => return Ok(true),
            Self::Loopback {
                listener, let_in, ..
            } => (listener, let_in),
        };
        if let_in.is_some() {
            return Ok(true);
        }
        let Some(listener) = listener else {
            return Ok(false);
        };
        match listener.accept() {
            Ok((stream, _)) => {
                // some systems hand on that the listener does not wait
                stream.set_nonblocking(false)?;
                stream.set_nodelay(true)?;
                stream.set_write_timeout(Some(WRITE_FOR))?;
                *let_in = Some(stream);
                Ok(true)
            }
            Err(e) if e.kind() == io::ErrorKind::WouldBlock => Ok(false),
            Err(e) => Err(e),
        }
    }

    /// Writes what fits; 0 where nobody hears.
    pub(crate) fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if !self.is_heard()? {
            return Err(io::ErrorKind::WouldBlock.into());
        }
        let let_in = match self {
            #[cfg(unix)]
            Self::Terminal { far, .. } => return far.write(bytes),
            Self::Loopback { let_in, .. } => let_in,
        };
        let Some(stream) = let_in else {
            return Err(io::ErrorKind::WouldBlock.into());
        };
        match stream.write(bytes) {
            Ok(n) => Ok(n),
            Err(e) if is_for_now(&e) => Err(e),
            Err(_) => {
                // the reader went: the next one is waited for
                *let_in = None;
                Err(io::ErrorKind::WouldBlock.into())
            }
        }
    }
}

fn listening(at: SocketAddr) -> io::Result<TcpListener> {
    let socket = Socket::new(Domain::IPV4, Type::STREAM, None)?;
    // taken over by the connections that are let in
    socket.set_send_buffer_size(ON_THE_WAY)?;
    // a port whose last connection has just ended may be taken again; on Windows it may
    // anyhow, and there the option would let others take it at the same time
    #[cfg(unix)]
    socket.set_reuse_address(true)?;
    socket.bind(&at.into())?;
    socket.listen(1)?;
    let listener = TcpListener::from(socket);
    listener.set_nonblocking(true)?;
    Ok(listener)
}

/// True for an error that says "not now".
pub(crate) fn is_for_now(e: &io::Error) -> bool {
    use io::ErrorKind as E;
    matches!(e.kind(), E::TimedOut | E::WouldBlock | E::Interrupted)
}
