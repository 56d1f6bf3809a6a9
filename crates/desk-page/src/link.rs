//! The way from the page to a sheet, as an address that a browser follows.

use std::{
    fmt::Write as _,
    path::{Component, Path},
};

/// The address of `target` seen from a page in `folder`, both seen from the same place.
/// `None` where there is no way that is sure: one of them absolute and the other not, on
/// another drive, or above the place where nobody knows the names.
pub(crate) fn relative(folder: &Path, target: &Path) -> Option<String> {
    let (from, to) = (plain(folder)?, plain(target)?);
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let begins = |path: &[Part]| path.first().is_some_and(Part::is_root);
    // roots that differ share nothing
    if begins(&from) != begins(&to) || (begins(&from) && shared == 0) {
        return None;
    }
    let mut address = String::new();
    for part in &from[shared..] {
        // back out of a folder above the start would need its name
        if matches!(part, Part::Up) {
            return None;
        }
        address.push_str("../");
    }
    for part in &to[shared..] {
        match part {
            Part::Up => address.push_str("../"),
            Part::Name(name) => {
                encode(&mut address, name);
                address.push('/');
            }
            Part::Root(_) => return None,
        }
    }
    address.pop();
    // "a:b" at the beginning would be a scheme; the colon is encoded, and this says so twice
    (!address.is_empty()).then(|| format!("./{address}"))
}

#[derive(Debug, PartialEq, Eq)]
enum Part {
    /// Drive or beginning of the file system.
    Root(String),
    Up,
    Name(String),
}

impl Part {
    const fn is_root(&self) -> bool {
        matches!(self, Self::Root(_))
    }
}

/// The parts of a path without "." and without "a/..". `None` for names that are no Unicode:
/// a browser may read their bytes otherwise.
fn plain(path: &Path) -> Option<Vec<Part>> {
    let mut parts: Vec<Part> = Vec::new();
    for component in path.components() {
        let text = component.as_os_str().to_str()?.to_owned();
        match component {
            Component::Prefix(_) | Component::RootDir => parts.push(Part::Root(text)),
            Component::CurDir => {}
            Component::Normal(_) => parts.push(Part::Name(text)),
            Component::ParentDir => match parts.last() {
                Some(Part::Name(_)) => {
                    parts.pop();
                }
                Some(Part::Root(_)) => {}
                Some(Part::Up) | None => parts.push(Part::Up),
            },
        }
    }
    Some(parts)
}

/// RFC 3986, section 2.1: everything but the unreserved letters as bytes in hexadecimal.
fn encode(address: &mut String, name: &str) {
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            address.push(char::from(byte));
        } else {
            // writing into a String cannot fail
            let _ = write!(address, "%{byte:02X}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(folder: &str, target: &str, address: Option<&str>) {
        let found = relative(Path::new(folder), Path::new(target));
        assert_eq!(found.as_deref(), address, "{folder} → {target}");
    }

    #[test]
    fn sheets_are_found_from_where_the_page_lies() {
        check("", "claims/a/sheet.html", Some("./claims/a/sheet.html"));
        check(".", "./claims/sheet.pdf", Some("./claims/sheet.pdf"));
        check("desk", "claims/sheet.pdf", Some("./../claims/sheet.pdf"));
        check("claims/desk", "claims/a/s", Some("./../a/s"));
        check("/srv/desk", "/srv/claims/a", Some("./../claims/a"));
        check("claims/../desk", "desk/a", Some("./a"));
        check("../desk", "../claims/a", Some("./../claims/a"));
        check("desk", "../claims/a", Some("./../../claims/a"));
    }

    #[test]
    fn where_the_way_is_not_sure_there_is_none() {
        check("/srv/desk", "claims/a", None);
        check("desk", "/srv/claims/a", None);
        check("../desk", "claims/a", None);
        check("desk", "desk", None);
    }

    /// Names that would be a script, another host, a query, or end the attribute.
    #[test]
    fn hostile_names_are_only_names() {
        check(
            "",
            "javascript:alert(1)",
            Some("./javascript%3Aalert%281%29"),
        );
        check("", "a?b#c/s", Some("./a%3Fb%23c/s"));
        check("", "a\"><b onx='/s", Some("./a%22%3E%3Cb%20onx%3D%27/s"));
        check("", "100%/s", Some("./100%25/s"));
        check("", "é/s", Some("./%C3%A9/s"));
        #[cfg(unix)]
        check("", "a\\b/s", Some("./a%5Cb/s"));
    }
}
