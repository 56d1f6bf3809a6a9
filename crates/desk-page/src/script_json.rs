//! JSON that may stand in a `<script>`: it can neither end the element nor open a comment.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::{Serializer, ser::Formatter};

/// Writes `<` of any text as `\u003c`, which JSON reads as the same letter. Outside of texts
/// JSON has none.
struct ForScript;

impl Formatter for ForScript {
    fn write_string_fragment<W: ?Sized + Write>(
        &mut self,
        writer: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        let mut pieces = fragment.split('<');
        if let Some(first) = pieces.next() {
            writer.write_all(first.as_bytes())?;
        }
        pieces.try_for_each(|piece| {
            writer.write_all(b"\\u003c")?;
            writer.write_all(piece.as_bytes())
        })
    }
}

/// Writes a value.
pub(crate) fn write(out: &mut impl Write, value: &impl Serialize) -> io::Result<()> {
    let mut serializer = Serializer::with_formatter(out, ForScript);
    Ok(value.serialize(&mut serializer)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_text_ends_the_script_and_every_text_comes_back() {
        let hostile = [
            "</script><script>alert(1)</script>",
            "<!--<script>",
            "<",
            "",
            "a<b<<c\"\\\n\u{2028}\0",
        ];
        let mut out = Vec::new();
        write(&mut out, &hostile).expect("written");
        assert!(!out.contains(&b'<'));
        let back: Vec<String> = serde_json::from_slice(&out).expect("JSON");
        assert_eq!(back, hostile);
    }
}
