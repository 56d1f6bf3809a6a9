use node_line::{EncodeError, LONGEST, decode, encode};
use proptest::prelude::*;

use crate::{
    any::{line, sent},
    rows,
};

#[test]
fn every_vector_is_written_and_read() {
    for (row, expected) in rows::vectors() {
        let line = rows::line(&row);
        let Some(expected) = expected else {
            // the types refuse it, or the encoder does
            let mut room = [0; LONGEST];
            assert!(line.is_none_or(|l| encode(&l, &mut room).is_err()), "{row}");
            continue;
        };
        let line = line.expect("a line");
        assert_eq!(String::from_utf8(sent(&line)), Ok(format!("{expected}\n")));
        assert_eq!(decode(expected.as_bytes()), Ok(line), "{row}");
    }
}

#[test]
fn the_longest_line_is_as_long_as_stated() {
    let longest = rows::vectors().into_iter().filter_map(|(_, line)| line);
    assert_eq!(longest.map(|l| l.len() + 1).max(), Some(LONGEST));
}

#[test]
fn colder_than_absolute_zero_is_refused_in_words() {
    let mut line = rows::line("7 | 3 | 0 | 300 | 0 | micron | -2732 | ok").expect("a line");
    let refused = encode(&line, &mut [0; LONGEST]).expect_err("too cold");
    assert_eq!(refused, EncodeError::TooCold { tenths_c: -2732 });
    assert!(refused.to_string().contains("below absolute zero"));
    line.temperature_tenths_c = Some(-2731);
    assert_eq!(decode(&sent(&line)), Ok(line));
}

proptest! {
    #[test]
    fn what_is_written_is_read(line in line()) {
        let sent = sent(&line);
        prop_assert!(sent.len() <= LONGEST);
        prop_assert!(sent.ends_with(b"\n"));
        prop_assert!(sent[..sent.len() - 1].iter().all(|b| b.is_ascii_graphic() || *b == b' '));
        prop_assert_eq!(decode(&sent), Ok(line));
        // without its end, and with the end of another system
        let text = &sent[..sent.len() - 1];
        prop_assert_eq!(decode(text), Ok(line));
        prop_assert_eq!(decode(&[text, b"\r\n"].concat()), Ok(line));
    }

    /// One spelling for every line: readable bytes with a fitting check value are
    /// exactly what the encoder writes.
    #[test]
    fn what_is_read_is_written_again(
        text in "(N1|N2 (-|[<>]?[0-9]{1,4}(\\.[0-9]{1,2})? kPa (abs|gauge) (ok|over|under|fault)) (-|[0-9]{2,4}\\.[0-9] hPa)) [0-9]{1,6} [0-9]{1,3}\\.[0-9]{2,4} [<>]?[0-9]{1,4}(\\.[0-9]{1,2})? (micron|Pa|mbar|Torr) (-|-?[0-9]{1,4}\\.[0-9]) (ok|over|under|fault) "
    ) {
        let whole = format!("{text}{:04X}", node_line::crc16(text.as_bytes()));
        if let Ok(line) = decode(whole.as_bytes()) {
            prop_assert_eq!(sent(&line), format!("{whole}\n").into_bytes());
        }
    }

    #[test]
    fn too_little_room_is_refused(line in line(), room in 0..LONGEST) {
        let length = sent(&line).len();
        let mut small = vec![0; room];
        let written = encode(&line, &mut small).map(<[u8]>::len);
        if room < length {
            prop_assert_eq!(written, Err(EncodeError::NoRoom));
        } else {
            prop_assert_eq!(written, Ok(length));
        }
    }

    /// The check value against an independent implementation (the `crc` crate, entry
    /// CRC-16/IBM-3740 of the published catalogue).
    #[test]
    fn the_check_value_is_that_of_the_catalogue(bytes in proptest::collection::vec(any::<u8>(), 0..80)) {
        let catalogue = crc::Crc::<u16>::new(&crc::CRC_16_IBM_3740);
        prop_assert_eq!(node_line::crc16(&bytes), catalogue.checksum(&bytes));
    }
}
