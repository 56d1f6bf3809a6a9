//! Requests to stop: Ctrl-C, a request to terminate, a terminal that is hung up.

/// Listens from when it was made: a request that comes while nobody waits for one is
/// kept.
pub(crate) struct StopRequests {
    /// Interrupt, terminate, hang-up.
    #[cfg(unix)]
    signals: Option<[tokio::signal::unix::Signal; 3]>,
}

#[cfg(unix)]
impl StopRequests {
    /// Begins to listen. Only inside a runtime.
    pub(crate) fn listen() -> Self {
        use tokio::signal::unix::{SignalKind, signal};
        let all = || -> std::io::Result<_> {
            Ok([
                signal(SignalKind::interrupt())?,
                signal(SignalKind::terminate())?,
                signal(SignalKind::hangup())?,
            ])
        };
        Self {
            signals: all().ok(),
        }
    }

    /// Completes when asked to stop; by a hang-up only where that counts.
    pub(crate) async fn next(&mut self, by_hang_up: bool) {
        let Some([interrupt, terminate, hang_up]) = &mut self.signals else {
            return std::future::pending().await;
        };
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
            _ = hang_up.recv(), if by_hang_up => {}
        }
    }
}

#[cfg(not(unix))]
impl StopRequests {
    /// Begins to listen.
    pub(crate) fn listen() -> Self {
        Self {}
    }

    /// Completes on Ctrl-C.
    pub(crate) async fn next(&mut self, _by_hang_up: bool) {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending().await
        }
    }
}

/// Completes on the next request from now on.
pub(crate) async fn asked_to_stop(by_hang_up: bool) {
    StopRequests::listen().next(by_hang_up).await;
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use super::*;
    use rustix::process::{Signal, getpid, kill_process};

    #[test]
    fn a_request_that_comes_while_nobody_waits_is_kept() {
        let runtime = crate::log::runtime().expect("a runtime");
        let mut stop = {
            let _inside = runtime.enter();
            StopRequests::listen()
        };
        kill_process(getpid(), Signal::TERM).expect("a signal");
        // an act of something else between
        runtime.block_on(std::future::ready(()));
        let asked = async {
            tokio::time::timeout(std::time::Duration::from_secs(5), stop.next(false)).await
        };
        assert!(runtime.block_on(asked).is_ok());
    }
}
