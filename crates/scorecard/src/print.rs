//! Where figures are printed.

#[expect(clippy::print_stdout, reason = "the table is what this program is for")]
pub(crate) fn say(line: &str) {
    println!("{line}");
}
