//! Criteria compared with those that the desk asks for.

use vacuum::Criteria;

/// What of `used` is softer than `rule`, in words; `None` where nothing is. Softer is what a
/// system may pass that would not pass the rule.
pub(crate) fn softer_words(used: &Criteria, rule: &Criteria) -> Option<String> {
    let mut softer = Vec::new();
    let mut above = |what: &str, used: f64, rule: f64, unit: &str| {
        if used > rule {
            softer.push(format!("{what} {used} {unit} instead of {rule}"));
        }
    };
    above("target", used.target_micron, rule.target_micron, "micron");
    above(
        "ceiling",
        used.ceiling_micron,
        rule.ceiling_micron,
        "micron",
    );
    if used.hold_min < rule.hold_min {
        softer.push(format!(
            "hold {} min instead of {}",
            used.hold_min, rule.hold_min
        ));
    }
    let (used, rule) = (&used.further, &rule.further);
    let mut limit = |what: &str,
                     used: Option<f64>,
                     rule: Option<f64>,
                     unit: &str,
                     more_is_softer: bool| {
        match (used, rule) {
            (None, Some(rule)) => softer.push(format!("no {what} ({rule} {unit})")),
            (Some(used), Some(rule)) if used != rule && (used > rule) == more_is_softer => {
                softer.push(format!("{what} {used} {unit} instead of {rule}"));
            }
            _ => {}
        }
    };
    limit(
        "time on the pump after the target",
        used.pump_on_min,
        rule.pump_on_min,
        "min",
        false,
    );
    limit(
        "limit of the rise",
        used.greatest_rise_micron,
        rule.greatest_rise_micron,
        "micron",
        true,
    );
    limit(
        "pressure from which to repeat",
        used.repeat_above_micron,
        rule.repeat_above_micron,
        "micron",
        true,
    );
    limit(
        "least ambient temperature",
        used.ambient_above_c,
        rule.ambient_above_c,
        "°C",
        false,
    );
    let steady = |of: &vacuum::FurtherCriteria| of.steady.map(|s| s.within_micron / s.last_min);
    match (steady(used), steady(rule)) {
        (None, Some(_)) => softer.push("no steady end of the hold".into()),
        (Some(used), Some(rule)) if used > rule => {
            softer.push("a less steady end of the hold".into());
        }
        _ => {}
    }
    if rule.both_sides && !used.both_sides {
        softer.push("one side is enough".into());
    }
    if used.earlier_rounds.len() < rule.earlier_rounds.len() {
        softer.push(format!(
            "{} earlier rounds instead of {}",
            used.earlier_rounds.len(),
            rule.earlier_rounds.len()
        ));
    }
    (!softer.is_empty()).then(|| softer.join(", "))
}

#[cfg(test)]
mod tests {
    use vacuum::Criteria;

    use super::softer_words;

    #[test]
    fn what_would_pass_and_should_not_is_softer() {
        let rule = Criteria::common_practice();
        assert_eq!(softer_words(&rule, &rule), None);
        let strict = Criteria {
            target_micron: 300.0,
            hold_min: 60.0,
            ..rule.clone()
        };
        assert_eq!(softer_words(&strict, &rule), None);
        assert_eq!(
            softer_words(&rule, &strict).as_deref(),
            Some("target 500 micron instead of 300, hold 10 min instead of 60")
        );
        let room = Criteria::facilities_one_hour();
        let words = softer_words(&rule, &room).expect("softer");
        assert!(
            words.ends_with("no least ambient temperature (2 °C)"),
            "{words}"
        );
    }
}
