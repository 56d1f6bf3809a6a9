//! Where figures are printed.

#[expect(clippy::print_stdout, reason = "the table is what this program is for")]
pub(crate) fn say(line: &str) {
    println!("{line}");
}

/// How many tests were judged since `began`, and how long judging them took.
pub(crate) fn say_pace(tests: usize, began: std::time::Instant, judged_us: u128) {
    say(&format!(
        "{tests} tests in {:.0} s, {:.1} ms each to judge",
        began.elapsed().as_secs_f64(),
        judged_us as f64 / 1e3 / tests.max(1) as f64
    ));
}

/// A part of a whole; 0 of nothing.
pub(crate) fn share(part: u32, of: u32) -> f64 {
    f64::from(part) / f64::from(of.max(1))
}

/// Prints every bar, and says whether all are kept.
pub(crate) fn say_bars(bars: &[(&str, bool)]) -> bool {
    for (bar, kept) in bars {
        say(&format!(
            "{} {bar}",
            if *kept { "kept  " } else { "MISSED" }
        ));
    }
    bars.iter().all(|(_, kept)| *kept)
}
