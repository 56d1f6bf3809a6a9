//! Hoses, and what is in them.

use std::{f64::consts::PI, fmt};

/// Bores that hoses of the trade have, mm.
const BORES_MM: (f64, f64) = (1.5, 20.0);

/// Lengths that are believed, m.
const LENGTHS_M: (f64, f64) = (0.02, 15.0);

/// Millimetres in an inch, exact (NIST SP 811 (2008) appendix B.8).
const MM_PER_INCH: f64 = 25.4;

/// Largest volume of a manifold that is believed, mL.
const LARGEST_MANIFOLD_ML: f64 = 500.0;

/// What a hose holds when charging ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contents {
    /// Liquid that boils at room temperature.
    Liquid,
    /// Saturated vapour at room temperature.
    Vapour,
}

impl Contents {
    /// The word in options and JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Liquid => "liquid",
            Self::Vapour => "vapour",
        }
    }

    fn from_word(word: &str) -> Option<Self> {
        match word.trim().to_lowercase().as_str() {
            "liquid" => Some(Self::Liquid),
            "vapour" | "vapor" | "gas" => Some(Self::Vapour),
            _ => None,
        }
    }
}

/// A hose, or the line of a cylinder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hose {
    /// Inner diameter, mm: 1.5 to 20.
    pub bore_mm: f64,
    /// Length, m: 0.02 to 15.
    pub length_m: f64,
    /// What it holds when charging ends.
    pub contents: Contents,
}

/// A manifold: the volume between its valves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Manifold {
    /// Volume, mL: above 0, at most 500.
    pub ml: f64,
    /// What it holds when charging ends.
    pub contents: Contents,
}

/// What a hose or a manifold keeps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Volume, mL.
    pub ml: f64,
    /// What is in it, g.
    pub g: f64,
}

/// Why a text is no hose.
#[derive(Debug, Clone, PartialEq)]
pub enum HoseError {
    /// Not of the form BORE:LENGTH:CONTENTS.
    Form,
    /// Neither liquid nor vapour.
    Contents(String),
    /// No number, or no unit that is known.
    Number(String),
    /// No hose has such a bore, mm.
    Bore(f64),
    /// No hose is so long, m.
    Length(f64),
    /// No volume and contents of a manifold.
    Manifold(String),
    /// No manifold is so large, mL.
    Volume(f64),
}

impl fmt::Display for HoseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form => f.write_str(
                "write bore in mm, length in m and what is in it: 4.8:0.9:liquid (or with units: \
                 3/16in:36in:liquid)",
            ),
            Self::Contents(word) => write!(
                f,
                "\"{word}\": is the hose full of liquid or of vapour when charging ends? Write \
                 liquid or vapour"
            ),
            Self::Number(text) => write!(
                f,
                "\"{text}\" is no length: write a number, with mm, cm, m, in or ft behind it \
                 where it is in another unit"
            ),
            Self::Bore(mm) if *mm > 0.0 && *mm < BORES_MM.0 => write!(
                f,
                "a bore of {mm} mm is thinner than any charging hose: did you mean {mm} inch, \
                 which is {:.1} mm? Write the bore in mm, or {mm}in",
                mm * MM_PER_INCH
            ),
            Self::Bore(mm) => write!(
                f,
                "a bore of {mm} mm: charging hoses have {} to {} mm inside; measure the hole, not \
                 the hose",
                BORES_MM.0, BORES_MM.1
            ),
            Self::Length(m) if *m > LENGTHS_M.1 => write!(
                f,
                "a length of {m} m: hoses here are at most {} m long; was it in cm or inches? \
                 Write {m}cm or {m}in",
                LENGTHS_M.1
            ),
            Self::Length(m) => write!(
                f,
                "a length of {m} m: hoses here are at least {} m long",
                LENGTHS_M.0
            ),
            Self::Manifold(text) => write!(
                f,
                "\"{text}\": write the volume of the manifold in mL and what is in it: 12:liquid"
            ),
            Self::Volume(ml) => write!(
                f,
                "a volume of {ml} mL: that of a manifold lies above 0 and up to \
                 {LARGEST_MANIFOLD_ML} mL"
            ),
        }
    }
}

impl std::error::Error for HoseError {}

impl Hose {
    /// Reads "4.8:0.9:liquid": bore in mm, length in m, liquid or vapour. Other units stand
    /// behind the number: "3/16in:36in:vapour", "4.8mm:90cm:liquid".
    ///
    /// # Errors
    /// [`HoseError`] for what is no hose; a bore below 1.5 mm is asked back, for it is most
    /// likely in inches.
    pub fn read(text: &str) -> Result<Self, HoseError> {
        let parts: Vec<&str> = text.split(':').map(str::trim).collect();
        let &[bore, length, contents] = parts.as_slice() else {
            return Err(HoseError::Form);
        };
        let hose = Self {
            bore_mm: metres(bore, 1e-3)? * 1e3,
            length_m: metres(length, 1.0)?,
            contents: Contents::from_word(contents)
                .ok_or_else(|| HoseError::Contents(shown(contents)))?,
        };
        hose.check()?;
        Ok(hose)
    }

    pub(crate) fn check(self) -> Result<(), HoseError> {
        if !(BORES_MM.0..=BORES_MM.1).contains(&self.bore_mm) {
            return Err(HoseError::Bore(rounded(self.bore_mm)));
        }
        if !(LENGTHS_M.0..=LENGTHS_M.1).contains(&self.length_m) {
            return Err(HoseError::Length(rounded(self.length_m)));
        }
        Ok(())
    }

    /// Volume, mL: π/4 · bore² · length.
    #[must_use]
    pub fn volume_ml(self) -> f64 {
        // mm² · m is mL
        PI / 4.0 * self.bore_mm * self.bore_mm * self.length_m
    }
}

impl Manifold {
    /// Reads "12:liquid": volume in mL, liquid or vapour.
    ///
    /// # Errors
    /// [`HoseError`] for what is none.
    pub fn read(text: &str) -> Result<Self, HoseError> {
        let form = || HoseError::Manifold(shown(text));
        let (ml, contents) = text.split_once(':').ok_or_else(form)?;
        let manifold = Self {
            ml: ml
                .trim()
                .trim_end_matches("mL")
                .trim()
                .parse()
                .map_err(|_| form())?,
            contents: Contents::from_word(contents)
                .ok_or_else(|| HoseError::Contents(shown(contents)))?,
        };
        manifold.check()?;
        Ok(manifold)
    }

    pub(crate) fn check(self) -> Result<(), HoseError> {
        match self.ml > 0.0 && self.ml <= LARGEST_MANIFOLD_ML {
            true => Ok(()),
            false => Err(HoseError::Volume(rounded(self.ml))),
        }
    }
}

/// A length with its unit, m; without one it is in units of `alone_m`.
fn metres(text: &str, alone_m: f64) -> Result<f64, HoseError> {
    let no = || HoseError::Number(shown(text));
    let end = text
        .find(|c: char| c.is_alphabetic() || matches!(c, '"' | '″'))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let unit_m = match unit.trim().to_lowercase().as_str() {
        "" => alone_m,
        "mm" => 1e-3,
        "cm" => 1e-2,
        "m" => 1.0,
        "in" | "inch" | "inches" | "\"" | "″" => MM_PER_INCH / 1e3,
        "ft" | "foot" | "feet" => 12.0 * MM_PER_INCH / 1e3,
        _ => return Err(no()),
    };
    let plain = |text: &str| text.trim().replace(',', ".").parse::<f64>().ok();
    let value = match number.split_once('/') {
        Some((above, below)) => plain(above).zip(plain(below)).map(|(a, b)| a / b),
        None => plain(number),
    };
    let value = value.filter(|x| x.is_finite()).ok_or_else(no)?;
    Ok(value * unit_m)
}

/// What was typed, no longer than a message bears.
fn shown(text: &str) -> String {
    text.trim().chars().take(40).collect()
}

/// A number as it was typed, without what binary fractions add.
fn rounded(value: f64) -> f64 {
    format!("{value:.6}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hoses_are_read_in_metric_and_inches() {
        for text in [
            "4.8:0.9:liquid",
            " 4,8mm : 90cm : Liquid",
            "4.8:900mm:liquid",
        ] {
            let hose = Hose::read(text).expect(text);
            assert!((hose.bore_mm - 4.8).abs() < 1e-9 && (hose.length_m - 0.9).abs() < 1e-9);
            assert_eq!(hose.contents, Contents::Liquid);
        }
        let inches = Hose::read("3/16in:36\":vapor").unwrap();
        assert!((inches.bore_mm - 4.7625).abs() < 1e-9);
        assert!((inches.length_m - 0.9144).abs() < 1e-9);
        assert_eq!(inches.contents, Contents::Vapour);
    }

    #[test]
    fn the_volume_of_the_checks() {
        // checks.md 10.13: 4.8 mm bore, 0.9 m: 16.29 mL
        let hose = Hose::read("4.8:0.9:liquid").unwrap();
        assert!((hose.volume_ml() - 16.29).abs() < 0.005);
    }

    #[test]
    fn inches_typed_as_mm_are_asked_back() {
        let asked = Hose::read("0.1875:0.9:liquid").unwrap_err().to_string();
        assert!(
            asked.contains("did you mean 0.1875 inch, which is 4.8 mm?"),
            "{asked}"
        );
        let asked = Hose::read("4.8:36:liquid").unwrap_err().to_string();
        assert!(
            asked.contains("was it in cm or inches? Write 36cm or 36in"),
            "{asked}"
        );
    }

    #[test]
    fn what_is_no_hose_is_refused() {
        for text in [
            "",
            ":",
            "::",
            "4.8",
            "4.8:0.9",
            "4.8:0.9:",
            "4.8:0.9:full",
            "x:0.9:liquid",
            "-4.8:0.9:liquid",
            "4.8:-1:liquid",
            "4.8:0.9:liquid:1",
            "nan:1:liquid",
            "1/0:1:liquid",
            "1e300:1:liquid",
            "4.8:inf:liquid",
            "4.8 furlong:1:liquid",
            "25:0.9:liquid",
            "4.8:0:vapour",
        ] {
            let error = Hose::read(text).expect_err(text).to_string();
            assert!(!error.is_empty() && error.len() < 250, "{error}");
        }
        for text in [
            "",
            "12",
            "x:liquid",
            "0:liquid",
            "-3:vapour",
            "501:liquid",
            "nan:liquid",
        ] {
            assert!(Manifold::read(text).is_err(), "{text}");
        }
        assert_eq!(Manifold::read("12 mL:vapour").unwrap().ml, 12.0);
    }
}
