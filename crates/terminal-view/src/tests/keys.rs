//! Which keys a recording offers.

use super::*;

/// Shutting the manifold cuts many a gauge off: neither the keys nor the list of keys
/// offers it, unless the job says that the gauge stays open to the system.
#[test]
fn the_manifold_has_a_key_only_where_the_gauge_stays_open_to_the_system() {
    let opened = [(MarkKind::ValveOpened, "")];
    for (open, wanted) in [(Some(true), true), (Some(false), false), (None, false)] {
        for mode in [Mode::Watching, Mode::Info] {
            for size in [(60, 20), (80, 24), (120, 40)] {
                let mut scene = Scene {
                    name: "keys",
                    frame: with(frame(90.0, &opened, judged(PhaseNow::PullDown)), |now| {
                        now.stamps = watch::keys::offered(vacuum::TestKind::Evacuation, open)
                    }),
                    app: App::default(),
                    scrub: None,
                };
                scene.app.mode = mode.clone();
                let screen = lines(&drawn(&scene, COLOURED, size)).join(" ");
                assert_eq!(screen.contains("manifold"), wanted, "{open:?} {screen}");
            }
        }
    }
    let hint: Vec<_> = crate::key_help::stamping(&wording::Voice::default(), "os").collect();
    assert_eq!(hint.len(), 2, "{hint:?}");
}
