//! May this user open this device, and if not, what to do.

use std::path::Path;

use crate::transport::SystemFiles;
#[cfg(unix)]
use crate::{transport::identity::Identity, usb::UsbIdentity};

/// Whether this user may read and write a device, without opening it (opening
/// would toggle the control lines and may restart the gauge).
#[cfg(unix)]
pub(crate) fn may_use(system: &SystemFiles, path: &Path) -> Result<(), String> {
    use rustix::fs::Access;
    match rustix::fs::access(path, Access::READ_OK | Access::WRITE_OK) {
        Ok(()) => Ok(()),
        Err(rustix::io::Errno::ACCESS | rustix::io::Errno::PERM) => {
            Err(permission_hint(system, path))
        }
        Err(other) => Err(std::io::Error::from(other).to_string()),
    }
}

#[cfg(not(unix))]
pub(crate) fn may_use(_: &SystemFiles, _: &Path) -> Result<(), String> {
    Ok(())
}

/// How to get permission for a device.
#[cfg(unix)]
pub(crate) fn permission_hint(system: &SystemFiles, path: &Path) -> String {
    use std::os::unix::fs::MetadataExt;
    let Ok(device) = std::fs::metadata(path) else {
        return "it cannot even be looked at: ask whoever looks after this computer".to_owned();
    };
    let groups = std::fs::read_to_string("/etc/group").unwrap_or_default();
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let user = std::env::var("USER").unwrap_or_default();
    match group_in(&groups, device.gid()) {
        // joining a group that may do everything, or nothing, would be the wrong cure
        Some(group) if group.name != "root" && device.mode() & 0o060 == 0o060 => {
            let has_joined = group.has_member(&user);
            join(group.name, has_joined, in_group(&status, device.gid()))
        }
        _ => {
            let name = system.terminal_name(path);
            let usb = name.as_deref().and_then(|name| Identity::of(system, name));
            let usual = USUAL_GROUPS.iter().find(|name| {
                groups
                    .lines()
                    .any(|line| line.split(':').next() == Some(name))
            });
            rule(path, usb.map(|identity| identity.usb), usual.copied())
        }
    }
}

#[cfg(not(unix))]
pub(crate) fn permission_hint(_: &SystemFiles, _: &Path) -> String {
    "another program may hold it; close that program and try again".to_owned()
}

/// Groups that systems set up for serial ports.
#[cfg(unix)]
const USUAL_GROUPS: [&str; 2] = ["dialout", "uucp"];

/// The cure where a group may use the device. `has_joined`: the user is entered
/// in the group; `counts`: this program runs as a member.
#[cfg(unix)]
fn join(group: &str, has_joined: bool, counts: bool) -> String {
    if counts {
        return format!(
            "your user is in its group {group}, so something else forbids it (a sandbox or \
             container?): ask whoever looks after this computer"
        );
    }
    if has_joined {
        return format!(
            "your user has joined its group {group} since you logged in: log out and in"
        );
    }
    format!(
        "it belongs to the group {group}: run  sudo usermod -aG {group} $USER  then log out and in"
    )
}

/// The cure where no group may use the device: a rule for the device manager.
#[cfg(unix)]
fn rule(path: &Path, usb: Option<UsbIdentity>, group: Option<&str>) -> String {
    let name = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let name = name.file_name().unwrap_or_default().to_string_lossy();
    let which = match usb {
        Some(usb) => format!(
            r#"SUBSYSTEM=="tty", ATTRS{{idVendor}}=="{:04x}", ATTRS{{idProduct}}=="{:04x}""#,
            usb.vendor_id, usb.product_id
        ),
        None => format!(r#"SUBSYSTEM=="tty", KERNEL=="{name}""#),
    };
    let group = group.unwrap_or("users");
    format!(
        "only the administrator may use it. Write  {which}, GROUP=\"{group}\", MODE=\"0660\"  into \
         /etc/udev/rules.d/70-gauge.rules, run  sudo udevadm control --reload ,  sudo udevadm \
         trigger --subsystem-match=tty  and  sudo usermod -aG {group} $USER , then log out and in"
    )
}

/// A line of `/etc/group`.
#[cfg(unix)]
struct Group<'l> {
    name: &'l str,
    members: &'l str,
}

#[cfg(unix)]
impl Group<'_> {
    fn has_member(&self, user: &str) -> bool {
        self.members.split(',').any(|member| member == user)
    }
}

/// Finds a group by number in the text of `/etc/group` (name:password:number:members).
#[cfg(unix)]
fn group_in(groups: &str, gid: u32) -> Option<Group<'_>> {
    groups.lines().find_map(|line| {
        let mut fields = line.split(':');
        let name = fields.next()?;
        let number: u32 = fields.nth(1)?.parse().ok()?;
        let members = fields.next().unwrap_or_default();
        (number == gid).then_some(Group { name, members })
    })
}

/// Whether the process whose `/proc/self/status` this is acts for a group.
#[cfg(unix)]
fn in_group(status: &str, gid: u32) -> bool {
    status
        .lines()
        .filter_map(|line| {
            line.strip_prefix("Groups:")
                .or_else(|| line.strip_prefix("Gid:"))
        })
        .flat_map(str::split_ascii_whitespace)
        .any(|number| number.parse() == Ok(gid))
}

#[cfg(unix)]
#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn group_file() {
        let text = "root:x:0:\nbroken\ndialout:x:20:ann,bob\n";
        let group = group_in(text, 20).unwrap();
        assert_eq!(group.name, "dialout");
        assert!(group.has_member("bob") && !group.has_member("bo") && !group.has_member(""));
        assert!(group_in(text, 21).is_none());
    }

    #[test]
    fn groups_of_the_process() {
        let status = "Name:\tx\nUid:\t77\t77\t77\t77\nGid:\t5\t5\t5\t5\nGroups:\t20 27 \n";
        assert!(in_group(status, 20) && in_group(status, 5));
        assert!(!in_group(status, 77) && !in_group(status, 2));
    }

    #[test]
    fn each_trouble_has_its_own_cure() {
        assert!(join("dialout", false, false).contains("sudo usermod -aG dialout $USER"));
        let joined = join("dialout", true, false);
        assert!(joined.contains("log out and in") && !joined.contains("usermod"));
        assert!(!join("dialout", true, true).contains("log out"));
        let usb = UsbIdentity {
            vendor_id: 0x0a1b,
            product_id: 0x2c,
            serial: None,
        };
        let text = rule(Path::new("/dev/ttyX9"), Some(usb), Some("uucp"));
        let wanted = r#"SUBSYSTEM=="tty", ATTRS{idVendor}=="0a1b", ATTRS{idProduct}=="002c", GROUP="uucp", MODE="0660""#;
        assert!(text.contains(wanted), "{text}");
        assert!(rule(Path::new("/dev/ttyX9"), None, None).contains(r#"KERNEL=="ttyX9""#));
    }

    #[test]
    fn a_device_of_one_user_alone_needs_a_rule() {
        use std::{fs, os::unix::fs::PermissionsExt};
        let device = tempfile::NamedTempFile::new().unwrap();
        fs::set_permissions(device.path(), fs::Permissions::from_mode(0o600)).unwrap();
        let hint = permission_hint(&SystemFiles::default(), device.path());
        assert!(hint.contains("/etc/udev/rules.d/"), "{hint}");
    }

    #[test]
    fn missing_device_is_not_usable() {
        let system = SystemFiles::default();
        assert!(may_use(&system, Path::new("/dev/no-such-port")).is_err());
        assert!(may_use(&system, Path::new("/dev/null")).is_ok());
    }
}
