//! Where a gauge is.

use std::{fmt, path::PathBuf};

/// Where the bytes come from.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Address {
    /// A serial device by path (`/dev/ttyUSB0`, `COM3`). On Linux prefer the
    /// stable names under `/dev/serial/by-id/`: they survive replugging.
    Serial(PathBuf),
    /// A byte stream over TCP: `tcp://HOST:PORT`.
    Tcp {
        /// Host name or IP address, IPv6 without brackets.
        host: String,
        /// Port, 1 to 65 535.
        port: u16,
    },
    /// A recorded byte capture: `file:PATH`. It ends at its end.
    File(PathBuf),
}

/// Why a text is not an address.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{text}\" is not a gauge address: {problem}; write a device path such as /dev/ttyUSB0, tcp://HOST:PORT, or file:PATH"
)]
pub struct AddressError {
    text: String,
    problem: &'static str,
}

impl Address {
    /// Reads an address as typed.
    ///
    /// ```
    /// use sensor_reader::Address;
    /// assert!(matches!(Address::parse("/dev/ttyUSB0")?, Address::Serial(_)));
    /// assert!(matches!(Address::parse("file:night.capture")?, Address::File(_)));
    /// assert!(Address::parse("tcp://van.local").is_err());
    /// # Ok::<(), sensor_reader::AddressError>(())
    /// ```
    ///
    /// # Errors
    /// [`AddressError`] when the text is empty, names a scheme not known here,
    /// or lacks host or port.
    pub fn parse(text: &str) -> Result<Self, AddressError> {
        let text = text.trim();
        let fail = |problem| AddressError {
            text: text.to_owned(),
            problem,
        };
        if text.is_empty() {
            return Err(fail("it is empty"));
        }
        if let Some(rest) = text.strip_prefix("tcp://") {
            return tcp(rest).map_err(fail);
        }
        if let Some(path) = text.strip_prefix("file:") {
            let path = path.strip_prefix("//").unwrap_or(path);
            if path.is_empty() {
                return Err(fail("the file's path is missing"));
            }
            return Ok(Self::File(path.into()));
        }
        if text.contains("://") {
            return Err(fail("this kind of connection is not known"));
        }
        Ok(Self::Serial(text.into()))
    }
}

fn tcp(rest: &str) -> Result<Address, &'static str> {
    let rest = rest.trim_end_matches('/');
    let (host, port) = rest.rsplit_once(':').ok_or("the port is missing")?;
    let host = match host.strip_prefix('[').and_then(|h| h.strip_suffix(']')) {
        Some(v6) => v6,
        None if host.contains(':') => return Err("an IPv6 address needs [brackets]"),
        None => host,
    };
    if host.is_empty() {
        return Err("the host is missing");
    }
    match port.parse() {
        Ok(port) if port > 0 => Ok(Address::Tcp {
            host: host.to_owned(),
            port,
        }),
        _ => Err("the port is not a number from 1 to 65535"),
    }
}

impl std::str::FromStr for Address {
    type Err = AddressError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl fmt::Display for Address {
    /// As [`Address::parse`] reads it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Serial(path) => write!(f, "{}", path.display()),
            Self::Tcp { host, port } if host.contains(':') => write!(f, "tcp://[{host}]:{port}"),
            Self::Tcp { host, port } => write!(f, "tcp://{host}:{port}"),
            Self::File(path) => write!(f, "file:{}", path.display()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_form_reads_back() {
        for text in [
            "/dev/ttyUSB0",
            "COM3",
            "tcp://127.0.0.1:4000",
            "tcp://[::1]:4000",
            "file:a b.capture",
        ] {
            assert_eq!(Address::parse(text).unwrap().to_string(), text);
        }
        assert_eq!(
            Address::parse("file:///tmp/x").unwrap(),
            Address::File("/tmp/x".into())
        );
    }

    #[test]
    fn faults_say_what_to_write() {
        for bad in [
            "",
            " ",
            "tcp://host",
            "tcp://:5",
            "tcp://host:0",
            "tcp://host:99999",
            "tcp://::1:5",
            "file:",
            "http://x",
        ] {
            let error = Address::parse(bad).unwrap_err().to_string();
            assert!(error.contains("tcp://HOST:PORT"), "{bad}: {error}");
        }
    }
}
