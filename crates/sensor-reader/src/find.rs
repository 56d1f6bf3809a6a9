//! Where in a line, a frame or a block of registers the fields stand.

use std::borrow::Cow;

use regex::bytes::Regex;

/// What a part of a line can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Field {
    Value,
    Unit,
    Temperature,
    State,
    Checksum,
    Seconds,
    Exponent,
    ExponentSign,
    Channel,
    Sequence,
    Barometer,
    Tare,
}

impl Field {
    pub(crate) const ALL: [Self; 12] = [
        Self::Value,
        Self::Unit,
        Self::Temperature,
        Self::State,
        Self::Checksum,
        Self::Seconds,
        Self::Exponent,
        Self::ExponentSign,
        Self::Channel,
        Self::Sequence,
        Self::Barometer,
        Self::Tare,
    ];

    /// The name in a dialect file.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Value => "value",
            Self::Unit => "unit",
            Self::Temperature => "temperature",
            Self::State => "state",
            Self::Checksum => "checksum",
            Self::Seconds => "seconds",
            Self::Exponent => "exponent",
            Self::ExponentSign => "exponent_sign",
            Self::Channel => "channel",
            Self::Sequence => "sequence",
            Self::Barometer => "barometer",
            Self::Tare => "tare",
        }
    }

    pub(crate) fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|f| f.name() == name)
    }
}

/// Something for each field, where there is one.
#[derive(Debug, Clone)]
pub(crate) struct PerField<T>([Option<T>; Field::ALL.len()]);

impl<T> Default for PerField<T> {
    fn default() -> Self {
        Self([const { None }; Field::ALL.len()])
    }
}

impl<T> PerField<T> {
    pub(crate) fn set(&mut self, field: Field, item: T) {
        self.0[field as usize] = Some(item);
    }

    pub(crate) fn get(&self, field: Field) -> Option<&T> {
        self.0[field as usize].as_ref()
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = (Field, &T)> {
        Field::ALL
            .into_iter()
            .filter_map(|field| Some((field, self.get(field)?)))
    }
}

/// One field as found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Part<'l> {
    /// Where it begins, counted from 0 in what was searched.
    pub(crate) start: usize,
    /// Its bytes; a binary number comes as its decimal digits.
    pub(crate) bytes: Cow<'l, [u8]>,
}

/// The fields of a line.
pub(crate) type Found<'l> = PerField<Part<'l>>;

impl Found<'_> {
    /// A field without blanks around it; `None` when absent or blank.
    pub(crate) fn text(&self, field: Field) -> Option<&[u8]> {
        let text = self.get(field)?.bytes.trim_ascii();
        (!text.is_empty()).then_some(text)
    }
}

/// How fields are found.
#[derive(Debug, Clone)]
pub(crate) enum Finding {
    /// By a regular expression with named groups.
    Pattern(Regex, PerField<usize>),
    /// By counting between delimiters.
    Split(SplitRule),
    /// By counting bytes of a text line.
    Columns(ColumnRule),
    /// By counting bytes of a binary block.
    Binary(Box<PerField<BinaryField>>),
}

#[derive(Debug, Clone)]
pub(crate) struct SplitRule {
    /// What every line begins with; left out before counting.
    pub(crate) begins: Vec<u8>,
    /// Between fields; `None` for any run of blanks.
    pub(crate) delimiter: Option<Vec<u8>>,
    /// How many fields a line must have.
    pub(crate) count: Option<usize>,
    /// Which field, counted from 0.
    pub(crate) at: PerField<usize>,
}

#[derive(Debug, Clone)]
pub(crate) struct ColumnRule {
    pub(crate) begins: Vec<u8>,
    /// How long a line must be.
    pub(crate) line_bytes: Option<usize>,
    /// First byte counted from 0, and how many.
    pub(crate) at: PerField<(usize, usize)>,
}

/// A field of a binary block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct BinaryField {
    /// First byte, counted from 0.
    pub(crate) start: usize,
    pub(crate) content: Content,
}

/// What the bytes of a binary field are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Content {
    /// Text of so many bytes, or a check value.
    Text(usize),
    /// A number; `order` says for each byte sent how significant it is, 0 first.
    Number(NumberKind, Vec<u8>),
}

impl Content {
    pub(crate) fn width(&self) -> usize {
        match self {
            Self::Text(bytes) => *bytes,
            Self::Number(kind, _) => kind.width(),
        }
    }
}

/// A binary number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NumberKind {
    Unsigned(usize),
    Signed(usize),
    Float,
}

impl NumberKind {
    /// The words of a dialect file.
    pub(crate) const WORDS: [(&'static str, Self); 8] = [
        ("u8", Self::Unsigned(1)),
        ("i8", Self::Signed(1)),
        ("u16", Self::Unsigned(2)),
        ("i16", Self::Signed(2)),
        ("u24", Self::Unsigned(3)),
        ("u32", Self::Unsigned(4)),
        ("i32", Self::Signed(4)),
        ("f32", Self::Float),
    ];

    /// Bytes it takes, 1 to 4.
    pub(crate) const fn width(self) -> usize {
        match self {
            Self::Unsigned(bytes) | Self::Signed(bytes) => bytes,
            Self::Float => 4,
        }
    }

    /// The number in decimal digits.
    fn digits(self, sent: &[u8], order: &[u8]) -> String {
        let bits = sent.iter().zip(order).fold(0_u32, |bits, (byte, rank)| {
            let places = self.width().saturating_sub(usize::from(*rank) + 1);
            bits | u32::from(*byte) << (8 * places)
        });
        match self {
            Self::Unsigned(_) => bits.to_string(),
            Self::Signed(width) => {
                let unused = 32 - 8 * width as u32;
                // the shift back carries the sign
                (((bits << unused) as i32) >> unused).to_string()
            }
            Self::Float => f64::from(f32::from_bits(bits)).to_string(),
        }
    }
}

impl Finding {
    pub(crate) fn has(&self, field: Field) -> bool {
        match self {
            Self::Pattern(_, at) => at.get(field).is_some(),
            Self::Split(rule) => rule.at.get(field).is_some(),
            Self::Columns(rule) => rule.at.get(field).is_some(),
            Self::Binary(at) => at.get(field).is_some(),
        }
    }

    /// Finds the fields; `None` if the line does not have this shape.
    pub(crate) fn find<'l>(&self, line: &'l [u8]) -> Option<Found<'l>> {
        match self {
            Self::Pattern(pattern, at) => by_pattern(pattern, at, line),
            Self::Split(rule) => rule.find(line),
            Self::Columns(rule) => rule.find(line),
            Self::Binary(at) => in_block(at, line),
        }
    }

    /// True if the line shows by itself that nothing is missing at its
    /// beginning: something that cannot be part of a number or word precedes
    /// the first field, or its length is known.
    pub(crate) fn shows_it_is_whole(&self, line: &[u8], found: &Found<'_>) -> bool {
        match self {
            Self::Binary(_) => return true,
            // a missing byte would shift the columns
            Self::Columns(rule) => return rule.line_bytes.is_some() || !rule.begins.is_empty(),
            _ => {}
        }
        let first = found.iter().map(|(_, p)| p.start).min().unwrap_or(0);
        line.get(..first)
            .unwrap_or_default()
            .iter()
            .any(|b| !b.is_ascii_digit() && !matches!(b, b' ' | b'\t' | b'+' | b'-' | b'.' | b','))
    }
}

fn by_pattern<'l>(pattern: &Regex, at: &PerField<usize>, line: &'l [u8]) -> Option<Found<'l>> {
    let groups = pattern.captures(line)?;
    let mut found = Found::default();
    for (field, group) in at.iter() {
        if let Some(part) = groups.get(*group) {
            found.set(
                field,
                Part {
                    start: part.start(),
                    bytes: Cow::Borrowed(part.as_bytes()),
                },
            );
        }
    }
    Some(found)
}

fn in_block<'l>(at: &PerField<BinaryField>, block: &'l [u8]) -> Option<Found<'l>> {
    let mut found = Found::default();
    for (field, place) in at.iter() {
        let sent = block.get(place.start..place.start + place.content.width())?;
        let bytes = match &place.content {
            Content::Text(_) => Cow::Borrowed(sent),
            Content::Number(kind, order) => Cow::Owned(kind.digits(sent, order).into_bytes()),
        };
        let start = place.start;
        found.set(field, Part { start, bytes });
    }
    Some(found)
}

impl SplitRule {
    fn find<'l>(&self, line: &'l [u8]) -> Option<Found<'l>> {
        let body = line.strip_prefix(self.begins.as_slice())?;
        let parts = match &self.delimiter {
            Some(mark) => split_at(body, mark),
            None => split_at_blanks(body),
        };
        if self.count.is_some_and(|count| parts.len() != count) {
            return None;
        }
        let mut found = Found::default();
        for (field, index) in self.at.iter() {
            let (start, bytes) = *parts.get(*index)?;
            found.set(
                field,
                Part {
                    start: self.begins.len() + start,
                    bytes: Cow::Borrowed(bytes),
                },
            );
        }
        Some(found)
    }
}

fn split_at<'l>(body: &'l [u8], mark: &[u8]) -> Vec<(usize, &'l [u8])> {
    let mut parts = Vec::new();
    let mut start = 0;
    let mut at = 0;
    while at < body.len() {
        if body[at..].starts_with(mark) {
            parts.push((start, &body[start..at]));
            at += mark.len();
            start = at;
        } else {
            at += 1;
        }
    }
    parts.push((start, &body[start..]));
    parts
}

fn split_at_blanks(body: &[u8]) -> Vec<(usize, &[u8])> {
    let blank = |b: &u8| matches!(b, b' ' | b'\t');
    let mut parts = Vec::new();
    let mut at = 0;
    while at < body.len() {
        at += body[at..].iter().take_while(|b| blank(b)).count();
        let length = body[at..].iter().take_while(|b| !blank(b)).count();
        if length > 0 {
            parts.push((at, &body[at..at + length]));
        }
        at += length;
    }
    parts
}

impl ColumnRule {
    fn find<'l>(&self, line: &'l [u8]) -> Option<Found<'l>> {
        let fits = self.line_bytes.is_none_or(|wanted| line.len() == wanted);
        if !fits || !line.starts_with(&self.begins) {
            return None;
        }
        let mut found = Found::default();
        for (field, (start, length)) in self.at.iter() {
            let bytes = line.get(*start..start + length)?;
            found.set(
                field,
                Part {
                    start: *start,
                    bytes: Cow::Borrowed(bytes),
                },
            );
        }
        Some(found)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(kind: NumberKind, order: &str, sent: &[u8]) -> String {
        let order: Vec<u8> = order.bytes().map(|b| b - b'a').collect();
        kind.digits(sent, &order)
    }

    #[test]
    fn four_ways_to_send_a_float() {
        // IEEE 754: 500.0 is 0x43FA0000 and 0.2 is 0x3E4CCCCD
        // (struct.pack(">f", 0.2).hex() of the Python standard library)
        let float = NumberKind::Float;
        assert_eq!(number(float, "abcd", &[0x43, 0xFA, 0, 0]), "500");
        assert_eq!(number(float, "badc", &[0xFA, 0x43, 0, 0]), "500");
        assert_eq!(number(float, "cdab", &[0, 0, 0x43, 0xFA]), "500");
        assert_eq!(number(float, "dcba", &[0, 0, 0xFA, 0x43]), "500");
        let text = number(float, "cdab", &[0xCC, 0xCD, 0x3E, 0x4C]);
        assert!(text.starts_with("0.20000000298"), "{text}");
        assert_eq!(number(float, "abcd", &[0x7F, 0xC0, 0, 0]), "NaN");
    }

    #[test]
    fn whole_numbers_of_every_width() {
        use NumberKind::{Signed, Unsigned};
        assert_eq!(number(Unsigned(1), "a", &[0xFF]), "255");
        assert_eq!(number(Signed(1), "a", &[0xFF]), "-1");
        assert_eq!(number(Unsigned(2), "ba", &[0x34, 0x12]), "4660");
        assert_eq!(number(Signed(2), "ab", &[0xFF, 0x38]), "-200");
        assert_eq!(number(Unsigned(3), "abc", &[1, 0, 0]), "65536");
        assert_eq!(number(Unsigned(4), "abcd", &[0xFF; 4]), "4294967295");
        assert_eq!(number(Signed(4), "dcba", &[0, 0, 0, 0x80]), "-2147483648");
    }

    #[test]
    fn counting_between_delimiters() {
        let parts = |body: &'static [u8], mark: &[u8]| -> Vec<&'static [u8]> {
            split_at(body, mark).into_iter().map(|(_, p)| p).collect()
        };
        assert_eq!(parts(b"a;;b", b";"), [&b"a"[..], b"", b"b"]);
        assert_eq!(parts(b"", b";"), [&b""[..]]);
        assert_eq!(parts(b"a::b:c", b"::"), [&b"a"[..], b"b:c"]);
        assert_eq!(split_at_blanks(b"  a \t bc "), [(2, &b"a"[..]), (6, b"bc")]);
    }
}
