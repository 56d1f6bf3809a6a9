//! A notification on the desktop: on Linux and the BSDs by the freedesktop.org
//! notification service, elsewhere by the system's own.

use std::thread::JoinHandle;

use notify_rust::Notification;
use tokio::sync::mpsc::UnboundedSender;
use watch::Act;

use crate::caller::{Call, Caller, EndBy};

/// Starts what shows a notification for each event.
pub(crate) fn start(
    acts: UnboundedSender<Act>,
    end: EndBy,
) -> std::io::Result<(Caller, JoinHandle<()>)> {
    let what = "the desktop's notification (--notify)";
    Caller::start(what, acts, end, |call| call.map_or(Ok(()), show))
}

fn show(call: &Call) -> Result<(), String> {
    let mut notification = Notification::new();
    notification
        .appname("dryhold")
        .summary(&format!("dryhold: {}", call.job))
        .body(&without_markup(&call.text));
    #[cfg(all(unix, not(target_os = "macos")))]
    if call.grave {
        // stays until somebody has seen it
        notification.urgency(notify_rust::Urgency::Critical);
    }
    #[cfg(not(all(unix, not(target_os = "macos"))))]
    if call.grave {
        notification.timeout(notify_rust::Timeout::Never);
    }
    let shown = notification.show();
    shown
        .map(|_| ())
        .map_err(|why| format!("cannot be shown: is there a desktop? ({why})"))
}

/// The service reads `<` and `&` of a body as markup.
fn without_markup(text: &str) -> String {
    let text = text.replace('&', "&amp;");
    text.replace('<', "&lt;").replace('>', "&gt;")
}
