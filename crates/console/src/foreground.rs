//! Whether the terminal may be read.

/// This program may read the terminal: in the background that would stop it.
pub fn in_foreground() -> bool {
    #[cfg(unix)]
    return rustix::termios::tcgetpgrp(std::io::stdin())
        .map_or(true, |group| group == rustix::process::getpgrp());
    #[cfg(not(unix))]
    true
}

/// Waits until this program may read the terminal.
pub fn await_foreground() {
    while !in_foreground() {
        std::thread::sleep(std::time::Duration::from_millis(500));
    }
}
