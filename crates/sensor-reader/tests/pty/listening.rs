//! Recognition on a port.

use std::{
    io::Write,
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

use sensor_reader::{
    Dialect, Parity, PortSettings,
    listen::{Answer, COMMON_BAUDS, Conclusion, PortHearing, Question, ask, questions, try_port},
    transport::{SerialTransport, Transport},
};
use serialport::{SerialPort, TTYPort};

use crate::{
    emulated::{capture, heard, levels},
    gauge::{Gauge, one_at_a_time},
};

/// A speed no listener tries.
const UNTRIED_BAUD: u32 = 1200;

/// Listens to a gauge that goes on saying `bytes` at the far end of a pty, and
/// garbles them as the speed the port is set to at that moment demands.
async fn blind(bytes: &[u8], sent: PortSettings) -> PortHearing {
    let (mut far, mut near) = TTYPort::pair().unwrap();
    let path = near.name().unwrap();
    // a fresh pty is set to a speed that will be tried; nothing must wait in it
    // that was garbled for another trial
    near.set_baud_rate(UNTRIED_BAUD).unwrap();
    let line = levels(&bytes.repeat(8), sent);
    let stop = Arc::new(AtomicBool::new(false));
    let over = Arc::clone(&stop);
    let talker = std::thread::spawn(move || {
        while !over.load(Ordering::Relaxed) {
            let baud = near.baud_rate().unwrap();
            if baud == UNTRIED_BAUD {
                std::thread::sleep(Duration::from_micros(300));
                continue;
            }
            let set = PortSettings {
                baud,
                ..PortSettings::default()
            };
            for chunk in heard(&line, sent.baud, set).chunks(64) {
                while near.bytes_to_read().unwrap() > 0 && !over.load(Ordering::Relaxed) {
                    std::thread::sleep(Duration::from_micros(300));
                }
                // set anew: what was on the line is gone
                if near.baud_rate().unwrap() != baud || over.load(Ordering::Relaxed) {
                    break;
                }
                far.write_all(chunk).unwrap();
            }
        }
    });
    let found = try_port(Path::new(&path), &COMMON_BAUDS, |_| {}).await;
    stop.store(true, Ordering::Relaxed);
    talker.join().unwrap();
    found.unwrap()
}

#[tokio::test]
async fn samples_are_recognised_through_a_device_path_at_an_unknown_speed() {
    let _lock = one_at_a_time().await;
    let (mut right, mut all, mut table) = (0, 0, String::new());
    for name in Dialect::builtin_names() {
        let dialect = Dialect::builtin(name).unwrap();
        let port = dialect.port();
        // a pty cannot be set to eight bits and parity
        let shown = port.parity == Parity::None || port.data_bits == 7;
        if dialect.asks() || !shown {
            continue;
        }
        let found = blind(&capture(name), port).await;
        let best = found.best().unwrap();
        let first = best.hearing.candidates.first();
        let ok = best.hearing.conclusion == Conclusion::Recognised
            && best.port.baud == port.baud
            && first.is_some_and(|c| c.dialect.name() == name);
        all += 1;
        right += u32::from(ok);
        table += &format!(
            "{name:30} sent {port}, heard {} as {}: {ok} {:?} in {} trials\n",
            best.port,
            first.map_or("nothing", |c| c.dialect.name()),
            best.hearing.conclusion,
            found.trials.len(),
        );
    }
    println!("{table}{right} of {all}");
    assert!(
        all >= 12 && right * 10 >= all * 9,
        "{right} of {all}\n{table}"
    );
}

/// Puts one question of the list to the gauge.
async fn put(gauge_path: &str, name: &str) -> Answer {
    let question: Question = questions(None)
        .into_iter()
        .find(|q| q.dialect.name() == name)
        .unwrap();
    let path = gauge_path.to_owned();
    let at =
        move |port| Arc::new(SerialTransport::new(Path::new(&path), port)) as Arc<dyn Transport>;
    ask(at, &question).await.unwrap()
}

/// A gauge that answers this query with each of these in turn, and ends when
/// they are used up.
fn answering(
    mut gauge: Gauge,
    query: &'static [u8],
    answers: Vec<Vec<u8>>,
) -> std::thread::JoinHandle<Gauge> {
    std::thread::spawn(move || {
        for answer in answers {
            assert_eq!(gauge.hear(query.len()), query);
            gauge.say_bytes(&answer);
        }
        gauge
    })
}

fn good_answers(count: usize) -> Vec<Vec<u8>> {
    let bytes = capture("polled-mantissa-exponent");
    let first = bytes.split_inclusive(|b| *b == b'\r').next().unwrap();
    vec![first.to_vec(); count]
}

#[tokio::test]
async fn a_gauge_that_must_be_asked_is_found_by_asking() {
    let _lock = one_at_a_time().await;
    let gauge = Gauge::new();
    let path = gauge.path().to_owned();
    let script = answering(gauge, b"?07\r", good_answers(4));
    let answer = put(&path, "polled-mantissa-exponent").await;
    assert_eq!(answer.conclusion, Conclusion::Recognised, "{answer:?}");
    assert_eq!((answer.understood, answer.rejected), (4, 0));
    let kept = Dialect::from_toml(&answer.to_toml(), "kept.toml").unwrap();
    assert_eq!(kept.port(), answer.question.port);
    assert_eq!(kept.query(), Some(&b"?07\r"[..]));
    drop(script.join());
}

#[tokio::test]
async fn answers_that_do_not_fit_and_no_answers_are_told_apart() {
    let _lock = one_at_a_time().await;
    let gauge = Gauge::new();
    let path = gauge.path().to_owned();
    let silent = put(&path, "polled-mantissa-exponent").await;
    assert_eq!(silent.conclusion, Conclusion::Silence);
    drop(gauge);

    let gauge = Gauge::new();
    let path = gauge.path().to_owned();
    // one good answer, then an adapter that only gives back the query
    let mut answers = good_answers(1);
    answers.extend(vec![b"?07\r".to_vec(); 12]);
    let script = answering(gauge, b"?07\r", answers);
    let unsure = put(&path, "polled-mantissa-exponent").await;
    assert!(
        matches!(unsure.conclusion, Conclusion::Unsure { .. }),
        "{unsure:?}"
    );
    assert!(unsure.rejected > 3);
    drop(script);
}

#[test]
fn only_the_listed_queries_are_ever_put() {
    let all = questions(None);
    let mut list: Vec<String> = all.iter().map(Question::sends).collect();
    // first each at its own settings, then the same queries at the usual ones
    let own: Vec<_> = all
        .iter()
        .take(3)
        .map(|q| q.port == q.dialect.port())
        .collect();
    assert_eq!(own, [true; 3]);
    assert_eq!(all.len(), 3 + 3 * 7 * 2 - 2, "two of them are usual");
    for dialect in ["polled-confirmed-line", "modbus-float-registers"] {
        let speeds = all.iter().filter(|q| q.dialect.name() == dialect);
        let mut bauds: Vec<u32> = speeds.map(|q| q.port.baud).collect();
        bauds.sort_unstable();
        bauds.dedup();
        assert_eq!(bauds, [2400, 4800, 9600, 19_200, 38_400, 57_600, 115_200]);
    }
    let (first, rest) = list.split_at_mut(3);
    assert!(rest.iter().all(|sends| first.contains(sends)));
    list.truncate(3);
    assert_eq!(
        list,
        [
            "Modbus function 3: read holding registers 100 to 103 of device 5",
            r#""READ\r", and "\x05" once it confirms"#,
            r#""?07\r""#,
        ]
    );
    assert!(
        questions(Some(19_200))
            .iter()
            .all(|q| q.port.baud == 19_200)
    );
}

#[tokio::test]
async fn listening_sends_nothing() {
    let _lock = one_at_a_time().await;
    let (far, near) = TTYPort::pair().unwrap();
    let path = near.name().unwrap();
    try_port(Path::new(&path), &[9600, 4800], |_| {})
        .await
        .unwrap();
    assert_eq!(far.bytes_to_read().unwrap(), 0);
}

#[tokio::test]
async fn a_talking_port_is_recognised() {
    let _lock = one_at_a_time().await;
    let mut gauge = Gauge::new();
    let path = gauge.path().to_owned();
    let talker = std::thread::spawn(move || {
        std::thread::sleep(Duration::from_millis(100));
        for i in 0..20 {
            gauge.say(&format!("@{i}.000,512.3,micron,21.4,ok\r\n"));
        }
        gauge
    });
    let found = try_port(Path::new(&path), &[9600, 19_200], |_| {})
        .await
        .unwrap();
    assert_eq!(found.trials.len(), 1, "recognised at the first speed");
    let best = found.best().unwrap();
    assert_eq!(best.hearing.conclusion, Conclusion::Recognised);
    assert_eq!(
        best.hearing.candidates[0].dialect.name(),
        "clocked-comma-fields"
    );
    assert_eq!(best.port.baud, 9600);
    drop(talker.join());
}

#[tokio::test]
async fn a_silent_port_is_called_silent() {
    let _lock = one_at_a_time().await;
    let gauge = Gauge::new();
    let found = try_port(Path::new(gauge.path()), &[9600], |_| {})
        .await
        .unwrap();
    let best = found.best().unwrap();
    assert_eq!(best.hearing.conclusion, Conclusion::Silence);
    assert!(best.hearing.candidates.is_empty());
}

#[tokio::test]
async fn a_port_that_is_not_there_is_an_error() {
    let error = try_port(Path::new("/dev/no-such-port"), &[9600], |_| {})
        .await
        .unwrap_err();
    assert!(error.to_string().contains("plugged in"), "{error}");
}
