//! What a person may choose about the sheet, apart from what was measured.

use crate::PressureUnit;

/// Paper the sheet is set for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Paper {
    /// 210 mm × 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 in × 11 in.
    Letter,
}

impl Paper {
    /// Every paper.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// The word in files and options.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Reads [`Paper::code`], whatever its case.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|p| p.code().eq_ignore_ascii_case(code.trim()))
    }
}

/// Language of the sheet, the curve and the sentences on them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Language {
    /// English; decimal point.
    #[default]
    English,
    /// German; decimal comma.
    German,
    /// Spanish; decimal comma.
    Spanish,
    /// French; decimal comma.
    French,
}

impl Language {
    /// Every language.
    pub const ALL: [Self; 4] = [Self::English, Self::German, Self::Spanish, Self::French];

    /// The two letters of ISO 639-1, in files, options and `lang` attributes.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
            Self::Spanish => "es",
            Self::French => "fr",
        }
    }

    /// The language's own name for itself.
    #[must_use]
    pub const fn own_name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::German => "Deutsch",
            Self::Spanish => "español",
            Self::French => "français",
        }
    }

    /// Reads [`Language::code`] or [`Language::own_name`], whatever the case.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        let wanted = code.trim().to_lowercase();
        Self::ALL
            .into_iter()
            .find(|l| l.code() == wanted || l.own_name().to_lowercase() == wanted)
    }
}

/// Zone that times of day are printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Zone {
    /// Coordinated Universal Time.
    #[default]
    Utc,
    /// So many minutes east of UTC, −1,439 to 1,439.
    EastMin(i16),
}

impl Zone {
    /// The word in files and options: "utc", "+01:00", "-03:30".
    #[must_use]
    pub fn code(self) -> String {
        match self {
            Self::Utc => "utc".into(),
            Self::EastMin(minutes) => {
                let sign = if minutes < 0 { '-' } else { '+' };
                let minutes = minutes.unsigned_abs();
                format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
            }
        }
    }

    /// Reads [`Zone::code`], whatever its case; also "Z" and "+1:00".
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        let code = code.trim();
        if code.eq_ignore_ascii_case("utc") || code.eq_ignore_ascii_case("z") {
            return Some(Self::Utc);
        }
        let (sign, digits) = match code.strip_prefix('+') {
            Some(digits) => (1, digits),
            None => (-1, code.strip_prefix(['-', '\u{2212}'])?),
        };
        let (hours, minutes) = digits.split_once(':')?;
        let number = |text: &str, longest: usize| {
            let plain = text.bytes().all(|b| b.is_ascii_digit()) && text.len() <= longest;
            plain.then(|| text.parse::<i16>().ok()).flatten()
        };
        let (hours, minutes) = (number(hours, 2)?, number(minutes, 2)?);
        (hours < 24 && minutes < 60).then_some(Self::EastMin(sign * (60 * hours + minutes)))
    }
}

/// How times of day are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum DayClock {
    /// 0:00 to 23:59.
    #[default]
    Hours24,
    /// 12:00 am to 11:59 pm.
    Hours12,
}

impl DayClock {
    /// The word in files and options: hours of the dial.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Hours24 => "24",
            Self::Hours12 => "12",
        }
    }

    /// Reads [`DayClock::code`].
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        [Self::Hours24, Self::Hours12]
            .into_iter()
            .find(|c| c.code() == code.trim())
    }
}

/// An entry of the sheet that can be left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SheetField {
    /// Kind of appliance.
    Appliance,
    /// Its model.
    Model,
    /// Its serial number.
    Serial,
    /// Nameplate charge.
    Charge,
    /// Oil.
    Oil,
    /// Internal volume.
    Volume,
    /// What was repaired.
    Repair,
    /// Technician's name.
    Technician,
    /// Technician's licence or certificate number.
    Licence,
    /// Shop.
    Shop,
    /// The shop's logo.
    Logo,
    /// Vacuum pump.
    Pump,
    /// Hoses.
    Hose,
    /// Serial number of the gauge.
    GaugeSerial,
    /// Remarks typed while recording.
    Remarks,
    /// Whom the appliance belongs to.
    Customer,
    /// Where it stands.
    Site,
    /// Number of the warranty claim.
    Claim,
    /// Number of the work order.
    WorkOrder,
    /// Parts fitted.
    Parts,
    /// Serial numbers of the old and the new compressor.
    Compressor,
    /// Refrigerant recovered.
    Recovered,
    /// Refrigerant charged.
    Charged,
    /// Where the leak was.
    Leak,
    /// The photo.
    Photo,
}

impl SheetField {
    /// Every entry.
    pub const ALL: [Self; 25] = [
        Self::Appliance,
        Self::Model,
        Self::Serial,
        Self::Charge,
        Self::Oil,
        Self::Volume,
        Self::Repair,
        Self::Technician,
        Self::Licence,
        Self::Shop,
        Self::Logo,
        Self::Pump,
        Self::Hose,
        Self::GaugeSerial,
        Self::Remarks,
        Self::Customer,
        Self::Site,
        Self::Claim,
        Self::WorkOrder,
        Self::Parts,
        Self::Compressor,
        Self::Recovered,
        Self::Charged,
        Self::Leak,
        Self::Photo,
    ];

    /// The word in files and options.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Appliance => "appliance",
            Self::Model => "model",
            Self::Serial => "serial",
            Self::Charge => "charge",
            Self::Oil => "oil",
            Self::Volume => "volume",
            Self::Repair => "repair",
            Self::Technician => "technician",
            Self::Licence => "licence",
            Self::Shop => "shop",
            Self::Logo => "logo",
            Self::Pump => "pump",
            Self::Hose => "hose",
            Self::GaugeSerial => "gauge-serial",
            Self::Remarks => "remarks",
            Self::Customer => "customer",
            Self::Site => "site",
            Self::Claim => "claim",
            Self::WorkOrder => "work-order",
            Self::Parts => "parts",
            Self::Compressor => "compressor",
            Self::Recovered => "recovered",
            Self::Charged => "charged",
            Self::Leak => "leak",
            Self::Photo => "photo",
        }
    }

    /// Reads [`SheetField::code`].
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|f| f.code() == code.trim())
    }

    /// True for what tells of people: name, licence, shop, its logo, the customer and where
    /// the appliance stands, the photo, which may show a home, and what was typed freely,
    /// where a customer's name may stand.
    #[must_use]
    pub const fn is_personal(self) -> bool {
        matches!(
            self,
            Self::Technician
                | Self::Licence
                | Self::Shop
                | Self::Logo
                | Self::Remarks
                | Self::Customer
                | Self::Site
                | Self::Photo
        )
    }
}

/// What was chosen about the sheet; `None` where nothing was.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SheetChoices {
    /// Paper.
    pub paper: Option<Paper>,
    /// Language.
    pub language: Option<Language>,
    /// Unit printed first; micron is printed too.
    pub unit: Option<PressureUnit>,
    /// Zone of times of day.
    pub zone: Option<Zone>,
    /// 12 or 24 hours.
    pub clock: Option<DayClock>,
    /// Entries to leave out.
    pub leave_out: Vec<SheetField>,
    /// Leaves out every entry that [is personal](SheetField::is_personal).
    pub without_personal_data: Option<bool>,
    /// File with the shop's logo (PNG or SVG), as typed.
    pub logo: Option<String>,
}

impl SheetChoices {
    /// True when `field` is to be printed.
    #[must_use]
    pub fn prints(&self, field: SheetField) -> bool {
        let hidden = self.without_personal_data == Some(true) && field.is_personal();
        !hidden && !self.leave_out.contains(&field)
    }

    /// These choices, and where nothing was chosen those of `other`. A field left
    /// out in either is left out.
    #[must_use]
    pub fn or(mut self, other: &Self) -> Self {
        self.leave_out.extend_from_slice(&other.leave_out);
        self.leave_out.sort_unstable();
        self.leave_out.dedup();
        Self {
            paper: self.paper.or(other.paper),
            language: self.language.or(other.language),
            unit: self.unit.or(other.unit),
            zone: self.zone.or(other.zone),
            clock: self.clock.or(other.clock),
            leave_out: self.leave_out,
            without_personal_data: self.without_personal_data.or(other.without_personal_data),
            logo: self.logo.or_else(|| other.logo.clone()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_reads_back() {
        for field in SheetField::ALL {
            assert_eq!(SheetField::from_code(field.code()), Some(field));
        }
        for language in Language::ALL {
            assert_eq!(Language::from_code(language.code()), Some(language));
            let name = language.own_name().to_uppercase();
            assert_eq!(Language::from_code(&name), Some(language));
        }
        for paper in Paper::ALL {
            assert_eq!(Paper::from_code(&paper.code().to_uppercase()), Some(paper));
        }
        assert_eq!(Language::from_code("tlh"), None);
        let zones = [0, 60, -210, 1_439, -1_439].map(Zone::EastMin);
        for zone in zones.into_iter().chain([Zone::Utc]) {
            assert_eq!(Zone::from_code(&zone.code()), Some(zone));
        }
        assert_eq!(Zone::EastMin(-210).code(), "-03:30");
        for wrong in ["", "+", "+1", "+24:00", "+01:60", "1:00", "+1:+5", "CET"] {
            assert_eq!(Zone::from_code(wrong), None, "{wrong:?}");
        }
    }

    #[test]
    fn the_first_choice_wins_and_what_is_left_out_adds_up() {
        let typed = SheetChoices {
            paper: Some(Paper::Letter),
            leave_out: vec![SheetField::Oil],
            ..SheetChoices::default()
        };
        let remembered = SheetChoices {
            paper: Some(Paper::A4),
            language: Some(Language::German),
            leave_out: vec![SheetField::Pump, SheetField::Oil],
            without_personal_data: Some(true),
            ..SheetChoices::default()
        };
        let both = typed.or(&remembered);
        assert_eq!(both.paper, Some(Paper::Letter));
        assert_eq!(both.language, Some(Language::German));
        assert_eq!(both.leave_out, [SheetField::Oil, SheetField::Pump]);
        assert!(!both.prints(SheetField::Technician));
        assert!(both.prints(SheetField::Serial));
    }
}
