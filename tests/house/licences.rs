//! Licences, sources and forbidden packages of everything that is built in, against the
//! lists of deny.toml. `cargo deny` says the same and more, and takes minutes to install.

use std::collections::BTreeSet;

use serde_json::Value;
use spdx::Expression;
use toml::Table;

/// How cargo names packages of a registry; git and folders are named otherwise.
const REGISTRY: &str = "registry+";

/// What deny.toml says.
pub(crate) struct Policy {
    allowed: BTreeSet<String>,
    forbidden: BTreeSet<String>,
}

impl Policy {
    pub(crate) fn read(deny: &str) -> Self {
        let deny: Table = deny.parse().expect("deny.toml is TOML");
        let allowed = deny["licenses"]["allow"].as_array().expect("a list");
        let forbidden = deny["bans"]["deny"].as_array().expect("a list");
        let text = |value: &toml::Value| value.as_str().expect("text").to_owned();
        Self {
            allowed: allowed.iter().map(text).collect(),
            forbidden: forbidden.iter().map(|ban| text(&ban["crate"])).collect(),
        }
    }

    /// What is not as it should be, a line each.
    pub(crate) fn complaints(&self, metadata: &Value) -> Vec<String> {
        let packages = metadata["packages"].as_array().expect("packages");
        let mut complaints: Vec<_> = packages.iter().filter_map(|p| self.complaint(p)).collect();
        let registries: BTreeSet<&str> = packages
            .iter()
            .filter_map(|p| p["source"].as_str())
            .collect();
        if registries.len() > 1 {
            complaints.push(format!("packages of more than one place: {registries:?}"));
        }
        complaints
    }

    fn complaint(&self, package: &Value) -> Option<String> {
        let name = package["name"].as_str().unwrap_or_default();
        if self.forbidden.contains(name) {
            return Some(format!("{name}: deny.toml forbids it"));
        }
        // members of the workspace have no source
        if let Some(source) = package["source"].as_str()
            && !source.starts_with(REGISTRY)
        {
            return Some(format!("{name}: comes from {source}"));
        }
        let Some(licence) = package["license"].as_str() else {
            return Some(format!("{name}: says no licence"));
        };
        // older packages write a stroke where OR is meant
        let written = licence.replace('/', " OR ");
        let allows = |one: &spdx::LicenseReq| self.allowed.contains(&one.to_string());
        match Expression::parse(&written) {
            Ok(expression) if expression.evaluate(allows) => None,
            Ok(_) => Some(format!(
                "{name}: {licence}: not among the licences of deny.toml"
            )),
            Err(_) => Some(format!("{name}: {licence}: no SPDX expression")),
        }
    }
}

#[test]
fn licences_sources_and_forbidden_packages_are_seen() {
    let policy = Policy::read(
        "[licenses]\nallow = ['MIT', 'Apache-2.0', 'Apache-2.0 WITH LLVM-exception']\n\
         [bans]\ndeny = [{ crate = 'openssl-sys', reason = 'x' }]\n",
    );
    const ONE: &str = "registry+https://example.com/index";
    let package = |name: &str, licence: Option<&str>, source: Option<&str>| serde_json::json!({"name": name, "license": licence, "source": source});
    for (licence, good) in [
        (Some("MIT"), true),
        (Some("MIT/GPL-3.0-only"), true),
        (Some("GPL-3.0-only OR (MIT AND Apache-2.0)"), true),
        (Some("Apache-2.0 WITH LLVM-exception"), true),
        (Some("MIT AND GPL-3.0-only"), false),
        (Some("GPL-3.0-only"), false),
        (Some("as you like"), false),
        (None, false),
    ] {
        let one = package("some", licence, Some(ONE));
        assert_eq!(policy.complaint(&one).is_none(), good, "{licence:?}");
    }
    let banned = package("openssl-sys", Some("MIT"), Some(ONE));
    assert!(policy.complaint(&banned).is_some());
    let elsewhere = package("some", Some("MIT"), Some("git+https://example.com/some"));
    assert!(policy.complaint(&elsewhere).is_some());
    assert!(
        policy
            .complaint(&package("own", Some("MIT"), None))
            .is_none()
    );
}
