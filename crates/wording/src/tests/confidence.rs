use vacuum::Language;

use crate::{Voice, summary_lines};

/// How often an answer is right is said of an answer: never where none was given, nor of a
/// hold that is not there.
#[test]
fn no_confidence_is_printed_where_nothing_was_decided() {
    let odds = ["of 100", "von 100", "sur 100", "de 100"];
    let mut silent = 0;
    for run in invented_runs::runs() {
        let findings = &run.findings;
        let hold = findings.judged_hold();
        let decided = hold.is_some_and(|hold| {
            matches!(hold.rise.certainty(), findings::Certainty::Stated(_))
                || hold.early_answer.is_some()
        });
        if decided {
            continue;
        }
        silent += 1;
        for language in Language::ALL {
            let voice = Voice {
                language,
                ..Voice::default()
            };
            let said = summary_lines(&voice, findings).join("\n");
            let found = odds.iter().find(|words| said.contains(**words));
            assert_eq!(found, None, "{} {language:?}: {said}", run.name);
        }
    }
    assert!(silent > 3, "{silent}");
}
