//! How large a crate may be, and that the command line stays the command line.

/// Most lines of production code in a crate.
const LARGEST_CRATE: usize = 9_000;

/// The program itself parses, wires and ends; what it can do, libraries do.
const LARGEST_COMMAND_LINE: usize = 4_500;

/// Lines of production code: up to the tests at the end of a file, nothing in files that
/// are for tests only.
pub(crate) fn production_lines(path: &std::path::Path, source: &str) -> usize {
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    let parts = || path.iter().map(|part| part.to_string_lossy());
    if name == "tests" || name.ends_with("_tests") || parts().any(|part| part == "tests") {
        return 0;
    }
    let lines: Vec<&str> = source.lines().collect();
    let is_test_module = |at: usize| {
        let mut rest = lines[at + 1..].iter();
        let after_attributes = rest.find(|line| !line.starts_with("#["));
        lines[at].starts_with("#[cfg(test)]")
            && after_attributes.is_some_and(|line| line.contains("mod ") && line.ends_with('{'))
    };
    (0..lines.len())
        .find(|at| is_test_module(*at))
        .unwrap_or(lines.len())
}

/// What there is to say of a crate of so many lines.
pub(crate) fn too_large(name: &str, lines: usize) -> Option<String> {
    let most = match name {
        "dryhold" => LARGEST_COMMAND_LINE,
        _ => LARGEST_CRATE,
    };
    (lines > most).then(|| format!("{name}: {lines} lines of production code, at most {most}"))
}
