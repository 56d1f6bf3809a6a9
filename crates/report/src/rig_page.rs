//! Pumps, hose sets and gauges on one page, for the wall of a workshop.

use std::fmt::Write as _;

use layout::{Notice, ReportError, text::escape};
use rig_history::{Overview, Warning};
use vacuum::Paper;
use wording::{Voice, rig_sections, rig_title, say};

/// Two columns of a page of A4 or Letter; black on white, for it is printed.
const STYLE: &str = "\
@page{margin:12mm}
body{font:10pt/1.35 sans-serif;color:#000;background:#fff;margin:2em auto;max-width:52em;padding:0 1em}
h1{font-size:17pt;margin:0}
p{margin:.1em 0 .8em;color:#333}
.invented{border:2px solid #000;padding:.3em .6em;font-weight:bold;color:#000}
h2{font-size:12pt;border-bottom:1px solid #000;margin:1em 0 .4em;break-after:avoid}
h3{font-size:10pt;margin:.5em 0 .1em;break-after:avoid}
ul{margin:0 0 .5em;padding-left:1.2em}
section{break-inside:avoid}
section.first{border:2px solid #000;padding:.2em .8em .4em}
section.first h2{border:0;margin-top:.4em}
@media print{body{margin:0;max-width:none;padding:0}}
";

/// The page as self-contained HTML: no script, nothing loaded from outside. `now_s` is s
/// since 1970-01-01 UTC, `folder` where the records lie.
#[must_use]
pub fn rig_html(
    overview: &Overview,
    todo: &[Warning],
    voice: &Voice,
    (now_s, folder): (f64, &str),
) -> String {
    let (title, as_of) = rig_title(voice, now_s, folder);
    let mut page = format!(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n<title>{title}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n<h1>{title}</h1>\n<p>{}</p>\n",
        voice.language.code(),
        escape(&as_of),
        title = escape(&title),
    );
    let mut put = |text: String| {
        // writing into a String cannot fail
        let _ = writeln!(page, "{text}");
    };
    if overview.invented {
        let words = escape(&say!(voice, "invented"));
        put(format!("<p class=\"invented\">{words}</p>"));
    }
    for section in rig_sections(voice, overview, todo) {
        let class = if section.is_todo {
            " class=\"first\""
        } else {
            ""
        };
        put(format!(
            "<section{class}>\n<h2>{}</h2>",
            escape(&section.title)
        ));
        for (name, lines) in section.parts {
            if let Some(name) = name {
                put(format!("<h3>{}</h3>", escape(&name)));
            }
            put("<ul>".to_owned());
            for line in lines {
                put(format!("<li>{}</li>", escape(&line)));
            }
            put("</ul>".to_owned());
        }
        put("</section>".to_owned());
    }
    page.push_str("</body>\n</html>\n");
    page
}

/// The same page as PDF, on paper; `made_by` is name and version of the program.
///
/// # Errors
/// [`ReportError::Drawing`] when the library that writes PDF refuses it.
pub fn rig_pdf(
    overview: &Overview,
    todo: &[Warning],
    (voice, paper): (&Voice, Paper),
    (now_s, folder): (f64, &str),
    made_by: &str,
) -> Result<Vec<u8>, ReportError> {
    let (title, as_of) = rig_title(voice, now_s, folder);
    let now = chrono::DateTime::from_timestamp(now_s as i64, 0);
    let dated = now.map(|now| now.to_rfc3339());
    let banner = overview.invented.then(|| say!(voice, "invented"));
    layout::notice_pdf(&Notice {
        language: voice.language.code(),
        paper,
        banner: banner.as_deref(),
        title: &title,
        as_of: &as_of,
        sections: &rig_sections(voice, overview, todo),
        dated_utc: dated.as_deref(),
        made_by,
    })
}
