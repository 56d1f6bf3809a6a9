//! Requests to stop: Ctrl-C, a request to terminate, a terminal that is hung up, and every
//! other signal that would end the program in the midst of a row. Nothing but a kill that
//! cannot be caught ends a recording without its review.

/// Listens from when it was made: a request that comes while nobody waits for one is
/// kept.
pub struct StopRequests {
    #[cfg(unix)]
    signals: Signals,
}

#[cfg(unix)]
struct Signals {
    asked: Vec<tokio::signal::unix::Signal>,
    hang_up: Option<tokio::signal::unix::Signal>,
    /// Writing beyond a limit of file size is an error of writing then, told as such.
    _file_size: Option<tokio::signal::unix::Signal>,
    /// A recording is not suspended by Ctrl-Z: what the gauge says meanwhile would have no
    /// time. The view says so.
    _suspend: Option<tokio::signal::unix::Signal>,
}

/// What ends a program that does not listen (POSIX.1, `signal.h`), beside the hang-up.
#[cfg(unix)]
const ENDING: [rustix::process::Signal; 8] = {
    use rustix::process::Signal;
    [
        Signal::INT,
        Signal::TERM,
        Signal::QUIT,
        Signal::USR1,
        Signal::USR2,
        Signal::ALARM,
        Signal::VTALARM,
        Signal::XCPU,
    ]
};

#[cfg(unix)]
impl StopRequests {
    /// Begins to listen, before anything is said that invites a request.
    pub fn listen(runtime: &tokio::runtime::Runtime) -> Self {
        let _inside = runtime.enter();
        Self::listen_here()
    }

    fn listen_here() -> Self {
        use rustix::process::Signal;
        let listen = |s: Signal| {
            let kind = tokio::signal::unix::SignalKind::from_raw(s.as_raw());
            tokio::signal::unix::signal(kind).ok()
        };
        Self {
            signals: Signals {
                asked: ENDING.into_iter().filter_map(listen).collect(),
                hang_up: listen(Signal::HUP),
                _file_size: listen(Signal::XFSZ),
                _suspend: listen(Signal::TSTP),
            },
        }
    }

    /// Completes when asked to stop; by a hang-up only where that counts.
    pub async fn next(&mut self, by_hang_up: bool) {
        let Signals { asked, hang_up, .. } = &mut self.signals;
        std::future::poll_fn(|context| {
            let counts = hang_up.as_mut().filter(|_| by_hang_up);
            let came = asked
                .iter_mut()
                .chain(counts)
                .any(|signal| signal.poll_recv(context).is_ready());
            match came {
                true => std::task::Poll::Ready(()),
                false => std::task::Poll::Pending,
            }
        })
        .await;
    }
}

#[cfg(not(unix))]
impl StopRequests {
    /// Begins to listen.
    pub fn listen(_runtime: &tokio::runtime::Runtime) -> Self {
        Self::listen_here()
    }

    fn listen_here() -> Self {
        Self {}
    }

    /// Completes on Ctrl-C.
    pub async fn next(&mut self, _by_hang_up: bool) {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending().await
        }
    }
}

impl StopRequests {
    /// Completes when asked to stop, or after so many minutes; where nobody sits at a
    /// terminal, also when it is hung up.
    pub async fn next_or_after(&mut self, limit_min: Option<f64>, interactive: bool) {
        let limit = async {
            match limit_min {
                Some(minutes) => {
                    tokio::time::sleep(std::time::Duration::from_secs_f64(60.0 * minutes)).await;
                }
                None => std::future::pending().await,
            }
        };
        tokio::select! {
            () = self.next(!interactive) => {}
            () = limit => {}
        }
    }
}

/// Completes on the next request from now on.
pub async fn asked_to_stop(by_hang_up: bool) {
    StopRequests::listen_here().next(by_hang_up).await;
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use super::*;
    use rustix::process::{getpid, kill_process};

    #[test]
    fn a_request_that_comes_while_nobody_waits_is_kept() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .expect("a runtime");
        let mut stop = StopRequests::listen(&runtime);
        for signal in ENDING {
            kill_process(getpid(), signal).expect("a signal");
            // an act of something else between
            runtime.block_on(std::future::ready(()));
            let asked = async {
                tokio::time::timeout(std::time::Duration::from_secs(5), stop.next(false)).await
            };
            assert!(runtime.block_on(asked).is_ok(), "{signal:?}");
        }
    }
}
