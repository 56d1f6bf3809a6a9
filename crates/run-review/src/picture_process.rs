//! Pictures from others are drawn in a process of their own.
//!
//! A logo comes with somebody's claim. The libraries that read PNG and SVG are sound,
//! but a picture may be made to keep them busy, to fill the memory, or to find the
//! next mistake in them. So this program starts itself once more, hands the bytes of
//! the picture over and takes pixels back. That process has a time, and where the
//! system has such limits (Linux and other Unix systems) also a bound on its memory
//! and no file it could open. Whatever becomes of it costs the picture, nothing else.

use std::{
    io::{self, Read, Write},
    process::{Child, Command, Stdio},
    sync::mpsc,
    thread,
    time::Duration,
};

use report::Logo;

/// The command of this program that has to call [`answer_with_picture`]; not for people.
pub const DRAW_PICTURE: &str = "draw-picture";

/// How long a picture may take, s of the clock on the wall.
const LONGEST: Duration = Duration::from_millis(1_600);
/// Memory that the drawing process may take, bytes.
#[cfg(unix)]
const MOST_MEMORY: u64 = 176 << 20;
/// Time of a processor that it may take, s; for a process nobody waits for any more.
#[cfg(unix)]
const MOST_PROCESSOR_S: u64 = 3;

/// First byte of an answer: width and height (32 bits each, lowest byte first) and
/// three bytes for each pixel follow …
const DRAWN: u8 = 1;
/// … or the reason why there are none, as text.
const REFUSED: u8 = 0;
/// Longest answer, bytes.
const MOST_ANSWER: u64 = 9 + 3 * Logo::MOST_PIXELS.0 as u64 * Logo::MOST_PIXELS.1 as u64;
/// Most characters of a reason.
const MOST_REASON: usize = 300;

/// Draws a picture in another process.
///
/// # Errors
/// Why there is no picture, in words for a technician.
pub(crate) fn draw(bytes: Vec<u8>) -> Result<Logo, String> {
    let program = std::env::current_exe();
    let program = program.map_err(|e| format!("it cannot be drawn: {e}"))?;
    let child = Command::new(program)
        .arg(DRAW_PICTURE)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn();
    let mut child = child.map_err(|e| format!("it cannot be drawn: {e}"))?;
    let answer = converse(&mut child, bytes);
    // it has answered, or it never will
    let _ = child.kill();
    let _ = child.wait();
    understand(&answer?)
}

/// Hands the bytes over and takes the answer, as long as it may take.
fn converse(child: &mut Child, bytes: Vec<u8>) -> Result<Vec<u8>, String> {
    let (Some(mut to), Some(from)) = (child.stdin.take(), child.stdout.take()) else {
        return Err("it cannot be drawn".into());
    };
    let (done, answers) = mpsc::channel();
    let talking = thread::Builder::new().spawn(move || {
        // a process that ended early is known by its answer
        let _ = to.write_all(&bytes);
        drop(to);
        let mut answer = Vec::new();
        let read = from.take(MOST_ANSWER).read_to_end(&mut answer);
        let _ = done.send(read.map(|_| answer));
    });
    talking.map_err(|e| format!("it cannot be drawn: {e}"))?;
    match answers.recv_timeout(LONGEST) {
        Ok(Ok(answer)) => Ok(answer),
        Ok(Err(e)) => Err(format!("it cannot be drawn: {e}")),
        Err(_) => Err("it takes too long to draw: give a simpler picture".into()),
    }
}

/// Believes nothing: what answers may no longer be this program.
fn understand(answer: &[u8]) -> Result<Logo, String> {
    let logo = || {
        let (size, rgb) = answer.strip_prefix(&[DRAWN])?.split_first_chunk::<8>()?;
        let (width, height) = size.split_first_chunk::<4>()?;
        let height = height.first_chunk::<4>()?;
        Logo::from_rgb(u32::from_le_bytes(*width), u32::from_le_bytes(*height), rgb)
    };
    if let Some(reason) = answer.strip_prefix(&[REFUSED]) {
        let reason = String::from_utf8_lossy(reason);
        let plain = reason.chars().map(|c| if c.is_control() { ' ' } else { c });
        return Err(plain.take(MOST_REASON).collect());
    }
    logo().ok_or_else(|| {
        "drawing it failed, which a sound picture does not cause: save it anew".into()
    })
}

/// The drawing process: limits itself, reads a picture from standard input, answers on
/// standard output.
///
/// # Errors
/// When nobody takes the answer.
pub fn answer_with_picture() -> io::Result<()> {
    limit();
    let mut bytes = Vec::new();
    let mut answer = vec![REFUSED];
    match io::stdin()
        .take(Logo::MOST_BYTES + 1)
        .read_to_end(&mut bytes)
    {
        Err(e) => answer.extend_from_slice(e.to_string().as_bytes()),
        Ok(_) => match Logo::read(&bytes) {
            Err(e) => answer.extend_from_slice(e.to_string().as_bytes()),
            Ok(logo) => {
                let (width, height, rgb) = logo.rgb();
                answer = [
                    &[DRAWN][..],
                    &width.to_le_bytes(),
                    &height.to_le_bytes(),
                    rgb,
                ]
                .concat();
            }
        },
    }
    io::stdout().write_all(&answer)
}

/// Takes away what drawing does not need.
#[cfg(unix)]
fn limit() {
    use rustix::process::{Resource, Rlimit, setrlimit};
    for (resource, most) in [
        (Resource::Data, MOST_MEMORY),
        // where memory is not counted so, the room for addresses is
        (Resource::As, 4 * MOST_MEMORY),
        (Resource::Cpu, MOST_PROCESSOR_S),
        (Resource::Nofile, 0),
        (Resource::Fsize, 0),
        (Resource::Core, 0),
    ] {
        let most = Some(most);
        let limit = Rlimit {
            current: most,
            maximum: most,
        };
        // a system that does not know one of them still has the time
        let _ = setrlimit(resource, limit);
    }
}

#[cfg(not(unix))]
fn limit() {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_is_believed_only_if_it_can_be_one() {
        let answer = [
            &[DRAWN][..],
            &2_u32.to_le_bytes(),
            &1_u32.to_le_bytes(),
            &[1, 2, 3, 4, 5, 6],
        ]
        .concat();
        let logo = understand(&answer).expect("a logo");
        assert_eq!(logo.rgb(), (2, 1, &[1, 2, 3, 4, 5, 6][..]));
        for wrong in [&answer[..answer.len() - 1], &answer[..5], b"", b"x"] {
            let said = understand(wrong).expect_err("none");
            assert!(said.contains("drawing it failed"), "{said}");
        }
        let said = understand(b"\0it is\x1b[2J bad").expect_err("none");
        assert_eq!(said, "it is [2J bad");
    }
}
