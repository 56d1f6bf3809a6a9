//! A line cut into fields, and the number in a field.

/// What stands between two separators, and the separator behind it.
pub(crate) struct Field<'l> {
    pub(crate) text: &'l [u8],
    behind: &'l [u8],
}

/// The separators behind the fields of a line; how many blanks there are does not count.
pub(crate) fn separators(line: &[Field<'_>]) -> Vec<Vec<u8>> {
    let one = |field: &Field<'_>| {
        let blank = |b: &u8| matches!(b, b' ' | b'\t');
        let mut kept: Vec<u8> = Vec::new();
        for byte in field.behind {
            if !blank(byte) {
                kept.push(*byte);
            } else if kept.last() != Some(&b' ') {
                kept.push(b' ');
            }
        }
        kept
    };
    line.iter().map(one).collect()
}

/// Cuts a line at its separators.
pub(crate) fn fields(line: &[u8], decimal_comma: bool) -> Vec<Field<'_>> {
    let separates = |b: &u8| match b {
        b',' => !decimal_comma,
        b' ' | b'\t' | b';' | b'|' | b'=' | b':' | b'*' | b'/' | b'(' | b')' | b'[' | b']'
        | b'{' | b'}' | b'"' | b'@' | b'!' | b'#' | b'$' | b'~' | b'^' | b'&' => true,
        _ => false,
    };
    let mut found = Vec::new();
    let mut rest = line;
    while !rest.is_empty() {
        let text = rest.iter().position(separates).unwrap_or(rest.len());
        let (text, after) = rest.split_at(text);
        let behind = after.iter().position(|b| !separates(b));
        let (behind, next) = after.split_at(behind.unwrap_or(after.len()));
        found.push(Field { text, behind });
        rest = next;
    }
    found
}

/// A number in a field, and what stands around it there.
pub(crate) struct Around<'l> {
    pub(crate) before: &'l [u8],
    pub(crate) text: String,
    pub(crate) value: f64,
    pub(crate) behind: &'l [u8],
}

/// The one number in a field; `None` where there is none, or more than one.
pub(crate) fn around(field: &[u8], decimal_comma: bool) -> Option<Around<'_>> {
    let digit = field.iter().position(u8::is_ascii_digit)?;
    let signed = digit
        .checked_sub(1)
        .filter(|at| matches!(field.get(*at), Some(b'+' | b'-')));
    let start = signed.unwrap_or(digit);
    let mut end = digit;
    let digits = |from: usize| {
        let rest = field.get(from..).unwrap_or_default();
        rest.iter().take_while(|b| b.is_ascii_digit()).count()
    };
    end += digits(end);
    let point = if decimal_comma { b',' } else { b'.' };
    if field.get(end) == Some(&point) {
        end += 1 + digits(end + 1);
    }
    if matches!(field.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(field.get(end + 1), Some(b'+' | b'-')));
        let figures = digits(end + 1 + sign);
        if figures > 0 {
            end += 1 + sign + figures;
        }
    }
    let text = String::from_utf8_lossy(field.get(start..end)?).into_owned();
    let value = text.replace(',', ".").parse().ok()?;
    let (before, behind) = (field.get(..start)?, field.get(end..)?);
    // a second number, as in a date or a hexadecimal word, makes it no column
    let plain = !behind.iter().chain(before).any(u8::is_ascii_digit);
    plain.then_some(Around {
        before,
        text,
        value,
        behind,
    })
}
