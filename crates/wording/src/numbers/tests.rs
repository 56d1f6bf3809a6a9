use super::*;

fn e(value: f64, low: f64, high: f64) -> Estimate {
    Estimate { value, low, high }
}

fn english() -> Voice {
    Voice::default()
}

fn with(language: Language, unit: PressureUnit) -> Voice {
    Voice {
        language,
        unit,
        ..Voice::default()
    }
}

#[test]
fn digits() {
    for (value, digits, wanted) in [
        (262.34, 3, "262"),
        (18_764.0, 3, "18,800"),
        (9.996, 3, "10.0"),
        (0.0123, 2, "0.012"),
        (2.2e-6, 2, "2.2 × 10⁻⁶"),
        (9.9999e6, 3, "1.00 × 10⁷"),
        // halves go away from zero, never to the even neighbour
        (-3.25, 2, "−3.3"),
        (4.5, 1, "5"),
        (2.5, 1, "3"),
        (0.125, 2, "0.13"),
        (0.0, 3, "0"),
        (f64::NAN, 3, "unknown"),
    ] {
        assert_eq!(english().significant(value, digits), wanted);
    }
    assert_eq!(english().limit(500.0), "500 micron");
    assert_eq!(english().limit(1250.0), "1,250 micron");
    assert_eq!(english().plain(2.50, 3), "2.5");
}

/// Unicode CLDR 45, `common/main/{en,de,fr}.xml`, numbering system `latn`: decimal
/// mark and grouping mark (recalled from memory), pattern `#,##0.###`. Spanish after
/// the SI Brochure (9th edition, §5.4.4): comma, and a narrow space in threes.
#[test]
fn every_language_writes_numbers_its_own_way() {
    let table = [
        (Language::English, "1,234.5", "1,234,567", "0.05", "−1,000"),
        (Language::German, "1.234,5", "1.234.567", "0,05", "−1.000"),
        (
            Language::Spanish,
            "1\u{202F}234,5",
            "1\u{202F}234\u{202F}567",
            "0,05",
            "−1\u{202F}000",
        ),
        (
            Language::French,
            "1\u{202F}234,5",
            "1\u{202F}234\u{202F}567",
            "0,05",
            "−1\u{202F}000",
        ),
    ];
    for (language, decimal, large, small, negative) in table {
        let voice = with(language, PressureUnit::Micron);
        assert_eq!(voice.decimals(1234.5, 1), decimal);
        assert_eq!(voice.count(1_234_567), large);
        assert_eq!(voice.plain(0.050, 3), small);
        assert_eq!(voice.significant(-1000.0, 4), negative);
        // no zeros are lost from whole numbers, whatever the mark between thousands
        assert_eq!(voice.plain(250_000.0, 6).len(), voice.count(250_000).len());
        assert_eq!(voice.plain(2.0e-6, 3), voice.significant(2.0e-6, 3));
    }
}

/// 1 micron = 101 325/760 000 Pa and 1 inHg = 3 386.389 Pa (NIST SP 811, appendix
/// B.8): 500 micron are 66.661 Pa, 0.66661 mbar, 0.019685 inHg.
#[test]
fn micron_stands_beside_every_other_unit() {
    let at = |unit, micron| with(Language::English, unit).limit(micron);
    assert_eq!(at(PressureUnit::Pascal, 500.0), "66.7 Pa (500 micron)");
    assert_eq!(at(PressureUnit::Millibar, 500.0), "0.667 mbar (500 micron)");
    assert_eq!(
        at(PressureUnit::InHg, 500.0),
        "0.0197 inHg abs (500 micron)"
    );
    assert_eq!(at(PressureUnit::Pascal, 1250.0), "167 Pa (1,250 micron)");
    let german = with(Language::German, PressureUnit::Pascal);
    assert_eq!(german.limit(1250.0), "167 Pa (1.250 micron)");
    assert_eq!(german.pressure(47.2), "6,3 Pa (47 micron)");
    assert_eq!(german.pressure(16_636.0), "2.220 Pa (16.600 micron)");
    // 1 micron is 3.937e-5 inHg
    assert_eq!(
        with(Language::French, PressureUnit::InHg).pressure(20.0),
        "0,00079 inHg abs (20 micron)"
    );
    assert_eq!(german.rate(10.0, 2), "1,3 Pa/min (10 micron/min)");
    assert_eq!(
        german.pressures(9_000.0, 90.0),
        "1.200 bis 12 Pa (9.000 bis 90 micron)"
    );
    assert_eq!(english().pressures(9_000.0, 90.0), "9,000 to 90 micron");
    // 24.0, 22.1, 25.9 times 0.1333224
    assert_eq!(
        german.estimated_rate(&e(24.0, 22.1, 25.9)),
        "3,20 Pa/min (24,0 micron/min; 95\u{A0}%: 2,95 bis 3,45 Pa/min)"
    );
}

#[test]
fn intervals_share_the_last_place() {
    for (input, wanted) in [
        (e(1.2, 1.0, 1.4), "1.20 u (95 %: 1.00 to 1.40)"),
        (e(812.3, 650.0, 1010.0), "810 u (95 %: 650 to 1,010)"),
        (
            e(2.2e-6, 1.9e-6, 2.5e-6),
            "2.20 × 10⁻⁶ u (95 %: 1.90 to 2.50 × 10⁻⁶)",
        ),
        (e(0.01, -0.06, 0.08), "0.010 u (95 %: −0.060 to 0.080)"),
        (e(5.0, 5.0, 5.0), "5.00 u"),
        (e(5.0, f64::NEG_INFINITY, 9.0), "5.00 u"),
        (
            e(123.456_789, 123.456_7, 123.456_9),
            "123 u (95 %: 123 to 123)",
        ),
    ] {
        assert_eq!(english().estimate(&input, "u"), wanted);
    }
}

#[test]
fn pressures_get_no_digits_that_no_gauge_shows() {
    for (value, wanted) in [
        (47.0, "47 micron"),
        (99.4, "99 micron"),
        (99.7, "100 micron"),
        (262.34, "262 micron"),
        (16_636.0, "16,600 micron"),
        (3.26, "3.3 micron"),
        (0.0, "0 micron"),
    ] {
        assert_eq!(english().pressure(value), wanted);
    }
    assert_eq!(
        english().estimated_pressure(&e(306.5, 306.0, 309.7)),
        "307 micron (95 %: 306 to 310)"
    );
}

#[test]
fn a_time_that_is_not_exceeded_is_rounded_up() {
    let voice = Voice::default();
    for (seconds, words) in [
        (0.2, "1 s"),
        (5.0, "5 s"),
        (5.1, "6 s"),
        (12.0, "15 s"),
        (61.0, "70 s"),
        (99.0, "100 s"),
        (101.0, "2 min"),
        (3_600.0, "60 min"),
        (3_700.0, "1.5 h"),
        (f64::NAN, "unknown"),
    ] {
        assert_eq!(voice.at_most(seconds), words, "{seconds} s");
    }
}

/// A figure beside its limit never reads as the limit itself, nor on its other side, in
/// any unit: 499 and 501 (UFGS 15182 §3.3.3: not above 500) and what lies closer.
#[test]
fn no_rounding_softens_a_limit() {
    let pascal = with(Language::English, PressureUnit::Pascal);
    for (micron, limit, wanted) in [
        (501.0, 500.0, "501 micron"),
        (500.4, 500.0, "500.4 micron"),
        (500.003, 500.0, "500.003 micron"),
        (499.6, 500.0, "499.6 micron"),
        (1_234.4, 1_234.0, "1,234.4 micron"),
        (1_249.0, 1_250.0, "1,249 micron"),
        (612.3, 500.0, "612 micron"),
        // as exact as a double after a unit is
        (500.0 + 1e-8, 500.0, "500 micron"),
    ] {
        assert_eq!(english().pressure_beside(micron, limit), wanted);
    }
    assert_eq!(pascal.limit(500.0), "66.7 Pa (500 micron)");
    assert_eq!(
        pascal.pressure_beside(500.4, 500.0),
        "66.71 Pa (500.4 micron)"
    );
    assert_eq!(
        pascal.pressure_beside(499.9, 500.0),
        "66.65 Pa (499.9 micron)"
    );
    for (shown, limit) in [(500.4, 500.0), (499.7, 500.0), (299.6, 300.0)] {
        for unit in [PressureUnit::Pascal, PressureUnit::Torr] {
            let voice = with(Language::English, unit);
            assert_ne!(voice.pressure_beside(shown, limit), voice.limit(limit));
        }
    }
}
