use node_line::{DecodeError, LONGEST, crc16, decode};
use proptest::prelude::*;

use crate::any::{line, sent};

/// The text with a fitting check value, whatever it says.
fn sealed(text: &str) -> Vec<u8> {
    format!("{text}{:04X}", crc16(text.as_bytes())).into_bytes()
}

#[test]
fn a_fitting_check_value_does_not_excuse_a_wrong_field() {
    for (text, field) in [
        ("N1 00417 208.500 501.2 micron 23.1 ok ", "sequence"),
        ("N1 65536 208.500 501.2 micron 23.1 ok ", "sequence"),
        ("N1  208.500 501.2 micron 23.1 ok ", "sequence"),
        ("N1 417 208.50 501.2 micron 23.1 ok ", "seconds"),
        ("N1 417 208 501.2 micron 23.1 ok ", "seconds"),
        ("N1 417 4294967296.000 501.2 micron 23.1 ok ", "seconds"),
        ("N1 417 208.500 0.0 micron 23.1 ok ", "value"),
        ("N1 417 208.500 <0 micron 23.1 under ", "value"),
        ("N1 417 208.500 501. micron 23.1 ok ", "value"),
        ("N1 417 208.500 .5 micron 23.1 ok ", "value"),
        ("N1 417 208.500 5.0000000 micron 23.1 ok ", "value"),
        ("N1 417 208.500 4294967296 micron 23.1 ok ", "value"),
        ("N1 417 208.500 501,2 micron 23.1 ok ", "value"),
        ("N1 417 208.500 +501.2 micron 23.1 ok ", "value"),
        ("N1 417 208.500 - micron 23.1 ok ", "value"),
        ("N1 417 208.500 >501.2 micron 23.1 ok ", "value"),
        ("N1 417 208.500 501.2 micron 23.1 over ", "value"),
        ("N1 417 208.500 501.2 micron 23.1 fault ", "value"),
        ("N1 417 208.500 501.2 inHg 23.1 ok ", "unit"),
        ("N1 417 208.500 501.2 Micron 23.1 ok ", "unit"),
        ("N1 417 208.500 501.2 micron 23 ok ", "temperature"),
        ("N1 417 208.500 501.2 micron -0.0 ok ", "temperature"),
        ("N1 417 208.500 501.2 micron -273.2 ok ", "temperature"),
        ("N1 417 208.500 501.2 micron 3276.8 ok ", "temperature"),
        ("N1 417 208.500 501.2 micron 23.1 OK ", "state"),
        ("N1 417 208.500 501.2 micron 23.1 ok more ", "end"),
        ("N1 417 208.500 501.2 micron 23.1 ", "state"),
    ] {
        assert_eq!(
            decode(&sealed(text)),
            Err(DecodeError::Malformed { field }),
            "{text}"
        );
    }
}

#[test]
fn a_fitting_check_value_does_not_excuse_a_wrong_field_of_version_2() {
    let behind = "417 208.500 501.2 micron 23.1 ok ";
    for (front, field) in [
        ("0.0 kPa abs ok 1003.2 hPa", "high pressure"),
        ("01.0 kPa abs ok 1003.2 hPa", "high pressure"),
        ("-1.0 kPa gauge ok 1003.2 hPa", "high pressure"),
        ("- kPa abs ok 1003.2 hPa", "high pressure"),
        (">5 kPa abs ok 1003.2 hPa", "high pressure"),
        ("5 kPa abs fault 1003.2 hPa", "high pressure"),
        ("5 kPa abs high 1003.2 hPa", "high pressure's state"),
        ("5 kPa ok 1003.2 hPa", "reference"),
        ("5 kPa Abs ok 1003.2 hPa", "reference"),
        ("5 bar abs ok 1003.2 hPa", "high pressure"),
        ("5 kPa abs ok 1003 hPa", "barometer"),
        ("5 kPa abs ok 1003.20 hPa", "barometer"),
        ("5 kPa abs ok 0950.0 hPa", "barometer"),
        ("5 kPa abs ok 299.9 hPa", "barometer"),
        ("5 kPa abs ok 1200.1 hPa", "barometer"),
        ("5 kPa abs ok 9999.9 hPa", "barometer"),
        ("5 kPa abs ok 1003.2 Pa", "barometer"),
        ("5 kPa abs ok - 00", "sequence"),
        // with neither it is a line of version 1
        ("- -", "barometer"),
        ("5 1003.2 hPa", "high pressure"),
    ] {
        assert_eq!(
            decode(&sealed(&format!("N2 {front} {behind}"))),
            Err(DecodeError::Malformed { field }),
            "{front}"
        );
    }
    // what version 2 adds is not part of version 1
    let text = format!("N1 5 kPa abs ok 1003.2 hPa {behind}");
    let field = "seconds";
    assert_eq!(
        decode(&sealed(&text)),
        Err(DecodeError::Malformed { field })
    );
}

#[test]
fn what_is_wrong_is_said_in_words() {
    let other = sealed("N3 417 208.500 501.2 micron 23.1 ok ");
    assert_eq!(decode(&other), Err(DecodeError::OtherVersion));
    assert_eq!(decode(b"501.2 micron"), Err(DecodeError::NoCheck));
    assert_eq!(decode(b""), Err(DecodeError::NoCheck));
    assert_eq!(decode(&[b'7'; LONGEST + 1]), Err(DecodeError::TooLong));
    // capital digits only, and a blank in front of them
    assert_eq!(
        decode(b"N1 417 208.500 501.2 micron 23.1 ok 3bfb"),
        Err(DecodeError::NoCheck)
    );
    let changed = decode(b"N1 417 208.500 101.2 micron 23.1 ok 3BFB").expect_err("changed");
    assert!(
        changed.to_string().contains("damaged on the way"),
        "{changed}"
    );
    let field = decode(&sealed("N1 1 1.000 0 micron - ok ")).expect_err("zero");
    assert!(field.to_string().contains("the value is not"), "{field}");
}

proptest! {
    /// Certain by the polynomial at this length, not luck.
    #[test]
    fn one_or_two_wrong_bits_give_no_reading(
        line in line(),
        places in proptest::collection::btree_set(0..8 * (LONGEST - 1), 1..=2),
    ) {
        let mut bytes = sent(&line);
        bytes.pop();
        let bits = bytes.len() * 8;
        let inside: Vec<usize> = places.into_iter().filter(|p| *p < bits).collect();
        for place in &inside {
            bytes[place / 8] ^= 1 << (place % 8);
        }
        prop_assert_eq!(decode(&bytes).is_ok(), inside.is_empty());
    }

    #[test]
    fn a_short_burst_in_front_of_the_check_value_gives_no_reading(
        line in line(), start in 0..8 * (LONGEST - 8), burst in 1..=u16::MAX,
    ) {
        let mut bytes = sent(&line);
        bytes.pop();
        let covered = (bytes.len() - 4) * 8;
        for bit in (0..16).filter(|bit| burst >> bit & 1 == 1) {
            let place = start % (covered - 16) + bit;
            // most significant bit first, as the check value is computed
            bytes[place / 8] ^= 0x80 >> (place % 8);
        }
        prop_assert!(decode(&bytes).is_err());
    }

    #[test]
    fn a_part_of_a_line_gives_no_reading(line in line(), cut in 1..LONGEST - 1) {
        let bytes = sent(&line);
        let bytes = &bytes[..bytes.len() - 1];
        prop_assume!(cut < bytes.len());
        prop_assert!(decode(&bytes[cut..]).is_err());
        prop_assert!(decode(&bytes[..cut]).is_err());
    }

    #[test]
    fn any_bytes_are_borne(bytes in proptest::collection::vec(any::<u8>(), 0..150)) {
        if let Ok(line) = decode(&bytes) {
            let end = bytes.strip_suffix(b"\n").unwrap_or(&bytes);
            let end = end.strip_suffix(b"\r").unwrap_or(end);
            prop_assert_eq!(sent(&line), [end, b"\n"].concat());
        }
    }
}
