//! What went in, and which rows of a file did not.

use analyser::Findings;

use crate::figures::{duration, plain, significant};

/// What went in.
#[must_use]
pub fn data_sentence(findings: &Findings) -> String {
    let d = &findings.data;
    let mut out = format!(
        "{} rows, {} readings used",
        grouped(d.rows),
        grouped(d.used)
    );
    match d.left_out.rows {
        0 => {}
        1 => out.push_str(", 1 row left out"),
        rows => out.push_str(&format!(", {} rows left out", grouped(rows))),
    }
    if !d.gaps.is_empty() {
        let total: f64 = d.gaps.iter().map(|g| g.end_s - g.start_s).sum();
        let plural = if d.gaps.len() == 1 { "" } else { "s" };
        out.push_str(&format!(
            ", {} gap{plural} of {} in all",
            d.gaps.len(),
            duration(total)
        ));
    }
    if let Some(interval) = d.interval_s.filter(|i| *i > 0.0) {
        out.push_str(&if interval >= 0.95 {
            format!(", one every {} s", significant(interval, 2))
        } else {
            format!(", {} a second", significant(1.0 / interval, 2))
        });
    }
    if let Some(step) = d.resolution_micron.filter(|r| *r > 0.0) {
        out.push_str(&format!("; gauge steps of {} micron", plain(step, 2)));
    }
    if let Some(noise) = d.noise_micron.filter(|n| *n > 0.0) {
        out.push_str(&format!(", noise {} micron", plain(noise, 2)));
    }
    out.push('.');
    out
}

/// Most lines about rows left out.
const LEFT_OUT_LINES: usize = 8;

/// The rows of a file that could not be read, each reason with its rows; empty
/// when there are none.
#[must_use]
pub fn left_out_lines(findings: &Findings) -> Vec<String> {
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
        .map(|(reason, rows)| format!("{}: {reason}", rows_in_words(rows)))
        .collect();
    let told: usize = reasons.iter().take(LEFT_OUT_LINES).map(|r| r.1.len()).sum();
    let rest = left_out.rows.saturating_sub(told as u64);
    if rest > 0 {
        lines.push(format!("and {} more", grouped(rest)));
    }
    lines
}

/// `row 7`, `rows 7, 9 and 12 to 30`; of many stretches the first ones.
fn rows_in_words(rows: &[u64]) -> String {
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
            _ => format!("{start} to {end}"),
        })
        .collect();
    let told: u64 = stretches[..shown].iter().map(|(a, b)| b - a + 1).sum();
    match rows.len() as u64 - told {
        0 if words.len() > 1 => {
            let last = words.pop().unwrap_or_default();
            format!("rows {} and {last}", words.join(", "))
        }
        0 if told == 1 => format!("row {}", words[0]),
        0 => format!("rows {}", words[0]),
        rest => format!("rows {} and {rest} more", words.join(", ")),
    }
}

fn grouped(count: u64) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::synthetic;

    #[test]
    fn rows_left_out_are_told_by_their_reason() {
        let runs = synthetic::runs();
        let mut findings = runs[0].findings.clone();
        assert_eq!(left_out_lines(&findings), Vec::<String>::new());
        assert!(!data_sentence(&findings).contains("left out"));
        let missing = "the pressure is missing";
        let mut listed = vec![(3, "time \"x\" is no time".to_owned())];
        listed.extend([7, 9, 12, 13, 14].map(|row| (row, missing.to_owned())));
        findings.data.left_out = analyser::LeftOut {
            rows: 1_206,
            listed,
        };
        assert_eq!(
            left_out_lines(&findings),
            [
                "row 3: time \"x\" is no time",
                "rows 7, 9 and 12 to 14: the pressure is missing",
                "and 1,200 more"
            ]
        );
        assert!(data_sentence(&findings).contains(", 1,206 rows left out"));
    }

    #[test]
    fn rows_are_counted_in_words() {
        assert_eq!(rows_in_words(&[4]), "row 4");
        assert_eq!(rows_in_words(&[4, 5]), "rows 4, 5");
        assert_eq!(rows_in_words(&[4, 5, 6]), "rows 4 to 6");
        let odd: Vec<u64> = (1..=20).map(|i| i * 2).collect();
        assert_eq!(rows_in_words(&odd), "rows 2, 4, 6, 8, 10, 12 and 14 more");
    }
}
