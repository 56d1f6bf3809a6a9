//! The served page: its thread, its address, its end.

use std::{net::Ipv4Addr, sync::Arc, thread::JoinHandle, time::Duration};

use tokio::{runtime::Handle, sync::watch};

use crate::{
    address::Reach,
    connection,
    hub::Publisher,
    key::{Grade, KeyError, Keys},
    requests::{Asked, Requests, Stamp},
    session::Device,
    tls::Certificate,
};

/// How a page is served.
#[derive(Debug)]
pub struct Options {
    /// Who can reach it.
    pub reach: Reach,
    /// At which port; 0 for any that is free.
    pub port: u16,
    /// The keys.
    pub keys: Keys,
    /// What may be stamped; `None`: the page only shows.
    pub stamps: Option<Vec<Stamp>>,
    /// What it is encrypted with; `None`: plain HTTP.
    pub certificate: Option<Certificate>,
}

/// Why a page cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    /// The port is taken, or not allowed.
    #[error(
        "the page cannot be served at port {port}: {source}; choose another port, 0 for any \
         that is free"
    )]
    Port {
        /// The port.
        port: u16,
        /// Why.
        source: std::io::Error,
    },
    /// The system gives no thread.
    #[error("the page cannot be served: {0}")]
    System(#[from] std::io::Error),
    /// The keys are of no use.
    #[error("the page cannot be served: {0}")]
    Keys(#[from] KeyError),
}

/// A page that is being served, until it is dropped.
#[derive(Debug)]
pub struct Page {
    publisher: Publisher,
    port: u16,
    reach: Reach,
    keys: Keys,
    /// The certificate's, where there is one.
    fingerprint: Option<String>,
    stop: watch::Sender<bool>,
    runtime: Handle,
    thread: Option<JoinHandle<()>>,
}

impl Page {
    /// Serves a page. `asked` is called on the server's thread, with the device that
    /// asks, and must not wait; it gives false where nobody is there to do it.
    ///
    /// # Errors
    /// Where the port is taken or the system gives no thread.
    pub fn serve(
        options: Options,
        asked: impl Fn(Asked, Device) -> bool + Send + Sync + 'static,
    ) -> Result<Self, PageError> {
        let Options {
            reach,
            port,
            keys,
            stamps,
            certificate,
        } = options;
        let at = |source| PageError::Port { port, source };
        let listener = std::net::TcpListener::bind((reach.listens_at(), port)).map_err(at)?;
        listener.set_nonblocking(true)?;
        let port = listener.local_addr()?.port();
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()?;
        let handle = runtime.handle().clone();
        let requests = Requests::new(&keys, stamps, asked)?;
        let publisher = requests.publisher();
        let fingerprint = certificate.as_ref().map(Certificate::fingerprint);
        let certificate = certificate.map(Arc::new);
        let (stop, stopped) = watch::channel(false);
        let thread = std::thread::Builder::new()
            .name("page".into())
            .spawn(move || {
                runtime.block_on(async {
                    let router = requests.router();
                    let listening =
                        connection::listen(listener, router, certificate, stopped.clone());
                    let ending = requests.end_with(stopped);
                    tokio::join!(listening, ending);
                });
                // what was written is on its way; nobody is waited for
                runtime.shutdown_timeout(Duration::from_millis(50));
            })?;
        Ok(Self {
            publisher,
            port,
            reach,
            keys,
            fingerprint,
            stop,
            runtime: handle,
            thread: Some(thread),
        })
    }

    /// What to publish through.
    #[must_use]
    pub fn publisher(&self) -> Publisher {
        self.publisher.clone()
    }

    /// Runs this on the page's own thread, where what it does delays nobody but viewers.
    /// It is dropped with the page.
    pub fn spawn(&self, what: impl Future<Output = ()> + Send + 'static) {
        self.runtime.spawn(what);
    }

    /// The port it is served at.
    #[must_use]
    pub fn port(&self) -> u16 {
        self.port
    }

    /// The fingerprint of its certificate; `None` where it is plain HTTP.
    #[must_use]
    pub fn fingerprint(&self) -> Option<&str> {
        self.fingerprint.as_deref()
    }

    /// Addresses with the key of this grade, the likeliest first. Empty where this
    /// computer is in no network.
    #[must_use]
    pub fn addresses(&self, grade: Grade) -> Vec<String> {
        let key = self.keys.of(grade).shown();
        let scheme = match self.fingerprint {
            Some(_) => "https",
            None => "http",
        };
        let whole = |a: &Ipv4Addr| format!("{scheme}://{a}:{}/?key={key}", self.port);
        self.reach.found_at().iter().map(whole).collect()
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        self.stop.send_replace(true);
        if let Some(thread) = self.thread.take() {
            // ends within a moment; a panic in it is no concern of the record
            let _ = thread.join();
        }
    }
}

#[cfg(test)]
mod tests;
