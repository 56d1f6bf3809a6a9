//! Which encoding a file is in, and whether it is text at all.

/// How characters are kept in the bytes of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Encoding {
    /// UTF-8, or any single-byte code page.
    Bytes,
    Utf16Le,
    Utf16Be,
}

/// Why a file is not text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NotText {
    pub(crate) hint: &'static str,
}

/// Encoding and length of the byte-order mark, or why it is no text.
pub(super) fn sniff(head: &[u8]) -> Result<(Encoding, usize), NotText> {
    if head.starts_with(b"\xef\xbb\xbf") {
        return plain(head).map(|e| (e, 3));
    }
    if head.starts_with(b"\xff\xfe\0\0") || head.starts_with(b"\0\0\xfe\xff") {
        let hint = " but text in UTF-32, which is not read here";
        return Err(NotText { hint });
    }
    if head.starts_with(b"\xff\xfe") {
        return Ok((Encoding::Utf16Le, 2));
    }
    if head.starts_with(b"\xfe\xff") {
        return Ok((Encoding::Utf16Be, 2));
    }
    // Latin text in UTF-16 without a mark has a zero in nearly every second byte
    let sample = &head[..head.len().min(512)];
    let zeros = |from: usize| {
        sample
            .iter()
            .skip(from)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let (even, odd, half) = (zeros(0), zeros(1), sample.len() / 2);
    if half >= 8 && odd * 10 >= half * 9 && even == 0 {
        return Ok((Encoding::Utf16Le, 0));
    }
    if half >= 8 && even * 10 >= half * 9 && odd == 0 {
        return Ok((Encoding::Utf16Be, 0));
    }
    plain(head).map(|e| (e, 0))
}

fn plain(head: &[u8]) -> Result<Encoding, NotText> {
    let hint = if head.starts_with(b"PK\x03\x04") {
        " but a spreadsheet workbook or an archive"
    } else if head.starts_with(b"%PDF") {
        " but a PDF"
    } else {
        ""
    };
    let control = |b: &u8| *b < 0x20 && !matches!(b, b'\t' | b'\n' | b'\r' | 0x0c | 0x1a | 0x1b);
    // zeros behind good text are the mark of a power cut, not of a binary file
    let text_end = head.iter().rposition(|b| *b != 0).map_or(0, |i| i + 1);
    let (mut strange, mut before) = (0, b' ');
    for b in &head[..text_end] {
        // a block of zeros is one wound, however long
        strange += usize::from(control(b) && !(*b == 0 && before == 0));
        before = *b;
    }
    if hint.is_empty() && strange * 50 <= text_end && (text_end > 0 || head.is_empty()) {
        Ok(Encoding::Bytes)
    } else {
        Err(NotText { hint })
    }
}
