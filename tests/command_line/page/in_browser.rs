//! The page in a real browser.

use std::{
    io::{Read, Write},
    net::{Shutdown, TcpListener, TcpStream},
    sync::{
        Arc, Mutex,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

use headless_browser::Browser;

use super::paged;
use crate::{gauge::Gauge, run::scratch};

/// Shown elements that reach beyond the screen's edge, or whose content does.
const TOO_WIDE: &str = "[...document.querySelectorAll('body, body *')].filter(e => {
  const box = e.getBoundingClientRect(), style = getComputedStyle(e);
  if (!box.width || style.textOverflow === 'ellipsis' || e.className === 'spoken') return false;
  return box.right > document.documentElement.clientWidth + 0.5 || box.left < -0.5
    || (style.display !== 'inline' && e.clientWidth > 0 && e.scrollWidth > e.clientWidth + 1);
}).map(e => `${e.tagName}#${e.id} ${e.textContent.slice(0, 40)}`).join('; ')";

/// Connected to the recorder, whatever the gauge says.
const LIVE: &str = "!document.body.classList.contains('old') && \
                    /live|NO READING/.test(document.getElementById('link').textContent)";

fn number_is(digits: &str) -> String {
    format!("document.getElementById('number').textContent === '{digits}'")
}

/// Says a reading until the page shows it: one that stands alone on a slow machine is
/// missed before the page has drawn it.
#[track_caller]
fn say_until(gauge: &mut Gauge, browser: &mut Browser, micron: f64, shown: &str) {
    browser.wait_for_after(shown, || gauge.say_micron(micron));
}

#[test]
fn the_page_fits_phones_and_screens() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let folder = scratch();
    let (mut gauge, logger, address) = paged(folder.path(), &["--view-marks"]);
    browser.open(&address.url(address.port));
    for micron in [760_000.0, 468.0, 23_500.0, 7.2] {
        let digits = format!(
            "Number(document.getElementById('number').textContent.replace(/[^0-9.]/g, '')) === {micron}"
        );
        say_until(&mut gauge, &mut browser, micron, &digits);
        for (width, height) in [(360, 740), (412, 915), (1280, 800)] {
            browser.resize(width, height);
            // a gauge that says nothing more would soon be missed
            gauge.say_micron(micron);
            std::thread::sleep(Duration::from_millis(150));
            let wide = browser.value(TOO_WIDE);
            assert_eq!(wide, "", "{width}×{height}, {micron} micron");
            let tall =
                browser.value("document.getElementById('number').getBoundingClientRect().height");
            // seven digits are a thumb's width high even on the smallest
            let tall = tall.as_f64().expect("a height");
            assert!(tall >= 64.0, "{micron} micron at {width}: {tall} px");
        }
    }
    // the key is nowhere a passer-by, another page or a script could take it from
    assert_eq!(browser.value("location.search + document.cookie"), "");
    assert_eq!(browser.complaints, [] as [String; 0]);
    logger.interrupted();
}

#[test]
fn without_the_key_a_browser_shows_a_refusal() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let folder = scratch();
    let (mut gauge, logger, address) = paged(folder.path(), &[]);
    gauge.say_micron(468.0);
    browser.open(&format!("http://127.0.0.1:{}/", address.port));
    browser.wait_for("document.body.textContent.startsWith('Refused: this page needs its key')");
    browser.open(&format!("http://127.0.0.1:{}/?key=0123", address.port));
    browser.wait_for("document.body.textContent.startsWith('Refused: this key is not')");
    logger.interrupted();
}

#[test]
fn a_finger_reads_two_fingers_zoom_and_a_button_stamps() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let folder = scratch();
    let (mut gauge, logger, address) = paged(folder.path(), &["--view-marks"]);
    browser.resize(412, 915);
    browser.open(&address.url(address.port));
    browser.wait_for(LIVE);
    for i in 0..40 {
        gauge.say_micron(900.0 - f64::from(i));
        std::thread::sleep(Duration::from_millis(250));
    }
    say_until(&mut gauge, &mut browser, 861.0, &number_is("861"));
    browser.value("document.getElementById('curve').scrollIntoView({block: 'center'})");
    let place = |b: &mut Browser, what: &str| {
        let found = b.value(&format!(
            "document.getElementById('curve').getBoundingClientRect().{what}"
        ));
        found.as_f64().expect("a place")
    };
    let (left, top) = (place(&mut browser, "left"), place(&mut browser, "top"));
    let at = |x: f64| (left + x, top + 120.0);
    browser.touch("touchStart", &[at(200.0)]);
    browser.touch("touchEnd", &[]);
    browser.wait_for(
        "/^at \\d+:\\d\\d: \\d+ micron/.test(document.getElementById('cursor').textContent)",
    );
    assert_eq!(
        browser.value("document.getElementById('whole').hidden"),
        true
    );
    browser.touch("touchStart", &[at(180.0), at(240.0)]);
    for step in 1..=6 {
        let apart = 10.0 * f64::from(step);
        browser.touch("touchMove", &[at(180.0 - apart), at(240.0 + apart)]);
    }
    browser.touch("touchEnd", &[]);
    browser.wait_for("document.getElementById('whole').hidden === false");
    browser.value("document.getElementById('whole').click()");
    browser.wait_for("document.getElementById('whole').hidden === true");
    // a mark, and back
    browser.value("[...document.querySelectorAll('#stamps button')].find(b => b.textContent === 'Pump-side valve shut').click()");
    browser
        .wait_for("document.getElementById('marks').textContent.includes('pump-side valve shut')");
    browser.value("document.querySelector('#marks button').click()");
    browser
        .wait_for("!document.getElementById('marks').textContent.includes('pump-side valve shut')");
    browser.value("document.getElementById('nudge').click()");
    assert_eq!(
        browser.value("document.getElementById('nudge').ariaPressed"),
        "true"
    );
    assert_eq!(browser.complaints, [] as [String; 0]);
    let (_, rows) = logger.stop();
    assert!(rows.iter().any(|r| r.mark == "pump_side_shut"));
    assert!(rows.iter().any(|r| r.note.starts_with("withdraws")));
    browser.wait_for("document.getElementById('link').textContent.includes('ended')");
}

/// A network between browser and recorder, to cut.
struct Network {
    port: u16,
    whole: Arc<AtomicBool>,
    open: Arc<Mutex<Vec<TcpStream>>>,
}

impl Network {
    fn to(far: u16) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let network = Self {
            port: listener.local_addr().expect("its address").port(),
            whole: Arc::new(AtomicBool::new(true)),
            open: Arc::default(),
        };
        let (whole, open) = (Arc::clone(&network.whole), Arc::clone(&network.open));
        std::thread::spawn(move || {
            for near in listener.incoming().map_while(Result::ok) {
                let Ok(far) = TcpStream::connect(("127.0.0.1", far)) else {
                    continue;
                };
                if !whole.load(Ordering::SeqCst) {
                    continue;
                }
                for (from, to) in [(&near, &far), (&far, &near)] {
                    let (from, to) = (from.try_clone(), to.try_clone());
                    let (mut from, mut to) = (from.expect("a socket"), to.expect("a socket"));
                    std::thread::spawn(move || {
                        let mut some = [0; 4096];
                        while let Ok(n @ 1..) = from.read(&mut some) {
                            if to.write_all(&some[..n]).is_err() {
                                break;
                            }
                        }
                        let _ = to.shutdown(Shutdown::Both);
                    });
                }
                open.lock().expect("sound").extend([near, far]);
            }
        });
        network
    }

    fn cut(&self) {
        self.whole.store(false, Ordering::SeqCst);
        for socket in self.open.lock().expect("sound").drain(..) {
            let _ = socket.shutdown(Shutdown::Both);
        }
    }

    fn mend(&self) {
        self.whole.store(true, Ordering::SeqCst);
    }
}

#[test]
fn after_an_outage_the_page_says_so_comes_back_and_fills_the_gap() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let folder = scratch();
    let (gauge, mut logger, address) = paged(folder.path(), &[]);
    let network = Network::to(address.port);
    browser.resize(360, 740);
    browser.open(&address.url(network.port));
    let gauge = gauge.repeats(900.0);
    browser.wait_for(&number_is("900"));
    network.cut();
    // while it is away, things happen
    logger.type_line(b"s");
    for i in 0..30 {
        gauge.says(800.0 - f64::from(i));
        std::thread::sleep(Duration::from_millis(100));
    }
    browser.wait_for("document.body.classList.contains('old')");
    browser.wait_for("document.getElementById('stale').textContent.startsWith('No connection')");
    assert_eq!(
        browser.value("document.getElementById('stale').hidden"),
        false
    );
    assert_eq!(browser.value(TOO_WIDE), "");
    network.mend();
    browser.wait_for(&number_is("771"));
    browser.wait_for(LIVE);
    browser
        .wait_for("document.getElementById('marks').textContent.includes('pump-side valve shut')");
    browser.wait_for(
        "document.getElementById('events').textContent.includes('Marked: pump-side valve shut')",
    );
    // everything once
    let marked =
        "document.getElementById('events').textContent.split('Marked: pump-side').length - 1";
    assert_eq!(browser.value(marked), 1);
    assert_eq!(browser.complaints, [] as [String; 0]);
    drop(gauge);
    logger.interrupted();
}

/// A gauge that says nothing takes the number away, and "live" with it; a second shut is
/// asked about; in the end the verdict stands there.
#[test]
fn a_silent_gauge_a_second_shut_and_the_end_are_seen() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let folder = scratch();
    let options = ["--view-marks", "--hold-min", "0.1"];
    let (gauge, logger, address) = paged(folder.path(), &options);
    browser.resize(360, 740);
    browser.open(&address.url(address.port));
    let text = |id: &str| format!("document.getElementById('{id}').textContent");
    let shut = "[...document.querySelectorAll('#stamps button')]\
                .find(b => b.textContent.startsWith('Pump-side')).click()";
    let gauge = gauge.repeats(200.0);
    browser.wait_for(&number_is("200"));
    browser.value(shut);
    let held = "!document.getElementById('hold').hidden";
    browser.wait_for(held);
    std::thread::sleep(Duration::from_millis(1_500));
    browser.value(shut);
    browser.wait_for("!document.getElementById('question').hidden");
    browser.wait_for(&format!("{}.includes('Begin a new hold?')", text("asked")));
    assert_eq!(browser.value(TOO_WIDE), "");
    browser.value("document.getElementById('no').click()");
    browser.wait_for(&format!("{} === 'Nothing was changed.'", text("acted")));
    let marks = "document.querySelectorAll('#marks time').length";
    assert_eq!(browser.value(marks), 1);
    drop(gauge);
    browser.wait_for(&format!("{}.includes('NO READING')", text("link")));
    browser.wait_for(&number_is("NO READING"));
    browser.wait_for(&format!("{}.startsWith('No reading for')", text("bound")));
    assert_eq!(browser.value(TOO_WIDE), "");
    logger.interrupted();
    let verdict = "document.getElementById('verdict').hidden";
    assert_eq!(browser.value(verdict), false);
    let words = browser.value(&text("came_to"));
    assert!(
        words.as_str().is_some_and(|w| w.contains("NOT PROVEN")),
        "{words}"
    );
    assert_eq!(browser.value(TOO_WIDE), "");
}

#[test]
fn a_reading_is_on_the_glass_within_a_fifth_of_a_second() {
    let Some(mut browser) = Browser::start() else {
        return;
    };
    let folder = scratch();
    let (mut gauge, logger, address) = paged(folder.path(), &[]);
    browser.open(&address.url(address.port));
    browser.wait_for(LIVE);
    // the moment after the frame in which each number was painted
    browser.value(
        "globalThis.seen = {}; new MutationObserver(() => { const n = document.getElementById('number').textContent;
         requestAnimationFrame(() => setTimeout(() => { seen[n] ??= Date.now(); })); })
         .observe(document.getElementById('number'), {childList: true, characterData: true, subtree: true})",
    );
    let mut said = Vec::new();
    for i in 0..40_u32 {
        let micron = 900 - i;
        said.push((micron, chrono_ms()));
        gauge.say_micron(f64::from(micron));
        std::thread::sleep(Duration::from_millis(103));
    }
    say_until(&mut gauge, &mut browser, 861.0, &number_is("861"));
    std::thread::sleep(Duration::from_millis(200));
    let seen = browser.value("seen");
    let mut late: Vec<f64> = said
        .iter()
        .filter_map(|(micron, at)| Some(seen[micron.to_string()].as_f64()? - at))
        .collect();
    late.sort_by(f64::total_cmp);
    assert!(late.len() >= 20, "{} of 40 were painted", late.len());
    let (half, most) = (late[late.len() / 2], late[late.len() - 1]);
    println!(
        "on the glass after {half:.0} ms (half), {most:.0} ms (most), {} readings",
        late.len()
    );
    assert!(half < 200.0, "{late:?}");
    logger.interrupted();
}

/// The clock that the browser's `Date.now` reads, ms.
fn chrono_ms() -> f64 {
    let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    now.expect("after 1970").as_secs_f64() * 1e3
}
