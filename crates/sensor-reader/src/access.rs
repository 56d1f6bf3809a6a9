//! May this user open this device, and if not, what to do.

use std::path::Path;

/// Whether this user may read and write a device, without opening it (opening
/// would toggle the control lines and may restart the gauge).
#[cfg(unix)]
pub(crate) fn may_use(path: &Path) -> Result<(), String> {
    use rustix::fs::Access;
    match rustix::fs::access(path, Access::READ_OK | Access::WRITE_OK) {
        Ok(()) => Ok(()),
        Err(rustix::io::Errno::ACCESS | rustix::io::Errno::PERM) => Err(permission_hint(path)),
        Err(other) => Err(std::io::Error::from(other).to_string()),
    }
}

#[cfg(not(unix))]
pub(crate) fn may_use(_: &Path) -> Result<(), String> {
    Ok(())
}

/// How to get permission for a device.
#[cfg(unix)]
pub(crate) fn permission_hint(path: &Path) -> String {
    use std::os::unix::fs::MetadataExt;
    let group = std::fs::metadata(path)
        .ok()
        .and_then(|m| group_name(m.gid()));
    match group.as_deref() {
        // adding oneself to the root group would be the wrong cure
        None | Some("root") => {
            "ask whoever looks after this computer to give your user access to serial ports \
             (a udev rule that sets a group), then log out and in"
                .to_owned()
        }
        Some(group) => format!(
            "it belongs to the group {group}: run  sudo usermod -aG {group} $USER  \
             then log out and in"
        ),
    }
}

#[cfg(not(unix))]
pub(crate) fn permission_hint(_: &Path) -> String {
    "another program may hold it; close that program and try again".to_owned()
}

#[cfg(unix)]
fn group_name(gid: u32) -> Option<String> {
    let groups = std::fs::read_to_string("/etc/group").ok()?;
    group_in(&groups, gid)
}

/// Finds a group by number in the text of `/etc/group` (name:password:number:members).
#[cfg(unix)]
fn group_in(groups: &str, gid: u32) -> Option<String> {
    groups.lines().find_map(|line| {
        let mut fields = line.split(':');
        let name = fields.next()?;
        let number: u32 = fields.nth(1)?.parse().ok()?;
        (number == gid).then(|| name.to_owned())
    })
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn group_file() {
        let text = "root:x:0:\nbroken\ndialout:x:20:ann,bob\n";
        assert_eq!(group_in(text, 20).as_deref(), Some("dialout"));
        assert_eq!(group_in(text, 21), None);
    }

    #[test]
    fn missing_device_is_not_usable() {
        assert!(may_use(Path::new("/dev/no-such-port")).is_err());
        assert!(may_use(Path::new("/dev/null")).is_ok());
    }
}
