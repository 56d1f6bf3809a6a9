//! The page and the headers that go with everything.

use axum::http::{HeaderMap, HeaderName, HeaderValue, header};
use base64::{Engine as _, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};

const FRAME: &str = include_str!("page/page.html");
const STYLE: &str = include_str!("page/page.css");
const SCRIPTS: [&str; 3] = [
    include_str!("page/curve.js"),
    include_str!("page/show.js"),
    include_str!("page/listen.js"),
];

/// The one page, with its style and script inside, and the policy that lets the browser
/// run these and nothing else.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    /// HTML.
    pub(crate) html: String,
    /// Content-Security-Policy.
    pub(crate) policy: HeaderValue,
}

impl Sheet {
    pub(crate) fn new() -> Self {
        // a scope of its own
        let script = format!("\"use strict\";(()=>{{\n{}}})();\n", SCRIPTS.concat());
        let html = FRAME
            .replace("/*STYLE*/", STYLE)
            .replace("/*SCRIPT*/", &script);
        let hash = |text: &str| STANDARD.encode(Sha256::digest(text.as_bytes()));
        let policy = format!(
            "default-src 'none'; script-src 'sha256-{}'; style-src 'sha256-{}'; \
             connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
            hash(&script),
            hash(STYLE)
        );
        Self {
            html,
            policy: HeaderValue::from_str(&policy).unwrap_or(SHUT),
        }
    }
}

const SHUT: HeaderValue = HeaderValue::from_static("default-src 'none'; frame-ancestors 'none'");

/// Headers of every answer, refusals among them.
pub(crate) fn harden(headers: &mut HeaderMap) {
    headers
        .entry(header::CONTENT_SECURITY_POLICY)
        .or_insert(SHUT);
    for (name, value) in [
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("permissions-policy"),
            "camera=(), microphone=(), geolocation=()",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_needs_nothing_from_outside() {
        let html = Sheet::new().html;
        assert!(!html.contains("/*STYLE*/") && !html.contains("/*SCRIPT*/"));
        for outside in [
            "http://",
            "https://",
            "//cdn",
            "@import",
            "url(",
            " src=",
            "innerHTML",
        ] {
            assert!(!html.contains(outside), "{outside}");
        }
        // what the policy would not run
        for inline in [" style=\"", " onclick=", "javascript:", "eval("] {
            assert!(!html.contains(inline), "{inline}");
        }
        assert_eq!(html.matches("<script").count(), 1);
        assert_eq!(html.matches("<style").count(), 1);
    }
}
