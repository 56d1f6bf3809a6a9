//! Which column is the pressure, and in which unit: from options, or from a person.

use std::io::Write;

use console::{Left, Questions, say};
use vacuum::{PressureUnit, UnitWord, air};

use crate::{
    air::{Heights, doubt, likely_words},
    error::FinderError,
    layout::{Behaviour, Column, Layout},
    wanted::Search,
};

/// Numbers of a column that are shown.
const SHOWN: usize = 3;

/// What was chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Choice {
    /// The column, from 0.
    pub(crate) column: usize,
    /// Its unit.
    pub(crate) unit: PressureUnit,
}

/// The columns, a line each.
pub(crate) fn column_lines(layout: &Layout) -> Vec<String> {
    let width = |of: &dyn Fn(&Column) -> usize| layout.columns.iter().map(of).max().unwrap_or(0);
    let labels = width(&|c| c.label.chars().count());
    let numbers = width(&|c| last_numbers(c).chars().count());
    let likely = layout.likely_pressure();
    (0..)
        .zip(&layout.columns)
        .map(|(at, column)| {
            let mut remarks = match column.behaviour() {
                Behaviour::Constant => vec!["stays the same"],
                Behaviour::CountsUp => vec!["counts up: a clock or a counter"],
                Behaviour::Moves => vec![],
            };
            if at == likely && layout.columns.len() > 1 {
                remarks.push("likely the pressure");
            }
            let line = format!(
                "  column {}  {:labels$}  {:numbers$}  {}",
                at + 1,
                column.label,
                last_numbers(column),
                remarks.join(", ")
            );
            line.trim_end().to_owned()
        })
        .collect()
}

fn last_numbers(column: &Column) -> String {
    let from = column.texts.len().saturating_sub(SHOWN);
    column.texts.get(from..).unwrap_or_default().join("  ")
}

/// The number that was heard last in a column, as it was sent and as a number.
fn newest(layout: &Layout, column: usize) -> Option<(&str, f64)> {
    let column = layout.columns.get(column)?;
    Some((column.texts.last()?, column.last()?))
}

/// The choice that the options make; `None` where they leave it open.
pub(crate) fn by_options(search: &Search, layout: &Layout) -> Result<Option<Choice>, FinderError> {
    let Some(given) = search.column else {
        return Ok(None);
    };
    let there = layout.columns.len();
    let column = given.checked_sub(1).filter(|c| *c < there);
    let column = column.ok_or_else(|| FinderError::NoColumn {
        given,
        why: format!("the lines have {there} columns of numbers, counted from 1"),
    })?;
    let unit = search.unit.ok_or(FinderError::NoUnit)?;
    let open = search.open_to_air.then_some(true);
    let doubt = newest(layout, column).and_then(|(text, number)| doubt(text, number, unit, open));
    if let Some(doubt) = doubt {
        say(format!("Caution: {doubt}."));
    }
    Ok(Some(Choice { column, unit }))
}

/// What is proposed where nobody can be asked, and how to keep it.
pub(crate) fn tell_proposal(search: &Search, layout: &Layout, baud: Option<u32>) {
    let column = layout.likely_pressure();
    let likely = newest(layout, column);
    let heights = Heights::of(search.open_to_air.then_some(true));
    if let Some(words) = likely.and_then(|(text, number)| likely_words(text, number, heights)) {
        say(format!("Column {}: {words}.", column + 1));
    }
    let unit = search.unit.or_else(|| {
        let (_, number) = likely.filter(|_| search.open_to_air)?;
        air::units_of_open_air(number).first().copied()
    });
    let unit = unit.map_or("UNIT".into(), |u| match u.symbol().contains(' ') {
        true => format!("\"{u}\""),
        false => u.to_string(),
    });
    let baud = baud.map(|b| format!(" --baud {b}")).unwrap_or_default();
    say("No dialect here fits. To have one made and tried, name the column and its unit:");
    say(format!(
        "  dryhold listen {}{baud} --pressure-column {} --pressure-unit {unit} --keep my-gauge.toml",
        search.address,
        column + 1,
    ));
    if unit == "UNIT" {
        say(format!("  UNIT is {}", PressureUnit::LISTED));
    }
}

/// Asks a person.
pub(crate) fn by_person<W: Write>(
    person: &mut Questions<W>,
    search: &Search,
    layout: &Layout,
) -> Result<Choice, Left> {
    let column = which_column(person, layout)?;
    let (text, number) = newest(layout, column).unwrap_or_default();
    let unit = which_unit(person, search, text, number, None)?;
    Ok(Choice { column, unit })
}

fn which_column<W: Write>(person: &mut Questions<W>, layout: &Layout) -> Result<usize, Left> {
    let likely = layout.likely_pressure();
    if layout.columns.len() == 1 {
        return Ok(0);
    }
    loop {
        let prompt = format!("Which column is the pressure? [{}]: ", likely + 1);
        let answer = person.line(&prompt)?;
        if answer.is_empty() {
            return Ok(likely);
        }
        let column = answer.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
        match column.filter(|c| *c < layout.columns.len()) {
            Some(column) => return Ok(column),
            None => person.say(&format!(
                "  type a number from 1 to {}",
                layout.columns.len()
            )),
        }
    }
}

/// Asks in which unit this number is; `before` is what stands without an answer.
pub(crate) fn which_unit<W: Write>(
    person: &mut Questions<W>,
    search: &Search,
    text: &str,
    number: f64,
    before: Option<PressureUnit>,
) -> Result<PressureUnit, Left> {
    let open = match search.open_to_air {
        true => Some(true),
        false => person.yes_or_no(
            "Is the gauge open to the air now, with the pump not started? (yes, no, or Enter \
             if you do not know): ",
        )?,
    };
    let in_air = air::units_of_open_air(number);
    let words = likely_words(text, number, Heights::of(open)).filter(|_| open != Some(false));
    if let Some(words) = words {
        person.say(&format!("  {words}"));
    }
    let proposed = match open {
        Some(true) => in_air.first().copied().or(before),
        _ => before,
    };
    let bracket = proposed.map(|unit| format!(" [{unit}]"));
    let prompt = format!(
        "Unit of {text}, by the gauge's display or manual{}: ",
        bracket.unwrap_or_default()
    );
    let mut doubted = None;
    loop {
        let answer = person.line(&prompt)?;
        let unit = match (answer.as_str(), proposed) {
            ("", Some(unit)) => unit,
            ("" | "?", _) => {
                person.say(&format!("  type {}", PressureUnit::LISTED));
                continue;
            }
            (typed, _) => {
                let word = UnitWord::read(typed);
                match (word.absolute(), word.problem(typed), word.remedy()) {
                    (Some(unit), ..) => unit,
                    (None, problem, remedy) => {
                        let problem = problem.unwrap_or_default();
                        let remedy = remedy.map(|r| format!(": {r}")).unwrap_or_default();
                        person.say(&format!("  {problem}{remedy}"));
                        continue;
                    }
                }
            }
        };
        match doubt(text, number, unit, open) {
            Some(doubt) if doubted != Some(unit) => {
                person.say(&format!(
                    "  {doubt}. Type another unit, or {unit} once more to keep it."
                ));
                doubted = Some(unit);
            }
            _ => return Ok(unit),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use console::Typed;
    use sensor_reader::Address;

    use super::*;

    const HEARD: &[u8] = b"x\r\nN=7;T=21.4;V=1013.2\r\nN=8;T=21.4;V=1013.1\r\n\
        N=9;T=21.4;V=1013.2\r\n";

    fn layout() -> Layout {
        Layout::of(HEARD).expect("columns")
    }

    fn search() -> Search {
        Search::at(Address::Serial("/dev/ttyUSB0".into()))
    }

    /// What is chosen when these lines are typed, and what was said.
    fn typed(lines: &[&str]) -> (Result<Choice, Left>, String) {
        let (send, typed) = channel();
        for line in lines {
            send.send(Typed::Line((*line).into())).expect("it is heard");
        }
        send.send(Typed::End).expect("it is heard");
        let mut out = Vec::new();
        let mut person = Questions::new(typed, &mut out, 500);
        let choice = by_person(&mut person, &search(), &layout());
        (choice, String::from_utf8(out).expect("UTF-8"))
    }

    #[test]
    fn columns_are_told_apart_for_a_person() {
        assert_eq!(
            column_lines(&layout()),
            [
                "  column 1  N=   7  8  9                 counts up: a clock or a counter",
                "  column 2  ;T=  21.4  21.4  21.4        stays the same",
                "  column 3  ;V=  1013.2  1013.1  1013.2  likely the pressure",
            ]
        );
    }

    #[test]
    fn the_air_outside_proposes_the_unit() {
        let (choice, said) = typed(&["", "yes", ""]);
        let unit = PressureUnit::Millibar;
        assert_eq!(choice, Ok(Choice { column: 2, unit }));
        assert!(
            said.contains("shows in mbar") && said.contains("[mbar]"),
            "{said}"
        );
        // nobody knows whether it is open: nothing is proposed, and Enter is no answer
        let (choice, said) = typed(&["3", "", "", "hPa"]);
        assert_eq!(choice, Ok(Choice { column: 2, unit }));
        assert!(said.contains("type micron, Torr"), "{said}");
    }

    #[test]
    fn a_unit_that_does_not_fit_is_asked_back_and_may_be_insisted_on() {
        let (choice, said) = typed(&["3", "yes", "micron", "mbar"]);
        assert_eq!(choice.map(|c| c.unit), Ok(PressureUnit::Millibar));
        assert!(said.contains("would be a vacuum"), "{said}");
        let (choice, _) = typed(&["3", "yes", "micron", "micron"]);
        assert_eq!(choice.map(|c| c.unit), Ok(PressureUnit::Micron));
        let (choice, said) = typed(&["9", "3", "no", "bar", "furlong", "torr", "torr"]);
        assert_eq!(choice.map(|c| c.unit), Ok(PressureUnit::Torr));
        for words in [
            "from 1 to 3",
            "\"bar abs\"",
            "not a pressure unit",
            "1.3 times",
        ] {
            assert!(said.contains(words), "{words}: {said}");
        }
        assert_eq!(typed(&["3", "no"]).0, Err(Left));
    }

    #[test]
    fn options_choose_without_a_person() {
        let chosen = |column, unit| {
            let search = Search {
                column,
                unit,
                ..search()
            };
            by_options(&search, &layout())
        };
        let unit = PressureUnit::Millibar;
        let choice = chosen(Some(3), Some(unit)).expect("a choice");
        assert_eq!(choice, Some(Choice { column: 2, unit }));
        assert!(matches!(chosen(None, Some(unit)), Ok(None)));
        let wrong = chosen(Some(4), Some(unit)).expect_err("no such column");
        assert!(wrong.to_string().contains("3 columns") && wrong.is_usage());
        let wrong = chosen(Some(1), None).expect_err("no unit");
        assert!(wrong.to_string().contains("--pressure-unit") && wrong.is_usage());
    }
}
