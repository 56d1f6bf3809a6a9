//! The gauge node of the firmware notes, built and run on an emulated board.

use std::{
    io::{BufRead, BufReader, Write},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
};

/// With this set, missing tools are a failure instead of a skipped test.
const REQUIRED: &str = "DRYHOLD_EMULATED_NODE";

const COMPILER: &str = "arm-none-eabi-gcc";
const EMULATOR: &str = "qemu-system-arm";

/// Where the node's RAM begins, and its size and that of the stack at its bottom
/// (firmware-notes/node/layout.ld).
const RAM: (u32, usize) = (0x2000_0000, 1024);
const STACK: usize = 384;
/// What the start-up leaves in stack that nobody has used yet.
const STACK_PAINT: u32 = 0x5AA5_5AA5;

/// The firmware notes.
pub(crate) fn notes() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../firmware-notes")
}

/// The tool that is missing, if one is: then the test has nothing to run.
pub(crate) fn missing_tool() -> Option<&'static str> {
    let answers = |tool: &&str| {
        let version = Command::new(tool)
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        version.is_ok_and(|status| status.success())
    };
    let missing = [COMPILER, EMULATOR].into_iter().find(|t| !answers(t))?;
    assert!(
        std::env::var_os(REQUIRED).is_none(),
        "{missing} is missing, and {REQUIRED} is set"
    );
    Some(missing)
}

/// Builds the node; the script checks its size, too.
fn built(folder: &Path) -> PathBuf {
    let output = Command::new("bash")
        .arg(notes().join("node/build.sh"))
        .arg(folder)
        .output()
        .expect("bash starts");
    assert!(
        output.status.success(),
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    folder.join("node.elf")
}

/// A running board.
pub(crate) struct Board {
    child: Child,
    folder: PathBuf,
}

impl Board {
    /// Builds and starts the node with its serial port on the TCP port of 127.0.0.1
    /// that `socket` describes. What it sends is kept in [`Board::sent`] as well.
    fn start(folder: &Path, socket: &str) -> Self {
        let program = built(folder);
        let log = folder.join("sent");
        let serial = format!(
            "socket,id=serial,host=127.0.0.1,{socket},logfile={}",
            log.display()
        );
        let child = Command::new(EMULATOR)
            .args(["-machine", "mps2-an385", "-display", "none"])
            // time is counted in instructions: a busy computer slows the board's clock
            // instead of starving its watchdog
            .args(["-icount", "shift=5"])
            .args(["-chardev", &serial, "-serial", "chardev:serial"])
            .args(["-monitor", "stdio", "-kernel"])
            .arg(program)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the emulator starts");
        Self {
            child,
            folder: folder.to_owned(),
        }
    }

    /// The node calls a port that somebody listens on.
    pub(crate) fn calling(folder: &Path, port: u16) -> Self {
        Self::start(folder, &format!("port={port}"))
    }

    /// The node stands still until somebody calls the port.
    pub(crate) fn called(folder: &Path, port: u16) -> Self {
        let mut board = Self::start(folder, &format!("port={port},server=on,wait=on"));
        let said = board.child.stderr.take().expect("its complaints");
        let waits = BufReader::new(said)
            .lines()
            .map_while(Result::ok)
            .any(|line| line.contains("waiting for connection"));
        assert!(waits, "the emulator ended");
        board
    }

    fn command(&mut self, text: &str) {
        let monitor = self.child.stdin.as_mut().expect("a monitor");
        monitor.write_all(text.as_bytes()).expect("a command");
        monitor.write_all(b"\n").expect("its end");
        monitor.flush().expect("sent");
    }

    /// Presses the reset button.
    pub(crate) fn reset(&mut self) {
        self.command("system_reset");
    }

    /// Every byte the node has sent, before anything happened to it.
    pub(crate) fn sent(&self) -> Vec<u8> {
        std::fs::read(self.folder.join("sent")).unwrap_or_default()
    }

    /// Switches the board off; gives the deepest its stack ever was, and all there is, bytes.
    pub(crate) fn off(mut self) -> (usize, usize) {
        let dump = self.folder.join("ram");
        let (start, size) = RAM;
        self.command("stop");
        self.command(&format!("pmemsave {start} {size} \"{}\"", dump.display()));
        self.command("quit");
        self.child.wait().expect("its end");
        let ram = std::fs::read(dump).expect("the memory");
        let unused = ram[..STACK]
            .chunks_exact(4)
            .take_while(|word| *word == STACK_PAINT.to_le_bytes())
            .count();
        (STACK - unused * 4, STACK)
    }
}

impl Drop for Board {
    fn drop(&mut self) {
        // only after a failed test; otherwise it has ended already
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
