use std::{
    io::ErrorKind,
    path::{Path, PathBuf},
};

use plain_file::Links;

use super::link::{Link, Opening, Transport, TransportError};
use crate::Address;

/// A recorded byte capture, read once from beginning to end.
#[derive(Debug, Clone)]
pub struct FileTransport {
    path: PathBuf,
}

impl FileTransport {
    /// For the file at `path`.
    #[must_use]
    pub fn new(path: &Path) -> Self {
        Self {
            path: path.to_owned(),
        }
    }
}

impl Transport for FileTransport {
    fn address(&self) -> String {
        Address::File(self.path.clone()).to_string()
    }

    fn open(&self) -> Opening {
        let path = self.path.clone();
        let address = self.address();
        Box::pin(async move {
            let failed = |cause: std::io::Error| match cause.kind() {
                ErrorKind::NotFound => TransportError::NotFound {
                    address: address.clone(),
                    hint: "check the path of the capture".into(),
                },
                ErrorKind::PermissionDenied => TransportError::Denied {
                    address: address.clone(),
                    hint: "make the file readable for you".into(),
                },
                ErrorKind::IsADirectory => TransportError::NotFound {
                    address: address.clone(),
                    hint: "that path is a folder; give the capture file inside it".into(),
                },
                _ => TransportError::NotACapture {
                    address: address.clone(),
                    cause: cause.to_string(),
                },
            };
            // never waits: a pipe is refused before it is opened
            let file = plain_file::open(&path, Links::Follow).map_err(failed)?;
            Ok(Box::new(tokio::fs::File::from_std(file)) as Box<dyn Link>)
        })
    }

    fn reconnects(&self) -> bool {
        false
    }

    fn starts_whole(&self) -> bool {
        true
    }
}
