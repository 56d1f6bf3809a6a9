use node_line::{Continuity, DecodeError, LONGEST, Line, Receiver, Step};
use proptest::prelude::*;

use crate::any::{line, sent};

fn hear(bytes: &[u8]) -> Vec<Result<Line, DecodeError>> {
    let mut receiver = Receiver::new();
    bytes
        .iter()
        .filter_map(|byte| receiver.push(*byte))
        .collect()
}

#[test]
fn rubbish_without_end_costs_one_line() {
    let good = b"N1 417 208.500 501.2 micron 23.1 ok 3BFB\n";
    let bytes = [&[b'#'; 5000][..], b"\n\n\r\n", good].concat();
    let heard = hear(&bytes);
    assert_eq!(heard[0], Err(DecodeError::TooLong));
    assert_eq!(heard.len(), 2, "empty lines say nothing: {heard:?}");
    assert_eq!(heard[1].map(|l| l.sequence), Ok(417));
}

#[test]
fn the_longest_line_with_a_carriage_return_fits() {
    let longest = b"N2 <4294.967295 kPa gauge under 1003.2 hPa \
        65535 4294967295.999 <4294.967295 micron -273.1 under 3D0E\r\n";
    assert_eq!(longest.len(), LONGEST + 1);
    assert!(matches!(hear(longest)[..], [Ok(_)]));
}

#[test]
fn lost_lines_and_restarts_are_told_apart() {
    let mut continuity = Continuity::new();
    let mut at = |sequence, milliseconds| {
        let mut line = hear(b"N1 417 208.500 501.2 micron 23.1 ok 3BFB\n")[0].expect("a line");
        line.sequence = sequence;
        line.uptime = node_line::Uptime::from_milliseconds(milliseconds).expect("in range");
        continuity.follow(&line)
    };
    assert_eq!(at(65_534, 1_000), Step::First);
    assert_eq!(at(65_535, 1_200), Step::Next);
    assert_eq!(at(0, 1_400), Step::Next, "the counter wraps");
    assert_eq!(at(3, 2_000), Step::Lost(2));
    assert_eq!(at(3, 2_000), Step::Repeated);
    assert_eq!(at(0, 25), Step::Restarted);
    assert_eq!(at(1, 50), Step::Next);
    // so soon after the start that the counter alone would look like lost lines
    assert_eq!(at(2, 25), Step::Restarted);
}

proptest! {
    #[test]
    fn every_line_arrives_whatever_lies_between(
        lines in proptest::collection::vec((line(), "[#-~]{0,120}", any::<bool>()), 1..8),
    ) {
        let mut bytes = Vec::new();
        for (line, rubbish, cr) in &lines {
            if !rubbish.is_empty() {
                bytes.extend(rubbish.bytes());
                bytes.push(b'\n');
            }
            let mut sent = sent(line);
            if *cr {
                sent.insert(sent.len() - 1, b'\r');
            }
            bytes.extend(sent);
        }
        let heard: Vec<Line> = hear(&bytes).into_iter().flatten().collect();
        let said: Vec<Line> = lines.into_iter().map(|(line, ..)| line).collect();
        prop_assert_eq!(heard, said);
    }
}
