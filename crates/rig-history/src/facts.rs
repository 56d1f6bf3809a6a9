//! What is known of a run, and what was noted.

use findings::Estimate;
use vacuum::TestKind;

/// What one record says of the parts that it was made with.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Where it lies, for whoever reads the overview.
    pub path: String,
    /// When it began, s since 1970-01-01 UTC.
    pub began_s: f64,
    /// True for invented demonstration data.
    pub invented: bool,
    /// Which test it was.
    pub kind: TestKind,
    /// The pump, as the job names it.
    pub pump: Option<String>,
    /// The hose set, likewise.
    pub hose: Option<String>,
    /// The gauge: its serial number, else its description.
    pub gauge: Option<String>,
    /// When its calibration is due, as typed.
    pub calibration_due: Option<String>,
    /// How long the pump ran, h; `None` where the record does not show it.
    pub pumped_h: Option<f64>,
    /// True where water was seen in it: boiling, ice, or a rise by moisture.
    pub wet: bool,
    /// Refrigerant of the system, as typed.
    pub refrigerant: Option<String>,
    /// Oil of the system, as typed.
    pub oil: Option<String>,
    /// Volume of what was tested, L: in a blank-off test, of the rig.
    pub volume_l: Option<f64>,
    /// Floor of a blank-off test whose floor was reached, micron.
    pub floor_micron: Option<Estimate>,
    /// Mean rise of a blank-off test, micron/min.
    pub rise_micron_per_min: Option<Estimate>,
    /// What leaked into the rig itself in a blank-off test, micron/min.
    pub leak_micron_per_min: Option<Estimate>,
    /// The word of the verdict of a blank-off test.
    pub verdict: Option<String>,
    /// Gauges that ran beside it.
    pub beside: Vec<Beside>,
}

impl Run {
    /// A run of which only its beginning is known, s since 1970-01-01 UTC.
    #[must_use]
    pub fn began(began_s: f64) -> Self {
        Self {
            path: String::new(),
            began_s,
            invented: false,
            kind: TestKind::Evacuation,
            pump: None,
            hose: None,
            gauge: None,
            calibration_due: None,
            pumped_h: None,
            wet: false,
            refrigerant: None,
            oil: None,
            volume_l: None,
            floor_micron: None,
            rise_micron_per_min: None,
            leak_micron_per_min: None,
            verdict: None,
            beside: Vec::new(),
        }
    }

    /// True where this part, whatever it is, was used.
    pub(crate) fn has(part: Option<&String>, name: &str) -> bool {
        part.is_some_and(|part| same_name(part, name))
    }
}

/// A gauge that ran beside the judged one, at the same place of the system.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// Its serial number, else its description, else its name in the record.
    pub gauge: String,
    /// Mean of what it showed over what the judged one showed at equal times, micron each,
    /// in the quietest stretch.
    pub micron: (f64, f64),
    /// Expanded uncertainties (95 %), micron, of the judged one and of it.
    pub expanded_micron: (f64, f64),
}

/// What was done to a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NoteKind {
    /// The oil of a pump was changed.
    OilChange,
    /// A part was repaired or exchanged.
    Repair,
    /// A gauge was calibrated.
    Calibration,
    /// Anything else.
    Remark,
}

impl NoteKind {
    /// Every kind.
    pub const ALL: [Self; 4] = [
        Self::OilChange,
        Self::Repair,
        Self::Calibration,
        Self::Remark,
    ];

    /// The word in files and options.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::OilChange => "oil-change",
            Self::Repair => "repair",
            Self::Calibration => "calibration",
            Self::Remark => "remark",
        }
    }

    /// Reads the word back; case, and `_` or a blank for `-`, do not count.
    ///
    /// ```
    /// use rig_history::NoteKind;
    /// assert_eq!(NoteKind::from_word("Oil change"), Some(NoteKind::OilChange));
    /// assert_eq!(NoteKind::from_word("oil"), None);
    /// ```
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        let word = word.trim().to_ascii_lowercase().replace(['_', ' '], "-");
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// Something noted about a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// When, s since 1970-01-01 UTC.
    pub at_s: f64,
    /// Which pump, hose set or gauge.
    pub name: String,
    /// What was done.
    pub kind: NoteKind,
    /// In somebody's words.
    pub text: String,
}

impl Note {
    /// A note.
    #[must_use]
    pub fn of(at_s: f64, name: &str, kind: NoteKind, text: &str) -> Self {
        Self {
            at_s,
            name: name.to_owned(),
            kind,
            text: text.to_owned(),
        }
    }
}

/// True for the same name, whatever its case and the blanks in it.
///
/// ```
/// assert!(rig_history::same_name(" Pump  1", "pump 1"));
/// assert!(!rig_history::same_name("pump 1", "pump 11"));
/// ```
#[must_use]
pub fn same_name(a: &str, b: &str) -> bool {
    let words =
        |text: &str| -> Vec<String> { text.split_whitespace().map(str::to_lowercase).collect() };
    words(a) == words(b)
}
