//! Does what was stated of a repair have to do with a leak?
//!
//! Parts of words in several languages. The table is common practice, it has no source: words
//! that technicians write on a job, not a classification. A text without a word of it says
//! nothing.

/// What a stated repair is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum States {
    /// A leak, a joint, or a part whose leak is cured by changing it.
    LeakWork,
    /// Something else, and nothing of a leak.
    OtherWork,
    /// Nothing that the table knows.
    Nothing,
}

/// Parts of words about leaks and joints: English, German, French, Spanish, Italian, Dutch,
/// Portuguese, Polish. In lower case.
const LEAK: [&str; 45] = [
    "leak",
    "braz",
    "solder",
    "weld",
    "joint",
    "pinhole",
    "puncture",
    "seal",
    "gasket",
    "flare",
    "evaporator",
    "condenser",
    "tube",
    "pipe", // English
    "leck",
    "undicht",
    "löt",
    "gelöt",
    "schweiß",
    "rohr",
    "verdampfer",
    "verflüssiger",
    "dichtung", // German
    "fuite",
    "bras",
    "soud",
    "étanch",
    "évaporateur",
    "condenseur",
    "tuyau", // French
    "fuga",
    "soldad",
    "estanc",
    "estanqu",
    "evaporador",
    "junta", // Spanish, Portuguese
    "perdita",
    "saldat",
    "evaporatore", // Italian
    "lekkage",
    "gesoldeerd",
    "verdamper", // Dutch
    "vazamento", // Portuguese
    "nieszczeln",
    "lutow", // Polish
];

/// Parts of words about other work on such a system.
const OTHER: [&str; 31] = [
    "drier",
    "dryer",
    "filter",
    "compressor",
    "capillary",
    "thermostat",
    "fan",
    "relay",
    "recharge",
    "charged",
    "oil",
    "sensor",
    "board",
    "defrost", // English
    "trockner",
    "verdichter",
    "kompressor",
    "kapillar",
    "lüfter",
    "nachgefüllt", // German
    "filtre",
    "déshydrat",
    "compresseur",
    "ventilateur", // French
    "filtro",
    "secador",
    "deshidrat",
    "ventilador", // Spanish, Portuguese
    "compressore",
    "ventola", // Italian
    "droger",  // Dutch
];

/// What a text about a repair states.
pub(crate) fn states(text: &str) -> States {
    let text = text.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|word| text.contains(word));
    // "no leak found" states no work on a leak
    let denied = [
        "no leak",
        "kein leck",
        "pas de fuite",
        "sin fuga",
        "nessuna perdita",
        "geen lek",
    ];
    let denies = denied.iter().any(|words| text.contains(words));
    match (has(&LEAK) && !denies, has(&OTHER) || denies) {
        (true, _) => States::LeakWork,
        (false, true) => States::OtherWork,
        (false, false) => States::Nothing,
    }
}

#[cfg(test)]
mod tests {
    use super::{States, states};

    #[test]
    fn what_is_stated_is_understood_in_several_languages() {
        for text in [
            "leak at the door heater loop brazed",
            "Leck am Verdampfer gelötet, Trockner erneuert",
            "fuite réparée, filtre remplacé",
            "fuga soldada",
            "condenser renewed",
        ] {
            assert_eq!(states(text), States::LeakWork, "{text}");
        }
        for text in [
            "drier renewed",
            "Compressor and filter drier replaced, no leak found",
            "Trockner erneuert",
            "filtre déshydrateur remplacé",
            "filtro secador",
        ] {
            assert_eq!(states(text), States::OtherWork, "{text}");
        }
        for text in ["", "see order", "überprüft"] {
            assert_eq!(states(text), States::Nothing, "{text}");
        }
    }
}
