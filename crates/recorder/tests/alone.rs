//! A recording that nobody looks at: built without any view, without a terminal, without
//! the simulator.

use std::{
    future::{Future, pending},
    path::Path,
    pin::Pin,
    sync::{Arc, Mutex},
};

use recorder::{Ending, GaugeChoice, Marks, Operator, Plan, PumpSideChoice, Recorded, Recorder};
use vacuum::MarkKind;
use watch::{Act, Follow, Watch};

/// Remembers what was said past every view.
#[derive(Default)]
struct Heard(Mutex<Vec<String>>);

impl Operator for Heard {
    fn warn(&self, words: &str) {
        self.0.lock().expect("sound").push(words.to_owned());
    }

    fn stands_still(&self, words: &str) {
        self.warn(words);
    }

    fn tell(&self, words: &str) {
        self.warn(words);
    }

    fn gives_up(&self) -> Pin<Box<dyn Future<Output = ()> + '_>> {
        Box::pin(pending())
    }
}

/// Records a capture; `look` gets the recorder before it begins.
fn record<T>(folder: &Path, capture: &str, look: impl FnOnce(&mut Recorder) -> T) -> (Recorded, T) {
    let file = folder.join("gauge.capture");
    std::fs::write(&file, capture).expect("written");
    let port = format!("file:{}", file.display());
    let gauge = GaugeChoice {
        port: &port,
        dialect: "number-unit-line",
        baud: None,
        barometer: None,
    };
    let none = PumpSideChoice::default();
    let plan = Plan::new(gauge, none, &Default::default(), (false, false)).expect("a plan");
    let header = run_record::RunHeader {
        software: "test".into(),
        ..Default::default()
    };
    let heard = Arc::new(Heard::default());
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime");
    let recorded = runtime.block_on(async {
        let gauges = plan.open().await.expect("open");
        let settings = analyser::Settings::default();
        let companions = plan.companions();
        let mut recorder = Recorder::start(folder, &header, plan.dialect(), settings, companions)
            .expect("a recorder");
        let looked = look(&mut recorder);
        let (acts, asked_for) = tokio::sync::mpsc::unbounded_channel();
        acts.send(Act::Mark(MarkKind::PumpSideShut, String::new()))
            .expect("asked");
        let operator: Arc<dyn Operator> = heard.clone();
        let recorded = recorder
            .record(
                gauges,
                Marks::asked_for(asked_for),
                operator,
                pending(),
                || false,
            )
            .await
            .expect("recorded");
        (recorded, looked)
    });
    assert!(
        heard.0.lock().expect("sound").is_empty(),
        "nothing is wrong"
    );
    recorded
}

fn capture(readings: usize) -> String {
    (0..readings)
        .map(|i| format!("{} micron\r\n", 900 - i))
        .collect()
}

#[test]
fn every_reading_and_mark_is_on_the_disk_though_nobody_looks() {
    let folder = tempfile::tempdir().expect("a folder");
    let (recorded, ()) = record(folder.path(), &capture(300), |_| ());
    assert_eq!((recorded.readings, recorded.ending), (300, Ending::Ended));
    let trace = std::fs::read_to_string(recorded.run.folder.join("trace.csv")).expect("a trace");
    let rows: Vec<&str> = trace.lines().skip(1).collect();
    assert_eq!(rows.len(), 301, "300 readings and the mark");
    assert_eq!(
        rows.iter().filter(|r| r.contains("pump_side_shut")).count(),
        1
    );
    assert!(run_record::verify(&recorded.run.folder).is_ok());
}

#[test]
fn a_view_that_never_looks_or_goes_changes_nothing() {
    for follow in [Follow::Closely, Follow::Calmly] {
        let folder = tempfile::tempdir().expect("a folder");
        let (recorded, views) = record(folder.path(), &capture(300), |recorder| {
            drop(recorder.watch(follow));
            let views: [Watch; 2] = [recorder.watch(follow), recorder.watch(follow)];
            views
        });
        assert_eq!(recorded.readings, 300, "{follow:?}");
        let last = views[0].borrow().clone();
        assert!(
            !last.now.run.recording,
            "{follow:?}: the last frame says so"
        );
        assert_eq!(last.now.gauge.readings, 300, "{follow:?}");
        // only who follows closely pays for a curve
        let has_curve = !last.history.columns.is_empty();
        assert_eq!(has_curve, follow == Follow::Closely);
    }
}
