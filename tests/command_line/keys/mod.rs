//! Keys through the binary: replaced, revoked, locked with a passphrase; and what
//! whoever checks records makes of it.

mod locked;
mod replaced;

use std::{fs, os::unix::fs::PermissionsExt, path::PathBuf};

use crate::{
    run::{Ran, command, dryhold_at, put_unsealed_run, scratch},
    screen::Screen,
};

/// A shop, the runs it has sealed, and the folder of a desk that has its first key.
struct Shop {
    scratch: tempfile::TempDir,
    home: PathBuf,
    runs: PathBuf,
    desk: PathBuf,
}

impl Shop {
    fn new() -> Self {
        let scratch = scratch();
        let below = |name: &str| scratch.path().join(name);
        let shop = Self {
            home: below("home"),
            runs: below("runs"),
            desk: below("desk"),
            scratch,
        };
        fs::create_dir(&shop.desk).expect("a folder");
        shop.key(&["--out", &shop.at_the_desk("shop.pem")])
            .expect(0);
        shop
    }

    fn dryhold(&self, arguments: &[&str]) -> Ran {
        dryhold_at(&self.home, arguments)
    }

    fn key(&self, options: &[&str]) -> Ran {
        self.dryhold(&[&["key"], options].concat())
    }

    fn fingerprint(&self) -> String {
        let said = self.key(&[]).expect(0).out;
        let line = said.lines().find(|l| l.starts_with("Fingerprint:"));
        let words = line.expect("a line").split_whitespace();
        words.last().expect("a fingerprint").to_owned()
    }

    fn at_the_desk(&self, name: &str) -> String {
        self.desk.join(name).to_string_lossy().into_owned()
    }

    fn key_file(&self) -> PathBuf {
        self.home.join("dryhold/seal-key.pem")
    }

    /// A record that nobody has sealed yet.
    fn run(&self, name: &str) -> String {
        let run = self.runs.join(name);
        put_unsealed_run(&run);
        run.to_string_lossy().into_owned()
    }

    /// Seals one more run; the names make them differ in the register.
    fn seal(&self, name: &str) -> String {
        let run = self.run(name);
        self.dryhold(&["seal", &run]).expect(0);
        run
    }

    /// The desk checks one run, or a folder of them.
    fn check(&self, path: &str, options: &[&str]) -> Ran {
        let desk = self.desk.to_string_lossy();
        self.dryhold(&[&["verify", path, "--public-key", &desk], options].concat())
    }

    /// A file of the shop with this text, for its owner alone.
    fn file(&self, name: &str, text: &str) -> String {
        let path = self.scratch.path().join(name);
        fs::write(&path, text).expect("written");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).expect("closed");
        path.to_string_lossy().into_owned()
    }

    /// Locks the shop's key.
    fn lock(&self, passphrase: &str) -> String {
        let file = self.file("passphrase", passphrase);
        self.key(&["--set-passphrase", "--new-passphrase-file", &file])
            .expect(0);
        file
    }

    /// On a terminal of its own.
    fn at_a_terminal(&self, arguments: &[&str]) -> Screen {
        let home = self.home.to_string_lossy();
        Screen::start_command(
            command(),
            (100, 120),
            arguments,
            &[("XDG_DATA_HOME", &home)],
        )
    }
}
