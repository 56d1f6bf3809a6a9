//! Which rows are shown, and in which order: conditions and sorting in a plain way of writing.

use std::{cmp::Ordering, str::FromStr};

use crate::{
    columns::{Cell, Column},
    row::Row,
};

/// How a cell is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Is {
    Equal,
    NotEqual,
    Below,
    AtMost,
    Above,
    AtLeast,
    Holds,
    HoldsNot,
}

/// Signs, the longer ones first.
const SIGNS: [(&str, Is); 8] = [
    ("!=", Is::NotEqual),
    ("<=", Is::AtMost),
    (">=", Is::AtLeast),
    ("!~", Is::HoldsNot),
    ("=", Is::Equal),
    ("<", Is::Below),
    (">", Is::Above),
    ("~", Is::Holds),
];

/// A condition: a column, a sign, a value. Words are compared whatever their case.
///
/// | written | means |
/// |---|---|
/// | `verdict=fail` | is this; `job=` is absent |
/// | `seal!=good` | is something else |
/// | `lowest>500`, `<`, `>=`, `<=` | a number; a cell without one never |
/// | `flags~copied`, `!~` | holds this text, or does not |
///
/// ```
/// use desk::{Condition, Row, RowKind};
///
/// let row = Row { lowest_micron: Some(620.0), ..Row::new("a".into(), RowKind::Run) };
/// assert!("lowest>500".parse::<Condition>()?.holds(&row));
/// assert!("job=".parse::<Condition>()?.holds(&row));
/// assert!("pressure>5".parse::<Condition>().is_err());
/// # Ok::<(), String>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    column: &'static Column,
    is: Is,
    value: String,
    number: Option<f64>,
}

impl FromStr for Condition {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let is_name = |c: char| c.is_ascii_alphanumeric() || c == '_';
        let text = text.trim();
        let end = text.find(|c| !is_name(c)).unwrap_or(text.len());
        let (name, rest) = text.split_at(end);
        let rest = rest.trim_start();
        let sign = SIGNS.iter().find(|(sign, _)| rest.starts_with(sign));
        let Some((sign, is)) = sign.filter(|_| !name.is_empty()) else {
            return Err(format!(
                "\"{text}\" is no condition: write a column, a sign (= != < <= > >= ~ !~) and a \
                 value, for instance verdict=fail or flags~copied"
            ));
        };
        let column = Column::named(name)?;
        let value = rest.get(sign.len()..).unwrap_or_default().trim();
        let number = value.parse::<f64>().ok().filter(|n| n.is_finite());
        if matches!(is, Is::Below | Is::AtMost | Is::Above | Is::AtLeast)
            && number.is_none()
            && column.name != "started"
        {
            return Err(format!("\"{value}\" in \"{text}\" is not a number"));
        }
        Ok(Self {
            column,
            is: *is,
            value: value.to_lowercase(),
            number,
        })
    }
}

impl Condition {
    /// True for a row that is asked for.
    #[must_use]
    pub fn holds(&self, row: &Row) -> bool {
        let cell = self.column.of(row);
        let shown = cell.shown().to_lowercase();
        let equal = || match (&cell, self.number) {
            (Cell::Number(n), Some(wanted)) => *n == wanted,
            // a verdict is read "not proven" and written "not_proven"
            _ => shown == self.value || shown.replace('_', " ") == self.value,
        };
        let ordered = |wanted: &[Ordering]| {
            let order = match (&cell, self.number) {
                (Cell::Number(n), Some(limit)) => n.partial_cmp(&limit),
                (Cell::Text(_), _) => Some(shown.as_str().cmp(&self.value)),
                _ => None,
            };
            order.is_some_and(|order| wanted.contains(&order))
        };
        match self.is {
            Is::Equal => equal(),
            Is::NotEqual => !equal(),
            Is::Below => ordered(&[Ordering::Less]),
            Is::AtMost => ordered(&[Ordering::Less, Ordering::Equal]),
            Is::Above => ordered(&[Ordering::Greater]),
            Is::AtLeast => ordered(&[Ordering::Greater, Ordering::Equal]),
            Is::Holds => shown.contains(&self.value),
            Is::HoldsNot => !shown.contains(&self.value),
        }
    }
}

/// The order of rows: by a column, upwards, or with `-` in front downwards; absent cells last.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SortBy {
    column: &'static Column,
    down: bool,
}

impl FromStr for SortBy {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let name = text.trim();
        let (name, down) = match name.strip_prefix('-') {
            Some(name) => (name, true),
            None => (name, false),
        };
        Ok(Self {
            column: Column::named(name)?,
            down,
        })
    }
}

impl SortBy {
    /// Sorts; rows that are equal keep their order. By flags: those with the gravest first.
    pub fn sort(self, rows: &mut [Row]) {
        if self.column.name == "flags" {
            let rank = |row: &Row| row.flags.first().map_or(usize::MAX, |f| f.code.rank());
            rows.sort_by(|a, b| match self.down {
                false => rank(a).cmp(&rank(b)),
                true => rank(b).cmp(&rank(a)),
            });
            return;
        }
        rows.sort_by_cached_key(|row| Ordered(self.column.of(row), self.down));
    }
}

/// A cell in the order that was asked for.
struct Ordered(Cell, bool);

impl Ord for Ordered {
    fn cmp(&self, other: &Self) -> Ordering {
        let order = self.0.order(&other.0);
        let absent = self.0 == Cell::Absent || other.0 == Cell::Absent;
        match self.1 && !absent {
            true => order.reverse(),
            false => order,
        }
    }
}

impl PartialOrd for Ordered {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Ordered {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Ordered {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::row::RowKind;

    fn rows() -> Vec<Row> {
        let row = |path: &str, verdict: Option<&str>, lowest| Row {
            verdict: verdict.map(str::to_owned),
            lowest_micron: lowest,
            ..Row::new(path.into(), RowKind::Run)
        };
        vec![
            row("a", Some("fail"), Some(700.0)),
            row("b", Some("not_proven"), None),
            row("c", None, Some(90.0)),
        ]
    }

    fn held(condition: &str) -> String {
        let condition: Condition = condition.parse().expect(condition);
        let rows = rows();
        let held = rows.iter().filter(|row| condition.holds(row));
        held.map(|row| row.path.as_str()).collect()
    }

    #[test]
    fn conditions_hold_where_they_should() {
        for (condition, wanted) in [
            ("verdict=FAIL", "a"),
            ("verdict = not proven", "b"),
            ("verdict!=fail", "bc"),
            ("verdict=", "c"),
            ("lowest>500", "a"),
            ("lowest<=90", "c"),
            ("path~b", "b"),
            ("flags~copied", ""),
            ("flags!~copied", "abc"),
        ] {
            assert_eq!(held(condition), wanted, "{condition}");
        }
        for wrong in ["", "verdict", "nothing=1", "lowest>many", "h=1", "=3"] {
            assert!(wrong.parse::<Condition>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn rows_are_sorted_and_what_is_absent_comes_last() {
        let sorted = |by: &str| {
            let mut rows = rows();
            by.parse::<SortBy>().expect(by).sort(&mut rows);
            rows.iter().map(|row| row.path.as_str()).collect::<String>()
        };
        assert_eq!(sorted("lowest"), "cab");
        assert_eq!(sorted("-lowest_micron"), "acb");
        assert_eq!(sorted("-path"), "cba");
    }
}
