//! What is said of folders that could not be looked into.

use console::complain;
use run_review::RunsBelow;

/// Says which folders could not be looked into, and why.
pub(crate) fn tell_unreadable(found: &RunsBelow) {
    for (folder, why) in &found.unreadable {
        let why = plain_file::io_words(why);
        complain(format!("{}: {why}", folder.display()));
    }
}
