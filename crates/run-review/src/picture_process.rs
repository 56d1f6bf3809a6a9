//! Pictures from others are drawn in a process of their own.
//!
//! A logo and a photo come with somebody's claim. The libraries that read PNG, JPEG and SVG
//! are sound, but a picture may be made to keep them busy, to fill the memory, or to find the
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

use report::{Logo, Photo};

/// The command of this program that has to call [`answer_with_picture`]; not for people.
pub const DRAW_PICTURE: &str = "draw-picture";

/// The variable of the environment that tells the drawing process what it draws; a logo
/// without it.
const KIND: &str = "DRYHOLD_PICTURE";

/// What is drawn, and what it may take in the drawing process.
struct Kind {
    /// Its word in [`KIND`].
    word: &'static str,
    /// How long it may take, of the clock on the wall.
    longest: Duration,
    /// Memory that the drawing process may take, bytes.
    most_memory: u64,
    /// Time of a processor that it may take, s; for a process nobody waits for any more.
    most_processor_s: u64,
    /// Bytes of a file, at most.
    most_bytes: u64,
    /// Longest answer, bytes.
    most_answer: u64,
}

const LOGO: Kind = Kind {
    word: "logo",
    longest: Duration::from_millis(1_600),
    most_memory: 176 << 20,
    most_processor_s: 3,
    most_bytes: Logo::MOST_BYTES,
    most_answer: 9 + 3 * Logo::MOST_PIXELS.0 as u64 * Logo::MOST_PIXELS.1 as u64,
};

/// A telephone's photo of 50 megapixels takes 150 MB, and half a second on a desktop.
const PHOTO: Kind = Kind {
    word: "photo",
    longest: Duration::from_secs(20),
    most_memory: 768 << 20,
    most_processor_s: 20,
    most_bytes: Photo::MOST_BYTES,
    most_answer: 9 + 3 * Photo::MOST_SIDE as u64 * Photo::MOST_SIDE as u64,
};

/// First byte of an answer: width and height (32 bits each, lowest byte first) and
/// three bytes for each pixel follow …
const DRAWN: u8 = 1;
/// … or the reason why there are none, as text.
const REFUSED: u8 = 0;
/// Most characters of a reason.
const MOST_REASON: usize = 300;

/// Draws a logo in another process.
///
/// # Errors
/// Why there is no picture, in words for a technician.
pub(crate) fn draw_logo(bytes: Vec<u8>) -> Result<Logo, String> {
    understand(&draw(&LOGO, bytes)?, Logo::from_rgb)
}

/// Reads a photo in another process.
///
/// # Errors
/// Why there is no picture, in words for a technician.
pub(crate) fn read_photo(bytes: Vec<u8>) -> Result<Photo, String> {
    understand(&draw(&PHOTO, bytes)?, Photo::from_rgb)
}

fn draw(kind: &'static Kind, bytes: Vec<u8>) -> Result<Vec<u8>, String> {
    let program = std::env::current_exe();
    let program = program.map_err(|e| format!("it cannot be drawn: {e}"))?;
    let child = Command::new(program)
        .arg(DRAW_PICTURE)
        .env(KIND, kind.word)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn();
    let mut child = child.map_err(|e| format!("it cannot be drawn: {e}"))?;
    let answer = converse(&mut child, kind, bytes);
    // it has answered, or it never will
    let _ = child.kill();
    let _ = child.wait();
    answer
}

/// Hands the bytes over and takes the answer, as long as it may take.
fn converse(child: &mut Child, kind: &'static Kind, bytes: Vec<u8>) -> Result<Vec<u8>, String> {
    let (Some(mut to), Some(from)) = (child.stdin.take(), child.stdout.take()) else {
        return Err("it cannot be drawn".into());
    };
    let (done, answers) = mpsc::channel();
    let talking = thread::Builder::new().spawn(move || {
        // a process that ended early is known by its answer
        let _ = to.write_all(&bytes);
        drop(to);
        let mut answer = Vec::new();
        let read = from.take(kind.most_answer).read_to_end(&mut answer);
        let _ = done.send(read.map(|_| answer));
    });
    talking.map_err(|e| format!("it cannot be drawn: {e}"))?;
    match answers.recv_timeout(kind.longest) {
        Ok(Ok(answer)) => Ok(answer),
        Ok(Err(e)) => Err(format!("it cannot be drawn: {e}")),
        Err(_) => Err("it takes too long to draw: give a simpler picture".into()),
    }
}

/// Believes nothing: what answers may no longer be this program.
fn understand<P>(answer: &[u8], from_rgb: fn(u32, u32, &[u8]) -> Option<P>) -> Result<P, String> {
    let picture = || {
        let (size, rgb) = answer.strip_prefix(&[DRAWN])?.split_first_chunk::<8>()?;
        let (width, height) = size.split_first_chunk::<4>()?;
        let height = height.first_chunk::<4>()?;
        from_rgb(u32::from_le_bytes(*width), u32::from_le_bytes(*height), rgb)
    };
    if let Some(reason) = answer.strip_prefix(&[REFUSED]) {
        let reason = String::from_utf8_lossy(reason);
        let plain = reason.chars().map(|c| if c.is_control() { ' ' } else { c });
        return Err(plain.take(MOST_REASON).collect());
    }
    picture().ok_or_else(|| {
        "drawing it failed, which a sound picture does not cause: save it anew".into()
    })
}

/// The drawing process: limits itself, reads a picture from standard input, answers on
/// standard output.
///
/// # Errors
/// When nobody takes the answer.
pub fn answer_with_picture() -> io::Result<()> {
    let is_photo = std::env::var_os(KIND).is_some_and(|word| word == PHOTO.word);
    let kind = if is_photo { &PHOTO } else { &LOGO };
    // before a byte of the picture is read
    limit(kind);
    let mut bytes = Vec::new();
    let read = io::stdin()
        .take(kind.most_bytes + 1)
        .read_to_end(&mut bytes);
    let drawn = match read {
        Err(e) => Err(e.to_string()),
        Ok(_) if is_photo => Photo::read(&bytes)
            .map(|photo| drawn(photo.rgb()))
            .map_err(|e| e.to_string()),
        Ok(_) => Logo::read(&bytes)
            .map(|logo| drawn(logo.rgb()))
            .map_err(|e| e.to_string()),
    };
    let answer = drawn.unwrap_or_else(|why| [&[REFUSED], why.as_bytes()].concat());
    io::stdout().write_all(&answer)
}

fn drawn((width, height, rgb): (u32, u32, &[u8])) -> Vec<u8> {
    [
        &[DRAWN][..],
        &width.to_le_bytes(),
        &height.to_le_bytes(),
        rgb,
    ]
    .concat()
}

/// Takes away what drawing does not need.
#[cfg(unix)]
fn limit(kind: &Kind) {
    use rustix::process::{Resource, Rlimit, setrlimit};
    for (resource, most) in [
        (Resource::Data, kind.most_memory),
        // where memory is not counted so, the room for addresses is
        (Resource::As, 4 * kind.most_memory),
        (Resource::Cpu, kind.most_processor_s),
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
fn limit(kind: &Kind) {
    let _ = (kind.most_memory, kind.most_processor_s);
}

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
        let logo = understand(&answer, Logo::from_rgb).expect("a logo");
        assert_eq!(logo.rgb(), (2, 1, &[1, 2, 3, 4, 5, 6][..]));
        for wrong in [&answer[..answer.len() - 1], &answer[..5], b"", b"x"] {
            let said = understand(wrong, Logo::from_rgb).expect_err("none");
            assert!(said.contains("drawing it failed"), "{said}");
        }
        let said = understand(b"\0it is\x1b[2J bad", Logo::from_rgb).expect_err("none");
        assert_eq!(said, "it is [2J bad");
    }
}
