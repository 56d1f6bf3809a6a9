//! Lines cut into cells.

/// Cuts a line into cells, quotation marks taken off.
pub(crate) fn split(line: &[u8], delimiter: u8) -> Vec<Vec<u8>> {
    let line = if delimiter == b' ' {
        line.trim_ascii()
    } else {
        line
    };
    let mut cells = Vec::new();
    let mut cell = Vec::new();
    let mut quoted = false;
    let mut i = 0;
    while i < line.len() {
        let b = line[i];
        match b {
            b'"' if quoted && line.get(i + 1) == Some(&b'"') => {
                cell.push(b'"');
                i += 1;
            }
            b'"' if quoted => quoted = false,
            b'"' if cell.is_empty() => quoted = true,
            _ if b == delimiter && !quoted => {
                let blank_run = delimiter == b' ' && cell.is_empty();
                if !blank_run {
                    cells.push(std::mem::take(&mut cell));
                }
            }
            _ => cell.push(b),
        }
        i += 1;
    }
    cells.push(cell);
    cells
}

/// A header cell as text: UTF-8, else the single-byte code page it likely is.
pub(crate) fn name_of(cell: &[u8]) -> String {
    match std::str::from_utf8(cell) {
        Ok(text) => text.trim().to_owned(),
        Err(_) => cell
            .iter()
            .map(|b| char::from(*b))
            .collect::<String>()
            .trim()
            .to_owned(),
    }
}

pub(crate) fn names_of(line: &[u8], delimiter: u8) -> Vec<String> {
    let cells = split(line, delimiter);
    cells.iter().map(|c| name_of(c)).collect()
}
