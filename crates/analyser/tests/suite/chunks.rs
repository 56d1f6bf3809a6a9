//! Live or read back, in whatever pieces and however often one looks: the same
//! answer, to the last bit.

use analyser::{Analyser, Findings, Live, Settings};
use proptest::prelude::*;
use vacuum::{Entry, MarkKind, Sensed};

use crate::scene::{Scene, Steps, blinded, mark, without};

fn scene(seed: u64, which: usize, marked: bool) -> Vec<Entry> {
    let base = Scene {
        pull_s: 400.0,
        hold_s: 800.0,
        interval_s: 0.7,
        marked,
        ..Scene::tight(seed)
    };
    match which {
        0 => base.entries(),
        1 => Scene {
            leak_micron_per_min: 25.0,
            steps: Steps::Micron(5.0),
            ..base
        }
        .entries(),
        2 => Scene {
            vapour: Some((300.0, 120.0)),
            equalisation: Some((60.0, 5.0)),
            ..base
        }
        .entries(),
        3 => without(&base.entries(), 700.0, 760.0),
        4 => blinded(&base.entries(), 800.0, 830.0, Sensed::Fault),
        _ => {
            let mut entries = base.entries();
            let end = entries.len() - 1;
            entries.insert(end / 2, mark(entries[end / 2].elapsed_s(), MarkKind::Note));
            entries
        }
    }
}

fn batch(entries: &[Entry]) -> (Findings, Live) {
    let mut analyser = Analyser::new(Settings::default());
    for entry in entries {
        analyser.push(entry);
    }
    (analyser.findings(), analyser.live())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 24,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20_260_314),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn looking_in_between_changes_nothing(
        seed in 0_u64..1_000,
        which in 0_usize..6,
        marked in any::<bool>(),
        looks in prop::collection::vec((1_usize..2_000, 0_u8..3), 0..12),
    ) {
        let entries = scene(seed, which, marked);
        let mut analyser = Analyser::new(Settings::default());
        let mut at = 0;
        for (length, look) in looks {
            let end = (at + length).min(entries.len());
            for entry in &entries[at..end] {
                analyser.push(entry);
            }
            at = end;
            match look {
                0 => drop(analyser.findings()),
                1 => drop(analyser.live()),
                // going on with a copy is going on
                _ => analyser = analyser.clone(),
            }
            // and what is seen on the way is what a record that ends here says
            if look == 0 && at % 3 == 0 {
                prop_assert_eq!(analyser.findings(), batch(&entries[..at]).0);
            }
        }
        for entry in &entries[at..] {
            analyser.push(entry);
        }
        let (findings, live) = batch(&entries);
        prop_assert_eq!(analyser.findings(), findings);
        prop_assert_eq!(analyser.live(), live);
    }
}

/// Pushing through `Entry` or directly is the same.
#[test]
fn an_entry_and_its_parts_are_taken_alike() {
    let entries = scene(5, 2, true);
    let mut direct = Analyser::new(Settings::default());
    for entry in &entries {
        match entry {
            Entry::Reading(r) => direct.push_reading(r),
            Entry::Mark(m) => direct.push_mark(m),
        }
    }
    assert_eq!(direct.findings(), batch(&entries).0);
    let live = direct.live();
    assert_eq!(live.findings, direct.findings());
}
