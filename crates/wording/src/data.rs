//! What went in, and which rows of a file did not.

use findings::{DataSummary, Findings};

use crate::{Voice, say};

/// What went in.
#[must_use]
pub fn data_sentence(voice: &Voice, findings: &Findings) -> String {
    data_line(voice, &findings.data)
}

/// What went in, a sentence: readings, gaps, rows left out.
#[must_use]
pub fn data_line(voice: &Voice, d: &DataSummary) -> String {
    let mut parts = vec![say!(
        voice,
        "data-rows",
        rows = voice.count(d.rows),
        used = voice.count(d.used)
    )];
    if d.left_out.rows > 0 {
        parts.push(say!(
            voice,
            "data-left-out",
            count = d.left_out.rows,
            rows = voice.count(d.left_out.rows)
        ));
    }
    if !d.gaps.is_empty() {
        let total: f64 = d.gaps.iter().map(|g| g.end_s - g.start_s).sum();
        parts.push(say!(
            voice,
            "data-gaps",
            count = d.gaps.len(),
            gaps = voice.count(d.gaps.len() as u64),
            time = voice.duration(total)
        ));
    }
    if let Some(interval) = d.interval_s.filter(|i| *i > 0.0) {
        parts.push(if interval >= 0.95 {
            say!(
                voice,
                "data-every",
                seconds = voice.significant(interval, 2)
            )
        } else {
            say!(
                voice,
                "data-a-second",
                number = voice.significant(1.0 / interval, 2)
            )
        });
    }
    let mut out = parts.join(", ");
    if let Some(step) = d.resolution_micron.filter(|r| *r > 0.0) {
        out.push_str(&say!(voice, "clause-break"));
        out.push_str(&say!(
            voice,
            "data-steps",
            step = voice.small_pressure(step)
        ));
    }
    if let Some(noise) = d.noise_micron.filter(|n| *n > 0.0) {
        out.push_str(", ");
        out.push_str(&say!(
            voice,
            "data-noise",
            noise = voice.small_pressure(noise)
        ));
    }
    out.push('.');
    out
}

/// Most lines about rows left out.
const LEFT_OUT_LINES: usize = 8;

/// The rows of a file that could not be read, each reason with its rows; empty
/// when there are none. The reasons are those of the reader, in English.
#[must_use]
pub fn left_out_lines(voice: &Voice, findings: &Findings) -> Vec<String> {
    let left_out = &findings.data.left_out;
    let mut reasons: Vec<(&str, Vec<u64>)> = Vec::new();
    for (row, reason) in &left_out.listed {
        match reasons.iter_mut().find(|(known, _)| known == reason) {
            Some((_, rows)) => rows.push(*row),
            None => reasons.push((reason, vec![*row])),
        }
    }
    let mut lines: Vec<String> = reasons
        .iter()
        .take(LEFT_OUT_LINES)
        .map(|(reason, rows)| {
            let rows = rows_in_words(voice, rows);
            say!(voice, "labelled", name = rows, text = *reason)
        })
        .collect();
    let shown: usize = reasons.iter().take(LEFT_OUT_LINES).map(|r| r.1.len()).sum();
    let rest = left_out.rows.saturating_sub(shown as u64);
    if rest > 0 {
        lines.push(say!(voice, "and-more", rest = voice.count(rest)));
    }
    lines
}

/// `row 7`, `rows 7, 9 and 12 to 30`; of many stretches the first ones. Numbers of
/// rows have no marks between thousands: an editor shows none.
fn rows_in_words(voice: &Voice, rows: &[u64]) -> String {
    const MOST: usize = 6;
    let mut stretches: Vec<(u64, u64)> = Vec::new();
    for row in rows {
        match stretches.last_mut() {
            Some((_, end)) if *end + 1 == *row => *end = *row,
            _ => stretches.push((*row, *row)),
        }
    }
    let shown = stretches.len().min(MOST);
    let mut words: Vec<String> = stretches[..shown]
        .iter()
        .map(|(start, end)| match end - start {
            0 => start.to_string(),
            1 => format!("{start}, {end}"),
            _ => {
                let (low, high) = (start.to_string(), end.to_string());
                say!(voice, "range", low = low, high = high)
            }
        })
        .collect();
    let named: u64 = stretches[..shown].iter().map(|(a, b)| b - a + 1).sum();
    match rows.len() as u64 - named {
        0 if words.len() > 1 => {
            let last = words.pop().unwrap_or_default();
            let list = words.join(", ");
            let rows = say!(voice, "list-and", list = list, last = last);
            say!(voice, "rows-many", rows = rows)
        }
        0 if named == 1 => say!(voice, "rows-one", rows = &words[0]),
        0 => say!(voice, "rows-many", rows = &words[0]),
        rest => say!(
            voice,
            "rows-and-more",
            rows = words.join(", "),
            rest = voice.count(rest)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_left_out_are_told_by_their_reason() {
        let voice = Voice::default();
        let runs = invented_runs::runs();
        let mut findings = runs[0].findings.clone();
        assert_eq!(left_out_lines(&voice, &findings), Vec::<String>::new());
        assert!(!data_sentence(&voice, &findings).contains("left out"));
        let missing = "the pressure is missing";
        let mut listed = vec![(3, "time \"x\" is no time".to_owned())];
        listed.extend([7, 9, 12, 13, 14].map(|row| (row, missing.to_owned())));
        findings.data.left_out = findings::LeftOut {
            rows: 1_206,
            listed,
        };
        assert_eq!(
            left_out_lines(&voice, &findings),
            [
                "row 3: time \"x\" is no time",
                "rows 7, 9 and 12 to 14: the pressure is missing",
                "and 1,200 more"
            ]
        );
        assert!(data_sentence(&voice, &findings).contains(", 1,206 rows left out"));
        findings.data.left_out.rows = 1;
        assert!(data_sentence(&voice, &findings).contains(", 1 row left out"));
    }

    #[test]
    fn rows_are_counted_in_words() {
        let words = |rows: &[u64]| rows_in_words(&Voice::default(), rows);
        assert_eq!(words(&[4]), "row 4");
        assert_eq!(words(&[4, 5]), "rows 4, 5");
        assert_eq!(words(&[4, 5, 6]), "rows 4 to 6");
        let odd: Vec<u64> = (1..=20).map(|i| i * 2).collect();
        assert_eq!(words(&odd), "rows 2, 4, 6, 8, 10, 12 and 14 more");
    }
}
