//! Text of a field that a gauge sends as bytes.

/// Text of a byte field: UTF-8 where it is valid, else Latin-1, so that the
/// micro sign of either kind of gauge is understood.
pub(crate) fn field_text(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.trim().to_owned(),
        Err(_) => {
            let latin: String = bytes.iter().copied().map(char::from).collect();
            latin.trim().to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use vacuum::{PressureUnit, UnitWord};

    use super::*;

    #[test]
    fn a_micro_sign_of_one_byte_is_understood() {
        assert_eq!(
            UnitWord::read(&field_text(b"\xB5m")),
            UnitWord::Absolute(PressureUnit::Micron)
        );
    }
}
