//! How fast lines become readings: a thousand lines per iteration.

use divan::{Bencher, counter::ItemsCount};
use sensor_reader::{Decoder, Dialect};

fn main() {
    divan::main();
}

fn thousand_lines(name: &str) -> Vec<u8> {
    (0..1000)
        .map(|i| match name {
            "number-unit-line" => format!("{}.5 micron\r\n", 2000 - i),
            "clocked-comma-fields" => format!("@{i}.000,{}.5,micron,21.4,ok\r\n", 2000 - i),
            // one line again and again: its checksum must fit
            _ => "$P=512.3;U=micron;T=21.4;S=0*70E7\r\n".to_owned(),
        })
        .collect::<String>()
        .into_bytes()
}

#[divan::bench(args = ["number-unit-line", "clocked-comma-fields", "labelled-fields-crc"])]
fn decode(bencher: Bencher<'_, '_>, name: &str) {
    let Ok(dialect) = Dialect::builtin(name) else {
        return;
    };
    let bytes = thousand_lines(name);
    bencher.counter(ItemsCount::new(1000_usize)).bench(|| {
        let mut out = Vec::with_capacity(1000);
        Decoder::new(&dialect).push(divan::black_box(&bytes), &mut out);
        assert_eq!(out.len(), 1000);
        out
    });
}
