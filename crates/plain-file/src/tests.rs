use super::*;

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

fn refusal(path: &Path, links: Links) -> Refused {
    let error = read(path, 100, links).expect_err("refused");
    Refused::of(&error).cloned().expect("a refusal")
}

#[test]
fn a_plain_file_is_read_up_to_its_bound() {
    let folder = folder();
    let path = folder.path().join("a");
    fs::write(&path, b"12345").expect("written");
    assert_eq!(read(&path, 5, Links::Refuse).expect("read"), b"12345");
    let error = read(&path, 4, Links::Refuse).expect_err("too large");
    assert_eq!(error.kind(), io::ErrorKind::FileTooLarge);
    assert_eq!(
        Refused::of(&error),
        Some(&Refused::TooLarge { most_bytes: 4 })
    );
    fs::write(&path, b"\xff").expect("written");
    let error = read_text(&path, 4, Links::Refuse).expect_err("no text");
    assert_eq!(Refused::of(&error), Some(&Refused::NotText));
}

#[test]
fn a_folder_and_a_missing_file_keep_the_words_of_the_system() {
    let folder = folder();
    let kind = |path: &Path| open(path, Links::Follow).expect_err("no file").kind();
    assert_eq!(kind(folder.path()), io::ErrorKind::IsADirectory);
    assert_eq!(kind(&folder.path().join("x")), io::ErrorKind::NotFound);
}

#[test]
fn a_bound_is_said_in_words() {
    assert_eq!(size(100), "100 bytes");
    assert_eq!(size(64 << 10), "64 KB");
    assert_eq!(size(1 << 20), "1 MB");
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_or_named() {
    let folder = folder();
    let (file, by_link) = (folder.path().join("a"), folder.path().join("b"));
    fs::write(&file, "x").expect("written");
    std::os::unix::fs::symlink("a", &by_link).expect("a link");
    assert_eq!(
        read_text(&by_link, 9, Links::Follow).expect("followed"),
        "x"
    );
    let target = PathBuf::from("a");
    assert_eq!(refusal(&by_link, Links::Refuse), Refused::Link { target });
    // one that comes after the first look is caught by the system
    let error = open_at_once(&by_link, Links::Refuse).expect_err("a link");
    let error = as_link(&by_link, Links::Refuse, error);
    assert!(
        matches!(Refused::of(&error), Some(Refused::Link { .. })),
        "{error}"
    );
    // through a folder that is a link the way is open
    let deep = folder.path().join("deep");
    std::os::unix::fs::symlink(".", &deep).expect("a link");
    assert!(read(&deep.join("a"), 9, Links::Refuse).is_ok());
}

#[cfg(unix)]
#[test]
fn pipes_sockets_and_devices_are_refused_without_waiting() {
    let folder = folder();
    let pipe = folder.path().join("pipe");
    // as a shell makes one: the system call differs between systems
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    if made.is_ok_and(|status| status.success()) {
        let what = "named pipe";
        assert_eq!(
            refusal(&pipe, Links::Refuse),
            Refused::NotAFile { what },
            "nobody writes into it"
        );
        // one that comes after the first look is caught by the second
        let file = open_at_once(&pipe, Links::Refuse).expect("opened at once");
        assert!(check(&pipe, &file.metadata().expect("known")).is_err());
    } else {
        eprintln!("named pipes not tried: there is no mkfifo here");
    }
    let socket = folder.path().join("socket");
    let _listening = std::os::unix::net::UnixListener::bind(&socket).expect("a socket");
    let what = "socket";
    assert_eq!(refusal(&socket, Links::Refuse), Refused::NotAFile { what });
    let what = "device";
    assert_eq!(
        refusal(Path::new("/dev/zero"), Links::Follow),
        Refused::NotAFile { what }
    );
}
