//! The picture in every state and at every size.

use std::{sync::Arc, time::Instant};

use ratatui::{Terminal, backend::TestBackend, buffer::Buffer, style::Modifier};
use vacuum::{Criteria, Entry, Mark, MarkKind, Pressure, Reading};

mod keys;
mod languages;
mod rehearsals;

use super::{
    app::{App, Mode},
    code::PageCode,
    draw,
    keyboard::Input,
    keys::Key,
    picture::{Picture, Scrub},
    theme::Theme,
};
use watch::{
    Act, EventKind, Frame, HoldNow, JudgedNow, LinkNow, MANIFOLD_SHUT, PhaseNow, Snapshot,
    feed::Feed,
    judged::{HoldState, StallNow, TargetNow},
    order::{self, Facts},
};

const COLOURED: Theme = Theme {
    colour: true,
    ascii: false,
};
const PLAIN: Theme = Theme {
    colour: false,
    ascii: true,
};

/// One state of a recording.
struct Scene {
    name: &'static str,
    frame: Frame,
    app: App,
    scrub: Option<Scrub>,
}

/// A run of twenty minutes down to this pressure, with these marks.
fn frame(micron: f64, marks: &[(MarkKind, &str)], look: JudgedNow) -> Frame {
    let mut feed = Feed::new(None, &Criteria::default());
    let _watch = feed.watch(watch::Follow::Closely);
    let now = Instant::now();
    feed.name(
        std::path::Path::new("runs/20260314T091500Z-INVENTED-0042"),
        None,
    );
    for s in 0..1_200 {
        let t = f64::from(s);
        let p = micron + 700_000.0 * (-t / 60.0).exp();
        let pressure = Pressure::from_micron(p).expect("a pressure");
        feed.heard(now);
        feed.entry(&Entry::Reading(Reading::measured(t, pressure)));
    }
    for (i, (kind, note)) in marks.iter().enumerate() {
        feed.entry(&Entry::Mark(Mark {
            elapsed_s: 1_200.0 + i as f64,
            kind: *kind,
            note: (*note).into(),
        }));
    }
    feed.event(EventKind::Told, "waiting for the gauge: no such port");
    let frame = feed.frame(now);
    let marks = feed.marks().all();
    let order = order::order(&Facts {
        voice: wording::Voice::default(),
        judged: &look,
        marks,
        pressure_micron: Some(micron),
        jump: None,
        inside: wording::Inside::typed(Some("R-600a")),
        gauge_open_to_system: Some(true),
        rig_alone: false,
        weighs: false,
    });
    let mut pressure = frame.now.pressure.clone();
    pressure.trend = "falling 1,600/min".into();
    Frame {
        now: Arc::new(Snapshot {
            judged: look,
            order,
            pressure,
            stamps: watch::keys::offered(vacuum::TestKind::Evacuation, Some(true)),
            ..(*frame.now).clone()
        }),
        ..frame
    }
}

fn judged(phase: PhaseNow) -> JudgedNow {
    JudgedNow {
        phase,
        target: TargetNow {
            micron: 500.0,
            words: "in 3 to 9 min".into(),
            ..TargetNow::default()
        },
        rounds: 2,
        ..JudgedNow::default()
    }
}

fn hold(state: HoldState) -> JudgedNow {
    JudgedNow {
        hold: Some(HoldNow {
            held_s: 200.0,
            needed_s: 600.0,
            left_s: 400.0,
            state,
            answer: match state {
                HoldState::PassedWithLeak => {
                    "PASS by the rule; a leak is indicated: 52 to 860 g/year".into()
                }
                _ => "straight rise: leak, right in over 95 of 100".into(),
            },
            clock: "7 min left".into(),
            ..HoldNow::default()
        }),
        ..judged(PhaseNow::Hold)
    }
}

fn with(mut frame: Frame, change: impl FnOnce(&mut Snapshot)) -> Frame {
    change(Arc::make_mut(&mut frame.now));
    frame
}

fn scenes() -> Vec<Scene> {
    use HoldState::{Failed, NotProven, Passed, PassedWithLeak, Running, WillNotPass};
    use MarkKind::{NitrogenBreak, Note, PumpSideShut, PumpStopped, ValveOpened};
    let mut all = Vec::new();
    let mut add = |name, frame| {
        all.push(Scene {
            name,
            frame,
            app: App::default(),
            scrub: None,
        });
    };
    let opened = (ValveOpened, "");
    let (shut, stopped) = ((PumpSideShut, ""), (PumpStopped, ""));
    let manifold = (Note, MANIFOLD_SHUT);
    add("nothing yet", Frame::default());
    add(
        "pull-down",
        frame(123_456.0, &[opened], judged(PhaseNow::PullDown)),
    );
    let mut stalled = judged(PhaseNow::PullDown);
    stalled.stall = Some(StallNow {
        kind: "boil_off",
        label: wording::stall_words(&wording::Voice::default(), analyser::StallKind::BoilOff),
        since_s: 700.0,
        level_micron: 17_500.0,
        helps: wording::stall_advice(&wording::Voice::default(), analyser::StallKind::BoilOff),
    });
    add("stall", frame(17_500.0, &[opened], stalled));
    add(
        "at target",
        frame(468.0, &[opened], judged(PhaseNow::AtTarget)),
    );
    add(
        "wrong order",
        frame(468.0, &[opened, stopped], judged(PhaseNow::AtTarget)),
    );
    for (name, state) in [
        ("running", Running),
        ("will not pass", WillNotPass),
        ("passed", Passed),
        ("passed with a leak", PassedWithLeak),
        ("failed", Failed),
        ("not proven", NotProven),
    ] {
        add(
            name,
            frame(300.0, &[opened, shut, stopped, manifold], hold(state)),
        );
    }
    let broken = [opened, shut, stopped, (NitrogenBreak, "")];
    add(
        "nitrogen",
        frame(700_000.0, &broken, judged(PhaseNow::PullDown)),
    );
    let lost = frame(300.0, &[opened], judged(PhaseNow::AtTarget));
    add(
        "gauge lost",
        with(lost.clone(), |now| {
            now.gauge.link = LinkNow::Lost;
            now.pressure.state = "gap";
            now.pressure.digits = "—".into();
        }),
    );
    add(
        "disk full",
        with(lost.clone(), |now| {
            now.disk.takes_rows = false;
            now.disk.trouble = "NOT ON DISK: 812 rows (no space left on the device)".into();
            now.disk.free_bytes = Some(0);
        }),
    );
    let mut last = |name, mode, scrub| {
        let mut app = App::default();
        if mode == Mode::Code {
            app.page = Some(page_code());
        }
        app.mode = mode;
        all.push(Scene {
            name,
            frame: lost.clone(),
            app,
            scrub,
        });
    };
    last("typing", Mode::Typing("oil looks milky ".repeat(12)), None);
    let stop = "Stop recording? The hold has lasted 3:20 of 10:00.";
    last("asked to stop", Mode::Asked(stop.into(), Act::Stop), None);
    last("info", Mode::Info, None);
    last("code", Mode::Code, None);
    let scrub = Scrub {
        at_s: 500.0,
        ready: 1.0,
        playing: true,
    };
    last("look back", Mode::Watching, Some(scrub));
    all
}

fn page_code() -> PageCode {
    let address = "http://192.168.100.100:65535/?key=0123456789abcdef0123456789abcdef";
    let code = |dark| phone_view::code_for_camera(address, dark).expect("short enough");
    PageCode {
        address: address.into(),
        on_light: code(false),
        on_dark: code(true),
        look_on: None,
        fingerprint: None,
    }
}

#[test]
fn the_address_for_looking_on_only_stands_under_the_code() {
    let mut all = scenes();
    let scene = all.iter_mut().find(|s| s.name == "code").expect("there");
    let look_on = "http://192.168.100.100:65535/?key=fedcba98765432100123456789abcdef";
    let code = PageCode {
        look_on: Some(look_on.into()),
        ..page_code()
    };
    let address = code.address.clone();
    scene.app.page = Some(code);
    let screen = lines(&drawn(scene, COLOURED, (100, 40))).join("\n");
    let place = |words: &str| {
        screen
            .find(words)
            .unwrap_or_else(|| panic!("{words}: {screen}"))
    };
    assert!(place(&address) < place("To look on only"));
    assert!(place("To look on only") < place(look_on));
}

#[test]
fn the_fingerprint_stands_beside_the_code_or_above_it() {
    let pairs: Vec<String> = (0..32).map(|n| format!("{:02X}", n * 7)).collect();
    let all: Vec<String> = pairs.chunks(8).map(|eight| eight.join(":")).collect();
    let code = PageCode {
        fingerprint: Some(pairs.join(":")),
        ..page_code()
    };
    let mut scenes = scenes();
    let scene = scenes.iter_mut().find(|s| s.name == "code");
    let scene = scene.expect("there");
    scene.app.page = Some(code.clone());
    // beside it an 80-column window holds both; a narrow high one has it above
    for size in [(80, 23), (60, 40), (60, 20)] {
        let screen = lines(&drawn(scene, COLOURED, size)).join("\n");
        for line in &all {
            assert!(screen.contains(line), "{size:?} {line}:\n{screen}");
        }
        let whole = code.on_light.lines().all(|line| screen.contains(line));
        assert_eq!(whole, size != (60, 20), "{size:?}:\n{screen}");
    }
}

/// The code is whole or not there: half of one is of no use to a camera.
#[test]
fn a_code_for_the_camera_is_whole_or_said_to_be_too_large() {
    let all = scenes();
    let scene = all.iter().find(|s| s.name == "code").expect("there");
    let code = page_code();
    for (size, whole) in [((60, 20), false), ((80, 22), false), ((80, 23), true)] {
        let screen = lines(&drawn(scene, COLOURED, size)).join("\n");
        let squeezed: String = screen.split_whitespace().collect();
        assert!(squeezed.contains(&code.address), "{screen}");
        let seen = code.on_light.lines().all(|line| screen.contains(line));
        assert_eq!(seen, whole, "{size:?}:\n{screen}");
        assert_eq!(screen.contains("for the camera takes"), !whole, "{screen}");
    }
}

fn drawn(scene: &Scene, theme: Theme, (width, height): (u16, u16)) -> Buffer {
    let mut terminal = Terminal::new(TestBackend::new(width, height)).expect("a terminal");
    let picture = Picture {
        frame: &scene.frame,
        app: &scene.app,
        theme,
        since_s: 0.1,
        scrub: scene.scrub,
    };
    let done = terminal.draw(|f| {
        let area = f.area();
        draw::draw(&picture, area, f.buffer_mut());
    });
    done.expect("drawn").buffer.clone()
}

fn lines(buffer: &Buffer) -> Vec<String> {
    let area = buffer.area;
    let row = |y| (0..area.width).map(move |x| buffer[(x, y)].symbol());
    (0..area.height).map(|y| row(y).collect()).collect()
}

/// The words of a stretch of the screen, whatever the lines.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is said: on a wide screen the words stand in a column of their own.
fn said(lines: &[String], (width, height): (u16, u16)) -> String {
    let from = match width >= 104 && height >= 26 {
        true => usize::from(width) - 47,
        false => 0,
    };
    let side = lines
        .iter()
        .map(|l| l.chars().skip(from).collect::<String>());
    words(&side.collect::<Vec<_>>().join(" "))
}

/// What has to be on the screen is there in full at every size that is promised.
#[test]
fn what_matters_is_whole_at_every_promised_size() {
    for size in [
        (60, 20),
        (80, 24),
        (100, 30),
        (104, 26),
        (160, 50),
        (200, 60),
    ] {
        for scene in scenes() {
            let lines = lines(&drawn(&scene, COLOURED, size));
            let at = format!("{} at {size:?}:\n{}", scene.name, lines.join("\n"));
            if matches!(scene.app.mode, Mode::Info | Mode::Code) {
                assert!(lines[0].contains("Any key leads back"), "{at}");
                continue;
            }
            let now = &scene.frame.now;
            let said = said(&lines, size);
            for warning in &now.order.warnings {
                assert!(
                    said.contains(&words(&warning.text)),
                    "{} in {at}",
                    warning.text
                );
            }
            assert!(said.contains(&words(&now.order.advice)), "{}", at);
            let screen = words(&lines.join(" "));
            assert!(
                screen.contains(&now.judged.phase.words(&now.voice).to_uppercase()),
                "{at}"
            );
            assert!(screen.contains(now.pressure.unit), "{at}");
            match &scene.app.mode {
                Mode::Typing(_) => assert!(screen.contains("milky _"), "{at}"),
                Mode::Asked(question, _) => {
                    assert!(screen.contains(question), "{at}");
                    assert!(screen.contains("y yes, any other key no"), "{at}");
                }
                _ if scene.scrub.is_some() => assert!(screen.contains("q leave"), "{at}"),
                _ => {
                    let offered = scene.frame.now.stamps.contains('m');
                    assert_eq!(screen.contains("m manifold"), offered, "{at}");
                    for key in ["s shut", "p pump off", "u undo", "r remark", "q stop"] {
                        assert!(screen.contains(key), "{key} in {at}");
                    }
                    // "Disk" where it takes no rows
                    let disk = screen.contains("Saving") || screen.contains("Disk");
                    assert!(screen.contains("Gauge") && disk, "{at}");
                }
            }
        }
    }
}

#[test]
fn cautions_stand_where_the_act_happens() {
    for size in [(60, 20), (80, 24), (120, 40)] {
        for scene in scenes() {
            let screen = said(&lines(&drawn(&scene, COLOURED, size)), size);
            let gravest = &scene.frame.now.order.gravest;
            if !matches!(scene.app.mode, Mode::Info | Mode::Code) {
                // on the smallest screen too, whatever else there is to say
                assert!(
                    screen.contains(&words(gravest)),
                    "{} {size:?}: {screen}",
                    scene.name
                );
            }
            if scene.name == "nitrogen" && size.0 == 120 {
                assert!(screen.contains("only through a regulator"), "{screen}");
            }
            if scene.name == "at target" && size.0 == 120 {
                assert!(screen.contains("Never energise the compressor"), "{screen}");
            }
        }
    }
}

/// Without colour the same words stand there, and nothing but ASCII where nothing else
/// can be shown.
#[test]
fn nothing_is_said_by_colour_alone() {
    for scene in scenes() {
        for size in [(60, 20), (120, 40)] {
            let coloured = lines(&drawn(&scene, COLOURED, size)).join("\n");
            let buffer = drawn(&scene, PLAIN, size);
            let plain = lines(&buffer).join("\n");
            assert!(plain.is_ascii(), "{}: {plain}", scene.name);
            let letters = |t: &str| {
                t.chars()
                    .filter(char::is_ascii_alphanumeric)
                    .collect::<String>()
            };
            // signs that draw a code are not in ASCII, and that is said
            if scene.app.mode != Mode::Code {
                assert_eq!(letters(&plain), letters(&coloured), "{}", scene.name);
            }
            for cell in &buffer.content {
                assert_eq!(cell.fg, ratatui::style::Color::Reset);
                assert_eq!(cell.bg, ratatui::style::Color::Reset);
            }
        }
    }
}

#[test]
fn a_disk_that_takes_nothing_is_told_at_the_very_top() {
    let scenes = scenes();
    let scene = scenes.iter().find(|s| s.name == "disk full").expect("made");
    let buffer = drawn(scene, PLAIN, (60, 20));
    assert!(lines(&buffer)[0].contains("NOT ON DISK"));
    assert!(buffer[(3, 0)].modifier.contains(Modifier::REVERSED));
}

/// A view that breaks lets go of the recording, and the keyboard sends lines again.
#[test]
fn a_view_that_panics_is_only_a_view_less() {
    assert_eq!(crate::full::trouble(|| Ok(())), None);
    let broken = crate::full::trouble(|| Err(std::io::ErrorKind::BrokenPipe.into()));
    assert!(broken.is_some_and(|why| why.contains("broken pipe")));
    let quiet = std::thread::Builder::new().name("breaks on purpose".into());
    let why = quiet.spawn(|| crate::full::trouble(|| panic!("on purpose")));
    let why = why.expect("started").join().expect("caught");
    assert_eq!(why.as_deref(), Some("a fault in the view"));
    // and what is typed afterwards still reaches the session
    let (send, inputs) = std::sync::mpsc::channel();
    let (acts, mut asked) = tokio::sync::mpsc::unbounded_channel();
    for key in [Key::Char('s'), Key::Enter, Key::Char('u'), Key::Enter] {
        send.send(Input::Key(key)).expect("sent");
    }
    drop(send);
    let (_sender, watch) = tokio::sync::watch::channel(Frame::default());
    crate::full::type_lines(&watch, &inputs, &acts);
    let mark = Act::Mark(MarkKind::PumpSideShut, String::new());
    assert_eq!(asked.try_recv(), Ok(mark));
    assert_eq!(asked.try_recv(), Ok(Act::Undo(None)));
}

/// `cargo test -p dryhold --bin dryhold gallery -- --ignored --nocapture` prints every
/// screen, to be looked at.
#[test]
#[ignore = "prints every screen"]
fn gallery() {
    for size in [(60, 20), (80, 24), (120, 40)] {
        for scene in scenes() {
            println!("{} {size:?}", scene.name);
            println!("{}", lines(&drawn(&scene, COLOURED, size)).join("\n"));
        }
    }
}
