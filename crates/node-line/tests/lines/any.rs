//! Any line a node can send.

use node_line::{
    Barometer, COLDEST_TENTHS_C, Decimal, HighPressure, LONGEST, Line, Reference, Unit, Uptime,
    Value, encode,
};
use proptest::prelude::*;

fn decimal() -> impl Strategy<Value = Decimal> {
    // every count of digits alike, not only the large numbers
    (0..32_u32, any::<u32>(), 0..=6_u8).prop_map(|(shift, digits, decimals)| {
        Decimal::new((digits >> shift).max(1), decimals).expect("in range")
    })
}

fn value() -> impl Strategy<Value = Value> {
    prop_oneof![
        4 => decimal().prop_map(Value::Measured),
        1 => decimal().prop_map(Value::Over),
        1 => decimal().prop_map(Value::Under),
        1 => Just(Value::Fault),
    ]
}

fn high() -> impl Strategy<Value = HighPressure> {
    (value(), proptest::sample::select(&Reference::ALL))
        .prop_map(|(value, reference)| HighPressure { value, reference })
}

fn barometer() -> impl Strategy<Value = Barometer> {
    let (lowest, highest) = Barometer::RANGE_TENTHS_HPA;
    (lowest..=highest).prop_map(|tenths| Barometer::new(tenths).expect("in range"))
}

/// Any line of either version.
pub(crate) fn line() -> impl Strategy<Value = Line> {
    let seconds = (0..32_u32, any::<u32>()).prop_map(|(shift, seconds)| seconds >> shift);
    let temperature = prop_oneof![
        1 => Just(None),
        3 => (COLDEST_TENTHS_C..=i16::MAX).prop_map(Some),
        2 => (-30..=30_i16).prop_map(Some),
    ];
    let unit = proptest::sample::select(&Unit::ALL);
    (
        any::<u16>(),
        seconds,
        0..1000_u16,
        value(),
        unit,
        temperature,
        proptest::option::of(high()),
        proptest::option::of(barometer()),
    )
        .prop_map(
            |(
                sequence,
                seconds,
                milliseconds,
                value,
                unit,
                temperature_tenths_c,
                high,
                barometer,
            )| Line {
                sequence,
                uptime: Uptime::new(seconds, milliseconds).expect("in range"),
                value,
                unit,
                temperature_tenths_c,
                high,
                barometer,
            },
        )
}

/// The line as it is sent.
pub(crate) fn sent(line: &Line) -> Vec<u8> {
    encode(line, &mut [0; LONGEST]).expect("it fits").to_vec()
}
