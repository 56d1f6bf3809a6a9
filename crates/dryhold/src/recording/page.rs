//! The page of a recording for browsers in the local network: the options of `log` and
//! `rehearse`, and what is said about it. Who may look and what is sent is `phone_view`'s.

use std::{
    io::IsTerminal,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicU64, Ordering},
    },
};

use console::{complain, say, say_drawn};
use phone_view::{
    Asked, Certificate, Device, Grade, Keys, Options, Page, Reach, Told, act, code_for_camera,
    stamps,
};
use terminal_view::PageCode;
use tokio::sync::mpsc::UnboundedSender;
use watch::{Act, Watch};

use crate::{options::page::PageArguments, outcome::Failure};

/// Where a page usually is.
const PORT: u16 = 8431;

/// Where acts of the page go at the moment; nowhere before the first run.
type ActTarget = Arc<Mutex<Option<UnboundedSender<Act>>>>;

/// The page, as long as this lives.
pub(crate) struct ServedPage {
    page: Page,
    /// Shown beyond this computer.
    in_network: bool,
    /// Marks can be stamped from it.
    stamps: bool,
    acts: ActTarget,
    runs: AtomicU64,
}

impl ServedPage {
    /// Serves a page and says where, if one is asked for.
    pub(crate) fn open(arguments: &PageArguments) -> Result<Option<Self>, Failure> {
        let reach = match (arguments.view_lan, arguments.view_page) {
            (true, _) => Reach::Lan,
            (false, true) => Reach::Loopback,
            (false, false)
                if arguments.view_marks || arguments.view_tls || arguments.view_key.is_some() =>
            {
                return Err(Failure::usage(
                    "--view-marks, --view-tls and --view-key go with --view-page or --view-lan",
                ));
            }
            (false, false) => return Ok(None),
        };
        let certificate = match arguments.view_tls {
            true => Some(certificate(reach)?),
            false => None,
        };
        let keys = match &arguments.view_key {
            Some(path) => {
                phone_view::keys_in(path).map_err(|e| Failure::other(format!("--view-key {e}")))?
            }
            None => Keys::random().map_err(Failure::other)?,
        };
        let acts = ActTarget::default();
        let target = Arc::clone(&acts);
        let options = Options {
            reach,
            // a second recorder on this computer is no reason not to record
            port: arguments
                .view_port
                .unwrap_or(if reach.is_free(PORT) { PORT } else { 0 }),
            keys,
            stamps: arguments.view_marks.then(stamps),
            certificate,
        };
        let page = Page::serve(options, move |asked, device| {
            pass_on(&target, asked, device)
        })
        .map_err(|e| Failure::other(format!("{e} (--view-port)")))?;
        tell(&page, arguments);
        Ok(Some(Self {
            page,
            in_network: arguments.view_lan,
            stamps: arguments.view_marks,
            acts,
            runs: AtomicU64::new(0),
        }))
    }

    /// Its address, with a code where cameras may come.
    pub(crate) fn code(&self) -> Option<PageCode> {
        let first = |grade| self.page.addresses(grade).into_iter().next();
        let address = first(grade_shown(self.stamps))?;
        let drawn = |dark| {
            let code = code_for_camera(&address, dark).filter(|_| self.in_network);
            code.unwrap_or_default()
        };
        Some(PageCode {
            on_light: drawn(false),
            on_dark: drawn(true),
            look_on: first(Grade::View).filter(|_| self.stamps),
            fingerprint: self.page.fingerprint().map(str::to_owned),
            address,
        })
    }

    /// Shows this run from now on, and passes what is asked for to it.
    pub(crate) fn show(&self, watch: Watch, acts: UnboundedSender<Act>) {
        *self.acts.lock().unwrap_or_else(PoisonError::into_inner) = Some(acts);
        let run = self.runs.fetch_add(1, Ordering::Relaxed) + 1;
        self.page
            .spawn(phone_view::relay(watch, self.page.publisher(), run));
    }
}

/// Passes it to the recorder; false where there is none, before the first run and
/// between two.
fn pass_on(target: &ActTarget, asked: Asked, device: Device) -> bool {
    let target = target.lock().unwrap_or_else(PoisonError::into_inner);
    match (target.as_ref(), act(asked, device)) {
        (Some(acts), Some(act)) => acts.send(act).is_ok(),
        _ => false,
    }
}

/// The key in the address that is shown first: the technician's own.
const fn grade_shown(stamps: bool) -> Grade {
    match stamps {
        true => Grade::Mark,
        false => Grade::View,
    }
}

/// The certificate of the page; made, and said, where there is none that still does.
#[cfg(feature = "tls")]
fn certificate(reach: Reach) -> Result<Certificate, Failure> {
    /// The file below the folder where programs keep data.
    const FILE: &str = "dryhold/page-certificate.pem";
    use etcetera::BaseStrategy;
    let strategy = etcetera::choose_base_strategy().map_err(|_| {
        Failure::other(
            "--view-tls: no home folder is known, so there is no place for the certificate of the \
             page; set XDG_DATA_HOME",
        )
    })?;
    let path = strategy.data_dir().join(FILE);
    let now = std::time::SystemTime::now();
    let (certificate, why) = phone_view::certificate_in(&path, &reach.names(), now)
        .map_err(|e| Failure::other(format!("--view-tls: {e}")))?;
    if let Some(why) = why {
        say(format!("{why}: {}", path.display()));
    }
    Ok(certificate)
}

/// There is none in this build.
#[cfg(not(feature = "tls"))]
fn certificate(_: Reach) -> Result<Certificate, Failure> {
    Err(Failure::usage(format!("--view-tls: {}", notify::NO_TLS)))
}

/// Says where the page is.
fn tell(page: &Page, arguments: &PageArguments) {
    let colours = std::io::stdout().is_terminal();
    let told = page.told(arguments.view_lan, arguments.view_marks, colours);
    if told.is_empty() {
        complain(
            "this computer is in no network at the moment; the page can be reached once it is, \
             under its address and port, with the key",
        );
    }
    for line in told {
        match line {
            Told::Words(words) => say(words),
            Told::Drawn(line) => say_drawn(&line),
        }
    }
}
