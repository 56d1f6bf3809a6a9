//! Serial numbers that are almost another one: a slip of the hand hides a repeated repair.
//!
//! Numbers are compared in capital letters and digits, with signs that are taken for each
//! other made one (O and 0). Those that are then equal and were typed otherwise, or that one
//! slip tells apart (a sign too many, too few, another one, two swapped), are told. Every
//! number leaves itself and itself without one of its signs in a table: two that one slip
//! tells apart meet there, and nobody compares each with each.

use std::collections::{BTreeMap, BTreeSet};

use super::{is_same_record, named};
use crate::{
    flag::{Flag, FlagCode},
    row::Row,
};

/// Shorter numbers are near each other by chance, characters.
const SHORTEST: usize = 6;
/// Longest that is compared, characters.
const LONGEST: usize = 40;
/// A number with more neighbours than this stands in a series that a maker counted up: one
/// sign then tells appliances apart, and says nothing of a slip.
const MOST_NEIGHBOURS: usize = 2;

/// A number as it is compared: capital letters and digits. `None` where it is too short or
/// says nothing ("0000000", "unknown").
pub(super) fn normalised(typed: &str) -> Option<String> {
    let signs = typed.chars().filter(|c| c.is_alphanumeric());
    let text: String = signs.flat_map(char::to_uppercase).take(LONGEST).collect();
    let first = text.chars().next()?;
    let has_digit = text.chars().any(|c| c.is_ascii_digit());
    let says_something = text.chars().any(|c| c != first);
    (text.chars().count() >= SHORTEST && has_digit && says_something).then_some(text)
}

/// Signs that are taken for each other become one.
fn folded(text: &str) -> Vec<char> {
    let fold = |c| match c {
        'O' | 'Q' | 'D' => '0',
        'I' | 'L' => '1',
        'Z' => '2',
        'S' => '5',
        'G' => '6',
        'B' => '8',
        c => c,
    };
    text.chars().map(fold).collect()
}

pub(super) fn find(rows: &[Row]) -> Vec<(usize, Flag)> {
    let mut places: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (place, row) in rows.iter().enumerate() {
        if let Some(serial) = row.serial.as_deref().and_then(normalised) {
            places.entry(serial).or_default().push(place);
        }
    }
    let serials: Vec<(&String, Vec<char>)> = places
        .keys()
        .map(|serial| (serial, folded(serial)))
        .collect();
    let near = neighbours(&serials);
    let mut found = Vec::new();
    for (at, others) in &near {
        let Some((serial, signs)) = serials.get(*at) else {
            continue;
        };
        let count = |at: usize| near.get(&at).map_or(0, BTreeSet::len);
        // a slip stands alone beside the number that was meant, unless it gave one of the series
        let in_series = |other: usize, slip: Slip| {
            let (one, other) = (count(*at), count(other));
            let neighbours = match slip {
                Slip::OtherSign => one.max(other),
                _ => one.min(other),
            };
            slip != Slip::LookAlike && neighbours > MOST_NEIGHBOURS
        };
        for other in others {
            let Some((other_serial, other_signs)) = serials.get(*other) else {
                continue;
            };
            let slip = slip(signs, other_signs);
            if in_series(*other, slip) {
                continue;
            }
            let theirs = places.get(*other_serial).into_iter().flatten();
            let theirs: Vec<&Row> = theirs.filter_map(|p| rows.get(*p)).collect();
            for place in places.get(*serial).into_iter().flatten() {
                let flag = rows.get(*place).and_then(|row| flag(row, &theirs, slip));
                found.extend(flag.map(|flag| (*place, flag)));
            }
        }
    }
    found
}

/// Which of these differ from which in one slip at most.
fn neighbours(serials: &[(&String, Vec<char>)]) -> BTreeMap<usize, BTreeSet<usize>> {
    let mut table: std::collections::HashMap<Vec<char>, Vec<usize>> = Default::default();
    for (at, (_, signs)) in serials.iter().enumerate() {
        let without = (0..signs.len()).map(|gone| {
            let mut rest = signs.clone();
            rest.remove(gone);
            rest
        });
        let variants: BTreeSet<Vec<char>> = without.chain([signs.clone()]).collect();
        for variant in variants {
            table.entry(variant).or_default().push(at);
        }
    }
    let mut near: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for meeting in table.values().filter(|all| all.len() > 1) {
        // of a long series a few are enough to see that it is one
        for (i, a) in meeting.iter().enumerate() {
            for b in meeting.iter().skip(i + 1).take(4 * MOST_NEIGHBOURS) {
                let (Some((_, one)), Some((_, other))) = (serials.get(*a), serials.get(*b)) else {
                    continue;
                };
                if slip(one, other) != Slip::Several {
                    near.entry(*a).or_default().insert(*b);
                    near.entry(*b).or_default().insert(*a);
                }
            }
        }
    }
    near
}

/// What tells two numbers apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Slip {
    /// Only signs that are taken for each other.
    LookAlike,
    /// Two neighbours swapped.
    Swapped,
    /// One sign too many or too few.
    Missing,
    /// One other sign.
    OtherSign,
    /// More.
    Several,
}

fn slip(a: &[char], b: &[char]) -> Slip {
    let same_from_start = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let rest = a.len().min(b.len()) - same_from_start;
    let from_end = a.iter().rev().zip(b.iter().rev()).take(rest);
    let same_from_end = from_end.take_while(|(x, y)| x == y).count();
    let differing = |text: &[char]| {
        let end = text.len() - same_from_end;
        text.get(same_from_start..end).unwrap_or_default().to_vec()
    };
    match (
        a.len().abs_diff(b.len()),
        differing(a).as_slice(),
        differing(b).as_slice(),
    ) {
        (0, [], []) => Slip::LookAlike,
        (0, [_], [_]) => Slip::OtherSign,
        (0, [w, x], [y, z]) if w == z && x == y => Slip::Swapped,
        (1, one, other) if one.len().min(other.len()) == 0 && one.len() + other.len() == 1 => {
            Slip::Missing
        }
        _ => Slip::Several,
    }
}

fn flag(row: &Row, others: &[&Row], slip: Slip) -> Option<Flag> {
    let other = others.iter().find(|other| !is_same_record(row, other))?;
    let how = match slip {
        Slip::LookAlike => "only signs that are easily taken for each other differ",
        Slip::Swapped => "two neighbouring signs are swapped",
        Slip::Missing => "one sign is missing or too many",
        Slip::OtherSign | Slip::Several => "one sign differs",
    };
    Some(Flag {
        code: FlagCode::SerialAlmostAnother,
        words: format!(
            "The serial number {} is almost {} of {}: {how}. If it is the same appliance, it was \
             repaired before.",
            row.serial.as_deref().unwrap_or_default(),
            other.serial.as_deref().unwrap_or_default(),
            named(other)
        ),
        with: vec![other.path.clone()],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::row::RowKind;

    fn flagged(serials: &[&str]) -> Vec<usize> {
        let row = |(i, serial): (usize, &&str)| Row {
            serial: Some((*serial).to_owned()),
            job: Some(format!("J{i}")),
            ..Row::new(format!("r{i}"), RowKind::Run)
        };
        let rows: Vec<Row> = serials.iter().enumerate().map(row).collect();
        let places: BTreeSet<usize> = find(&rows).into_iter().map(|(place, _)| place).collect();
        places.into_iter().collect()
    }

    #[test]
    fn one_slip_is_told_and_two_are_not() {
        assert_eq!(flagged(&["4711-0815-X", "4711-0851-X"]), [0, 1]);
        assert_eq!(flagged(&["A100200O30", "A100200030", "B999888777"]), [0, 1]);
        assert_eq!(flagged(&["7301224596", "730122459"]), [0, 1]);
        assert_eq!(flagged(&["7301224596", "7301224996"]), [0, 1]);
        assert_eq!(flagged(&["7301224596", "7301284996"]), [0_usize; 0]);
        // the same number is no slip, and what says nothing is none either
        assert_eq!(flagged(&["7301224596", "730-122-4596"]), [0_usize; 0]);
        assert_eq!(
            flagged(&["0000000", "0000001", "unknown", "unknowm", "12", "13"]),
            [0_usize; 0]
        );
    }

    #[test]
    fn a_series_that_was_counted_up_is_no_slip() {
        let series: Vec<String> = (0..40).map(|i| format!("AX77{i:04}")).collect();
        let mut all: Vec<&str> = series.iter().map(String::as_str).collect();
        assert_eq!(flagged(&all), [0_usize; 0]);
        // swapped signs in it are
        all.push("XA770007");
        assert_eq!(flagged(&all), [7, 40]);
    }

    #[test]
    fn slips_are_told_apart() {
        let of = |a: &str, b: &str| slip(&folded(a), &folded(b));
        assert_eq!(of("AB12", "A812"), Slip::LookAlike);
        assert_eq!(of("AB12", "AB21"), Slip::Swapped);
        assert_eq!(of("AB12", "AB112"), Slip::Missing);
        assert_eq!(of("AB12", "AC12"), Slip::OtherSign);
        assert_eq!(of("AB12", "AC13"), Slip::Several);
        assert_eq!(of("1111", "111"), Slip::Missing);
    }
}
