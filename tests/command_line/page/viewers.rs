//! What viewers are sent by a real recording.

use std::time::{Duration, Instant};

use super::paged;
use crate::{
    gauge::Gauge,
    logger::{Logger, wait_until, whole_rows},
    page::Address,
    run::{dryhold, only_run, scratch},
};

#[test]
fn a_reading_reaches_the_page_and_a_mark_the_record() {
    let folder = scratch();
    let (mut gauge, logger, address) = paged(folder.path(), &["--view-marks"]);
    let mut viewer = address.viewer(None);
    let (kind, hello) = viewer.next().expect("a greeting");
    assert_eq!((kind.as_str(), &hello["marks"]), ("hello", &true.into()));
    gauge.say_micron(468.0);
    let now = viewer.find("now", |now| now["pressure"]["digits"] == "468");
    assert_eq!(now["pressure"]["unit"], "micron");
    assert_eq!(address.act("{\"stamp\":\"s\"}"), 202);
    let device = hello["device"].as_str().expect("a name").to_owned();
    let now = viewer.find("now", |now| now["marks"][0]["code"] == "pump_side_shut");
    assert_eq!(now["marks"][0]["device"], hello["device"]);
    let id = now["marks"][0]["id"].as_u64().expect("a number");
    assert_eq!(address.act(&format!("{{\"undo\":{id}}}")), 202);
    viewer.find("happened", |e| e["kind"] == "withdrawn");
    assert_eq!(address.act("{\"note\":\"door open\"}"), 202);
    viewer.find("now", |now| now["marks"][0]["label"] == "door open");
    let (ran, rows) = logger.stop();
    ran.expect(0);
    let notes: Vec<_> = rows.iter().map(|r| (&*r.mark, &*r.note)).collect();
    assert!(notes.iter().any(|n| n.0 == "pump_side_shut"), "{notes:?}");
    assert!(
        notes.iter().any(|n| n.1.starts_with("withdraws")),
        "{notes:?}"
    );
    // every row says from which device it was stamped
    let from = format!("[device {device}]");
    assert!(
        notes.contains(&("note", &format!("door open {from}"))),
        "{notes:?}"
    );
    assert!(
        notes
            .iter()
            .filter(|n| !n.0.is_empty())
            .all(|n| n.1.ends_with(&from)),
        "{notes:?}"
    );
    // the last thing a viewer hears is that recording has ended
    let mut last = None;
    while let Some((kind, data)) = viewer.next() {
        if kind == "now" {
            last = Some(data);
        }
    }
    assert_eq!(last.expect("a last look")["run"]["recording"], false);
}

#[test]
fn without_being_asked_for_the_page_only_shows() {
    let folder = scratch();
    let (mut gauge, logger, address) = paged(folder.path(), &[]);
    gauge.say_micron(468.0);
    let mut viewer = address.viewer(None);
    assert_eq!(viewer.find("hello", |_| true)["marks"], false);
    assert_eq!(address.act("{\"stamp\":\"s\"}"), 403);
    logger.wait_for_rows(1);
    let (_, rows) = logger.stop();
    assert!(rows.iter().all(|r| r.mark.is_empty()), "{rows:?}");
}

#[test]
fn who_has_the_address_for_looking_on_cannot_stamp() {
    let folder = scratch();
    let (mut gauge, logger, address) = paged(folder.path(), &["--view-marks"]);
    gauge.say_micron(468.0);
    let said = logger.said();
    let look_on = said
        .lines()
        .find_map(|l| l.strip_prefix("To look on only: http://"));
    let key = look_on
        .and_then(|a| a.split_once("/?key="))
        .expect("a second address")
        .1;
    assert_ne!(key, address.key);
    let other = address.with_key(key);
    let mut viewer = other.viewer(None);
    assert_eq!(viewer.find("hello", |_| true)["marks"], false);
    // before the run is shown nobody takes a mark
    viewer.find("now", |now| now["pressure"]["digits"] == "468");
    assert_eq!(other.act("{\"stamp\":\"s\"}"), 403);
    assert_eq!(address.act("{\"stamp\":\"p\"}"), 202);
    viewer.find("now", |now| now["marks"][0]["code"] == "pump_stopped");
    let (_, rows) = logger.stop();
    assert!(rows.iter().all(|r| r.mark != "pump_side_shut"), "{rows:?}");
}

#[test]
fn kept_keys_outlive_a_run_and_a_file_that_others_may_read_is_refused() {
    let folder = scratch();
    let file = folder.path().join("page.key");
    let option = ["--view-marks", "--view-key", &file.to_string_lossy()].map(str::to_owned);
    let options = option.each_ref().map(|o| o.as_str());
    let port = {
        let place = folder.path().join("one");
        std::fs::create_dir(&place).expect("made");
        let (_gauge, logger, address) = paged(&place, &options);
        let _ = address.viewer(None).next().expect("a greeting");
        let _ = logger.stop();
        address
    };
    let place = folder.path().join("two");
    std::fs::create_dir(&place).expect("made");
    let (_gauge, logger, address) = paged(&place, &options);
    assert_eq!(address.key, port.key);
    let _ = logger.stop();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o644)).expect("set");
        let log = [
            "log",
            "--port",
            "file:none",
            "--dialect",
            "number-unit-line",
            "--view-page",
        ];
        let ran = dryhold(log.iter().chain(&options)).expect(1);
        let told = ran.complaint();
        assert!(
            told.contains("--view-key") && told.contains("chmod 600"),
            "{told}"
        );
    }
}

#[test]
fn options_that_do_nothing_are_refused() {
    for option in [&["--view-marks"][..], &["--view-key", "k"]] {
        let log = [
            "log",
            "--port",
            "file:none",
            "--dialect",
            "number-unit-line",
        ];
        let ran = dryhold(log.iter().chain(option)).expect(2);
        assert!(ran.complaint().contains("--view-lan"), "{ran:?}");
    }
}

#[test]
fn a_second_recorder_gets_a_port_of_its_own() {
    let folder = scratch();
    let places = [folder.path().join("one"), folder.path().join("two")];
    let recorders: Vec<_> = places
        .iter()
        .map(|place| {
            std::fs::create_dir(place).expect("made");
            let mut gauge = Gauge::plugged_in(place);
            let out = place.join("runs");
            let logger = Logger::start(gauge.path(), &out, &["--view-page", "--no-seal"]);
            gauge.await_reader();
            let address = Address::of(&logger);
            (gauge, logger, address.port)
        })
        .collect();
    assert_ne!(recorders[0].2, recorders[1].2);
    // the same port twice, asked for, is an error that says what to do
    let port = recorders[0].2.to_string();
    let gauge = recorders[0].0.path().to_string_lossy().into_owned();
    let log = [
        "log",
        "--port",
        &gauge,
        "--dialect",
        "number-unit-line",
        "--view-page",
    ];
    let out = folder.path().join("three").to_string_lossy().into_owned();
    let ran = dryhold(log.iter().chain(&["--view-port", &port, "--out", &out])).expect(1);
    assert!(ran.complaint().contains("--view-port"), "{ran:?}");
    for (_, logger, _) in recorders {
        logger.interrupted();
    }
}

/// A part of the day of the soak, with viewers that come and go.
const SHORT: usize = 43_200;
const DAY: usize = 864_000;
const RECONNECTS: usize = 100;

#[test]
fn views_that_come_and_go_cost_no_reading() {
    reconnects_through(SHORT, RECONNECTS);
}

#[test]
#[ignore = "a day sped up: some minutes"]
fn a_day_with_a_hundred_reconnects_loses_no_reading() {
    reconnects_through(DAY, RECONNECTS);
}

fn reconnects_through(readings: usize, reconnects: usize) {
    const BURST: usize = 300;
    // as fast as viewers may come again from one address
    const COMES: Duration = Duration::from_millis(150);
    let bursts = readings.div_ceil(BURST) as u32;
    let pause = (COMES * reconnects as u32 / bursts).max(Duration::from_millis(18));
    let folder = scratch();
    let out = folder.path().join("runs");
    let mut gauge = Gauge::plugged_in(folder.path());
    let port = gauge.path().to_string_lossy().into_owned();
    let options = ["--view-page", "--view-port", "0", "--no-seal"];
    let logger = Logger::start_on(&port, "clocked-comma-fields", &out, &options);
    gauge.await_reader();
    let address = Address::of(&logger);
    let came = std::thread::scope(|scope| {
        let viewers = scope.spawn(|| {
            // one that never reads stays all the time
            let _stuck = address.viewer(None);
            let mut last_id = None;
            let stay = (pause * bursts / reconnects as u32).max(COMES);
            let mut came = 0;
            while came < reconnects {
                let mut viewer = address.viewer(last_id.as_deref());
                let now = viewer.find("now", |_| true);
                assert_eq!(now["run"]["recording"], true);
                last_id = viewer.last_id.clone();
                came += 1;
                std::thread::sleep(stay);
            }
            came
        });
        for start in (0..readings).step_by(BURST) {
            let line = |i: usize| {
                format!(
                    "@{}.{},{}.0,micron,21.4,ok\r\n",
                    i / 10,
                    i % 10,
                    300 + i % 97
                )
            };
            gauge.say(
                &(start..(start + BURST).min(readings))
                    .map(line)
                    .collect::<String>(),
            );
            std::thread::sleep(pause);
        }
        viewers.join().expect("viewers")
    });
    assert_eq!(came, reconnects);
    let run = only_run(&out);
    let give_up = Instant::now() + Duration::from_secs(300);
    while whole_rows(&run) < readings && Instant::now() < give_up {
        std::thread::sleep(Duration::from_millis(50));
    }
    let (_, rows) = logger.stop();
    let measured: Vec<_> = rows.iter().filter_map(|r| r.micron).collect();
    assert_eq!(measured.len(), readings);
    let wrong = measured
        .iter()
        .enumerate()
        .find(|(i, p)| **p != (300 + i % 97) as f64);
    assert_eq!(wrong, None, "every one in its place");
}

#[test]
fn a_gauge_that_goes_is_news_on_the_page() {
    let folder = scratch();
    let (mut gauge, logger, address) = paged(folder.path(), &[]);
    gauge.say_micron(468.0);
    let mut viewer = address.viewer(None);
    viewer.find("now", |now| now["pressure"]["digits"] == "468");
    gauge.unplug();
    viewer.find("happened", |e| e["kind"] == "gauge_lost");
    viewer.find("now", |now| now["pressure"]["digits"] == "—");
    gauge.plug_in();
    viewer.find("happened", |e| e["kind"] == "gauge_back");
    wait_until("its rows", || logger.said().contains("back"));
    logger.interrupted();
}
