//! Gauges that speak only when asked, played from a script at the far end of an
//! in-memory line: queries, confirmations, Modbus registers.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail the test")]

use std::{
    path::Path,
    sync::{Arc, Mutex},
    time::{Duration, Instant},
};

use sensor_reader::{
    Dialect, Event, GaugeStream, Options, RejectReason, Sample, TransportError,
    transport::{Link, Opening, Transport},
};
use tokio::io::{AsyncReadExt, AsyncWriteExt, DuplexStream, duplex};
use vacuum::{Pressure, Sensed};

/// A line whose far end is handed out once.
struct Wire(Mutex<Option<DuplexStream>>);

impl Transport for Wire {
    fn address(&self) -> String {
        "wire".into()
    }

    fn open(&self) -> Opening {
        let link = self.0.lock().unwrap().take();
        Box::pin(async move {
            match link {
                Some(link) => Ok(Box::new(link) as Box<dyn Link>),
                None => Err(TransportError::NotFound {
                    address: "wire".into(),
                    hint: "it was pulled".into(),
                }),
            }
        })
    }
}

fn wire() -> (Arc<Wire>, DuplexStream) {
    let (near, far) = duplex(4096);
    (Arc::new(Wire(Mutex::new(Some(near)))), far)
}

fn samples(file: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/dialects");
    std::fs::read(folder.join(file)).unwrap()
}

fn dialect(toml: &str) -> Dialect {
    Dialect::from_toml(toml, "asked.toml").unwrap()
}

/// A built-in dialect that asks faster, so that tests take no minutes.
fn faster(name: &str) -> Dialect {
    let source = Dialect::builtin(name).unwrap().source().to_owned();
    let lines = source.lines().map(|line| {
        if line.starts_with("every_ms") {
            "every_ms = 20"
        } else {
            line
        }
    });
    dialect(&lines.collect::<Vec<_>>().join("\n"))
}

async fn next(stream: &mut GaugeStream) -> Event {
    tokio::time::timeout(Duration::from_secs(10), stream.next())
        .await
        .expect("an event in time")
        .expect("the stream goes on")
}

/// The next reading, rejection or busy line (`Err(None)`); anything else but the connection fails.
async fn answer(stream: &mut GaugeStream) -> Result<Sample, Option<RejectReason>> {
    loop {
        match next(stream).await {
            Event::Reading { sample, .. } => return Ok(sample),
            Event::Rejected { rejected, .. } => return Err(Some(rejected.why)),
            Event::Busy { .. } => return Err(None),
            Event::Connected { .. } => {}
            other => panic!("{other:?}"),
        }
    }
}

/// Compares with the rows of NAME.expected.csv.
async fn compare(stream: &mut GaugeStream, name: &str) {
    let text = String::from_utf8(samples(&format!("{name}.expected.csv"))).unwrap();
    for (row, line) in text.lines().enumerate().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let found = answer(stream).await;
        let at = format!("{name} row {} \"{line}\": {found:?}", row + 1);
        let sample = match found {
            Ok(sample) => sample,
            Err(why) => {
                let wanted = if why.is_none() { "busy" } else { "rejected" };
                assert_eq!(fields[0], wanted, "{at}");
                continue;
            }
        };
        let (state, pressure) = match sample.sensed {
            Sensed::Measured(p) => ("ok", Some(p)),
            Sensed::Over(p) => ("over", p),
            Sensed::Under(p) => ("under", p),
            Sensed::Fault => ("fault", None),
            Sensed::Gap => ("gap", None),
        };
        assert_eq!(state, fields[0], "{at}");
        let wanted: Option<Pressure> = fields[1].parse().ok();
        assert_eq!(pressure.is_some(), wanted.is_some(), "{at}");
        if let (Some(found), Some(wanted)) = (pressure, wanted) {
            assert!((found.pa() / wanted.pa() - 1.0).abs() < 1e-9, "{at}");
        }
        let celsius: Option<f64> = fields[2].parse().ok();
        assert_eq!(sample.temperature_c.is_some(), celsius.is_some(), "{at}");
        if let (Some(found), Some(wanted)) = (sample.temperature_c, celsius) {
            assert!((found - wanted).abs() < 1e-9, "{at}");
        }
    }
}

/// Waits until exactly these bytes were sent.
async fn asked_for(far: &mut DuplexStream, query: &[u8]) {
    let mut got = vec![0; query.len()];
    far.read_exact(&mut got).await.unwrap();
    assert_eq!(got, query);
}

#[tokio::test]
async fn every_query_gets_the_next_answer_of_the_capture() {
    let (wire, mut far) = wire();
    let name = "polled-mantissa-exponent";
    let mut stream = GaugeStream::over(wire, &faster(name), Options::default())
        .await
        .unwrap();
    let gauge = tokio::spawn(async move {
        for line in samples(&format!("{name}.capture")).split_inclusive(|b| *b == b'\r') {
            asked_for(&mut far, b"?07\r").await;
            // in two pieces, as a slow line delivers them
            far.write_all(&line[..5]).await.unwrap();
            tokio::time::sleep(Duration::from_millis(2)).await;
            far.write_all(&line[5..]).await.unwrap();
        }
        far
    });
    compare(&mut stream, name).await;
    gauge.await.unwrap();
}

#[tokio::test]
async fn the_reading_comes_after_the_second_step() {
    let (wire, mut far) = wire();
    let mut stream = GaugeStream::over(wire, &faster("polled-confirmed-line"), Options::default())
        .await
        .unwrap();
    let gauge = tokio::spawn(async move {
        for line in [&b"N 498 micron BB\r\n"[..], b"N 497 micron BA\r\n"] {
            asked_for(&mut far, b"READ\r").await;
            far.write_all(b"\x06\r").await.unwrap();
            tokio::time::sleep(Duration::from_millis(2)).await;
            far.write_all(b"\n").await.unwrap();
            asked_for(&mut far, b"\x05").await;
            far.write_all(line).await.unwrap();
        }
        // a query that is not confirmed gets no second step but another query
        asked_for(&mut far, b"READ\rREAD\r").await;
        far
    });
    let sum = b"N 498 micron".iter().fold(0_u8, |s, b| s.wrapping_add(*b));
    assert_eq!(sum, 0xBB, "the script's own sum");
    for wanted in [498.0, 497.0] {
        let micron = answer(&mut stream)
            .await
            .unwrap()
            .pressure()
            .unwrap()
            .micron();
        assert!((micron - wanted).abs() < 1e-9, "{micron}");
    }
    gauge.await.unwrap();
}

const PLAIN: &str = "name = 'plain'\n[poll]\nsend = 'P?\\r'\nevery_ms = 60\n\
    [line]\npattern = '^(?<value>[0-9.]+)$'\n[value]\nunit = 'Pa'\n";

#[tokio::test]
async fn half_an_answer_never_runs_into_the_next() {
    let (wire, mut far) = wire();
    // said before anyone asked: of no known age
    far.write_all(b"999\r12").await.unwrap();
    let mut stream = GaugeStream::over(wire, &dialect(PLAIN), Options::default())
        .await
        .unwrap();
    let gauge = tokio::spawn(async move {
        for said in [&b"51"[..], b"480\r"] {
            asked_for(&mut far, b"P?\r").await;
            far.write_all(said).await.unwrap();
        }
        far
    });
    assert_eq!(answer(&mut stream).await, Err(Some(RejectReason::CutAtEnd)));
    let pascal = answer(&mut stream).await.unwrap().pressure().unwrap().pa();
    assert!((pascal - 480.0).abs() < 1e-9, "{pascal}");
    gauge.await.unwrap();
}

#[tokio::test]
async fn queries_keep_their_beat_and_silence_is_told() {
    let (wire, mut far) = wire();
    let options = Options {
        silent_after: Duration::from_millis(150),
        ..Options::default()
    };
    let mut stream = GaugeStream::over(wire, &dialect(PLAIN), options)
        .await
        .unwrap();
    let start = Instant::now();
    for _ in 0..6 {
        asked_for(&mut far, b"P?\r").await;
    }
    let took = start.elapsed().as_millis();
    assert!(
        (290..900).contains(&took),
        "five periods of 60 ms took {took} ms"
    );
    assert!(matches!(next(&mut stream).await, Event::Connected { .. }));
    assert!(matches!(next(&mut stream).await, Event::Silent { .. }));
}

#[tokio::test]
async fn an_echo_is_not_an_answer() {
    let toml = PLAIN.replace("every_ms", "echo = true\nevery_ms");
    let (wire, mut far) = wire();
    let mut stream = GaugeStream::over(wire, &dialect(&toml), Options::default())
        .await
        .unwrap();
    asked_for(&mut far, b"P?\r").await;
    far.write_all(b"P?\r12.5\r").await.unwrap();
    let pascal = answer(&mut stream).await.unwrap().pressure().unwrap().pa();
    assert!((pascal - 12.5).abs() < 1e-9);
}

/// Answers of a capture of RTU frames: address, function, then either an
/// exception or a counted block, then two bytes of CRC.
fn rtu_frames(mut bytes: &[u8]) -> Vec<Vec<u8>> {
    let mut out = Vec::new();
    while bytes.len() > 4 {
        let exception = bytes[1] & 0x80 != 0;
        let length = if exception {
            5
        } else {
            5 + usize::from(bytes[2])
        };
        out.push(bytes[..length].to_vec());
        bytes = &bytes[length..];
    }
    out
}

#[tokio::test]
async fn modbus_rtu_registers() {
    let name = "modbus-float-registers";
    let (wire, mut far) = wire();
    let mut stream = GaugeStream::over(wire, &faster(name), Options::default())
        .await
        .unwrap();
    let gauge = tokio::spawn(async move {
        for frame in rtu_frames(&samples(&format!("{name}.capture"))) {
            // device 5, function 3, registers 100 to 103; the CRC was computed
            // with a bitwise program in Python
            asked_for(&mut far, &[5, 3, 0, 100, 0, 4, 0x04, 0x52]).await;
            far.write_all(&frame).await.unwrap();
        }
        far
    });
    compare(&mut stream, name).await;
    gauge.await.unwrap();
}

#[tokio::test]
async fn modbus_registers_of_a_pressure_transmitter() {
    let name = "modbus-transmitter-registers";
    let (wire, mut far) = wire();
    let mut stream = GaugeStream::over(wire, &faster(name), Options::default())
        .await
        .unwrap();
    let gauge = tokio::spawn(async move {
        for frame in rtu_frames(&samples(&format!("{name}.capture"))) {
            // device 9, function 4, registers 256 to 259; the CRC was computed
            // with a bitwise program in Python
            asked_for(&mut far, &[9, 4, 1, 0, 0, 4, 0xf1, 0x7d]).await;
            far.write_all(&frame).await.unwrap();
        }
        far
    });
    compare(&mut stream, name).await;
    gauge.await.unwrap();
}

#[tokio::test]
async fn modbus_tcp_registers() {
    let name = "modbus-scaled-registers";
    let (wire, mut far) = wire();
    let mut stream = GaugeStream::over(wire, &faster(name), Options::default())
        .await
        .unwrap();
    let gauge = tokio::spawn(async move {
        let capture = samples(&format!("{name}.capture"));
        let mut rest = capture.as_slice();
        while let [_, _, _, _, high, low, ..] = *rest {
            let length = 6 + usize::from(u16::from_be_bytes([high, low]));
            let mut query = [0; 12];
            far.read_exact(&mut query).await.unwrap();
            // protocol 0, six bytes, device 1, function 4, registers 0 to 2
            assert_eq!(query[2..], [0, 0, 0, 6, 1, 4, 0, 0, 0, 3]);
            let mut frame = rest[..length].to_vec();
            frame[..2].copy_from_slice(&query[..2]);
            far.write_all(&frame).await.unwrap();
            rest = &rest[length..];
        }
        far
    });
    compare(&mut stream, name).await;
    gauge.await.unwrap();
}

#[tokio::test]
async fn a_pulled_modbus_line_is_told() {
    let (wire, far) = wire();
    let name = "modbus-float-registers";
    let mut stream = GaugeStream::over(wire, &faster(name), Options::default())
        .await
        .unwrap();
    assert!(matches!(next(&mut stream).await, Event::Connected { .. }));
    drop(far);
    assert!(matches!(next(&mut stream).await, Event::Lost { .. }));
}

#[tokio::test]
async fn a_modbus_device_that_does_not_answer_is_called_silent() {
    let (wire, mut far) = wire();
    let options = Options {
        silent_after: Duration::from_millis(200),
        ..Options::default()
    };
    let name = "modbus-float-registers";
    let mut stream = GaugeStream::over(wire, &faster(name), options)
        .await
        .unwrap();
    assert!(matches!(next(&mut stream).await, Event::Connected { .. }));
    assert!(matches!(next(&mut stream).await, Event::Silent { .. }));
    // it wakes up, and answers the second question
    let frames = rtu_frames(&samples(&format!("{name}.capture")));
    let mut query = [0; 8];
    far.read_exact(&mut query).await.unwrap();
    far.read_exact(&mut query).await.unwrap();
    far.write_all(&frames[0]).await.unwrap();
    assert!(answer(&mut stream).await.is_ok());
}

#[tokio::test]
async fn a_recording_is_read_but_not_asked() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("night.capture");
    std::fs::write(&path, samples("polled-confirmed-line.capture")).unwrap();
    let address = sensor_reader::Address::File(path);
    let polled = Dialect::builtin("polled-confirmed-line").unwrap();
    let mut stream = GaugeStream::open(&address, &polled, Options::default())
        .await
        .unwrap();
    compare(&mut stream, "polled-confirmed-line").await;
    let modbus = Dialect::builtin("modbus-float-registers").unwrap();
    let refused = GaugeStream::open(&address, &modbus, Options::default()).await;
    assert!(matches!(refused, Err(TransportError::CannotBeAsked { .. })));
}
