//! One part of several: "2/8".

use std::str::FromStr;

/// Part `number` of `of`, both from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Part {
    pub(crate) number: usize,
    pub(crate) of: usize,
}

impl FromStr for Part {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("\"{text}\" is no part: write 2/8 for the second of eight");
        let (number, of) = text.split_once('/').ok_or_else(wrong)?;
        let read = |text: &str| text.trim().parse::<usize>().map_err(|_| wrong());
        let part = Self {
            number: read(number)?,
            of: read(of)?,
        };
        match (1..=part.of).contains(&part.number) && part.of <= 1_000_000 {
            true => Ok(part),
            false => Err(wrong()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Part;

    #[test]
    fn a_part_is_one_of_several() {
        assert_eq!("2/8".parse(), Ok(Part { number: 2, of: 8 }));
        for wrong in ["0/8", "9/8", "2", "a/b", "1/0", "-1/2"] {
            assert!(wrong.parse::<Part>().is_err(), "{wrong}");
        }
    }
}
