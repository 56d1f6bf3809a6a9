//! Single keys of a dialect file: numbers within a range, one word of a list,
//! bytes with escapes.

use std::ops::Range;

use toml::Spanned;

/// What is wrong, where in the text, and what to do.
pub(super) struct Fault {
    pub(super) span: Option<Range<usize>>,
    pub(super) problem: String,
    pub(super) fix: String,
}

impl Fault {
    pub(super) fn at<T>(
        field: &Spanned<T>,
        problem: impl Into<String>,
        fix: impl Into<String>,
    ) -> Self {
        Self {
            span: Some(field.span()),
            problem: problem.into(),
            fix: fix.into(),
        }
    }
}

/// A whole number within a range.
pub(super) fn whole<T: TryFrom<i64>>(
    field: Option<&Spanned<i64>>,
    default: i64,
    range: std::ops::RangeInclusive<i64>,
    key: &str,
) -> Result<T, Fault> {
    let value = field.map_or(default, |f| *f.get_ref());
    let fault = || Fault {
        span: field.map(Spanned::span),
        problem: format!("{key} = {value} is out of range"),
        fix: format!(
            "write a whole number from {} to {}",
            range.start(),
            range.end()
        ),
    };
    if !range.contains(&value) {
        return Err(fault());
    }
    T::try_from(value).map_err(|_| fault())
}

/// One word out of a list.
pub(super) fn word<T: Copy>(
    field: Option<&Spanned<String>>,
    default: T,
    choices: &[(&str, T)],
    key: &str,
) -> Result<T, Fault> {
    let Some(field) = field else {
        return Ok(default);
    };
    choices
        .iter()
        .find(|(name, _)| name == field.get_ref())
        .map(|(_, value)| *value)
        .ok_or_else(|| {
            let names: Vec<String> = choices.iter().map(|(n, _)| format!("\"{n}\"")).collect();
            Fault::at(
                field,
                format!("{key} = \"{}\" is not known", field.get_ref()),
                format!("write one of {}", names.join(", ")),
            )
        })
}

/// A positive factor; 1 if left out.
pub(super) fn factor(field: Option<&Spanned<f64>>, key: &str, example: &str) -> Result<f64, Fault> {
    match field {
        None => Ok(1.0),
        Some(f) if f.get_ref().is_finite() && *f.get_ref() > 0.0 => Ok(*f.get_ref()),
        Some(f) => Err(Fault::at(
            f,
            format!("{key} = {} is not a positive number", f.get_ref()),
            example,
        )),
    }
}

/// The address of the gauge on a shared line, and whether anything uses it.
pub(super) struct LineAddress<'f> {
    pub(super) field: Option<&'f Spanned<String>>,
    used: std::cell::Cell<bool>,
}

/// Stands for the address in queries and patterns.
const ADDRESS_MARK: &str = "{address}";

impl<'f> LineAddress<'f> {
    pub(super) fn new(field: Option<&'f Spanned<String>>) -> Result<Self, Fault> {
        if let Some(f) = field
            && (f.get_ref().is_empty() || f.get_ref().len() > 16)
        {
            return Err(Fault::at(
                f,
                "the address has no or too many characters",
                "write the gauge's address as it sends it, such as \"05\"",
            ));
        }
        Ok(Self {
            field,
            used: std::cell::Cell::new(false),
        })
    }

    /// The address as text, marked as used.
    pub(super) fn take(&self) -> Option<&'f Spanned<String>> {
        self.used.set(true);
        self.field
    }

    /// The text with the address in place of its mark, passed through `quote`.
    pub(super) fn fill(
        &self,
        field: &Spanned<String>,
        quote: impl Fn(&str) -> String,
    ) -> Result<String, Fault> {
        let text = field.get_ref();
        if !text.contains(ADDRESS_MARK) {
            return Ok(text.clone());
        }
        match self.take() {
            Some(address) => Ok(text.replace(ADDRESS_MARK, &quote(address.get_ref()))),
            None => Err(Fault::at(
                field,
                "{address} stands here but the dialect gives no address",
                "write address = \"...\" under [port]",
            )),
        }
    }

    /// An address that changes nothing misleads.
    pub(super) fn must_be_used(&self) -> Result<(), Fault> {
        match self.field {
            Some(field) if !self.used.get() => Err(Fault::at(
                field,
                "the address is used nowhere",
                "write {address} where it belongs in send, begins or pattern, or leave it out",
            )),
            _ => Ok(()),
        }
    }
}

/// Bytes with escapes: `\r`, `\n`, `\t`, `\\`, `\xNN`, and `{address}`. Not empty.
pub(super) fn bytes(
    field: &Spanned<String>,
    address: &LineAddress<'_>,
    key: &str,
) -> Result<Vec<u8>, Fault> {
    let text = address.fill(field, |a| a.replace('\\', "\\\\"))?;
    let wrong = |problem: String| {
        Fault::at(
            field,
            problem,
            "write text with \\r, \\n, \\t, \\\\ or \\x and two hex digits for other bytes, \
             between ' marks so that \\ needs no doubling",
        )
    };
    let mut out = Vec::new();
    let mut rest = text.as_str();
    while let Some(at) = rest.find('\\') {
        out.extend_from_slice(&rest.as_bytes()[..at]);
        let mut escape = rest[at + 1..].chars();
        let byte = match escape.next() {
            Some('r') => b'\r',
            Some('n') => b'\n',
            Some('t') => b'\t',
            Some('\\') => b'\\',
            Some('x') => {
                let digits: String = escape.by_ref().take(2).collect();
                match u8::from_str_radix(&digits, 16) {
                    Ok(byte) if digits.len() == 2 => byte,
                    _ => return Err(wrong(format!("{key}: \\x{digits} is not a byte"))),
                }
            }
            Some(other) => return Err(wrong(format!("{key}: \\{other} means nothing here"))),
            None => return Err(wrong(format!("{key} ends with a single \\"))),
        };
        out.push(byte);
        rest = escape.as_str();
    }
    out.extend_from_slice(rest.as_bytes());
    if out.is_empty() {
        return Err(wrong(format!("{key} is empty")));
    }
    Ok(out)
}
