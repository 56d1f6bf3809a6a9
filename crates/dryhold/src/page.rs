//! The page of a recording for browsers in the local network: what `log` and `rehearse`
//! do about it. Who may look and what is sent is `phone_view`'s; what is shown is
//! [`crate::watch`]'s; here they meet.

#[cfg_attr(not(feature = "tls"), path = "page/no_certificate.rs")]
mod certificate;
mod key_file;
mod private_file;
mod relay;

use std::{
    io::IsTerminal,
    path::PathBuf,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicU64, Ordering},
    },
};

use clap::Args;
use phone_view::{Asked, Device, Grade, Keys, Options, Page, Reach, Stamp, code_for_camera};
use tokio::sync::mpsc::UnboundedSender;
use vacuum::{Mark, MarkKind};

use crate::{
    log::mark_of_key,
    outcome::{Failure, complain, say},
    output::say_drawn,
    view::code::PageCode,
    watch::{Act, Watch},
};

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

/// Where a page usually is.
const PORT: u16 = 8431;

/// Where acts of the page go at the moment.
type Door = Arc<Mutex<Option<UnboundedSender<Act>>>>;

/// The page, as long as this lives.
pub(crate) struct ServedPage {
    page: Page,
    /// Shown beyond this computer.
    in_network: bool,
    /// Marks can be stamped from it.
    stamps: bool,
    acts: Door,
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
            true => Some(certificate::of_page(reach)?),
            false => None,
        };
        let keys = match &arguments.view_key {
            Some(path) => key_file::keys_in(path)?,
            None => Keys::random().map_err(Failure::other)?,
        };
        let acts = Door::default();
        let door = Arc::clone(&acts);
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
        let page = Page::serve(options, move |asked, device| pass_on(&door, asked, device))
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
            .spawn(relay::relay(watch, self.page.publisher(), run));
    }
}

/// The acts a page offers, in the order of a job.
fn stamps() -> Vec<Stamp> {
    "ospmtbhn"
        .chars()
        .filter_map(|key| {
            let (kind, note) = mark_of_key(key)?;
            let label = match kind {
                MarkKind::Note => note,
                kind => kind.label(),
            };
            Some(Stamp {
                key,
                label: label.to_owned(),
            })
        })
        .collect()
}

/// What a device asks for, as an act of the session. The record says which device it was.
fn act(asked: Asked, device: Device) -> Option<Act> {
    let device = device.to_string();
    let mark = |kind, note: &str| Act::Mark(kind, Mark::noted_by(note, &device));
    match asked {
        Asked::Stamp(key) => mark_of_key(key).map(|(kind, note)| mark(kind, note)),
        Asked::Undo(number) => Some(Act::UndoFrom(number, device)),
        Asked::Note(text) => Some(mark(MarkKind::Note, &text)),
    }
}

/// Passes it to the session; false where there is none, before the first run and
/// between two.
fn pass_on(door: &Door, asked: Asked, device: Device) -> bool {
    let door = door.lock().unwrap_or_else(PoisonError::into_inner);
    match (door.as_ref(), act(asked, device)) {
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

/// Says where the page is.
fn tell(page: &Page, arguments: &PageArguments) {
    let addresses = page.addresses(grade_shown(arguments.view_marks));
    let Some(first) = addresses.first() else {
        complain(
            "this computer is in no network at the moment; the page can be reached once it is, \
             under its address and port, with the key",
        );
        return;
    };
    say(format!("Page: {first}"));
    if arguments.view_lan {
        for other in &addresses[1..] {
            say(format!("  or: {other}"));
        }
        let colours = std::io::stdout().is_terminal();
        for line in code_for_camera(first, !colours).unwrap_or_default().lines() {
            // black on white, whatever the terminal's own colours are
            match colours {
                true => say_drawn(&format!("\x1b[38;5;16;48;5;231m{line}\x1b[0m")),
                false => say(line),
            }
        }
        say(match arguments.view_marks {
            true => "Whoever has this address and is in the network can stamp marks.",
            false => "Whoever has this address and is in the network can look on.",
        });
    }
    if arguments.view_marks {
        for other in page.addresses(Grade::View) {
            say(format!("To look on only: {other}"));
        }
    }
    tell_fingerprint(page);
    say(match arguments.view_marks {
        true => "Marks can be stamped from the page; the record says from which device.",
        false => "The page only shows; --view-marks lets it stamp marks.",
    });
}

/// Says what to compare where the browser warns.
fn tell_fingerprint(page: &Page) {
    let Some(fingerprint) = page.fingerprint() else {
        return;
    };
    say("The page is encrypted. The browser warns once, for nobody vouches for its certificate.");
    say("Look at the certificate there; go on only if its SHA-256 fingerprint is this one:");
    say(format!("  {fingerprint}"));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A device, as a page names one.
    fn device() -> Device {
        Device::named("K7QF").expect("a name")
    }

    #[test]
    fn every_stamp_is_an_act_of_its_device() {
        let all = stamps();
        assert_eq!(all.len(), 8);
        for stamp in &all {
            let Some(Act::Mark(_, note)) = act(Asked::Stamp(stamp.key), device()) else {
                panic!("{stamp:?}");
            };
            assert!(note.ends_with("[device K7QF]"), "{note}");
        }
        let kinds: std::collections::BTreeSet<_> = all.iter().map(|s| &s.label).collect();
        assert_eq!(kinds.len(), 8, "each says something else: {kinds:?}");
        let stop = act(Asked::Stamp('q'), device());
        assert_eq!(stop, None, "nobody stops a run from afar");
        let undo = act(Asked::Undo(3), device());
        assert_eq!(undo, Some(Act::UndoFrom(3, "K7QF".into())));
        let note = act(Asked::Note("door open".into()), device());
        let noted = "door open [device K7QF]".to_owned();
        assert_eq!(note, Some(Act::Mark(MarkKind::Note, noted)));
    }
}
